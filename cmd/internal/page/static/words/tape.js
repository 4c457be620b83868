// The measuring tape that unfolds under a sentence for the field in use.

import { html } from '../vendor/preact.js';
import { useGives } from './gives.js';
import { numbered, numeral, onStep, scaleOf, stepped, textOf, ticks, unitFor, valueOf } from './scale.js';

/** @typedef {import('./values.js').Values} Values */

const TICK = { short: 7, long: 13 };              // px
const LINE = { number: 27, first: 51, second: 73 };  // px below the tape's upper edge
/** @type {Record<string, 1|-1>} */
const WAYS = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 };
const HEIGHT = { plain: 52, gives: 88 };            // px

/**
 * @param {{name: string, about: import('./scale.js').About, v: Values, typed: any}} props
 */
export function Tape({ name, about, v, typed }) {
  const text = typed.text || typed.field.def || '';
  const unit = unitFor(about, v.unit), scale = scaleOf(about, text, unit);
  const places = scale ? numbered(scale) : [];
  const gives = useGives(v.shown, name, about.gives ? places.map(p => textOf(about, p, unit)) : [], text);
  if (!scale) return null;
  const now = valueOf(about, text, unit), value = Number.isFinite(now) ? now : scale.from;
  // A value between the steps stays where it is until it is slid.
  const at = e => textOf(about, onStep(scale, +e.currentTarget.value), unit);
  const keys = e => {
    const way = WAYS[e.key], next = way && stepped(about, text, unit, way);
    if (e.key === 'Escape') typed.back();
    if (!next) return;
    e.preventDefault();
    typed.live(next);
  };
  const across = at => `${(100 * (at - scale.from) / (scale.to - scale.from)).toFixed(2)}%`;
  return html`<div class=${about.gives ? 'tape gives' : 'tape'}>
    <div class="strip">
      <svg height=${about.gives ? HEIGHT.gives : HEIGHT.plain} aria-hidden="true">
        ${ticks(scale).map(at => html`<line x1=${across(at)} x2=${across(at)} y1="0" y2=${places.includes(at) ? TICK.long : TICK.short} />`)}
        ${places.map(at => html`<text x=${across(at)} y=${LINE.number}>${numeral(about, at, unit)}</text>`)}
        ${places.map(at => html`<${Under} at=${across(at)} words=${about.marks?.[String(at)]} gives=${gives.get(textOf(about, at, unit))} />`)}
      </svg>
    </div>
    <input type="range" min=${scale.from} max=${scale.to} step="any" value=${value} aria-label=${`${about.label}, on the tape`}
      aria-valuetext=${textOf(about, value, unit)}
      onInput=${e => typed.live(at(e))} onChange=${e => typed.commit(at(e))} onKeyDown=${keys} />
  </div>`;
}

/** What stands under one mark: a word, or the cutouts and sheets it gives. */
function Under({ at, words, gives }) {
  if (words) return html`<text class="give" x=${at} y=${LINE.first - 5}>${words}</text>`;
  if (!gives) return null;
  if (gives.refused) return html`<text class="give" x=${at} y=${LINE.first}>–</text>`;
  return html`<text class="give" x=${at} y=${LINE.first}>${gives.cutouts}</text><text class="give" x=${at} y=${LINE.second}>${gives.felt}</text>`;
}
