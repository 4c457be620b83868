// How a remark of the engine stands on the page.

import { html } from '../vendor/preact.js';

/** How a value is written in a project file, which says nothing to who sees a control. */
const AS_IN_FILE = /,? as in \w+ = ("[^"]*"|\[.*\]|[^\s,;.]+)| \((\w+ = |in a table )[^)]*\)/g;

/** Lists as a file has them, and as they are typed into a control. @type {[RegExp, string][]} */
const TYPED = [
  [/\[\["([^"]*)", "([^"]*)"\]\]/g, '$1 = $2'], [/(starts and where it ends|smaller one first), as in \[(\S+), (\S+)\]/g, '$1, as in $2 – $3'], [/\[([\d., ]+)\]/g, '$1'],
  [/write one in quotes, as in/g, 'write one, as in'], [/, without quotes/g, ''], [/^it is missing; write /, 'still missing: '],
];

/** A remark in the words of the page. @param {string} words */
export const plain = words => TYPED.reduce((text, [file, typed]) => text.replace(file, typed), words.replace(AS_IN_FILE, ''));

/** A remark as a sentence, what is wrong before what would do. @param {{words: string}} props */
export function Told({ words }) {
  const [, wrong, rest] = plain(words).match(/^([^;]*(?:;|$))(.*)$/s), end = /[.!?]$/.test(words) ? '' : '.';
  return html`<b>${wrong.charAt(0).toUpperCase() + wrong.slice(1)}${rest ? '' : end}</b>${rest}${rest && end}`;
}
