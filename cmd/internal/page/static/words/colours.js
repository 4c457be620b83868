// Plain names for colours, so that a colour is never the only sign.

/** Names a maker would use for felt, net and thread; the values are our own choice. */
const NAMES = {
  white: '#ffffff', cream: '#f3ead2', ivory: '#fbf6e6', sand: '#d8c6a0', beige: '#cdb891', straw: '#e6cf7c', 'pale yellow': '#f5ea9b', yellow: '#f4d21f',
  gold: '#d9a521', mustard: '#b98a1c', orange: '#ec8022', apricot: '#f4b07a', rust: '#a8471e', tan: '#b3762f', copper: '#b8652f', brown: '#6b4423',
  'dark brown': '#3f2817', 'red brown': '#7c3b22', peach: '#f7c9ac', coral: '#ef7560', red: '#c8202c', 'dark red': '#8c1c22', wine: '#6f2434', 'rose pink': '#dd8296',
  pink: '#f0a3bb', 'pale pink': '#f6d5dc', fuchsia: '#c8297f', plum: '#5f2a52', purple: '#6d3a93', violet: '#8a63b8', lilac: '#c0a7d6', lavender: '#e2def7',
  'navy blue': '#1d2a4d', 'dark blue': '#233f7a', blue: '#2c62b3', 'sky blue': '#86b8e0', 'pale blue': '#c9def0', 'slate blue': '#4a6280', turquoise: '#2ea7ad', 'dark teal': '#16525a', teal: '#2a7d83',
  mint: '#b5e0cb', 'sea green': '#4c9f86', green: '#3d8f45', 'leaf green': '#6aa23a', lime: '#b3cf3a', moss: '#5c6b34', olive: '#7c7a2c', 'sage green': '#a2af8f',
  'forest green': '#2d4a3e', 'dark green': '#1f4a2b', 'black green': '#1f2f28', black: '#0d0d0d', charcoal: '#333436', 'dark grey': '#555657', grey: '#8a8b8c', 'silver grey': '#b9c4c9', 'pale grey': '#d9d9d9', 'brown grey': '#7d7265',
};

/**
 * The plain name of a colour: the nearest by distance in CIELAB.
 * @param {string} hex "#d9a521"
 * @returns {string} "" where hex is no colour
 */
export function colourName(hex) {
  if (!/^#[0-9a-f]{6}$/i.test(hex)) return '';
  const [l, a, b] = labOf(hex);
  let best = '', least = Infinity;
  for (const { name, lab } of known) {
    const d = (l - lab[0]) ** 2 + (a - lab[1]) ** 2 + (b - lab[2]) ** 2;
    if (d < least) [least, best] = [d, name];
  }
  return best;
}

/**
 * CIELAB of an sRGB colour (IEC 61966-2-1, white D65; CIE 15).
 * @param {string} hex
 * @returns {[number, number, number]}
 */
export function labOf(hex) {
  const [r, g, b] = [1, 3, 5].map(i => linear(parseInt(hex.slice(i, i + 2), 16) / 255));
  const x = curve((0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.95047);
  const y = curve(0.2126 * r + 0.7152 * g + 0.0722 * b);
  const z = curve((0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.08883);
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

/** sRGB to linear light. @param {number} c */
function linear(c) {
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}

/** The cube root of CIELAB with its straight start. @param {number} t */
function curve(t) {
  return t > (6 / 29) ** 3 ? Math.cbrt(t) : t / (3 * (6 / 29) ** 2) + 4 / 29;
}

const known = Object.entries(NAMES).map(([name, hex]) => ({ name, lab: labOf(hex) }));
