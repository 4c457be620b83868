// Cutouts as they are drawn again and again: defined once, used by their number.

import { html } from '../vendor/preact.js';

/** @typedef {{name: string, pieces: {colour: string, d: string}[]}} Motif */

/** The id of a motif, or of one of its pieces. @param {number} motif @param {number} [piece] */
export const idOf = (motif, piece) => piece === undefined ? `motif-${motif}` : `motif-${motif}-${piece}`;

/** Below this luminance a darker edge cannot be seen on felt, so it gets a lighter one (WCAG contrast 2 against black). */
const dark = 0.05;

/** The relative luminance of "#rrggbb", 0 to 1 (WCAG 2.2). @param {string} colour */
function luminance(colour) {
  const part = (/** @type {number} */ i) => {
    const c = parseInt(colour.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  };
  return 0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5);
}

/** One piece of felt. @param {{colour: string, d: string, id?: string}} p */
function Felt({ colour, d, id }) {
  return html`<path id=${id} class="felt ${luminance(colour) < dark ? 'pale' : ''}" d=${d} fill=${colour} fill-rule="evenodd" />`;
}

/** Whole motifs, to be drawn by their ids. @param {{motifs: Motif[]}} p */
export const Motifs = ({ motifs }) => html`
  <defs>${motifs.map((m, i) => html`<g id=${idOf(i)}>${m.pieces.map(p => html`<${Felt} ...${p} />`)}</g>`)}</defs>`;

/** Their pieces, each by its own id. @param {{motifs: Motif[]}} p */
export const Pieces = ({ motifs }) => html`
  <defs>${motifs.map((m, i) => m.pieces.map((p, j) => html`<${Felt} ...${p} id=${idOf(i, j)} />`))}</defs>`;

/** Where a motif lies. @param {number} x @param {number} y @param {number} turn degrees @param {number} size @param {boolean} [flipped] */
export const placed = (x, y, turn, size, flipped) => `translate(${x} ${y}) rotate(${turn}) scale(${flipped ? -size : size} ${size})`;
