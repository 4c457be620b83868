// The waistband of the hanging skirt, and what one sees inside it from above.

import { tilt } from './drape.js';
import { lit } from './light.js';

/** Half a pixel more on either side, so that no gap shows between two stripes. */
const seamless = 0.5;

/**
 * @typedef {object} Band
 * @property {number[][]} rim the upper edge, in pixels
 * @property {number[][]} foot the waist seam below it
 * @property {number[]} light of the stripe from each point to the next; NaN behind
 */

/**
 * The band as seen at a turn.
 * @param {import('./drape.js').Folds['band']} band @param {number} turn radians
 * @param {{k: number, dx: number, dy: number}} shot @returns {Band}
 */
export function bandOf({ height, x, z }, turn, shot) {
  const sin = Math.sin(turn), cos = Math.cos(turn), n = x.length;
  const at = x.map((_, i) => [x[i] * cos + z[i] * sin, z[i] * cos - x[i] * sin]);
  const seen = (/** @type {number} */ drop) => at.map(([a, near]) => [shot.dx + shot.k * a, shot.dy + shot.k * (drop * Math.cos(tilt) + near * Math.sin(tilt))]);
  const light = at.map(([a, near], i) => {
    const [b, far] = at[(i + 1) % n], long = Math.hypot(b - a, far - near);
    return b > a ? lit((near - far) / long, (b - a) / long) : NaN;
  });
  return { rim: seen(-height), foot: seen(0), light };
}

/** @param {CanvasRenderingContext2D} ctx @param {Band} band @param {import('./light.js').Colours} colours */
export function paintInside(ctx, { rim }, colours) {
  ctx.fillStyle = colours.inside();
  outline(ctx, rim);
  ctx.fill();
}

/** The band's outside in upright stripes. @param {CanvasRenderingContext2D} ctx @param {Band} band @param {import('./light.js').Colours} colours */
export function paintBand(ctx, { rim, foot, light }, colours) {
  const n = rim.length;
  light.forEach((l, i) => {
    if (Number.isNaN(l)) return;
    const k = (i + 1) % n;
    ctx.fillStyle = colours.band(l);
    outline(ctx, [[rim[i][0] - seamless, rim[i][1]], [rim[k][0] + seamless, rim[k][1]], [foot[k][0] + seamless, foot[k][1]], [foot[i][0] - seamless, foot[i][1]]]);
    ctx.fill();
  });
}

/** @param {CanvasRenderingContext2D} ctx @param {number[][]} points */
function outline(ctx, points) {
  ctx.beginPath();
  points.forEach(([x, y], i) => (i ? ctx.lineTo(x, y) : ctx.moveTo(x, y)));
  ctx.closePath();
}
