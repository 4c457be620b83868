// Open: a project lately used, one from a folder, a zip or project file from the
// browser, or the example.

import { html, useEffect, useState } from '../vendor/preact.js';
import { change } from '../store.js';
import { ask, bytesOf } from '../words/ask.js';
import { inRoots, Places, useFolder } from './places.js';
import { Refusal, Slip } from './slip.js';

/**
 * Hands a dropped or picked project to the engine.
 * @param {File} file a zip, or a project file by itself
 * @returns {Promise<string>} why it was refused, or ""
 */
export async function openFile(file) {
  const answer = await ask('openzip', { name: file.name, data: await bytesOf(file) });
  return answer.refused ?? '';
}

/** @param {{close: () => void, shown: any, told?: {refused: string}}} props told: why a dropped file could not be opened */
export function Open({ close, shown, told }) {
  const [recent, setRecent] = useState([]), [why, setWhy] = useState(told?.refused ?? ''), folder = useFolder();
  useEffect(() => { ask('recent').then(a => setRecent(a.recent ?? [])); }, []);
  const done = answer => (answer.refused ? setWhy(answer.refused) : close());
  const open = async path => done(await ask('open', { path }));
  const picked = async e => { const f = e.currentTarget.files[0]; if (f) done({ refused: await openFile(f) || undefined }); };
  return html`<${Slip} title="Open" close=${close} still=${true}>
    ${shown.state.unsaved && html`<p class="note">What you have now is not saved. It is kept, and offered again when strew next starts.</p>`}
    <${Refusal} words=${why} />
    ${recent.length > 0 && html`<h3>Recent</h3><ul class="places">${recent.map(r => html`<li key=${r.path}><button type="button" class="word" onClick=${() => open(r.path)}>${r.title || inRoots(r.path, folder.at.roots)}</button> <span class="soft" title=${r.path}>${inRoots(r.path, folder.at.roots)}</span></li>`)}</ul>`}
    <h3>From a folder</h3><${Places} folder=${folder} kinds=${['project', 'zip']} pick=${e => open(e.path)} />
    <h3>Or else</h3>
    <p><label class="word pick">a project in a zip, or a project file<input type="file" accept=".zip,.toml" onChange=${picked} /></label></p>
    <p><button type="button" class="word" onClick=${async () => done(await change('example'))}>the built-in example</button></p><//>`;
}
