// The skirt spread flat with its cutouts.

import { html, useLayoutEffect, useRef } from '../vendor/preact.js';
import { Viewer, Words, fits } from './viewer.js';
import { Motifs, idOf, placed } from './motifs.js';

/** How far a second line of words lies below the first, and words beside an edge from it, in pixels. */
const nextLine = 17, beside = 12;

/** Enlarged so far, in pixels a millimetre, cutouts carry their numbers: there is room beside a small one. */
const numbered = 1.1;
/** Where a number stands, in pixels from the middle of its cutout. */
const off = 15;

/** @param {{store: any}} p */
export function Flat({ store: { marks, state } }) {
  if (!marks) return html`<p class="cap wait" id="cap">Laying out the cutouts …</p>`;
  const { flat } = marks;
  const draw = (/** @type {any} */ _, /** @type {number} */ k) => ({
    box: flat.box,
    tree: html`
      <${Motifs} motifs=${marks.motifs} />
      <clipPath id="cloth"><path d=${flat.stretches.map((/** @type {any} */ s) => s.d).join('')} clip-rule="evenodd" /></clipPath>
      ${flat.stretches.map((/** @type {any} */ s) => html`<${Stretch} ...${s} flat=${flat} />`)}
      <${Marks} marks=${marks.marks} />
      ${k >= numbered && marks.marks.map((/** @type {any} */ m) => html`<${Words} at=${m.at[0]} down=${-off} kind="label number">${m.n}<//>`)}
      ${flat.stretches.map((/** @type {any} */ s) => html`<path class="hem" d=${s.hem} /><path class="waist" d=${s.waist} />`)}
      ${flat.labels.map((/** @type {any} */ l) => html`<${Label} ...${l} k=${k} />`)}`,
  });
  const n = marks.marks.length;
  return html`<${Viewer} view="flat" unit=${state?.unit} draw=${draw}
    label=${`The skirt laid flat: ${n} ${n === 1 ? 'cutout' : 'cutouts'}. ${flat.words}`} caption=${flat.words} />`;
}

/** @param {any} p */
function Label({ text, short, at, turn, role, wide, out, k }) {
  const said = !wide || fits(text, wide * k) ? text : short;
  return said && html`<${Words} at=${at} turn=${turn} down=${role === 'gathered' ? nextLine : out * beside} kind=${`label ${role}`}>${said}<//>`;
}

/** @param {any} p */
const Stretch = ({ d, lining, seams, flat }) => html`
  <path d=${d} fill=${flat.bare} fill-rule="evenodd" />
  ${lining && html`<path d=${lining} fill=${flat.ground} fill-rule="evenodd" />`}
  <path class="seam under" d=${seams} /><path class="seam" d=${seams} />`;

/** The cutouts, drawn by hand and not as a tree: a slider moves hundreds of them at once. @param {{marks: any[]}} p */
function Marks({ marks }) {
  const group = useRef(null), pool = useRef(/** @type {Pool | null} */ (null));
  useLayoutEffect(() => {
    pool.current ??= new Pool(group.current);
    pool.current.draw(marks);
  }, [marks]);
  return html`<g ref=${group} class="marks" clip-path="url(#cloth)"></g>`;
}

const svgNames = 'http://www.w3.org/2000/svg';

/** Keeps an element for every cutout, and writes only the attributes that changed. */
class Pool {
  /** @param {SVGGElement} group */
  constructor(group) {
    this.group = group;
    /** @type {{use: SVGElement, is: Record<string, string | null>}[]} */
    this.kept = [];
  }

  /**
   * Draws the cutouts. Where a mark has several places the first one is chosen and
   * stands for it; the others are copies beyond a seam.
   * @param {{n: number, motif: number, size: number, hold: string, at: number[][]}[]} marks
   */
  draw(marks) {
    let i = 0;
    for (const m of marks) {
      m.at.forEach(([x, y, turn], k) => this.put(i++, {
        href: `#${idOf(m.motif)}`, transform: placed(x, y, turn, m.size),
        'data-mark': k ? null : String(m.n), 'data-hold': k ? null : m.hold,
      }));
    }
    for (const { use } of this.kept.splice(i)) use.remove();
  }

  /** @param {number} i @param {Record<string, string | null>} want */
  put(i, want) {
    if (i === this.kept.length) {
      const use = /** @type {SVGElement} */ (document.createElementNS(svgNames, 'use'));
      this.group.append(use);
      this.kept.push({ use, is: {} });
    }
    const { use, is } = this.kept[i];
    for (const name in want) {
      if (is[name] === want[name]) continue;
      is[name] = want[name];
      if (want[name] === null) use.removeAttribute(name);
      else use.setAttribute(name, /** @type {string} */ (want[name]));
    }
  }
}
