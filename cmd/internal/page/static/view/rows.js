// Puts boxes in rows, so that they are shown as large as there is room for.

import { inner } from './camera.js';

/**
 * @param {number[][]} sizes  width and height of each, millimetres
 * @param {import('./camera.js').Room} room
 * @param {number} below   pixels kept free under each row
 * @param {number} between pixels kept free between two boxes
 * @returns {{box: number[], at: number[][]}} the extent, and the top left corner of each
 */
export function inRows(sizes, room, below, between) {
  const { w, h } = inner(room);
  let best = { k: 0, rows: /** @type {number[][]} */ ([]) };
  for (let most = 1; most <= sizes.length; most++) {
    const rows = Array.from({ length: Math.ceil(sizes.length / most) }, (_, r) => sizes.slice(r * most, (r + 1) * most).map((_, i) => r * most + i));
    const across = Math.min(...rows.map(r => (w - between * (r.length - 1)) / sum(r.map(i => sizes[i][0]))));
    const down = (h - below * rows.length) / sum(rows.map(r => tallest(sizes, r)));
    const k = Math.min(across, down);
    if (k > best.k) best = { k, rows };
  }
  // Less room than the words need: rows of one as large as the words.
  const k = best.k || w / Math.max(1, ...sizes.map(s => s[0])), rows = best.k ? best.rows : sizes.map((_, i) => [i]);
  return laid(sizes, rows, below / k, between / k);
}

const sum = (/** @type {number[]} */ list) => list.reduce((a, b) => a + b, 0);
const tallest = (/** @type {number[][]} */ sizes, /** @type {number[]} */ row) => Math.max(...row.map(i => sizes[i][1]));

/** @param {number[][]} sizes @param {number[][]} rows @param {number} below @param {number} between millimetres */
function laid(sizes, rows, below, between) {
  /** @type {number[][]} */
  const at = [];
  let y = 0, wide = 0;
  for (const row of rows) {
    let x = 0;
    for (const i of row) {
      at[i] = [x, y];
      x += sizes[i][0] + between;
    }
    wide = Math.max(wide, x - between);
    y += tallest(sizes, row) + below;
  }
  return { box: [0, 0, wide, y], at };
}
