// The left page: the five parts of the plan in words.

import { html, useEffect, useRef, useState } from '../vendor/preact.js';
import { Sentence } from './sentence.js';
import { Told } from './told.js';
import { Cards } from './cards.js';
import { Field } from './field.js';
import { card, keysIn, parts } from './sentences.js';
import { dropped, useRemark } from './bring.js';
import { show } from './show.js';
import { refusalOf } from '../store.js';
import { general, reader, refusedKeys } from './values.js';

/**
 * @param {{shown: any, openFile: (file: File) => void}} props openFile takes a dropped project
 */
export function Words({ shown, openFile }) {
  const [here, jump] = useHere(parts.map(p => p.id));
  useDrops(shown, openFile);
  return html`<nav class="jump" aria-label="To a part of the plan">${parts.map(p => html`<a key=${p.id} href=${`#part-${p.id}`} aria-current=${here === p.id ? 'true' : undefined} onClick=${() => jump(p.id)}>${p.short}</a>`)}</nav>
    <${Faults} shown=${shown} />
    ${parts.map(p => html`<${Part} key=${p.id} part=${p} shown=${shown} />`)}`;
}

function Part({ part, shown }) {
  const v = reader(shown), remark = useRemark();
  return html`<section id=${`part-${part.id}`} aria-labelledby=${`head-${part.id}`}><h2 id=${`head-${part.id}`}>${part.title}</h2>
    ${part.cards && html`<${Cards} shown=${shown} />`}
    ${part.sentences.filter(s => isSaid(s, v)).map(s => (s.each
    ? Array.from({ length: v.count(s.each) }, (_, i) => html`<${Sentence} key=${s.id + i} sentence=${s} shown=${shown} index=${i} />`)
    : html`<${Sentence} key=${s.id} sentence=${s} shown=${shown} />`))}
    ${part.id === 'skirt' && remark.of === 'skirt.outline' && remark.words && html`<p class=${remark.bad ? 'refuse' : 'note'} role="status">${remark.words}</p>`}
    ${part.id === 'paper' && html`<${Others} v=${v} /><p class="end"><button type="button" class="word" onClick=${() => show('pages')}>See what gets printed</button></p>`}</section>`;
}

/** A sentence is said where its condition holds or a key of it is refused. @param {import('./sentences.js').Sentence} s @param {import('./values.js').Values} v */
function isSaid(s, v) {
  return !s.when || s.when(v) || allKeys(s).some(k => v.refusal(k));
}

/** @param {import('./sentences.js').Sentence} s */
const allKeys = s => keysIn([...s.say, ...(s.more ?? [])]);

/** Every key that some sentence says. */
export const saidKeys = new Set(['title', ...[card, ...parts.flatMap(p => p.sentences)].flatMap(allKeys)]);

/** Keys that no sentence knows yet, as the project file calls them. */
function Others({ v }) {
  const keys = Object.keys(v.shown.state.fields).filter(k => !saidKeys.has(general(k)));
  if (!keys.length) return null;
  return html`<div class="s"><p>Also: ${keys.map(k => html`<span key=${k}>${k.replace(/[._]/g, ' ')} <${Field} k=${k} v=${v} after="; " /></span>`)}</p></div>`;
}

/** What is wrong and has no field to stand under. */
function Faults({ shown }) {
  const homeless = refusedKeys(shown).filter(k => !saidKeys.has(general(k)) && !(k in shown.state.fields)).map(k => refusalOf(shown, k));
  const all = [...(shown.state.faults ?? []), ...homeless].filter(Boolean);
  return all.length > 0 && html`<div class="refuse" role="alert">${all.map(t => html`<p key=${t}><${Told} words=${t} /></p>`)}</div>`;
}

/**
 * Which part is being read: the one jumped to, and once the words are moved on, the last
 * whose head has passed the upper third.
 * @param {string[]} ids
 * @returns {[string, (id: string) => void]} and what a jump to one tells
 */
function useHere(ids) {
  const [here, setHere] = useState(ids[0]), landed = useRef(-1);
  const jump = (/** @type {string} */ id) => requestAnimationFrame(() => {
    landed.current = document.getElementById('words').scrollTop;
    setHere(id);
  });
  useEffect(() => {
    const box = document.getElementById('words');
    const look = () => {
      if (box.scrollTop === landed.current) return;
      const edge = box.getBoundingClientRect().top + box.clientHeight / 3;
      setHere(ids.filter(id => document.getElementById(`part-${id}`).getBoundingClientRect().top < edge).at(-1) ?? ids[0]);
    };
    box.addEventListener('scroll', look, { passive: true });
    return () => box.removeEventListener('scroll', look);
  }, []);
  return [here, jump];
}

/** Takes what is dropped anywhere on the page. @param {any} shown @param {(file: File) => void} openFile */
function useDrops(shown, openFile) {
  useEffect(() => {
    const over = e => e.preventDefault();
    const drop = e => { e.preventDefault(); dropped(e.dataTransfer, reader(shown), openFile); };
    document.addEventListener('dragover', over);
    document.addEventListener('drop', drop);
    return () => { document.removeEventListener('dragover', over); document.removeEventListener('drop', drop); };
  }, [shown, openFile]);
}
