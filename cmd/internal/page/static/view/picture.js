// The picture: a tab for each way to look at the plan, and the stage they share.

import { html, useLayoutEffect, useRef } from '../vendor/preact.js';
import { Flat } from './flat.js';
import { Sheets } from './sheets.js';
import { Cloth } from './cloth.js';
import { Pages } from './pages.js';

/** The views in the order of their tabs: name, and word on the tab. */
const views = /** @type {const} */ ([
  ['flat', 'Flat'], ['worn', 'Worn'], ['sheets', 'Sheets'], ['cloth', 'Cloth'], ['pages', 'Pages'], ['list', 'List'],
]);

/** A view: one of the tabs, or another that the caller brings. @typedef {string} View */

const own = { flat: Flat, sheets: Sheets, cloth: Cloth, pages: Pages };

/**
 * @param {object} p
 * @param {any} p.store
 * @param {View} p.view             the one shown
 * @param {(v: View) => void} p.onView another one is chosen
 * @param {Record<string, any>} p.others components of the views that stand elsewhere, by name
 */
export function Picture({ store, view, onView, others }) {
  const Shown = { ...own, ...others }[view] ?? Flat, tab = views.some(([v]) => v === view);
  const stale = Boolean(store.refused?.text), stage = useRef(null);
  useFoot(stage, view);
  return html`
    <div class="views">
      <${Tabs} view=${view} onView=${onView} />
      <span class="stale" id="stale" role="status">${stale && store.marks ? 'still the last plan that worked' : ''}</span>
    </div>
    <div ref=${stage} class=${`stage ${stale ? 'isstale' : ''}`} id="picture" data-view=${view} role=${tab ? 'tabpanel' : 'group'} aria-labelledby=${tab ? `tab-${view}` : null} aria-label=${tab ? null : 'The picture'}>
      <${Shown} key=${view} store=${store} />
    </div>`;
}

/** Tells styles how high the words below a picture are: on a small screen something stands on them. @param {{current: HTMLElement}} stage @param {View} view */
function useFoot(stage, view) {
  useLayoutEffect(() => {
    const look = () => {
      const shot = stage.current.querySelector('.shot');
      stage.current.parentElement.style.setProperty('--foot', `${shot ? stage.current.clientHeight - shot.clientHeight : 0}px`);
    };
    const sized = new ResizeObserver(look), drawn = new MutationObserver(() => {
      for (const child of stage.current.children) sized.observe(child);
      look();
    });
    sized.observe(stage.current);
    drawn.observe(stage.current, { childList: true });
    for (const child of stage.current.children) sized.observe(child);
    look();
    return () => { sized.disconnect(); drawn.disconnect(); };
  }, [view]);
}

/** @param {{view: View, onView: (v: View) => void}} p */
function Tabs({ view, onView }) {
  const list = useRef(null), here = views.findIndex(([v]) => v === view);
  const keys = (/** @type {KeyboardEvent} */ e) => {
    const to = { ArrowLeft: here - 1, ArrowRight: here + 1, Home: 0, End: views.length - 1 }[e.key];
    if (to === undefined) return;
    e.preventDefault();
    const next = views[(to + views.length) % views.length][0];
    onView(next);
    list.current.querySelector(`#tab-${next}`).focus();
  };
  return html`
    <div ref=${list} role="tablist" aria-label="Look at it as" onKeyDown=${keys}>
      ${views.map(([v, word]) => html`
        <button type="button" role="tab" id=${`tab-${v}`} aria-selected=${v === view} aria-controls="picture" tabindex=${v === (here < 0 ? views[0][0] : view) ? 0 : -1} onClick=${() => onView(v)}>${word}</button>`)}
    </div>`;
}
