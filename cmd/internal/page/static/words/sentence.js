// A sentence with its fields, and under it the tape of the field in use, what was
// refused and what is worth knowing.

import { html, useEffect, useRef, useState } from '../vendor/preact.js';
import { act } from '../store.js';
import { Field, aboutOf, idOf, noteOf, useTyped, whyOf } from './field.js';
import { Tape } from './tape.js';
import { saidOf, tokensOf } from './tokens.js';
import { deeds, MANY, manyEdits, manyNow } from './deeds.js';
import { keysIn } from './sentences.js';
import { full, notesOf, reader, refusedKeys } from './values.js';
import { askForDrawing } from './bring.js';
import { fitted } from './fit.js';
import { show } from './show.js';
import { Told } from './told.js';

/** @typedef {import('./values.js').Values} Values */

/**
 * A sentence and, behind "more", its rare settings.
 * @param {{sentence: import('./sentences.js').Sentence, shown: any, index?: number}} props
 */
export function Sentence({ sentence, shown, index }) {
  const v = reader(shown, index), [open, setOpen] = useState(false);
  const { say, more: rare } = saidOf(sentence, v), id = `more-${sentence.id}${index === undefined ? '' : `-${index}`}`;
  const refused = refusedKeys(shown), forced = keysIn(rare).some(k => refused.includes(full(k, index)));
  const isOpen = open || forced;
  const more = rare.length > 0 && html` <button type="button" class="more" aria-expanded=${String(isOpen)} aria-controls=${id} onClick=${() => setOpen(!isOpen)}>${isOpen ? 'less' : 'more'}</button>`;
  return html`<div class="s"><${Line} clauses=${say} v=${v} tail=${more} />
    <div class="rare" id=${id} hidden=${!isOpen}><${Line} clauses=${rare} v=${v} /></div></div>`;
}

/** @param {{clauses: import('./sentences.js').Clause[], v: Values, tail?: any}} props */
function Line({ clauses, v, tail }) {
  const [inUse, setInUse] = useState(''), box = useRef(null), tokens = tokensOf(clauses, v);
  const keys = tokens.filter(t => t.kind === 'field').map(t => t.is);
  const into = e => setInUse(/** @type {HTMLElement} */ (e.target).dataset?.key || (e.target.closest('.unfold') ? inUse : ''));
  // Once the focus has moved: a window that loses it keeps its field in use.
  const out = () => setTimeout(() => { if (!box.current?.contains(document.activeElement)) setInUse(''); });
  const live = keys.includes(inUse);
  return html`<div ref=${box} onFocusIn=${into} onFocusOut=${out}>
    <p>${tokens.map((t, i) => html`<${Token} key=${t.kind === 'text' ? i : t.kind + t.is} t=${t} v=${v} />`)}${tail}</p>
    ${keys.map(k => html`<${Remarks} key=${k} name=${full(k, v.index)} v=${v} />`)}
    ${live && html`<${Unfolded} key=${inUse} k=${inUse} v=${v} />`}</div>`;
}

function Token({ t, v }) {
  if (t.kind === 'field') return html`<${Field} k=${t.is} v=${v} after=${t.after} />`;
  if (t.kind === 'deed') return html`<span class="tied"><${Deed} deed=${deeds[t.is]} v=${v} />${t.after}</span>`;
  if (t.kind === 'many') return html`<${Many} v=${v} />${t.after}`;
  return t.is + t.after;
}

/** A button in a sentence. @param {{deed: import('./deeds.js').Deed, v: Values}} props */
function Deed({ deed, v }) {
  const click = () => {
    if (deed.edits) act(deed.edits(v), { live: false, words: deed.undo ?? deed.say });
    if (deed.drawing) askForDrawing(v, deed.drawing(v));
    if (deed.view) show(deed.view);
  };
  return html`<button type="button" class="word" aria-label=${deed.name?.(v)} onClick=${click}>${deed.say}</button>`;
}

/** How it is said how many cutouts there are: which key is written. */
function Many({ v }) {
  const now = manyNow(v), change = e => act(manyEdits(v, e.currentTarget.value), { live: false, words: 'how many cutouts' });
  return html`<span class="f"><label class="vh" for="many">How many cutouts</label><select id="many" style=${fitted(MANY[now], true)} value=${now} onChange=${change}>
    ${Object.entries(MANY).map(([key, say]) => html`<option key=${key} value=${key} selected=${key === now}>${say}</option>`)}</select></span>`;
}

/** What unfolds for the field in use: its tape, a hint, and the way back to the usual value. */
function Unfolded({ k, v }) {
  const name = full(k, v.index), about = aboutOf(k, v), typed = useTyped(name, v);
  const usual = typed.field.written && (about.empty || typed.field.def), same = typed.field.text === typed.field.def;
  const back = usual && !same && html`<button type="button" class="word" onClick=${() => { typed.commit(''); document.getElementById(idOf(name))?.focus(); }}>back to ${typed.field.def || about.empty}</button>`;
  const box = useRef(null), empty = !about.tape && !about.hint && !back;
  // On a small screen it unfolds below the edge; its field must stay in sight above it.
  useEffect(() => { for (const el of [box.current, document.getElementById(idOf(name))]) el?.scrollIntoView({ block: 'nearest' }); }, [k, empty]);
  if (empty) return null;
  return html`<div class="unfold" ref=${box}><${Tape} name=${name} about=${about} v=${v} typed=${typed} />
    <p class="hint"><span>${about.hint || about.label}</span>${back}</p></div>`;
}

/** Why a value was refused, and notes about it. @param {{name: string, v: Values}} props */
function Remarks({ name, v }) {
  const why = v.refusal(name), notes = notesOf(v.shown, name), reason = useRef(null);
  // A reason below the edge of a small screen is brought into sight while its control is in use.
  useEffect(() => { if (why && document.activeElement?.id === idOf(name)) reason.current?.scrollIntoView({ block: 'nearest' }); }, [why]);
  return html`${why && html`<p class="refuse" ref=${reason} id=${whyOf(name)} role="alert"><${Told} words=${why} /></p>`}
    ${notes.length > 0 && html`<div class="note" id=${noteOf(name)} role="status">${notes.map(n => html`<p key=${n}><${Told} words=${n} /></p>`)}</div>`}`;
}
