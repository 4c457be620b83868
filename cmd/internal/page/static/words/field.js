// The one control: a word in a sentence that can be changed. It writes the project key
// that is its name; the engine decides what a text means and whether it will do.

import { html, useRef, useState } from '../vendor/preact.js';
import { act } from '../store.js';
import { fields } from './fields.js';
import { fitted } from './fit.js';
import { editsOf } from './deeds.js';
import { colourName } from './colours.js';
import { full, general } from './values.js';
import { stepped, unitFor } from './scale.js';

/** @typedef {import('./values.js').Values} Values */

const SLIM = 3, NARROW = 6; // characters; words so narrow are widened for a finger
const NO_COLOUR = '#808080'; // what the colour chooser opens at where nothing is chosen

/** What is known of a key: its words here, and its kind where only the schema knows it. @param {string} key @param {Values} v @returns {import('./fields.js').About & {schema?: any}} */
export function aboutOf(key, v) {
  const schema = schemaKey(v.shown.schema, key);
  return { ...(fields[key] ?? { label: key, kind: kindOf(schema?.kind), hint: schema?.what }), schema };
}

/** @param {string} [kind] the schema's word @returns {import('./fields.js').About['kind']} */
function kindOf(kind = '') {
  if (/length|gap/.test(kind)) return 'length';
  if (/number|count/.test(kind)) return 'number';
  if (kind === 'colour') return 'colour';
  if (/word|choice/.test(kind)) return 'choice';
  return /truth|yes/.test(kind) ? 'yes' : 'text';
}

/** @param {any} schema @param {string} key */
function schemaKey(schema, key) {
  const parts = key.split('.'), name = parts.at(-1), table = parts.length > 1 ? parts[0] : '';
  return schema?.find(t => t.name === table)?.keys.find(k => k.name === name);
}

/** The id of a key's control, and of what stands under its sentence about it. @param {string} name */
export const idOf = name => `key-${name}`;
/** @param {string} name */
export const whyOf = name => `why-${name}`;
/** @param {string} name */
export const noteOf = name => `note-${name}`;

/**
 * The text in a control: what is being typed, else what the project says. It never
 * changes under the hand: a text typed stays until the project has taken it.
 * @param {string} name
 * @param {Values} v
 * @param {boolean} [picked] it is picked from what there is, not typed: the project shows it as
 *   it is, and may change it while the control has the focus
 */
export function useTyped(name, v, picked = false) {
  const field = v.field(name) ?? { text: '', written: false };
  const [typed, setTyped] = useState(/** @type {{text: string, rev?: number}|null} */ (null));
  const good = useRef(field), dirty = useRef(false), taking = useRef(/** @type {string|null} */ (null));
  const held = typed && (typed.rev === undefined || v.shown.state.rev < typed.rev);
  if (!held && !v.refusal(name)) good.current = field;
  const edits = text => editsOf(general(name), name, text, v);
  const how = (text, live) => ({ live, words: wordsOf(name, text, v) });
  const live = async text => {
    dirty.current = true;
    taking.current = null;
    setTyped({ text });
    const { rev } = await act(edits(text), how(text, true));
    if (picked && rev) setTyped(now => (now?.text === text ? { text, rev } : now));
  };
  const commit = async text => {
    if (taking.current === text) return; // by Enter, and the change event that follows has nothing to add
    dirty.current = false;
    taking.current = text;
    setTyped({ text });
    const done = await act(edits(text), how(text, false));
    taking.current = null;
    if (done.refused) return; // it could not be written at all: it stays in the control
    setTyped(now => (now?.text === text && !dirty.current ? { text, rev: done.rev } : now));
  };
  const text = held ? typed.text : field.text;
  return {
    field, text, live, commit,
    leave: () => { if (dirty.current) commit(text); },
    back: () => commit(good.current.written ? good.current.text : ''),
  };
}

/** What undo calls a change. @param {string} name @param {string} text @param {Values} v */
function wordsOf(name, text, v) {
  const about = aboutOf(general(name), v);
  return `${about.label}, ${about.words?.[text] ?? (text || 'as usual')}`;
}

/**
 * One field of a sentence.
 * @param {{k: string, v: Values, after?: string}} props k: its key, with "#" in lists; after: punctuation kept beside it
 */
export function Field({ k, v, after }) {
  const name = full(k, v.index), about = aboutOf(k, v);
  const Control = about.kind === 'colour' ? Colour : about.kind === 'choice' || about.kind === 'yes' || k === 'fixed.#.motif' ? Choice : Text;
  const typed = useTyped(name, v, Control !== Text);
  const bad = !!v.refusal(name), notes = v.shown.sum?.notes?.some(n => n.key === name);
  const described = [bad && whyOf(name), notes && noteOf(name)].filter(Boolean).join(' ');
  const common = {
    id: idOf(name), name, 'data-key': k,
    'aria-invalid': bad ? 'true' : undefined,
    'aria-describedby': described || undefined,
  };
  const wide = Control === Text ? (typed.text || about.empty || typed.field.def || '').length : Infinity;
  const classes = ['f', bad && 'bad', wide <= SLIM ? 'slim' : wide <= NARROW && 'narrow', !typed.field.written && 'unwritten'].filter(Boolean).join(' ');
  return html`<span class=${classes}><label class="vh" for=${common.id}>${labelOf(about.label, v, k)}</label><${Control} ...${{ about, v, typed, common, k }} />${after}</span>`;
}

/** What a control is called; in a list, with what it is of: the cutout's name, or its number. @param {string} label @param {Values} v @param {string} k */
function labelOf(label, v, k) {
  if (v.index === undefined) return label;
  return `${label}: ${(k.startsWith('motif.') && v.text('motif.#.name')) || v.index + 1}`;
}

/** A line of text: lengths, numbers, names. */
function Text({ about, v, typed, common, k }) {
  const shown = typed.text, empty = about.empty || typed.field.def || '';
  const keys = e => {
    if (e.key === 'Enter') typed.commit(e.currentTarget.value);
    else if (e.key === 'Escape') { typed.back(); e.stopPropagation(); }
    else if (e.key === 'ArrowUp' || e.key === 'ArrowDown') {
      const next = stepped(about, shown || typed.field.def || '', unitFor(about, v.unit), e.key === 'ArrowUp' ? 1 : -1);
      if (next === null) return;
      e.preventDefault();
      typed.live(next);
    }
  };
  const decimal = about.kind === 'number' || (about.kind === 'length' && v.unit !== 'in');
  return html`<input ...${common} type="text" value=${shown} placeholder=${empty} size=${Math.max(1, (shown || empty).length)} style=${fitted(shown || empty)}
    inputmode=${decimal ? 'decimal' : 'text'} autocomplete="off" spellcheck=${false} onInput=${e => typed.live(e.currentTarget.value)}
    onChange=${e => typed.commit(e.currentTarget.value)} onBlur=${typed.leave} onKeyDown=${keys} />`;
}

/** One of several words. */
function Choice({ about, v, typed, common, k }) {
  const words = optionsOf(k, about, v), value = typed.text || typed.field.def || '';
  if (!(value in words)) words[value] = value;
  return html`<select ...${common} style=${fitted(words[value], true)} value=${value} onInput=${e => typed.live(e.currentTarget.value)} onChange=${e => typed.commit(e.currentTarget.value)}>
    ${Object.entries(words).map(([word, say]) => html`<option key=${word} value=${word} selected=${word === value}>${say}</option>`)}</select>`;
}

/** @returns {Record<string, string>} the file's word → what it is called here */
function optionsOf(k, about, v) {
  if (k === 'fixed.#.motif') {
    const names = Array.from({ length: v.count('motif') }, (_, i) => v.shown.state.fields[`motif.${i}.name`]?.text ?? '');
    return Object.fromEntries(names.map(n => [n, n]));
  }
  const words = { ...about.words };
  for (const word of about.schema?.words ?? []) words[word] ??= word;
  return words;
}

/** A colour with its plain name. */
function Colour({ about, typed, common }) {
  const hex = typed.text || '', shown = hex || typed.field.def || '';
  const named = colourName(shown) || shown || about.empty;
  return html`<${Swatch} hex=${hex ? shown : ''} /><span class="cname" aria-hidden="true">${!hex && about.empty ? about.empty : named}</span><input
    ...${common} type="color" value=${/^#[0-9a-f]{6}$/i.test(shown) ? shown.toLowerCase() : NO_COLOUR} title=${named}
    onInput=${e => typed.live(e.currentTarget.value)} onChange=${e => typed.commit(e.currentTarget.value)} onKeyDown=${e => e.key === 'Escape' && typed.back()} />`;
}

/** A round dot of felt in a colour. @param {{hex: string}} props */
export function Swatch({ hex }) {
  return hex ? html`<svg class="sw" viewBox="0 0 15 15" aria-hidden="true"><circle cx="7.5" cy="7.5" r="7" fill=${hex} /></svg>` : '';
}
