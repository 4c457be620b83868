// The head of the page: what it is called, where it is kept, and what acts on all of it.

import { html, useEffect, useState } from '../vendor/preact.js';
import { redo, undo } from '../store.js';
import { ask } from './ask.js';
import { useTyped } from './field.js';
import { reader } from './values.js';

/**
 * @param {{shown: any, openSlip: (name: string) => void, save: () => void, said: boolean}} props said: it was saved just now; openSlip opens a dialog: "open", "saveall", "begin", "kept"; save saves in place or asks where
 */
export function Head({ shown, openSlip, save, said }) {
  const { state } = shown, last = useLast(state.kind === 'example' && !state.unsaved);
  return html`<h1><${Title} shown=${shown} /></h1>
    <p class="where" id="where"><span role="status" class=${shown.connected === false ? 'gone' : 'long'} title=${state.place || undefined}>${said && html`<b class="changed">Saved.</b> `}${whereabouts(shown)}</span><span class="short" aria-hidden="true">${said ? html`<b class="changed">Saved.</b>` : brief(shown)}</span> <button type="button" class="word" onClick=${() => openSlip('begin')}>Begin your own</button>${last && html` <button type="button" class="word" onClick=${() => ask('open', { path: last.path })}>Go on with ${last.title || folderName(last.path)}</button>`}</p>
    <div class="acts">
      <button type="button" disabled=${!state.undo} title=${state.undo ? `Undo: ${state.undo}` : undefined} onClick=${() => undo()}>${state.undo ? html`Undo<span class="vh">: ${state.undo}</span>` : 'Undo'}</button>
      <button type="button" disabled=${!state.redo} title=${state.redo ? `Redo: ${state.redo}` : undefined} onClick=${() => redo()}>${state.redo ? html`Redo<span class="vh">: ${state.redo}</span>` : 'Redo'}</button>
      <button type="button" onClick=${() => openSlip('kept')}>Keep<span class="long"> this one</span></button>
      <button type="button" onClick=${() => openSlip('open')}>Open</button>
      <button type="button" class="strong" onClick=${save}>Save<span class="long"> project</span></button>
      <button type="button" class="strong" onClick=${() => openSlip('saveall')}>Save <span class="long">everything</span><span class="short" aria-hidden="true">all</span></button>
    </div>`;
}

/** The project that was open last, offered where nothing of hers is. @param {boolean} wanted */
function useLast(wanted) {
  const [last, set] = useState(/** @type {{path: string, title: string} | undefined} */ (undefined));
  useEffect(() => { if (wanted) ask('recent').then(a => set(a.recent?.[0])); }, [wanted]);
  return wanted ? last : undefined;
}

/** Where the project is kept, in words. @param {any} shown */
function whereabouts({ state, connected }) {
  if (connected === false) return 'strew does not answer. Start it again: what you changed before is kept.';
  if (state.kind === 'example' && !state.unsaved) return 'The built-in example, to try things out.';
  if (!state.place) return 'Not saved yet.';
  return state.unsaved ? `Changed since it was saved in ${folderName(state.place)}.` : `It is kept in the folder ${folderName(state.place)}.`;
}

/** The same in a word or two, for a small screen. @param {any} shown */
function brief({ state, connected }) {
  if (connected === false) return '';
  if (state.kind === 'example' && !state.unsaved) return 'example';
  if (!state.place) return 'not saved';
  return state.unsaved ? 'changed' : 'saved';
}

/** The folder that a project file lies in. @param {string} place */
const folderName = place => place.split(/[\\/]/).at(-2) || place;

function Title({ shown }) {
  const v = reader(shown), typed = useTyped('title', v);
  const keys = e => {
    if (e.key === 'Enter') e.currentTarget.blur();
    if (e.key === 'Escape') typed.back();
  };
  return html`<label class="vh" for="key-title">Name of the project</label><input id="key-title" name="title" value=${typed.text} placeholder=${typed.field.def || 'Skirt'}
    size=${Math.max(4, typed.text.length)} autocomplete="off" spellcheck=${false} onInput=${e => typed.live(e.currentTarget.value)}
    onChange=${e => typed.commit(e.currentTarget.value)} onBlur=${typed.leave} onKeyDown=${keys} />`;
}
