// A list of folders to walk through, with what can be opened in each.

import { html, useEffect, useState } from '../vendor/preact.js';
import { ask } from '../words/ask.js';
import { Refusal } from './slip.js';

const KINDS = { folder: 'folder', project: 'project', zip: 'zip' };

/**
 * The folder that is shown, and the way to others.
 * @param {string} [start] where to begin; left out: where strew was started
 */
export function useFolder(start) {
  const [at, setAt] = useState(/** @type {any} */ ({ entries: [], roots: [] }));
  const go = async path => {
    const answer = await ask('folders', path ? { path } : {});
    setAt(now => (answer.refused ? { ...now, refused: answer.refused } : answer));
  };
  useEffect(() => { go(start); }, []);
  return { at, go };
}

/**
 * A path as a maker knows it: from a place that has a name, such as her home folder.
 * @param {string} path
 * @param {{name: string, path: string}[]} roots
 */
export function inRoots(path, roots) {
  const root = roots.filter(r => path === r.path || /^[\\/]/.test(path.slice(r.path.length)) && path.startsWith(r.path)).sort((a, b) => b.path.length - a.path.length)[0];
  return root ? [root.name, ...path.slice(root.path.length).split(/[\\/]/).filter(Boolean)].join(' / ') : path;
}

/**
 * @param {{folder: ReturnType<typeof useFolder>, kinds: string[], pick?: (entry: any) => void}} props
 *   kinds: what is listed besides folders; pick: what a touch on one of these does
 */
export function Places({ folder: { at, go }, kinds, pick }) {
  const listed = at.entries.filter(e => e.kind === 'folder' || kinds.includes(e.kind));
  return html`<${Refusal} words=${at.refused} />
    <p class="ways">${at.roots.map(r => html`<button key=${r.path} type="button" class="word" onClick=${() => go(r.path)}>${r.name}</button> `)}</p>
    <p class="path" aria-live="polite" title=${at.path}>${at.path && inRoots(at.path, at.roots)}</p>
    <ul class="places">${at.up && html`<li key="up"><button type="button" class="word" onClick=${() => go(at.up)}>Up one folder</button></li>`}
      ${listed.map(e => html`<li key=${e.path}><button type="button" class="word" onClick=${() => (e.kind === 'folder' ? go(e.path) : pick?.(e))}>${e.name}</button> <span class="soft">${KINDS[e.kind]}</span></li>`)}
      ${!listed.length && html`<li key="none" class="soft">No folders${kinds.includes('zip') ? ' or projects' : ''} in here.</li>`}</ul>`;
}
