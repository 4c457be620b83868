// Buttons inside sentences: what each says and which edits it makes.

import { showLength } from './measure.js';

/**
 * @typedef {import('./values.js').Values} Values
 * @typedef {{key?: string, text?: string, add?: string, values?: Record<string,string>, remove?: string}} Edit
 * @typedef {object} Deed
 * @property {string} say the button
 * @property {string} [undo] what undo calls it; default: say
 * @property {(v: Values) => string} [name] fuller name for those who cannot see the sentence
 * @property {(v: Values) => Edit[]} [edits]
 * @property {(v: Values) => string} [drawing] asks for a drawing; which key its name is written to
 * @property {string} [view] opens this view instead
 */

// A usual placket and a place a hand's breadth down the middle: somewhere to start from.
const PATCH = { down: 180, across: 60 };
const PLACE = { down: 200, around: 200 };
const CRAFT_SHEET = { width: 210, height: 297 };   // A4, ISO 216: the commonest craft sheet
const LARGE_SHEET = { width: 300, height: 450 };   // the other size craft shops stock; common practice, no source

/** @type {(v: Values, mm: number) => string} */
const cut = (v, mm) => rounded(mm, v.unit);
/** @type {(v: Values, mm: number) => string} */
const span = (v, mm) => `${cut(v, 0)} – ${cut(v, mm)}`;
/** @type {(v: Values, list: string) => string} */
const ordinal = (v, list) => (v.count(list) > 1 ? ` ${(v.index ?? 0) + 1}` : '');

/** @type {Record<string, Deed>} */
export const deeds = {
  'lining-add': { say: 'give it one', undo: 'the lining', name: () => 'Give it a lining', edits: v => [{ key: 'lining.girth', text: v.text('skirt.hip') ? 'hip' : 'waist' }] },
  'lining-drop': { say: 'Leave the lining out', edits: () => [{ remove: 'lining' }] },
  'panels-drawing': { say: 'bring a drawing', name: () => 'Bring a drawing of the panels', drawing: () => 'skirt.outline' },
  'motif-drawing': { say: 'bring another drawing', name: v => `Bring another drawing of ${v.text('motif.#.name')}`, drawing: v => `motif.${v.index}.outline` },
  'motif-drop': { say: 'Leave it out', undo: 'a cutout left out', name: v => `Leave it out: ${v.text('motif.#.name')}`, edits: v => [...byHand(v, v.text('motif.#.name')).reverse().map(i => ({ remove: `fixed.${i}` })), { remove: `motif.${v.index}` }] },
  anew: { say: 'Strew anew', edits: v => [{ key: 'seed', text: String((v.number('seed') || 0) + 1) }] },
  compare: { say: 'Compare side by side', view: 'board' },
  'bare-add': { say: 'keep a patch bare', edits: v => [{ add: 'bare', values: { panel: '1', down: span(v, PATCH.down), around: span(v, PATCH.across) } }] },
  'bare-drop': { say: 'Cover it again', undo: 'a bare patch covered again', name: v => `Cover it again: bare patch${ordinal(v, 'bare')}`, edits: v => [{ remove: `bare.${v.index}` }] },
  'fixed-add': {
    say: 'place one by hand',
    edits: v => [{ add: 'fixed', values: { motif: v.text('motif.0.name'), panel: '1', down: cut(v, PLACE.down), around: cut(v, PLACE.around) } }],
  },
  'fixed-drop': { say: 'Take it away', undo: 'a cutout placed by hand taken away', name: v => `Take it away: cutout placed by hand${ordinal(v, 'fixed')}`, edits: v => [{ remove: `fixed.${v.index}` }] },
  'sheet-first': {
    say: 'say which felt you have', undo: 'the felt',
    edits: v => [{ add: 'sheet', values: { name: 'craft felt A4', width: cut(v, CRAFT_SHEET.width), height: cut(v, CRAFT_SHEET.height) } }],
  },
  'sheet-add': {
    say: 'Use another kind of felt as well',
    edits: v => [{ add: 'sheet', values: { name: `felt ${v.count('sheet') + 1}`, width: cut(v, LARGE_SHEET.width), height: cut(v, LARGE_SHEET.height) } }],
  },
  'sheet-drop': { say: 'Leave this felt out', name: v => `Leave this felt out: ${v.text('sheet.#.name')}`, edits: v => [{ remove: `sheet.${v.index}` }] },
};

/** The ways to say how many cutouts there are; one of these keys is written. */
export const MANY = {
  'scatter.spacing': 'about',
  'scatter.cutouts': 'exactly',
  'scatter.sheets': 'as many as come from',
  'scatter.budget': 'as many as can be had for',
};

const START_BUDGET = 10; // money for felt where no cost is known yet

/** Which of MANY decides now. @param {Values} v */
export function manyNow(v) {
  return Object.keys(MANY).find(k => v.written(k)) ?? 'scatter.spacing';
}

/**
 * Lets another key decide how many cutouts there are, from what the present plan has.
 * @param {Values} v
 * @param {string} to one of MANY
 * @returns {Edit[]}
 */
export function manyEdits(v, to) {
  const left = Object.keys(MANY).filter(k => k !== to && v.written(k)).map(key => ({ key, text: '' }));
  return [...left, { key: to, text: start(v, to) }];
}

/** @param {Values} v @param {string} key */
function start(v, key) {
  const { marks, lay, sum } = v.shown;
  if (key === 'scatter.spacing') return rounded(marks?.found?.spacing_mm || 110, v.unit);
  if (key === 'scatter.cutouts') return String(placed(marks) || 60);
  if (key === 'scatter.sheets') return String(Math.max(1, (lay?.order ?? []).reduce((n, o) => n + o.need, 0)));
  return String(Math.max(1, Math.ceil(sum?.cost?.felt || START_BUDGET)));
}

/** A length as a maker would write it: in whole millimetres, or eighths of an inch. @param {number} mm @param {import('./measure.js').Unit} unit */
export function rounded(mm, unit) {
  const step = unit === 'in' ? 25.4 / 8 : 1;
  return showLength(Math.round(mm / step) * step, unit);
}

/** Cutouts on the skirt, patches behind them not counted. @param {any} marks */
export function placed(marks) {
  return (marks?.counts ?? []).reduce((n, c) => n + (marks.motifs[c.motif]?.backs >= 0 ? 0 : c.placed), 0);
}

/**
 * What choosing a cut writes besides the cut: what it cannot do without, and what it
 * cannot have.
 * @param {Values} v
 * @param {string} to
 * @returns {Edit[]}
 */
export function cutEdits(v, to) {
  const out = [{ key: 'skirt.cut', text: to }, ...setAside(v, 'skirt.cut', to)];
  if (to === 'outline' && v.has('lining')) return [...out, { remove: 'lining' }];
  if (to === 'gores' && !v.written('skirt.hem_girth') && !out.some(e => e.key === 'skirt.hem_girth')) out.push({ key: 'skirt.hem_girth', text: showLength(flared(v), v.unit) });
  return out;
}

/**
 * What choosing felt off the roll or in sheets writes: a roll has no height and no
 * sheets in the drawer, a sheet has no price by length.
 * @param {Values} v
 * @param {string} to "true" for a roll
 * @returns {Edit[]}
 */
export function rollEdits(v, to) {
  const of = name => `sheet.${v.index}.${name}`, gone = to === 'true' ? ['height', 'stock'] : ['price_per', 'sold_by'];
  const out = [{ key: of('roll'), text: to }, ...gone.map(name => ({ key: of(name), text: '' }))];
  return to === 'true' ? out : [...out, { key: of('height'), text: cut(v, CRAFT_SHEET.height) }];
}

/**
 * The edits of a value chosen or typed: itself, and what must change with it.
 * @param {string} key with "#" in lists
 * @param {string} name the full key
 * @param {string} text
 * @param {Values} v
 * @returns {Edit[]}
 */
export function editsOf(key, name, text, v) {
  if (key === 'skirt.cut') return cutEdits(v, text);
  if (key === 'motif.#.name') return nameEdits(name, text, v);
  return key === 'sheet.#.roll' ? rollEdits(v, text) : [{ key: name, text }, ...setAside(v, name, text)];
}

/** Which of the cutouts placed by hand are of a motif. @param {Values} v @param {string} name @returns {number[]} */
function byHand(v, name) {
  return Array.from({ length: v.count('fixed') }, (_, i) => i).filter(i => v.text(`fixed.${i}.motif`) === name);
}

/**
 * The edits of a new name for a motif: cutouts placed by hand go by it.
 * @param {string} key "motif.0.name" @param {string} text @param {Values} v @returns {Edit[]}
 */
export function nameEdits(key, text, v) {
  return [{ key, text }, ...byHand(v, v.text(key)).map(i => ({ key: `fixed.${i}.motif`, text }))];
}

/** Values that do nothing beside the word chosen now, by their project and key: they come back with their word. @type {Map<string, string>} */
const aside = new Map();

/**
 * The edits that set aside what does nothing beside a word, such as the rows of a band
 * beside another pattern, and bring back what was set aside and counts again.
 * @param {Values} v
 * @param {string} name the full key of the choice
 * @param {string} word
 * @returns {Edit[]}
 */
function setAside(v, name, word) {
  const dot = name.lastIndexOf('.'), table = name.slice(0, dot), choice = name.slice(dot + 1);
  const keys = v.shown?.schema?.find(t => t.name === table.replace(/\..*/, ''))?.keys ?? [], out = [];
  for (const k of keys.filter(k => k.beside === choice)) {
    const key = `${table}.${k.name}`, { kind, place } = v.shown.state, kept = `${kind} ${place} ${key}`, field = v.shown.state.fields[key];
    if (field?.written && !k.with.includes(word)) {
      aside.set(kept, field.text);
      out.push({ key, text: '' });
    } else if (!field?.written && k.with.includes(word) && aside.has(kept)) {
      out.push({ key, text: aside.get(kept) });
    }
  }
  return out;
}

const FLARE = 2;           // a gored skirt's hem is about twice its waist seam; common practice, no source
const ROUND_HEM = 100;     // mm

/** @param {Values} v */
function flared(v) {
  const top = (v.mm('skirt.waist') || 700) * (v.number('skirt.fullness') || 1);
  return Math.ceil(FLARE * top / ROUND_HEM) * ROUND_HEM;
}
