// How a remark of the engine stands on the page.

import { html } from '../vendor/preact.js';

/** How a value is written in a project file, which says nothing to who sees a control. */
const AS_IN_FILE = /,? as in \w+ = ("[^"]*"|\[.*\]|[^\s,;.]+)/g;

/** A remark as a sentence, what is wrong before what would do. @param {{words: string}} props */
export function Told({ words }) {
  const [, wrong, rest] = words.replace(AS_IN_FILE, '').match(/^([^;]*(?:;|$))(.*)$/s), end = /[.!?]$/.test(words) ? '' : '.';
  return html`<b>${wrong.charAt(0).toUpperCase() + wrong.slice(1)}${rest ? '' : end}</b>${rest}${rest && end}`;
}
