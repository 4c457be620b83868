// Paints the hanging skirt by the painter's algorithm: what is farther away first. Seen
// from above, of two places on one line of sight the nearer is the higher. So cells are
// painted from the hem upwards, and round the skirt fold by fold from the farthest to the
// nearest, a fold's felt after its cloth. Where gathers run together their inner side is
// seen too, so there the cells are painted row by row.

import { tilt } from './drape.js';
import { lit } from './light.js';

/** @typedef {import('./drape.js').Mesh} Mesh */
/** @typedef {import('./light.js').Colours} Colours */

/** Half a pixel more on either side, so that no gap shows between two cells. */
const seamless = 0.5;
const lap = 1; // pixels that a row laps over the next
const feltLap = 2 * lap; // of its felt, which would show a line of cloth else

/** Cloth seen from inside among the gathers is dark and seen at a slant. */
const inner = { light: -0.4, slant: 0.2 };

/** A seam or hem is so much darker than its cloth, and so wide in pixels. */
const line = { darker: 0.7, seam: 0.9, hem: 1.4 };

/** A mesh at one turn: where every node lies, in pixels, and which cells face the viewer. */
export class Look {
  /**
   * @param {Mesh} mesh @param {number} turn radians; the front goes to the viewer's right
   * @param {{k: number, dx: number, dy: number}} shot of millimetres on to pixels
   */
  constructor(mesh, turn, shot) {
    const { n, m, x, z, drop } = mesh, sin = Math.sin(turn), cos = Math.cos(turn);
    const up = Math.sin(tilt), across = Math.cos(tilt);
    this.mesh = mesh;
    this.sin = sin;
    this.cos = cos;
    this.px = new Float32Array(n * m);
    this.py = new Float32Array(n * m);
    this.near = new Float32Array(n * m); // millimetres towards the viewer
    this.faces = new Uint8Array(n * (m - 1));
    for (let i = 0, k = 0; i < m; i++) {
      for (let j = 0; j < n; j++, k++) {
        const near = z[k] * cos - x[k] * sin;
        this.near[k] = near;
        this.px[k] = shot.dx + shot.k * (x[k] * cos + z[k] * sin);
        this.py[k] = shot.dy + shot.k * (drop[i] * across + near * up);
      }
    }
    for (let i = 0; i < m - 1; i++) for (let j = 0; j < n; j++) this.faces[i * n + j] = this.facing(i, j) ? 1 : 0;
  }

  /** The nodes of a cell: left top, right top, right bottom, left bottom. @param {number} i @param {number} j */
  cell(i, j) {
    const { n } = this.mesh, a = i * n + j, b = j === n - 1 ? i * n : a + 1;
    return [a, b, b + n, a + n];
  }

  /** @param {number} i @param {number} j */
  facing(i, j) {
    const [a, b, c, d] = this.cell(i, j), { px, py } = this;
    return (px[c] - px[a]) * (py[d] - py[b]) - (py[c] - py[a]) * (px[d] - px[b]) > 0;
  }

  /** How a cell is lit, and how straight on it is seen. @param {number} i @param {number} j */
  light(i, j) {
    const [, , c, d] = this.cell(i, j), { px, near } = this;
    const wide = this.width(c, d), deep = near[c] - near[d], long = Math.hypot(wide, deep) || 1;
    return { light: lit(-deep / long, wide / long), slant: wide / long };
  }

  /** The distance across the picture, in millimetres. @param {number} c @param {number} d */
  width(c, d) {
    const { x, z } = this.mesh;
    return (x[c] - x[d]) * this.cos + (z[c] - z[d]) * this.sin;
  }

  /**
   * Runs of neighbouring columns that are in, the farthest first at a row of nodes.
   * @param {number} row @param {(j: number) => boolean} is @returns {number[][]}
   */
  runs(row, is) {
    const { n } = this.mesh, runs = /** @type {number[][]} */ ([]);
    let start = 0, open = false;
    for (let j = 0; j < n; j++) if (!is(j)) start = j;
    for (let k = 1; k <= n; k++) {
      const j = (start + k) % n, now = is(j);
      if (now && !open) runs.push([]);
      if (now) runs[runs.length - 1].push(j);
      open = now;
    }
    return this.sorted(runs, row);
  }

  /** @param {number[][]} runs @param {number} row */
  sorted(runs, row) {
    const { n } = this.mesh;
    const of = new Map(runs.map(r => [r, r.reduce((sum, j) => sum + this.near[row * n + j], 0) / r.length]));
    return runs.sort((a, b) => /** @type {number} */ (of.get(a)) - /** @type {number} */ (of.get(b)));
  }
}

/**
 * Paints the cloth and felt of a look.
 * @param {CanvasRenderingContext2D} ctx @param {Look} look @param {Colours} colours
 * @param {(run: number[], from: number, end: number) => void} [between] after a run's cloth and before its felt
 */
export function paintSkirt(ctx, look, colours, between) {
  const { n, m, gathers } = look.mesh, end = m - 1;
  const paint = (/** @type {number[][]} */ runs, /** @type {number} */ from, /** @type {number} */ to) => {
    for (const run of runs) {
      for (const j of run) paintCloth(ctx, look, colours, j, from, to);
      between?.(run, from, to);
      for (const j of run) paintFelt(ctx, look, colours, j, from, to);
    }
  };
  paint(look.runs(end, j => { for (let i = gathers; i < end; i++) if (look.faces[i * n + j]) return true; return false; }), gathers, end);
  for (let i = gathers - 1; i >= 0; i--) {
    const seen = look.runs(i + 1, j => !!look.faces[i * n + j]);
    const inside = look.runs(i + 1, j => !look.faces[i * n + j] && look.near[i * n + j] > 0);
    paint(look.sorted([...seen, ...inside], i + 1), i, i + 1);
  }
}

/**
 * A column's cells in some rows, those of one colour below one another as one.
 * @param {CanvasRenderingContext2D} ctx @param {Look} look @param {Colours} colours
 * @param {number} j @param {number} from @param {number} end
 */
function paintCloth(ctx, look, colours, j, from, end) {
  const slabs = slabsOf(look, colours, j, from, end), last = look.mesh.m - 2;
  for (let s = slabs.length - 1; s >= 0; s--) {
    const { left, right, colour, row } = slabs[s];
    const over = s < slabs.length - 1 || row < last ? lap : 0, foot = left.length - 2;
    ctx.fillStyle = colour;
    ctx.beginPath();
    ctx.moveTo(left[0] - seamless, left[1]);
    for (let k = 2; k <= foot; k += 2) ctx.lineTo(left[k] - seamless, left[k + 1] + (k === foot ? over : 0));
    for (let k = foot; k >= 0; k -= 2) ctx.lineTo(right[k] + seamless, right[k + 1] + (k === foot ? over : 0));
    ctx.fill();
  }
  paintLines(ctx, look, colours, j, from, end);
}

/** @param {Look} look @param {Colours} colours @param {number} j @param {number} from @param {number} end */
function slabsOf(look, colours, j, from, end) {
  const { px, py, mesh, faces } = look, { n, down } = mesh, { lined } = colours.net;
  /** @type {{left: number[], right: number[], colour: string, row: number}[]} */
  const slabs = [];
  for (let i = from; i < end; i++) {
    const is = faces[i * n + j];
    const beside = i < mesh.gathers || (i > 0 && faces[(i - 1) * n + j]) || (i < mesh.m - 2 && faces[(i + 1) * n + j]);
    if (!is && !beside) continue;
    const { light, slant } = is ? look.light(i, j) : inner, [a, b, c, d] = look.cell(i, j);
    const split = lined > down[i] && lined < down[i + 1] ? (lined - down[i]) / (down[i + 1] - down[i]) : 1;
    for (const [top, foot] of split < 1 ? [[0, split], [split, 1]] : [[0, 1]]) {
      const mid = down[i] + (down[i + 1] - down[i]) * (top + foot) / 2, colour = colours.cloth(mid <= lined, light, slant);
      const at = (/** @type {number} */ p, /** @type {number} */ q, /** @type {number} */ t) => [px[p] + t * (px[q] - px[p]), py[p] + t * (py[q] - py[p])];
      const was = slabs[slabs.length - 1];
      if (was && was.colour === colour && was.row >= i - 1) {
        was.left.push(...at(a, d, foot));
        was.right.push(...at(b, c, foot));
        was.row = i;
      } else slabs.push({ left: [...at(a, d, top), ...at(a, d, foot)], right: [...at(b, c, top), ...at(b, c, foot)], colour, row: i });
    }
  }
  return slabs;
}

/**
 * The seam at a column's left edge, if there is one, and its part of the hem.
 * @param {CanvasRenderingContext2D} ctx @param {Look} look @param {Colours} colours
 * @param {number} j @param {number} from @param {number} end
 */
function paintLines(ctx, look, colours, j, from, end) {
  const { px, py, mesh, faces } = look, seam = mesh.seams.has(j);
  for (let i = seam ? from : end - 1; i < end; i++) {
    if (!faces[i * mesh.n + j]) continue;
    const { light, slant } = look.light(i, j), [a, , c, d] = look.cell(i, j);
    ctx.strokeStyle = colours.cloth(mesh.down[i] <= colours.net.lined, light - line.darker, slant);
    if (seam) stroke(ctx, px[a], py[a], px[d], py[d], line.seam);
    if (i === mesh.m - 2) stroke(ctx, px[d], py[d], px[c], py[c], line.hem);
  }
}

/** @param {CanvasRenderingContext2D} ctx @param {number} x @param {number} y @param {number} u @param {number} v @param {number} wide */
function stroke(ctx, x, y, u, v, wide) {
  ctx.lineWidth = wide;
  ctx.beginPath();
  ctx.moveTo(x, y);
  ctx.lineTo(u, v);
  ctx.stroke();
}

/**
 * The felt on a column that faces the viewer, in rows from up to end.
 * @param {CanvasRenderingContext2D} ctx @param {Look} look @param {Colours} colours
 * @param {number} j @param {number} from @param {number} end
 */
function paintFelt(ctx, look, colours, j, from, end) {
  for (const s of look.mesh.felt[j]) {
    if (s.from < from || s.to > end) continue;
    const row = Math.floor((s.rings[0][1] + s.rings[0][s.rings[0].length - 2]) / 2);
    if (!look.faces[row * look.mesh.n + j]) continue;
    ctx.fillStyle = colours.felt(s.colour, look.light(row, j).light);
    fillStrip(ctx, look, j, s);
  }
}

/** @param {CanvasRenderingContext2D} ctx @param {Look} look @param {number} j @param {import('./drape.js').Strip} strip */
export function fillStrip(ctx, look, j, strip) {
  const { px, py } = look, edge = 1e-4; // a share of a cell: rounding
  ctx.beginPath();
  for (const ring of strip.rings) {
    for (let k = 0; k < ring.length; k += 3) {
      const u = ring[k], t = ring[k + 2], [a, b, c, d] = look.cell(ring[k + 1], j);
      const wider = u < edge ? -seamless : u > 1 - edge ? seamless : 0;
      const x = (px[a] + u * (px[b] - px[a])) * (1 - t) + (px[d] + u * (px[c] - px[d])) * t + wider;
      const y = (py[a] + u * (py[b] - py[a])) * (1 - t) + (py[d] + u * (py[c] - py[d])) * t + (t > 1 - edge && ring[k + 1] === strip.to - 1 ? feltLap : 0);
      if (k) ctx.lineTo(x, y);
      else ctx.moveTo(x, y);
    }
    ctx.closePath();
  }
  ctx.fill('evenodd');
}
