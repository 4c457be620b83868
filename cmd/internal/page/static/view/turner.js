// Turning a thing by dragging it: sideways it turns, up and down the picture shifts, two
// fingers shift and enlarge it.

/** How far from the axis lies what follows the pointer, as a share of the picture's half width: the middle of the front. */
const followed = 0.7;

/** Degrees that an arrow key turns; with Shift. */
const press = 5, far = 15;

/** What is left of the speed after a frame, and the speed in degrees a frame at which it comes to rest. */
const friction = 0.94, slowest = 0.15;

/** A pointer that rested this long before it was let go throws nothing, milliseconds. */
const rested = 60;

const half = 180, whole = 360;

/** @param {number} degrees from -180 up to 180 */
const wrapped = degrees => ((degrees + half) % whole + whole) % whole - half;

/** The sides are the wearer's. Each begins an eighth of a turn from its middle. @param {number} degrees */
export function sideOf(degrees) {
  const eighth = half / 4, off = Math.abs(degrees);
  if (off < eighth) return 'front';
  if (off > half - eighth) return 'back';
  return degrees > 0 ? 'right side' : 'left side';
}

/** The turn in words. @param {number} degrees */
export const atAngle = degrees => `${sideOf(degrees)}, turned ${Math.abs(Math.round(degrees))} degrees ${degrees < 0 ? 'to her left side' : 'to her right side'}`;

/** Stands between gestures and a camera, and turns what it would shift sideways. */
export class Turner {
  /**
   * @param {import('./camera.js').Camera} camera @param {HTMLElement} el what is dragged
   * @param {number} degrees to begin with @param {(degrees: number) => void} turned
   */
  constructor(camera, el, degrees, turned) {
    this.camera = camera;
    this.el = el;
    this.degrees = degrees;
    this.turned = turned;
    this.pinching = false;
    this.speed = 0;
    this.moved = 0; // when
    this.frame = 0;
    this.down = () => { this.stop(); };
    this.up = () => this.spin();
    this.key = (/** @type {KeyboardEvent} */ e) => this.press(e);
    el.addEventListener('keydown', this.key);
    el.addEventListener('pointerdown', this.down);
    el.addEventListener('pointerup', this.up);
  }

  end() {
    this.stop();
    this.el.removeEventListener('keydown', this.key);
    this.el.removeEventListener('pointerdown', this.down);
    this.el.removeEventListener('pointerup', this.up);
  }

  /** @param {number} degrees */
  to(degrees) {
    this.degrees = wrapped(degrees);
    this.turned(this.degrees);
  }

  /** Left and right arrows turn it, and do nothing else. @param {KeyboardEvent} e */
  press(e) {
    const way = { ArrowLeft: -1, ArrowRight: 1 }[e.key];
    if (!way || e.ctrlKey || e.metaKey || e.altKey) return;
    e.preventDefault();
    e.stopImmediatePropagation();
    this.to(this.degrees + way * (e.shiftKey ? far : press));
  }

  /** @param {number} x @param {number} y pixels */
  pan(x, y) {
    if (this.pinching) { this.camera.pan(x, y); return; }
    if (y) this.camera.pan(0, y);
    if (!x) return;
    const radius = followed * this.camera.box[2] / 2 * this.camera.shot().k; // pixels
    this.speed = x / radius * half / Math.PI;
    this.moved = performance.now();
    this.to(this.degrees + this.speed);
  }

  /** A pinch enlarges and then shifts at once. @param {number} factor @param {number} [x] @param {number} [y] */
  zoom(factor, x, y) {
    this.pinching = true;
    queueMicrotask(() => { this.pinching = false; });
    this.camera.zoom(factor, x, y);
  }

  all() { this.camera.all(); }

  stop() {
    cancelAnimationFrame(this.frame);
    this.speed = 0;
  }

  /** Lets it turn on by itself for a moment, unless the maker wants no such motion. */
  spin() {
    if (matchMedia('(prefers-reduced-motion: reduce)').matches || performance.now() - this.moved > rested) return;
    const on = () => {
      this.speed *= friction;
      if (Math.abs(this.speed) < slowest) return;
      this.to(this.degrees + this.speed);
      this.frame = requestAnimationFrame(on);
    };
    this.frame = requestAnimationFrame(on);
  }
}
