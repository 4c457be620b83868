// Which slip lies on the page: one asked for by name, or one that asks for itself.

import { html, useEffect, useState } from '../vendor/preact.js';
import { ask } from '../words/ask.js';
import { Begin } from './begin.js';
import { Open } from './open.js';
import { Save } from './save.js';
import { Changed, Close, Kept, Keys, Restore } from './others.js';

/** @typedef {''|'open'|'save'|'saveall'|'begin'|'kept'|'close'|'keys'} Name */

/**
 * @param {{shown: any, name: Name, told?: any, close: () => void}} props told: the answer of a save or an opening that was refused
 */
export function Slips({ shown, name, told, close }) {
  const [found, setFound] = useState([]), [later, setLater] = useState(false);
  useEffect(() => { ask('recent').then(a => setFound(a.unsaved ?? [])); }, []);
  useEffect(() => { if (!shown.state.changed) setLater(false); }, [shown.state.changed]);
  const props = { shown, close };
  if (name === 'open') return html`<${Open} key="open" told=${told} ...${props} />`;
  if (name === 'save' || name === 'saveall') return html`<${Save} key=${name} way=${name} told=${told} ...${props} />`;
  if (name === 'begin') return html`<${Begin} key="begin" ...${props} />`;
  if (name === 'kept') return html`<${Kept} key="kept" ...${props} />`;
  if (name === 'close') return html`<${Close} key="close" ...${props} />`;
  if (name === 'keys') return html`<${Keys} key="keys" ...${props} />`;
  if (found.length) return html`<${Restore} key="restore" found=${found} close=${() => setFound([])} />`;
  if (shown.state.changed && !later) return html`<${Changed} key="changed" shown=${shown} close=${() => setLater(true)} />`;
  return null;
}
