// Reading what the project says now, for the conditions and texts of sentences.

import { refusalOf } from '../store.js';

/**
 * @typedef {{text: string, written: boolean, mm?: number, def?: string}} Field
 * @typedef {import('../store.js').Store & {schema?: any}} Shown what useStore gives, and the schema
 */

/** The full key of one in a list: full('motif.#.width', 2) is "motif.2.width". @param {string} key @param {number} [index] */
export const full = (key, index) => (index === undefined ? key : key.replace('#', String(index)));

/** The key without its place in a list: "motif.2.width" is "motif.#.width". @param {string} key */
export const general = key => key.replace(/\.\d+(?=\.|$)/, '.#');

/**
 * A reader of the project's values. Keys may hold "#", which stands for index.
 * @param {Shown} shown
 * @param {number} [index]
 */
export function reader(shown, index) {
  const state = shown.state;
  /** @param {string} key @returns {Field|undefined} */
  const field = key => state.fields[full(key, index)];
  /** @param {string} key */
  const text = key => field(key)?.text ?? '';
  return {
    shown, index, field, text,
    unit: /** @type {import('./measure.js').Unit} */ (state.unit),
    /** @param {string} key @param {string[]} words */
    is: (key, ...words) => words.includes(text(key)),
    /** @param {string} key */
    written: key => !!field(key)?.written,
    /** @param {string} key */
    number: key => parseFloat(text(key).replace(',', '.')),
    /** @param {string} key */
    mm: key => field(key)?.mm ?? NaN,
    /** @param {string} table a single one, or a list */
    has: table => !!state.tables[table] || state.lists[table] > 0,
    /** @param {string} list */
    count: list => state.lists[list] ?? 0,
    /** @param {string} key why its value was refused, or "" */
    refusal: key => refusalOf(shown, full(key, index)),
  };
}

/** @typedef {ReturnType<typeof reader>} Values */

/** Every key that is refused now. @param {Shown} shown @returns {string[]} */
export function refusedKeys(shown) {
  const keys = Object.keys(shown.state.refused || {});
  if (shown.refused?.text) keys.push(shown.refused.key || '');
  if (shown.denied) keys.push(shown.denied.key);
  return keys;
}

/**
 * Notes of the last plan about a key.
 * @param {Shown} shown
 * @param {string} key
 * @returns {string[]}
 */
export function notesOf(shown, key) {
  return (shown.sum?.notes || []).filter(n => n.key === key).map(n => n.text);
}
