// The answer under the double rule: cutouts, felt to buy, cost, hours.

import { html, useEffect, useLayoutEffect, useRef, useState } from '../vendor/preact.js';
import { call } from '../engine.js';
import { phase as phaseOf, watch } from '../store.js';
import { placed } from './deeds.js';
import { Swatch } from './field.js';
import { feltOf, toBuy } from './gives.js';
import { showLength } from './measure.js';

const MOST_PICTURES = 5; // kinds shown with a picture; more are counted in words

/** @param {{shown: any}} props the contents of #answer; sets its data-state too */
export function Answer({ shown }) {
  const phase = phaseOf(shown);
  useLayoutEffect(() => { mark(shown); });
  useEffect(() => watch(mark), []);
  return html`<${Counts} shown=${shown} /><${Felt} shown=${shown} phase=${phase} /><${Cost} shown=${shown} /><${Hours} shown=${shown} /><${Spoken} shown=${shown} phase=${phase} />`;
}

/** Marks how far the answer is, before anything is drawn: from the input event on. @param {import('../store.js').Store} store */
function mark(store) {
  const box = document.getElementById('answer'), phase = phaseOf(store);
  box.dataset.state = phase;
  box.setAttribute('aria-busy', String(phase === 'working'));
  box.classList.toggle('old', phase === 'refused');
}

/** A number that is washed for a moment when it has changed. */
function Num({ children }) {
  const text = [children].flat().join(''), before = useRef(text), changed = before.current !== text;
  useEffect(() => { before.current = text; });
  return html`<span key=${text} class=${changed ? 'changed' : ''}>${text}</span>`;
}

function Counts({ shown: { marks } }) {
  if (!marks) return html`<div class="a"><div class="n open">strewing …</div></div>`;
  const kinds = marks.counts.filter(c => !(marks.motifs[c.motif]?.backs >= 0)), cut = kinds.reduce((n, c) => n + c.cut, 0);
  const pictured = kinds.slice(0, MOST_PICTURES), rest = kinds.length - pictured.length;
  return html`<div class="a"><div class="n">${pictured.map(c => html`<span class="mo" key=${`${c.motif} ${c.size}`}><${Little} motif=${marks.motifs[c.motif]} size=${c.size} /><${Num}>${c.placed}<//></span>`)}
    ${rest > 0 && html`<small>and ${rest} more kinds</small>`}</div>
    <div class="k"><${Num}>${placed(marks)}<//> on the skirt, <${Num}>${cut}<//> to cut<span class="x"> with the spare</span></div></div>`;
}

/** A small picture of a motif, smaller in a smaller size. */
function Little({ motif, size }) {
  const [x0, y0, x1, y1] = motif.box, wide = Math.max(x1 - x0, y1 - y0) * 1.06 / Math.min(1, Math.max(size, 0.4));
  const name = size === 1 ? motif.name : `${motif.name} at ${size}`;
  return html`<svg viewBox=${[(x0 + x1 - wide) / 2, (y0 + y1 - wide) / 2, wide, wide].join(' ')} role="img" aria-label=${name}>
    ${motif.pieces.map(p => html`<path d=${p.d} fill=${p.colour} fill-rule="evenodd" />`)}</svg>`;
}

function Felt({ shown: { lay, state }, phase }) {
  if (!lay?.order?.length || (phase === 'working' && lay.rev !== state.rev)) return html`<div class="a"><div class="n open">felt: laying it out …</div><div class="k">the cutouts are counted first</div></div>`;
  const rolls = lay.order.some(o => o.roll), amount = feltOf(lay.order, state.unit);
  const buy = sum(lay.order, o => o.buy), aim = leastOf(lay.order);
  return html`<div class="a"><div class="n"><${Num}>${amount}<//> ${rolls ? 'of felt' : buy === 1 ? 'sheet' : 'sheets'}
    ${lay.working ? html`<${Looking} aim=${aimed(lay.order, state)} key=${lay.rev} />` : html`<span class="tail"> to buy</span>`}</div>
    <div class="k">${lay.order.map(o => html`<span class="felt" key=${o.sheet + o.colour}><${Swatch} hex=${o.colour} />${o.roll ? showLength(toBuy(o.need, state.unit), state.unit) : o.need}</span>`)}
      <span class="x">${stock(lay.order)}</span>${!lay.working && !rolls && aim < buy && html`<span class="x">; </span><span class="y">· </span>${aim || 'the drawer'} might be enough`}</div></div>`;
}

/** How long better lays are looked for before anything is said of it, milliseconds: most are found sooner. */
const PATIENCE = 700;

/** Says what is looked for, with a button that ends it. @param {{aim: string}} props */
function Looking({ aim }) {
  const [late, setLate] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setLate(true), PATIENCE);
    return () => clearTimeout(timer);
  }, []);
  if (!late) return html`<span class="tail open"> …</span>`;
  return html`<span class="open">, ${aim} … </span><button type="button" class="word" onClick=${() => call('enough')}>that will do</button>`;
}

/** What is looked for while better lays are tried. @param {any[]} order @param {any} state */
function aimed(order, state) {
  // The felt decides how many cutouts there are.
  if (['scatter.sheets', 'scatter.budget'].some(key => state.fields[key]?.written)) return 'trying to fit more in';
  const buy = sum(order, o => o.buy);
  return `looking for ${order.some(o => o.roll) || leastOf(order) >= buy || buy < 2 ? 'less' : buy - 1}`;
}

/** The fewest sheets to buy that are not ruled out. @param {any[]} order */
const leastOf = order => sum(order, o => Math.max(0, o.at_least - (o.roll ? 0 : o.stock)));

/** @param {any[]} order */
function stock(order) {
  const have = sum(order, o => Math.min(o.stock, o.need));
  return have ? `needed, ${have} of them in the drawer` : 'needed';
}

function Cost({ shown: { sum: s, state } }) {
  if (!s?.cost) return html`<div class="a"><div class="n open">cost …</div></div>`;
  // What has no price is left out.
  const { currency, felt, cloth, total } = s.cost, rest = total - (felt ?? 0) - (cloth ?? 0);
  if (total === undefined) return html`<div class="a"><div class="n open">no prices yet</div></div>`;
  const lacks = felt === undefined, old = s.rev < state.rev;
  const parts = [lacks ? 'felt has no price yet' : felt && `felt ${felt.toFixed(2)}`, cloth && `cloth ${cloth.toFixed(2)}`].filter(Boolean).join(', ');
  return html`<div class=${old ? 'a old' : 'a'}><div class="n"><${Num}>${total.toFixed(2)}<//> <small>${currency}${lacks && ' + felt'}</small></div>
    <div class="k">${parts}<span class="x">${parts && rest > 0 && `, the rest ${rest.toFixed(2)}`}</span></div></div>`;
}

function Hours({ shown: { sum: s, state } }) {
  if (!s?.hours) return html`<div class="a"><div class="n open">hours …</div></div>`;
  const { marking, cutting, fixing } = s.hours, all = Math.max(1, Math.round(marking + cutting + fixing));
  const fixingWord = state.fields['supplies.fixing']?.text === 'sew' ? 'sewing' : 'gluing';
  return html`<div class=${s.rev < state.rev ? 'a old' : 'a'}><div class="n">about <${Num}>${all}<//> <small>${all === 1 ? 'hour' : 'hours'}</small></div>
    <div class="k"><span class="x">marking ${marking.toFixed(1)}, cutting ${cutting.toFixed(1)}, ${fixingWord} ${fixing.toFixed(1)}</span><span class="y">an estimate</span></div></div>`;
}

/** The answer for those who hear it: one sentence, once it is done and nothing slides. */
function Spoken({ shown, phase }) {
  const [words, setWords] = useState('');
  const { marks, lay, sum: s, state } = shown;
  useEffect(() => {
    if (phase !== 'done' || state.live || s?.rev !== state.rev) return;
    setWords(`${placed(marks)} cutouts; felt to buy: ${feltOf(lay.order, state.unit)}${sheetsIn(lay.order)}${s.cost.total === undefined ? '' : `; ${s.cost.total.toFixed(2)} ${s.cost.currency}`}.`);
  }, [phase, s?.rev, state.live]);
  return html`<p class="vh" role="status">${words}</p>`;
}

/** The word behind a number of sheets; none behind a length. @param {any[]} order */
function sheetsIn(order) {
  if (order.some(o => o.roll)) return '';
  return sum(order, o => o.buy) === 1 ? ' sheet' : ' sheets';
}

/** @param {any[]} list @param {(x: any) => number} of */
const sum = (list, of) => list.reduce((n, x) => n + of(x), 0);
