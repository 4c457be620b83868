// The sheets of felt, side by side, with what is cut from each.

import { html } from '../vendor/preact.js';
import { Viewer, Words, fits } from './viewer.js';
import { Pieces, idOf, placed } from './motifs.js';
import { inRows } from './rows.js';
import { colourName } from '../words/colours.js';

/** Room for two lines of words below a sheet, and between sheets, in pixels. */
const below = 56, between = 18;
/** How far below a sheet its two lines stand, in pixels. */
const firstLine = 18, secondLine = 36;

/** @param {{store: any}} p */
export function Sheets({ store: { marks, lay, state } }) {
  const sheets = lay?.sheets;
  if (!marks || !sheets?.length) return html`<p class="cap wait" id="cap">${lay && !lay.working ? 'Nothing is cut from felt yet.' : 'Laying the cutouts on felt …'}</p>`;
  const draw = (/** @type {any} */ room, /** @type {number} */ k) => {
    const { box, at } = inRows(sheets.map((/** @type {any} */ s) => [s.w, s.h]), room, below, between);
    const form = titles(sheets[0]).findIndex((_, f) => sheets.every((/** @type {any} */ s) => fits(titles(s)[f], s.w * k + between)));
    return {
      box,
      tree: html`
        <${Pieces} motifs=${marks.motifs} />
        <defs><pattern id="left-over" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V7" class="hatch" /></pattern></defs>
        ${sheets.map((/** @type {any} */ s, /** @type {number} */ i) => html`<${Sheet} ...${s} at=${at[i]} k=${k} title=${titles(s)[form]} />`)}`,
    };
  };
  return html`<${Viewer} view="sheets" unit=${state?.unit} draw=${draw} label=${`${counted(sheets)} of felt`} caption=${caption(sheets)} />`;
}

/** What a sheet may be called, the fullest first; all sheets in view are called in the same way. @param {any} s */
const titles = s => [`${s.name}, ${colourName(s.colour)}`, colourName(s.colour), ''];

const counted = (/** @type {any[]} */ sheets) => `${sheets.length} ${sheets.length === 1 ? 'sheet' : 'sheets'}`;

/** @param {any[]} sheets */
function caption(sheets) {
  const said = [`${counted(sheets)} of felt.`];
  if (sheets.some(s => s.left.length > 0)) said.push('What is hatched is left over in one piece, worth keeping.');
  if (sheets.some(s => s.mirrored)) said.push('Seen from the back, as you draw on it: everything is mirrored.');
  return said.join(' ');
}

/** @param {any} p */
function Sheet({ name, colour, number, of, roll, w, h, margin, mirrored, used, left, pieces, title, at: [x, y], k }) {
  const which = of > 1 ? `${number} of ${of}` : roll ? 'one length' : 'one sheet';
  const full = titles({ name, colour })[0], wide = w * k + between;
  const more = [`${which}, ${Math.round(100 * used)} % cut`, which].find(t => fits(t, wide)) ?? (of > 1 ? number : '');
  return html`
    <g transform=${`translate(${x} ${y})`} role="img" aria-label=${`${full}, ${which}, ${pieces.length} pieces`}>
      <g transform=${mirrored ? `translate(${w} 0) scale(-1 1)` : null}>
        <rect class="sheet" width=${w} height=${h} /><rect width=${w} height=${h} fill=${colour} opacity=".28" />
        ${margin > 0 && html`<rect class="margin" x=${margin} y=${margin} width=${Math.max(0, w - 2 * margin)} height=${Math.max(0, h - 2 * margin)} />`}
        ${left.map((/** @type {number[]} */ [bx, by, bw, bh]) => html`<rect class="left-over" x=${bx} y=${by} width=${bw} height=${bh} fill="url(#left-over)" />`)}
        ${pieces.map((/** @type {any} */ p) => html`<use href=${`#${idOf(p.motif, p.piece)}`} transform=${placed(p.x, p.y, p.turn, p.size, p.flipped)} />`)}
      </g>
      <${Words} at=${[w / 2, h]} down=${firstLine} kind="label">${title}<//>
      <${Words} at=${[w / 2, h]} down=${title ? secondLine : firstLine} kind="label soft">${more}<//>
    </g>`;
}
