// Words worked out from values: {=layers} in a sentence is said.layers(values).

/** @type {(n: number, one: string, many: string) => string} */
const plural = (n, one, many) => (n === 1 ? one : many);

/** @param {number} n */
function circles(n) {
  if (n === 1) return 'full circle';
  return n < 1 ? 'of a full circle' : 'full circles';
}

const LOOSE = [
  { to: 0, words: 'in regular rows' }, { to: 0.25, words: 'a little loose' }, { to: 0.6, words: 'rather loose' },
  { to: 0.95, words: 'very loose' }, { to: Infinity, words: 'as loose as it goes' },
];

/** @type {Record<string, (v: import('./values.js').Values) => string>} */
export const said = {
  layers: v => plural(v.number('skirt.layers'), 'layer', 'layers'),
  panels: v => (v.is('skirt.cut', 'gores') ? plural(v.number('skirt.panels'), 'gore', 'gores') : plural(v.number('skirt.panels'), 'panel', 'panels')),
  circles: v => circles(v.number('skirt.circle')),
  lining: v => circles(v.number('lining.circle')),
  sizes: v => (/[,;]\s/.test(v.text('motif.#.sizes').trim()) ? 'sizes' : 'size'),
  parts: v => plural(v.number('motif.#.share'), 'part', 'parts'),
  sheets: v => plural(v.number('scatter.sheets'), 'sheet', 'sheets'),
  money: v => (v.text('supplies.currency') ? v.text('supplies.currency') : 'worth'),
  rows: v => plural(v.number('scatter.rows'), 'row', 'rows'),
  times: v => plural(v.number('scatter.repeat'), 'time', 'times'),
  loose: v => (LOOSE.find(l => v.number('scatter.jitter') <= l.to) ?? LOOSE[2]).words,
  from: v => (v.index ? 'Or from' : 'From'),
};
