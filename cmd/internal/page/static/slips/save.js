// Save: the project file where the maker says, everything as a folder, or as a download.

import { html, useState } from '../vendor/preact.js';
import { url } from '../engine.js';
import { ask } from '../words/ask.js';
import { inRoots, Places, useFolder } from './places.js';
import { Refusal, Slip } from './slip.js';

/** What the two ways of saving say. */
const WAYS = {
  save: { title: 'Save project', what: 'The project file and its drawings, to go on from later. They get a folder of their own, named after the project, in the one you choose.', button: 'Save project here', zip: 'project', download: 'download them as a zip' },
  saveall: { title: 'Save everything', what: 'The project, and beside it a folder with all pictures, lists and pages to print. They get a folder of their own, named after the project, in the one you choose.', button: 'Save everything here', zip: 'everything', download: 'download it all as a zip' },
};

/**
 * Saves where the project already stands; answers whether that was possible.
 * @param {any} shown
 */
export async function saveInPlace(shown) {
  if (!shown.state.place) return { ask: true };
  return ask('save');
}

/** @param {{close: () => void, shown: any, way: 'save'|'saveall', told?: any}} props told: the answer of a save that was refused */
export function Save({ close, shown, way, told }) {
  const place = shown.state.place, known = way === 'saveall' && place;
  const [answer, setAnswer] = useState(told ?? {}), [busy, setBusy] = useState(false), [link, setLink] = useState('');
  const [elsewhere, setElsewhere] = useState(!known), folder = useFolder(folderOf(place)), words = WAYS[way];
  const save = async force => {
    setBusy(true);
    setAnswer(await ask(way, { ...(elsewhere && { path: folder.at.path }), ...(force && { force: true }) }));
    setBusy(false);
  };
  const path = p => inRoots(p, folder.at.roots);
  const download = async () => setLink(await url(words.zip));
  if (answer.path && !answer.refused) return html`<${Slip} title="Saved" close=${close} notNow="OK"><p>Saved in ${path(answer.path)}.</p>
    ${answer.kept?.length > 0 && html`<p class="note">Files you had changed yourself were kept beside the new ones: ${answer.kept.join(', ')}.</p>`}<//>`;
  const here = elsewhere ? words.button : `Save it beside the project`;
  return html`<${Slip} title=${words.title} close=${close} still=${elsewhere}>
    <p>${elsewhere ? words.what : `All pictures, lists and pages to print, in a folder beside the project, in ${path(folderOf(place))}. The project is saved too.`}</p>
    <${Refusal} words=${answer.refused} />
    ${answer.refused && (answer.changed || answer.exists) && html`<p class="row"><button type="button" class="go" onClick=${() => save(true)}>Put mine in its place</button>
      ${answer.changed && place && html`<button type="button" class="go" onClick=${async () => { const opened = await ask('open', { path: place }); if (opened.refused) setAnswer(opened); else close(); }}>Open the file instead</button>`}</p>`}
    ${elsewhere && html`<${Places} folder=${folder} kinds=${['project']} />`}
    <p class="row"><button type="button" class="go first" disabled=${busy || (elsewhere && !folder.at.path)} onClick=${() => save(false)}>${busy ? 'Saving …' : here}</button>
      ${!elsewhere && html`<button type="button" class="word" onClick=${() => setElsewhere(true)}>in another folder</button>`}
      ${link ? html`<a class="word" href=${link} download>Here it is: keep the zip</a>` : html`<button type="button" class="word" onClick=${download}>or ${words.download}</button>`}</p><//>`;
}

/** The folder of a project file. @param {string} [place] */
const folderOf = place => (place ? place.replace(/[\\/][^\\/]*$/, '') : undefined);
