// Moving a picture by pointer, wheel and keys: drag or one finger shifts it, two
// fingers or the wheel enlarge it, arrows shift it, + and - enlarge it, 0 shows all.

/** @typedef {import('./camera.js').Camera} Camera */

const step = 40, stride = 160; // pixels an arrow shifts; with Shift
export const grow = 1.4; // what one press of + enlarges by
const wheelGrowth = 0.0016; // per pixel of wheel: a notch of 100 px enlarges by a sixth
const line = 16; // pixels that a wheel counting in lines turns by

/**
 * Lets a camera be moved on its picture.
 * @param {SVGSVGElement} svg @param {Camera} camera
 * @returns {() => void} ends it
 */
export function gestures(svg, camera) {
  const ends = [byPointer(svg, camera), byWheel(svg, camera), byKeys(svg, camera)];
  return () => ends.forEach(end => end());
}

/** @param {SVGSVGElement} svg @param {Record<string, (e: any) => void>} on */
function listening(svg, on) {
  for (const [name, fn] of Object.entries(on)) svg.addEventListener(name, fn, { passive: false });
  return () => { for (const [name, fn] of Object.entries(on)) svg.removeEventListener(name, fn); };
}

/** @param {SVGSVGElement} svg @param {Camera} camera */
function byPointer(svg, camera) {
  /** @type {Map<number, {x: number, y: number}>} */
  const down = new Map();
  const at = (/** @type {PointerEvent} */ e) => {
    const r = svg.getBoundingClientRect();
    return { x: e.clientX - r.left, y: e.clientY - r.top };
  };
  const drop = (/** @type {PointerEvent} */ e) => {
    down.delete(e.pointerId);
    svg.classList.toggle('dragged', down.size > 0);
  };
  return listening(svg, {
    pointerdown: e => {
      if (e.button !== 0 || down.size > 1) return;
      down.set(e.pointerId, at(e));
      svg.setPointerCapture(e.pointerId);
      svg.classList.add('dragged');
    },
    pointermove: e => {
      const was = down.get(e.pointerId);
      if (!was) return;
      const is = at(e), other = [...down].find(([id]) => id !== e.pointerId)?.[1];
      down.set(e.pointerId, is);
      if (other) pinch(camera, was, is, other);
      else camera.pan(is.x - was.x, is.y - was.y);
    },
    pointerup: drop, pointercancel: drop, lostpointercapture: drop,
  });
}

/**
 * One of two fingers moves: the picture grows about the point between them.
 * @param {Camera} camera
 * @param {{x: number, y: number}} was @param {{x: number, y: number}} is @param {{x: number, y: number}} other
 */
function pinch(camera, was, is, other) {
  const before = Math.hypot(was.x - other.x, was.y - other.y), after = Math.hypot(is.x - other.x, is.y - other.y);
  if (before > 0 && after > 0) camera.zoom(after / before, (is.x + other.x) / 2, (is.y + other.y) / 2);
  camera.pan((is.x - was.x) / 2, (is.y - was.y) / 2);
}

/** @param {SVGSVGElement} svg @param {Camera} camera */
function byWheel(svg, camera) {
  return listening(svg, {
    wheel: e => {
      e.preventDefault();
      const r = svg.getBoundingClientRect(), turned = e.deltaY * (e.deltaMode === WheelEvent.DOM_DELTA_LINE ? line : 1);
      camera.zoom(Math.exp(-turned * wheelGrowth), e.clientX - r.left, e.clientY - r.top);
    },
  });
}

/** @type {Record<string, [number, number]>} which way the picture goes so that one looks that way */
const ways = { ArrowLeft: [1, 0], ArrowRight: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

/** @param {SVGSVGElement} svg @param {Camera} camera */
function byKeys(svg, camera) {
  return listening(svg, {
    keydown: e => {
      if (e.ctrlKey || e.metaKey || e.altKey) return;
      const way = ways[e.key], far = e.shiftKey ? stride : step;
      if (way) camera.pan(way[0] * far, way[1] * far);
      else if (e.key === '+' || e.key === '=') camera.zoom(grow);
      else if (e.key === '-' || e.key === '_') camera.zoom(1 / grow);
      else if (e.key === '0') camera.all();
      else return;
      e.preventDefault();
    },
  });
}
