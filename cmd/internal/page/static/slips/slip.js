// A slip of paper over the page: a dialog with a title, closed by Escape or "Not now".

import { html, useLayoutEffect, useRef } from '../vendor/preact.js';
import { Told } from '../words/told.js';

/**
 * @param {{title: string, close: () => void, children?: any, beside?: boolean, notNow?: string, still?: boolean}} props
 *   still: what stands in it comes in by and by, so the title has the focus at first;
 *   beside: leaves the picture in sight and in reach; notNow: what closing is called, "" for no button
 */
export function Slip({ title, close, children, beside, still, notNow = 'Not now' }) {
  const box = useRef(/** @type {HTMLDialogElement|null} */ (null));
  useLayoutEffect(() => {
    const before = document.activeElement, dialog = box.current;
    if (beside) dialog.show(); else dialog.showModal();
    return () => { dialog.close(); if (before instanceof HTMLElement) before.focus(); };
  }, []);
  const keys = e => { if (e.key === 'Escape') { e.preventDefault(); close(); } };
  return html`<dialog ref=${box} class=${beside ? 'slip beside' : 'slip'} aria-labelledby="slip-title" onCancel=${e => { e.preventDefault(); close(); }} onKeyDown=${keys}>
    <h2 id="slip-title" tabindex=${still ? -1 : undefined} autofocus=${still}>${title}</h2>${children}
    ${notNow && html`<p class="row"><button type="button" class="word" onClick=${close}>${notNow}</button></p>`}</dialog>`;
}

/** What went wrong, where it is read out. @param {{words?: string}} props */
export const Refusal = ({ words }) => (words ? html`<p class="refuse" role="alert"><${Told} words=${words} /></p>` : null);
