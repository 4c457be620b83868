// What shows faintly through the net where no lining hides it: the felt on the skirt's
// far side.

import { fillStrip } from './paint.js';
import { rgb, shaded } from './light.js';

/** @typedef {import('./paint.js').Look} Look */
/** @typedef {import('./light.js').Colours} Colours */

/** Felt seen from behind lies in the skirt's own shade. */
const shade = -0.3;

/** Net that lets less than this through hides it: a step of colour of some 2 in 255. */
const least = 0.02;

/** Kept from one painting to the next. @type {HTMLCanvasElement | undefined} */
let behind;

/**
 * Returns what paints the far side over a run of cloth, or nothing where it cannot show.
 * @param {CanvasRenderingContext2D} ctx @param {Look} look @param {Colours} colours
 */
export function throughNet(ctx, look, colours) {
  const clear = colours.through(2); // the far side's net and the near side's
  const { n, down } = look.mesh, { lining, lined } = colours.net;
  if (clear < least) return undefined;
  const far = paintFar(ctx.canvas, look);
  return (/** @type {number[]} */ run, /** @type {number} */ from, /** @type {number} */ end) => {
    if (lining && lined >= down[end]) return;
    ctx.save();
    ctx.beginPath();
    for (const j of run) {
      for (let i = from; i < end; i++) {
        if (look.faces[i * n + j] && !(lining && lined >= down[i + 1])) cellPath(ctx, look, i, j, lining && lined > down[i] ? (lined - down[i]) / (down[i + 1] - down[i]) : 0);
      }
    }
    ctx.clip();
    ctx.globalAlpha = clear;
    ctx.drawImage(far, 0, 0);
    ctx.restore();
  };
}

/** The felt that faces away, on a canvas of its own. @param {HTMLCanvasElement} like @param {Look} look */
function paintFar(like, look) {
  behind ??= document.createElement('canvas');
  behind.width = like.width;
  behind.height = like.height;
  const ctx = /** @type {CanvasRenderingContext2D} */ (behind.getContext('2d'));
  const { n, felt } = look.mesh;
  felt.forEach((strips, j) => {
    for (const s of strips) {
      const row = s.rings[0][1];
      if (look.faces[row * n + j] || look.near[row * n + j] > 0) continue;
      ctx.fillStyle = `rgb(${shaded(rgb(s.colour), shade, 1).map(Math.round).join()})`;
      fillStrip(ctx, look, j, s);
    }
  });
  return behind;
}

/** @param {CanvasRenderingContext2D} ctx @param {Look} look @param {number} i @param {number} j @param {number} top share of the cell left out */
function cellPath(ctx, look, i, j, top) {
  const { px, py } = look, [a, b, c, d] = look.cell(i, j);
  ctx.moveTo(px[a] + top * (px[d] - px[a]), py[a] + top * (py[d] - py[a]));
  ctx.lineTo(px[b] + top * (px[c] - px[b]), py[b] + top * (py[c] - py[b]));
  ctx.lineTo(px[c], py[c]);
  ctx.lineTo(px[d], py[d]);
  ctx.closePath();
}
