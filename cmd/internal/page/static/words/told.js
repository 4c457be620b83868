// How a remark of the engine stands on the page.

import { html } from '../vendor/preact.js';

/** A remark as a sentence, what is wrong before what would do. @param {{words: string}} props */
export function Told({ words }) {
  const [, wrong, rest] = words.match(/^([^;]*(?:;|$))(.*)$/s), end = /[.!?]$/.test(words) ? '' : '.';
  return html`<b>${wrong.charAt(0).toUpperCase() + wrong.slice(1)}${rest ? '' : end}</b>${rest}${rest && end}`;
}
