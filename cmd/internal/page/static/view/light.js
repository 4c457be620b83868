// The colours of cloth and felt as light falls on them, as on worn.png.

/** @typedef {[number, number, number]} Rgb */

const white = /** @type {Rgb} */ ([255, 255, 255]), black = /** @type {Rgb} */ ([0, 0, 0]);

/** How many steps of light are told apart: cells of one colour are drawn as one. */
const shades = 40;

/** The lamp stands before the viewer and to the left; gain and offset make the brightest fold 0.9, one along the view -0.6. */
const lamp = { x: -0.5, z: 0.87, gain: 1.5, offset: -0.62 };

/** How strongly shade darkens, and light brightens; and the darkest that anything gets. */
const darkens = 0.55, brightens = 0.22, darkest = 0.85;

/** At a slanting view no more than three times the net is crossed: folds are round. */
const slanted = 1 / 3;

/** @param {string} hex "#rrggbb" @returns {Rgb} */
export function rgb(hex) {
  const n = parseInt(hex.slice(1), 16);
  return Number.isNaN(n) ? [136, 136, 136] : [n >> 16, n >> 8 & 255, n & 255];
}

/** @param {Rgb} a @param {Rgb} b @param {number} t @returns {Rgb} */
export const mixed = (a, b, t) => /** @type {Rgb} */ (a.map((v, i) => v + t * (b[i] - v)));

/** @param {Rgb} c */
const css = c => `rgb(${c.map(Math.round).join()})`;

/** How brightly cloth is lit whose outward direction is x, z: from -1 dark to 1, in steps. @param {number} x @param {number} z */
export const lit = (x, z) => Math.round((lamp.gain * (x * lamp.x + z * lamp.z) + lamp.offset) * shades) / shades;

/** A colour in a light; much says how strongly it takes it. @param {Rgb} c @param {number} light @param {number} much */
export const shaded = (c, light, much) => (light < 0 ? mixed(c, black, Math.min(darkest, -light * darkens * much)) : mixed(c, white, light * brightens * much));

/** The colours of one skirt, each worked out once. */
export class Colours {
  /** @param {import('./drape.js').Folds['net']} net */
  constructor(net) {
    this.net = net;
    this.own = rgb(net.colour);
    /** @type {Map<string, string>} */
    this.known = new Map();
  }

  /** How much light one and all layers let through. @param {number} times */
  through(times) { return (1 - this.net.opacity) ** (this.net.layers * times); }

  /**
   * Net over its lining, or over the far side of the skirt.
   * @param {boolean} lined @param {number} slant 1 seen straight on, 0 along it
   */
  solid(lined, slant) {
    const behind = lined ? rgb(this.net.lining) : mixed(white, this.own, 1 - this.through(1));
    return mixed(behind, this.own, 1 - this.through(1 / Math.max(slanted, slant)));
  }

  /** @param {boolean} lined @param {number} light @param {number} slant */
  cloth(lined, light, slant) {
    const s = Math.round(Math.max(0, slant) * shades) / shades;
    return this.once(`${lined}/${light}/${s}`, () => shaded(this.solid(lined, s), light, 1));
  }

  /** Felt takes the light less than net, which one looks into. @param {string} colour @param {number} light */
  felt(colour, light) { return this.once(`${colour}/${light}`, () => shaded(rgb(colour), light, 0.7)); }

  /** @param {number} light of the band: net over lining, gathered */
  band(light) { return this.once(`band/${light}`, () => shaded(this.net.lining ? this.solid(true, slanted) : this.own, light, 0.8)); }

  /** What one sees inside the skirt from above. */
  inside() { return this.once('inside', () => mixed(this.solid(!!this.net.lining, 1), black, 0.55)); }

  /** @param {string} name @param {() => Rgb} make */
  once(name, make) {
    let is = this.known.get(name);
    if (!is) this.known.set(name, is = css(make()));
    return is;
  }
}
