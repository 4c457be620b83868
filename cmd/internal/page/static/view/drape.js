// The skirt as it hangs: a mesh of cloth with the felt cut along its cells, made once
// for each plan and drawn at any turn by paint.js.

/**
 * What the server says of the folds. Places on the cloth are columns round the skirt and
 * millimetres down, in turn.
 * @typedef {object} Folds
 * @property {number} columns @property {number} panels @property {number} gathers
 * @property {{down: number, drop: number, x: number[], z: number[]}[]} rows
 * @property {{height: number, x: number[], z: number[]}} band
 * @property {{colour: string, opacity: number, layers: number, lining: string, lined: number}} net
 * @property {{mark: number, colour: string, rings: number[][]}[]} felts
 * @property {number[]} marks @property {number} shows_front
 */

/**
 * A part of a piece of felt on one column, in rows from up to to. Its points are shares of
 * the column across, the row, and shares of the row down.
 * @typedef {{colour: string, from: number, to: number, rings: Float32Array[]}} Strip
 */

/**
 * Nodes stand row by row, n to a row; a column's felt is what lies right of its nodes.
 * @typedef {object} Mesh
 * @property {number} n columns
 * @property {number} m rows of nodes, one more than of cells
 * @property {number} gathers rows of cells, from the top, in which gathers run together
 * @property {Float32Array} x @property {Float32Array} z of each node, millimetres
 * @property {number[]} down @property {number[]} drop of each row, millimetres
 * @property {Strip[][]} felt of each column
 * @property {Set<number>} seams columns that begin at a seam
 */

/** How the whole picture is seen from above, as on worn.png: enough for the hem to show its folds. */
export const tilt = 13 * Math.PI / 180;

/** The mesh with one column, and row of gathers, of every so many. @param {Folds} f @param {number} every 1: as fine as it came @returns {Mesh} */
export function meshOf(f, every) {
  const n = Math.ceil(f.columns / every);
  const edges = Array.from({ length: n + 1 }, (_, j) => Math.round(j * f.columns / n)); // of columns, in those of f
  const rows = f.rows.filter((_, i) => i >= f.gathers || i % every === 0);
  const m = rows.length, gathers = rows.findIndex(r => r.down >= f.rows[f.gathers].down);
  const x = new Float32Array(n * m), z = new Float32Array(n * m);
  rows.forEach((r, i) => { for (let j = 0; j < n; j++) { x[i * n + j] = r.x[edges[j]]; z[i * n + j] = r.z[edges[j]]; } });
  const down = rows.map(r => r.down), drop = rows.map(r => r.drop);
  const seams = new Set(Array.from({ length: f.panels }, (_, k) => Math.round(k * n / f.panels)));
  return { n, m, gathers, x, z, down, drop, seams, felt: feltOf(f, edges, down, gathers) };
}

/**
 * Cuts the felt along the columns, and among the gathers along the rows too, where the
 * cells of one column are drawn one by one.
 * @param {Folds} f @param {number[]} edges @param {number[]} down @param {number} gathers
 */
function feltOf(f, edges, down, gathers) {
  const n = edges.length - 1, end = down.length - 1;
  /** @type {Strip[][]} */
  const felt = Array.from({ length: n }, () => []);
  const bands = [...Array.from({ length: gathers }, (_, i) => [i, i + 1]), [gathers, end]];
  for (const piece of f.felts) {
    const us = piece.rings[0].filter((_, i) => i % 2 === 0), low = Math.min(...us), high = Math.max(...us);
    for (const { j, left, right } of columnsIn(edges, f.columns, low, high)) {
      const across = piece.rings.map(r => cut(cut(r, 0, left, 1), 0, right, -1));
      for (const [from, to] of bands) {
        const rings = across.map(r => cut(cut(r, 1, down[from], 1), 1, down[to], -1)).filter(r => r.length > 4);
        if (rings.length) felt[j].push({ colour: piece.colour, from, to, rings: rings.map(r => onCells(r, left, right, down, from, to)) });
      }
    }
  }
  return felt;
}

/**
 * The columns between low and high, which may lie before the first or beyond the last.
 * @param {number[]} edges @param {number} all columns of the folds @param {number} low @param {number} high
 */
function columnsIn(edges, all, low, high) {
  const n = edges.length - 1, out = [];
  for (let k = Math.floor(low / all * n) - 1; k <= Math.ceil(high / all * n); k++) {
    const j = ((k % n) + n) % n, round = Math.floor(k / n) * all;
    const left = edges[j] + round, right = edges[j + 1] + round;
    if (right > low && left < high) out.push({ j, left, right });
  }
  return out;
}

/**
 * The part of a ring on one side of a line (Sutherland and Hodgman, 1974).
 * @param {number[]} ring pairs @param {0|1} axis @param {number} at @param {1|-1} side 1: what is greater
 */
function cut(ring, axis, at, side) {
  const out = [], end = ring.length;
  for (let i = 0; i < end; i += 2) {
    const j = (i + 2) % end, a = (ring[i + axis] - at) * side, b = (ring[j + axis] - at) * side;
    if (a >= 0) out.push(ring[i], ring[i + 1]);
    if ((a >= 0) === (b >= 0)) continue;
    const t = a / (a - b);
    out.push(ring[i] + t * (ring[j] - ring[i]), ring[i + 1] + t * (ring[j + 1] - ring[i + 1]));
  }
  return out;
}

/**
 * A ring as points of cells.
 * @param {number[]} ring @param {number} left @param {number} right @param {number[]} down @param {number} from @param {number} to
 */
function onCells(ring, left, right, down, from, to) {
  const out = new Float32Array(ring.length / 2 * 3);
  for (let i = 0, k = 0; i < ring.length; i += 2, k += 3) {
    let row = from;
    while (row < to - 1 && down[row + 1] < ring[i + 1]) row++;
    out[k] = (ring[i] - left) / (right - left);
    out[k + 1] = row;
    out[k + 2] = (ring[i + 1] - down[row]) / (down[row + 1] - down[row]);
  }
  return out;
}

/** What the skirt takes up on the picture at any turn: x, y, width, height in millimetres. @param {Folds} f */
export function extent(f) {
  const far = (/** @type {{x: number[], z: number[]}} */ r) => r.x.reduce((most, x, j) => Math.max(most, Math.hypot(x, r.z[j])), 0);
  const hem = f.rows[f.rows.length - 1], wide = Math.max(...f.rows.map(far));
  const top = -f.band.height * Math.cos(tilt) - far(f.band) * Math.sin(tilt);
  return [-wide, top, 2 * wide, hem.drop * Math.cos(tilt) + far(hem) * Math.sin(tilt) - top];
}
