// A card for each cutout: its picture on a grid, its sentence, and how it will be in felt.

import { html } from '../vendor/preact.js';
import { Sentence } from './sentence.js';
import { card } from './sentences.js';
import { askForDrawing, useRemark } from './bring.js';
import { showLength } from './measure.js';
import { reader } from './values.js';

/** @typedef {import('./values.js').Values} Values */

const ROOM = 1.24;            // the picture's width against the cutout's, so that grid shows round it
const TEARS = 3;              // mm; felt narrower than this tears in use, common practice, no source
const GRID = { cm: 10, mm: 10, in: 25.4 / 2 };
const canDrop = globalThis.matchMedia?.('(pointer:fine)').matches; // fingers drop nothing on a page
const RING = 0.075;           // radius of the ring round the narrowest place, against the picture's width

/** @param {{shown: any}} props */
export function Cards({ shown }) {
  const v = reader(shown), count = v.count('motif'), remark = useRemark();
  return html`<ul class="cards">${Array.from({ length: count }, (_, i) => html`<${Card} key=${i} shown=${shown} index=${i} />`)}</ul>
    <p class="add">${count ? 'Another cutout' : 'No cutout yet'}: <button type="button" class="word" onClick=${() => askForDrawing(v)}>bring a drawing</button> or a photograph of one${canDrop ? ', or drop it anywhere' : ''}.</p>
    ${remark.words && !remark.of && html`<p class=${remark.bad ? 'refuse' : 'note'} role="status">${remark.words}</p>`}`;
}

function Card({ shown, index }) {
  const v = reader(shown, index), name = v.text('motif.#.name');
  const motif = shown.marks?.motifs.find(m => m.name === name);
  const narrow = motif && narrowest(motif, v), remark = useRemark();
  return html`<li>${motif ? html`<${Picture} motif=${motif} v=${v} thin=${narrow.mm < TEARS} />` : html`<svg class="big" aria-hidden="true" />`}
    <div><${Sentence} sentence=${card} shown=${shown} index=${index} />
    ${motif && html`<p class="fine"><span class=${narrow.mm < TEARS ? 'thin' : ''}>${narrow.words}</span> ${motif.shows && `${motif.shows.replace(/\.$/, '')}.`}</p>`}
    ${remark.words && remark.of === `motif.${index}.outline` && html`<p class=${remark.bad ? 'refuse' : 'note'} role="status">${remark.words}</p>`}</div></li>`;
}

/** The narrowest place in the smallest size. @param {any} motif @param {Values} v */
function narrowest(motif, v) {
  const sizes = v.text('motif.#.sizes').split(/[,;]\s+|;/).map(Number).filter(n => n > 0);
  const least = sizes.length ? Math.min(...sizes) : 1, mm = (motif.narrowest?.mm ?? Infinity) * least;
  if (!Number.isFinite(mm)) return { mm, words: '' };
  const told = v.shown.sum?.notes?.some(n => n.motif === motif.name && n.at_mm?.length); // then it stands under the sentence
  const where = least < 1 ? ', in its smallest size' : '';
  const words = `Narrowest ${mm.toFixed(1)} mm${where}${mm < TEARS && !told ? ': felt may tear there' : ''}.`;
  return { mm, words };
}

/** The cutout on a grid of centimetres or half inches, its narrowest place ringed. */
function Picture({ motif, v, thin }) {
  const [x0, y0, x1, y1] = motif.box, wide = Math.max(x1 - x0, y1 - y0) * ROOM;
  const left = (x0 + x1 - wide) / 2, top = (y0 + y1 - wide) / 2, ends = motif.narrowest?.at;
  const label = `${motif.name}, ${showLength(Math.round(x1 - x0), v.unit)} by ${showLength(Math.round(y1 - y0), v.unit)}`;
  return html`<svg class="big" viewBox=${[left, top, wide, wide].join(' ')} role="img" aria-label=${label}>
    <path class="grid" d=${grid(left, top, wide, GRID[v.unit])} />
    ${motif.pieces.map(p => html`<path d=${p.d} fill=${p.colour} fill-rule="evenodd" />`)}
    ${ends?.length === 2 && html`<circle class=${thin ? 'ring thin' : 'ring'} cx=${(ends[0][0] + ends[1][0]) / 2} cy=${(ends[0][1] + ends[1][1]) / 2} r=${wide * RING} />`}
  </svg>`;
}

/** @param {number} left @param {number} top @param {number} wide @param {number} by */
function grid(left, top, wide, by) {
  let d = '';
  for (let x = Math.ceil(left / by) * by; x < left + wide; x += by) d += `M${x} ${top}v${wide}`;
  for (let y = Math.ceil(top / by) * by; y < top + wide; y += by) d += `M${left} ${y}h${wide}`;
  return d;
}
