// The page: head, words, picture, answer, and the slip that lies on them.

import { html, useEffect, useState } from '../vendor/preact.js';
import { call } from '../engine.js';
import { useStore } from '../store.js';
import { Answer } from './answer.js';
import { Head } from './head.js';
import { Words } from './parts.js';
import { Slips } from '../slips/slips.js';
import { saveInPlace } from '../slips/save.js';
import { openFile } from '../slips/open.js';

/**
 * @param {{picture: any}} props picture: the component that shows the views
 */
export function App({ picture: Picture }) {
  const shown = useStore(), [slip, setSlip] = useState({ name: '', told: undefined }), [wide, setWide] = useState(false);
  const open = (name, told) => setSlip({ name, told });
  const save = async () => {
    const answer = await saveInPlace(shown);
    if (answer.ask || answer.refused) open('save', answer.refused ? answer : undefined);
  };
  const take = async file => { const why = await openFile(file); if (why) open('open'); };
  useKeys(open, save);
  useEffect(() => { document.body.classList.toggle('wide', wide); }, [wide]);
  useEffect(() => { if (shown.state) document.title = `${shown.state.title || 'Skirt'} – strew`; }, [shown.state?.title]);
  if (!shown.state) return html`<p class="wait" role="status">Laying out the example …</p>`;
  return html`<header class="top"><${Head} shown=${shown} openSlip=${open} save=${save} /></header>
    <main class="words" id="words" aria-label="The plan in words" tabindex="-1"><${Words} shown=${shown} openFile=${take} />
      <p class="end"><button type="button" class="word" onClick=${() => open('keys')}>Keys</button> <button type="button" class="word" onClick=${() => open('close')}>Close strew</button></p></main>
    <section class="plate" id="plate" aria-label="The picture" tabindex="-1"><${Picture} store=${shown} />
      <button type="button" class="word widebtn" aria-pressed=${String(wide)} onClick=${() => setWide(!wide)}>${wide ? 'Show the words' : 'Hide the words'}</button></section>
    <footer class="answer" id="answer" aria-label="The answer"><${Answer} shown=${shown} /></footer>
    <${Slips} shown=${shown} name=${slip.name} told=${slip.told} close=${() => open('')} />`;
}

/**
 * Keys that hold everywhere: undo, redo, save, and the list of keys.
 * @param {(name: string) => void} open @param {() => void} save
 */
function useKeys(open, save) {
  useEffect(() => {
    const keys = e => {
      const typing = e.target instanceof HTMLElement && e.target.matches('input:not([type=range]):not([type=color]),select,textarea');
      const key = e.key.toLowerCase(), command = e.ctrlKey || e.metaKey;
      if (command && key === 's') { e.preventDefault(); save(); return; }
      if (command && (key === 'y' || (key === 'z' && e.shiftKey))) { e.preventDefault(); call('redo'); return; }
      if (command && key === 'z') { e.preventDefault(); call('undo'); return; }
      if (!typing && e.key === '?') open('keys');
    };
    document.addEventListener('keydown', keys);
    return () => document.removeEventListener('keydown', keys);
  }, [open, save]);
}
