// From a sentence's clauses to what is drawn: texts, fields, words worked out, buttons.

import { full, refusedKeys } from './values.js';
import { keysIn } from './sentences.js';
import { said } from './said.js';

/**
 * @typedef {import('./values.js').Values} Values
 * @typedef {import('./sentences.js').Clause} Clause
 * @typedef {{kind: 'text'|'field'|'deed'|'many', is: string, after: string}} Token after: punctuation that must not part from it
 */

const PUNCTUATION = /^[,.;:)]+/;

/** Whether a clause is said with these values. @param {Clause} c @param {Values} v */
const fits = (c, v) => typeof c === 'string' || c[0](v);

/**
 * The clauses of a sentence that are said with these values: those that fit, and those
 * with a refused key that no other has, so that every reason finds one control.
 * @param {{say: Clause[], more?: Clause[]}} sentence
 * @param {Values} v
 * @returns {{say: Clause[], more: Clause[]}}
 */
export function saidOf({ say, more = [] }, v) {
  const open = refusedKeys(v.shown), fitting = [...say, ...more].filter(c => fits(c, v));
  const missing = k => open.includes(full(k, v.index)) && !keysIn(fitting).includes(k);
  const chosen = list => list.filter(c => fits(c, v) || keysIn([c]).some(missing));
  return { say: chosen(say), more: chosen(more) };
}

/**
 * The tokens of clauses that are said.
 * @param {Clause[]} clauses
 * @param {Values} v
 * @returns {Token[]}
 */
export function tokensOf(clauses, v) {
  const text = clauses.map(c => (typeof c === 'string' ? c : c[1])).join(' ')
    .replace(/\{=([^}]+)\}/g, (_, name) => said[name](v))
    .replace(/\s+([,.;:])/g, '$1');
  return parse(text);
}

/** @param {string} text @returns {Token[]} */
function parse(text) {
  /** @type {Token[]} */
  const out = [];
  for (const piece of text.split(/(\{[^}]+\})/)) {
    const before = out.at(-1);
    if (piece.startsWith('{')) out.push(placeOf(piece.slice(1, -1)));
    else if (before) pushText(out, before, piece);
    else if (piece) out.push({ kind: 'text', is: piece, after: '' });
  }
  return out;
}

/** @param {Token[]} out @param {Token} before @param {string} piece */
function pushText(out, before, piece) {
  const mark = piece.match(PUNCTUATION)?.[0] ?? '';
  before.after = mark;
  const rest = piece.slice(mark.length);
  if (rest) out.push({ kind: 'text', is: rest, after: '' });
}

/** @param {string} inside @returns {Token} */
function placeOf(inside) {
  if (inside[0] === '!') return { kind: 'deed', is: inside.slice(1), after: '' };
  if (inside[0] === '?') return { kind: 'many', is: inside.slice(1), after: '' };
  return { kind: 'field', is: inside, after: '' };
}
