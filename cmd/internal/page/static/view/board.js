// Choices side by side: other spacings, other patterns, or both, each planned aside. A
// click takes one.

import { html, useEffect, useState } from '../vendor/preact.js';
import { call } from '../engine.js';
import { act } from '../store.js';
import { MANY } from '../words/deeds.js';
import { show } from '../words/show.js';
import { choices } from './choices.js';
import { Motifs, idOf, placed } from './motifs.js';

/** What is compared, and the words for it. */
const axes = /** @type {const} */ ([['spacing', 'Spacings'], ['pattern', 'Patterns'], ['both', 'Both']]);

/** @typedef {typeof axes[number][0]} Axis */
/** @typedef {import('./choices.js').Choice} Choice */

/** What was compared last. @type {{axis: Axis}} */
const kept = { axis: 'spacing' };

/** @param {{store: any}} p */
export function Board({ store }) {
  const { state, marks } = store, [axis, setAxis] = useState(kept.axis);
  const list = state && marks ? choices(state, marks, axis, Object.keys(MANY)) : [];
  const answers = useTries(list, state?.live ? undefined : state?.rev);
  const done = list.filter(c => answers.has(c.id)).length;
  const choose = (/** @type {Axis} */ to) => { kept.axis = to; setAxis(to); };
  return html`
    <div class="board" role="region" aria-label="Side by side" tabindex="0">
      <div class="boardtop">
        <h2>Side by side</h2>
        <button type="button" class="word" onClick=${() => show('flat')}>Back to the skirt</button>
        <fieldset><legend class="vh">Compare</legend>
          ${axes.map(([name, word]) => html`<label><input type="radio" name="compare" checked=${axis === name} onChange=${() => choose(name)} />${word}</label>`)}
        </fieldset>
      </div>
      ${marks && html`<svg class="vh" aria-hidden="true"><${Motifs} motifs=${marks.motifs} /></svg>`}
      <ul class="choices">${list.map(c => html`<${Card} key=${c.id} choice=${c} answer=${answers.get(c.id)} />`)}</ul>
    </div>
    <p class="cap" id="cap"><span role="status">${done < list.length ? `Working out ${done + 1} of ${list.length} …` : 'Choose one to take it.'}</span></p>`;
}

/**
 * The answers to tries, one after the other, by the ids of choices; worked out anew
 * where the project has changed.
 * @param {Choice[]} list
 * @param {number | undefined} rev undefined: wait, something is still sliding
 */
function useTries(list, rev) {
  const [answers, set] = useState(/** @type {Map<string, any>} */ (new Map()));
  const ids = list.map(c => c.id).join('|');
  useEffect(() => {
    set(new Map());
    if (rev === undefined) return undefined;
    const stop = new AbortController();
    tryAll(list, stop.signal, (id, answer) => set(was => new Map(was).set(id, answer)));
    return () => stop.abort();
  }, [ids, rev]);
  return answers;
}

/** @param {Choice[]} list @param {AbortSignal} signal @param {(id: string, answer: any) => void} tell */
async function tryAll(list, signal, tell) {
  for (const { id, edits } of list) {
    let answer;
    try {
      answer = await call('try', { edits, lay: true }, signal);
    } catch (e) {
      answer = { refused: { text: /** @type {Error} */ (e).message } };
    }
    if (signal.aborted) return;
    tell(id, answer);
  }
}

/** An id for a part of a choice. @param {string} part @param {string} id of the choice */
const idWith = (part, id) => `${part}-${id.replace(/\W+/g, '-')}`;

/** @param {{choice: Choice, answer: any}} p */
function Card({ choice, answer }) {
  const head = html`<b>${choice.name}</b>${choice.now && html` <span class="now">now</span>`}`;
  if (!answer) return html`<li class="choice waiting" aria-busy="true"><div class="mini">…</div><p>${head}</p></li>`;
  if (answer.refused) return html`<li class="choice refused"><div class="mini">–</div><p>${head}<span class="line">${answer.refused.text}</span></p></li>`;
  const { marks, sum, cost } = answer, facts = [sum.placed, sum.buy, cost.felt !== undefined && `felt ${cost.felt.toFixed(2)} ${cost.currency ?? ''}`].filter(Boolean);
  const take = async () => { if (!choice.now) await act(choice.edits, { words: 'the choice from side by side' }); show('flat'); };
  return html`
    <li class="choice"><button type="button" onClick=${take} aria-labelledby=${idWith('facts', choice.id)}>
      <${Mini} id=${choice.id} marks=${marks} />
      <span id=${idWith('facts', choice.id)}>${head}
        ${facts.map(f => html` <span class="line">${f}</span>`)}
      </span></button></li>`;
}

/** A small picture of the skirt laid flat. @param {{id: string, marks: any}} p */
function Mini({ id, marks: { flat, marks } }) {
  const clip = idWith('cloth', id);
  return html`
    <svg class="mini" viewBox=${flat.box.join(' ')} aria-hidden="true">
      <clipPath id=${clip}><path d=${flat.stretches.map((/** @type {any} */ s) => s.d).join('')} clip-rule="evenodd" /></clipPath>
      ${flat.stretches.map((/** @type {any} */ s) => html`<path d=${s.d} fill=${flat.bare} fill-rule="evenodd" />${s.lining && html`<path d=${s.lining} fill=${flat.ground} fill-rule="evenodd" />`}`)}
      <g clip-path=${`url(#${clip})`}>${marks.map((/** @type {any} */ m) => m.at.map((/** @type {number[]} */ [x, y, turn]) => html`<use href=${`#${idOf(m.motif)}`} transform=${placed(x, y, turn, m.size)} />`))}</g>
    </svg>`;
}
