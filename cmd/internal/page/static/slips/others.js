// The short slips: states kept, a file changed outside, work found after a crash,
// closing, and the keys.

import { html, useEffect, useState } from '../vendor/preact.js';
import { change } from '../store.js';
import { ask } from '../words/ask.js';
import { Refusal, Slip } from './slip.js';

/** States that were kept by name. @param {{close: () => void, shown: any}} props */
export function Kept({ close, shown }) {
  const [name, setName] = useState('');
  const keep = async e => { e.preventDefault(); await ask('keep', { name: name.trim() || shown.state.title }); setName(''); };
  const back = async id => { await change('back', { id }); close(); };
  return html`<${Slip} title="Keep this one" close=${close} notNow="Close">
    <p>Give what you see now a name, try other things, and come back to it.</p>
    <form class="row" onSubmit=${keep}><label for="keep-name">Name</label><input id="keep-name" type="text" value=${name} placeholder=${shown.state.title} onInput=${e => setName(e.currentTarget.value)} />
      <button type="submit" class="go first">Keep this one</button></form>
    ${shown.state.kept?.length > 0 && html`<h3>Kept so far</h3><ul class="places">${shown.state.kept.map(k => html`<li key=${k.id}><button type="button" class="word" onClick=${() => back(k.id)}>Back to ${k.name}</button></li>`)}</ul>`}<//>`;
}

/** The project file was changed by another program. @param {{close: () => void, shown: any}} props */
export function Changed({ close, shown }) {
  const [why, setWhy] = useState('');
  const then = async promise => { const a = await promise; if (a.refused) setWhy(a.refused); else close(); };
  return html`<${Slip} title="The file was changed" close=${close}>
    <p>The file of this project, ${shown.state.place.split(/[\\/]/).slice(-2).join(' / ')}, was changed by another program while it was open here. Which do you want to keep?</p><${Refusal} words=${why} />
    <p class="row"><button type="button" class="go" onClick=${() => then(ask('open', { path: shown.state.place }))}>Use the file on disk</button>
      <button type="button" class="go" onClick=${() => then(ask('save', { force: true }))}>Keep mine, and save it</button></p><//>`;
}

/** Work that was not saved when strew last ended. @param {{close: () => void, found: any[]}} props */
export function Restore({ close, found }) {
  const [left, setLeft] = useState(found), [why, setWhy] = useState('');
  const restore = async id => { const a = await ask('restore', { id }); if (a.refused) setWhy(a.refused); else close(); };
  const forget = async id => { await ask('forget', { id }); const rest = left.filter(u => u.id !== id); setLeft(rest); if (!rest.length) close(); };
  return html`<${Slip} title="Not saved yet" close=${close}>
    <p>This was not saved, and was kept for you.</p><${Refusal} words=${why} />
    <ul class="places">${left.map(u => html`<li key=${u.id}><b>${u.title || 'A skirt'}</b> <span class="soft">${[u.path.split(/[\\/]/).at(-2), when(u.when)].filter(Boolean).join(', ')}</span>
      <p class="row"><button type="button" class="go first" onClick=${() => restore(u.id)}>Go on with it</button><button type="button" class="word" onClick=${() => forget(u.id)}>Throw it away</button></p></li>`)}</ul><//>`;
}

/** @param {string} [time] as the engine gives it */
function when(time) {
  const at = new Date(time ?? NaN);
  return Number.isNaN(at.getTime()) ? '' : at.toLocaleString('en-GB', { dateStyle: 'medium', timeStyle: 'short' });
}

/** Ending the program. @param {{close: () => void, shown: any}} props */
export function Close({ close, shown }) {
  const [ended, setEnded] = useState(false);
  useEffect(() => { document.body.classList.toggle('ended', ended); }, [ended]);
  const end = async () => { setEnded(true); await ask('close'); };
  if (ended) return html`<${Slip} title="strew has ended" close=${() => {}} notNow=""><p>You can close this page now.</p><//>`;
  return html`<${Slip} title="Close strew" close=${close}>
    <p>${shown.state.unsaved ? 'What you changed is not saved. It is kept, and offered when strew next starts; to have it in a folder of your own, save it first.' : 'Everything is saved.'}</p>
    <p class="row"><button type="button" class="go first" onClick=${end}>Close it now</button></p><//>`;
}

const KEYS = [
  ['Tab', 'to the next word that can be changed'], ['Up, Down', 'one step more or less'], ['Enter', 'takes what you typed'], ['Escape', 'brings the last good value back'],
  ['Ctrl+Z, Ctrl+Shift+Z', 'undo, redo'], ['Ctrl+S', 'save'], ['Left, Right', 'on the views: the next one'],
  ['+, −, 0', 'in the picture: nearer, farther, the whole of it'], ['Arrows', 'in the picture: move it or turn it'], ['?', 'this list'],
];

/** What the keyboard does. @param {{close: () => void}} props */
export function Keys({ close }) {
  return html`<${Slip} title="Keys" close=${close} notNow="Close"><dl class="keys">${KEYS.map(([key, does]) => html`<div key=${key}><dt>${key}</dt><dd>${does}</dd></div>`)}</dl><//>`;
}
