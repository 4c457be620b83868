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

/**
 * The tokens of the clauses that are said with these values.
 * @param {Clause[]} clauses
 * @param {Values} v
 * @returns {Token[]}
 */
export function tokensOf(clauses, v) {
  const refused = refusedKeys(v.shown);
  const isSaid = c => typeof c === 'string' || c[0](v) || keysIn([c]).some(k => refused.includes(full(k, v.index)));
  const text = clauses.filter(isSaid).map(c => (typeof c === 'string' ? c : c[1])).join(' ')
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
