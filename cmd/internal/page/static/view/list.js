// The shopping list, to be read, ticked off and printed.

import { html, useRef, useState } from '../vendor/preact.js';
import { Swatch } from '../words/field.js';
import { colourName } from '../words/colours.js';
import { useAnswer } from './answers.js';

/**
 * @typedef {{id: string, item: string, quantity?: string, note?: string, cost?: string, sum?: boolean}} Line
 * @typedef {{title: string, lines: Line[]}} Section
 */

/** How much of each line is ticked, by its id, as long as the page is open. Of another quantity it is not. @type {Map<string, string>} */
const ticked = new Map();

/** @param {{store: any}} p */
export function List({ store: { state, marks, sum } }) {
  const { value: list, failed } = useAnswer('list', sum?.rev), care = useRef(null);
  if (!list) return html`<p class="cap wait" id="cap">${failed || 'Adding up the list …'}</p>`;
  const sections = [...list.sections.filter(s => !onlySums(s)), ...toCut(marks), ...list.sections.filter(onlySums)];
  return html`
    <div class="list" tabindex="0" role="region" aria-label="The shopping list">
      <h1 class="onpaper">${state?.title || 'Skirt'}</h1>
      <table>
        <thead class="vh"><tr><th>Have it</th><th>How much</th><th>What</th><th>Cost</th></tr></thead>
        ${sections.map(s => html`<${Part} key=${s.title} ...${s} />`)}
      </table>
      <${Care} cautions=${list.cautions ?? []} at=${care} />
    </div>
    <div class="cap turning">
      <p id="cap"><span class="hint">A tick stays while this page is open and the quantity is the same. </span>${list.cautions?.length > 0 && html`Before you start: <button type="button" class="word" onClick=${() => care.current?.scrollIntoView()}>take care</button>.`}</p>
      <button type="button" class="word" onClick=${() => window.print()}>Print the list</button>
    </div>`;
}

/** @param {Section} s */
const onlySums = s => s.lines.every(l => l.sum);

/** How many to cut of each, patches behind them too. @param {any} marks @returns {Section[]} */
function toCut(marks) {
  const lines = (marks?.counts ?? []).filter((/** @type {any} */ c) => c.cut > 0).map((/** @type {any} */ c) => {
    const { name, backs } = marks.motifs[c.motif], sized = c.size === 1 ? name : `${name}, ${c.size} times the size`;
    return { id: `cut/${name}/${c.size}`, item: sized, quantity: String(c.cut), note: backs >= 0 ? '' : `${c.placed} on the skirt, ${c.spare} spare`, free: true };
  });
  return lines.length ? [{ title: 'To cut', lines }] : [];
}

/** @param {Section} p */
function Part({ title, lines }) {
  return html`<tbody>
    ${!onlySums({ title, lines }) && html`<tr><th scope="rowgroup" colspan="4">${title}</th></tr>`}
    ${lines.map(l => (l.sum ? html`<${Sum} key=${l.id} ...${l} />` : html`<${Item} key=${l.id} ...${l} />`))}
  </tbody>`;
}

/** @param {Line} p */
const Sum = ({ id, item, note, cost }) => html`
  <tr class=${id === 'total' ? 'sum total' : 'sum'}><td></td><td></td><td>${item}${note && html`<span class="sub">${note}</span>`}</td><td class="cost">${cost ?? html`<span class="sub">no price</span>`}</td></tr>`;

/** @param {Line & {free?: boolean}} p free: costs nothing by itself */
function Item({ id, item, quantity, note, cost, free }) {
  const [, again] = useState(0), much = quantity ?? '', have = ticked.get(id) === much;
  const tick = () => {
    if (have) ticked.delete(id);
    else ticked.set(id, much);
    again(n => n + 1);
  };
  return html`
    <tr class=${have ? 'have' : ''}>
      <td><label class="tick"><input type="checkbox" checked=${have} onChange=${tick} aria-label=${`${much} ${inWords(item)}`} /></label></td>
      <td class="much">${quantity}</td>
      <td>${much && html`<b class="narrow" aria-hidden="true">${much} </b>`}<span class="what"><${Coloured} text=${item} /></span>${note && html`<span class="sub"><${Coloured} text=${note} /></span>`}</td>
      <td class="cost">${cost ?? (!free && html`<span class="sub">no price</span>`)}</td>
    </tr>`;
}

const hex = /#[0-9a-f]{6}\b/gi;

/** A text with plain names for its colours. @param {string} text */
const inWords = text => text.replace(hex, c => colourName(c));

/** The same with a dot of each colour. @param {{text: string}} p */
function Coloured({ text }) {
  const names = text.match(hex) ?? [];
  return text.split(hex).map((part, i) => html`${part}${names[i] && html`<span class="dye"><${Swatch} hex=${names[i]} />${colourName(names[i])}</span>`}`);
}

/** The cautions, set apart; each begins with what it is about. @param {{cautions: string[], at: any}} p */
function Care({ cautions, at }) {
  if (!cautions.length) return null;
  return html`
    <section class="care" ref=${at} aria-labelledby="care">
      <h2 id="care">Take care</h2>
      <dl>${cautions.map(c => {
        const [about, ...rest] = c.split(': ');
        return rest.length ? html`<dt>${about}</dt><dd>${capital(rest.join(': '))}</dd>` : html`<dd class="all">${c}</dd>`;
      })}</dl>
    </section>`;
}

/** @param {string} s */
const capital = s => s.charAt(0).toUpperCase() + s.slice(1);
