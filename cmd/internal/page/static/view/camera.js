// How a picture is looked at: how large, and which part of it. Each view keeps its
// own shot when another one is shown.

/**
 * Where a picture stands on screen: a point (x, y) of the picture, in millimetres, lies at
 * (k·x + dx, k·y + dy), in pixels.
 * @typedef {{k: number, dx: number, dy: number, own: boolean}} Shot own: chosen by hand, so it stays
 * @typedef {{w: number, h: number}} Room  the pixels there are
 * @typedef {number[]} Box  x, y, width, height in millimetres
 */

/** White kept round a whole picture, in pixels; the scale stands at the foot. */
const around = { side: 14, top: 6, foot: 44 };

/** The largest enlargement, in pixels a millimetre: about twice true size on most screens. */
const largest = 8;

/** How much smaller than whole a picture may get: its edges can then be seen to end. */
const smallest = 0.7;

/** @type {Map<string, Shot>} */
const shots = new Map();

/** The shot that shows all of a box. @param {Box} box @param {Room} room @returns {Shot} */
function whole([x, y, w, h], room) {
  const across = room.w - 2 * around.side, down = room.h - around.top - around.foot;
  const k = Math.max(1e-4, Math.min(across / Math.max(w, 1), down / Math.max(h, 1)));
  return { k, dx: room.w / 2 - (x + w / 2) * k, dy: around.top + down / 2 - (y + h / 2) * k, own: false };
}

/** The pixels that a whole picture may take. @param {Room} room @returns {Room} */
export const inner = room => ({ w: room.w - 2 * around.side, h: room.h - around.top - around.foot });

/** Looks at one picture: an svg element, and the group in it that holds the picture. */
export class Camera {
  /**
   * @param {string} view
   * @param {SVGSVGElement} svg
   * @param {SVGGElement} world
   * @param {(shot: Shot) => void} moved called after each change
   */
  constructor(view, svg, world, moved) {
    this.view = view;
    this.svg = svg;
    this.world = world;
    this.moved = moved;
    /** @type {Room} */ this.room = { w: 1, h: 1 };
    /** @type {Box} */ this.box = [0, 0, 1, 1];
  }

  /** Shows a picture of this extent in this much room. @param {Box} box @param {Room} room */
  show(box, room) {
    const kept = shots.get(this.view), was = this.room;
    this.box = box;
    this.room = room;
    if (!kept?.own) return this.all();
    // What was in the middle stays there.
    const known = was.w > 1;
    this.set({ ...kept, dx: kept.dx + (known ? (room.w - was.w) / 2 : 0), dy: kept.dy + (known ? (room.h - was.h) / 2 : 0) });
  }

  /** Shows the whole picture. */
  all() { this.set(whole(this.box, this.room)); }

  /** Shifts the picture by pixels. @param {number} x @param {number} y */
  pan(x, y) {
    const s = this.shot();
    this.set(this.within({ ...s, dx: s.dx + x, dy: s.dy + y, own: true }));
  }

  /**
   * Enlarges about a point of the screen, that of the middle where none is given.
   * @param {number} factor @param {number} [x] @param {number} [y]
   */
  zoom(factor, x = this.room.w / 2, y = this.room.h / 2) {
    const s = this.shot(), fit = whole(this.box, this.room).k;
    const k = Math.min(Math.max(largest, fit), Math.max(fit * smallest, s.k * factor)), grown = k / s.k;
    this.set(this.within({ k, dx: x - (x - s.dx) * grown, dy: y - (y - s.dy) * grown, own: true }));
  }

  /** @returns {Shot} */
  shot() { return shots.get(this.view) ?? whole(this.box, this.room); }

  /** Keeps the middle of the screen on the picture. @param {Shot} s @returns {Shot} */
  within(s) {
    const [x, y, w, h] = this.box, { room } = this;
    const clamp = (/** @type {number} */ v, /** @type {number} */ low, /** @type {number} */ high) => Math.min(high, Math.max(low, v));
    return { ...s, dx: clamp(s.dx, room.w / 2 - (x + w) * s.k, room.w / 2 - x * s.k), dy: clamp(s.dy, room.h / 2 - (y + h) * s.k, room.h / 2 - y * s.k) };
  }

  /** @param {Shot} shot */
  set(shot) {
    shots.set(this.view, shot);
    this.world.setAttribute('transform', `translate(${shot.dx.toFixed(2)} ${shot.dy.toFixed(2)}) scale(${shot.k.toFixed(5)})`);
    this.svg.style.setProperty('--k', shot.k.toFixed(5)); // words keep their size by it
    this.moved(shot);
  }
}
