// The page: head, words, picture, answer, and the slip that lies on them.

import { html, useEffect, useState } from '../vendor/preact.js';
import { call } from '../engine.js';
import { redo, undo, useStore } from '../store.js';
import { Answer } from './answer.js';
import { Head } from './head.js';
import { Words } from './parts.js';
import { VIEW_WANTED } from './show.js';
import { Slips } from '../slips/slips.js';
import { saveInPlace } from '../slips/save.js';
import { openFile } from '../slips/open.js';

/**
 * @param {{picture: any, others: Record<string, any>}} props picture: the component that shows the views;
 *   others: views it does not know by itself, by name
 */
export function App({ picture: Picture, others }) {
  const [slip, setSlip] = useState({ name: '', told: undefined }), [wide, setWide] = useState(false), [view, setView] = useView();
  const store = useStore(), schema = useSchema(), shown = { ...store, schema };
  const open = (name, told) => setSlip({ name, told });
  const [said, setSaid] = useState(0);
  useEffect(() => {
    if (!said) return undefined;
    const timer = setTimeout(() => setSaid(0), SAID);
    return () => clearTimeout(timer);
  }, [said]);
  const save = async () => {
    const answer = await saveInPlace(shown);
    if (answer.ask || answer.refused) open('save', answer.refused ? answer : undefined);
    else setSaid(Date.now());
  };
  const take = async file => { const refused = await openFile(file); if (refused) open('open', { refused }); };
  useKeys(open, save);
  useEffect(() => { document.body.classList.toggle('wide', wide); }, [wide]);
  useEffect(() => { document.body.dataset.view = view; }, [view]);
  useEffect(() => { if (store.state) document.title = `${store.state.title || 'Skirt'} – strew`; }, [store.state?.title]);
  if (!shown.state) return html`<p class="wait" role="status">Laying out the example …</p>`;
  return html`<header class="top"><${Head} shown=${shown} openSlip=${open} save=${save} said=${said > 0} /></header>
    <main class="work"><section class="words" id="words" aria-label="The plan in words" tabindex="-1"><${Words} shown=${shown} openFile=${take} />
      <p class="end"><button type="button" class="word" onClick=${() => open('keys')}>Keys</button> <button type="button" class="word" onClick=${() => open('close')}>Close strew</button></p></section>
    <section class="plate" id="plate" aria-label="The picture" tabindex="-1"><${Picture} store=${store} view=${view} onView=${setView} others=${others} />
      <button type="button" class="word widebtn" aria-pressed=${String(wide)} onClick=${() => setWide(!wide)}>${wide ? 'Show the words' : 'Hide the words'}</button></section></main>
    <footer class="answer" id="answer" aria-label="The answer"><${Answer} shown=${shown} /></footer>
    <${Slips} shown=${shown} name=${slip.name} told=${slip.told} close=${() => open('')} />`;
}

/** How long it is said that the project was saved, milliseconds: long enough to be read, and not to be believed of a later change. */
const SAID = 4000;

/** The view in sight, which anything on the page may ask for. @returns {[string, (view: string) => void]} */
function useView() {
  const [view, setView] = useState('flat');
  useEffect(() => {
    const wanted = e => setView(e.detail);
    document.addEventListener(VIEW_WANTED, wanted);
    return () => document.removeEventListener(VIEW_WANTED, wanted);
  }, []);
  return [view, setView];
}

/** The tables and keys of a project file, once they are known. */
function useSchema() {
  const [schema, setSchema] = useState(null);
  useEffect(() => { call('schema').then(setSchema, () => {}); }, []);
  return schema;
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
      if (command && (key === 'y' || (key === 'z' && e.shiftKey))) { e.preventDefault(); redo(); return; }
      if (command && key === 'z') { e.preventDefault(); undo(); return; }
      if (!typing && e.key === '?') open('keys');
    };
    document.addEventListener('keydown', keys);
    return () => document.removeEventListener('keydown', keys);
  }, [open, save]);
}
