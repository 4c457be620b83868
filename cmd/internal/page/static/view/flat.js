// The skirt spread flat with its cutouts.

import { html, useLayoutEffect, useRef } from '../vendor/preact.js';
import { Viewer, Words, fits } from './viewer.js';
import { Motifs, idOf, placed } from './motifs.js';
import { inner } from './camera.js';

/** How far a second line of words lies below the first, and words beside an edge from it, in pixels. */
const nextLine = 17, beside = 12;

/** Enlarged so far, in pixels a millimetre, cutouts carry their numbers: there is room beside a small one. */
const numbered = 1.1;
/** Where a number stands, in pixels from the middle of its cutout. */
const off = 15;

/** Room for a line of words beside the cloth, in pixels. */
const lineRoom = 22;

/** How far apart the lines of a hatching are, and how far outside a cutout its ring runs, in pixels. */
const hatching = 7, ringed = 5;

/** @param {{store: any}} p */
export function Flat({ store: { marks, state } }) {
  if (!marks) return html`<p class="cap wait" id="cap">Laying out the cutouts …</p>`;
  const { flat } = marks, byHand = marks.marks.filter((/** @type {any} */ m) => m.hand);
  const stretches = flat.stretches.map((/** @type {any} */ s) => extent(s.d));
  const draw = (/** @type {any} */ room, /** @type {number} */ k) => ({
    box: roomy(flat, room),
    tree: html`
      <${Motifs} motifs=${marks.motifs} />
      <clipPath id="cloth"><path d=${flat.stretches.map((/** @type {any} */ s) => s.d).join('')} clip-rule="evenodd" /></clipPath>
      ${flat.stretches.map((/** @type {any} */ s) => html`<${Stretch} ...${s} flat=${flat} />`)}
      <${Patches} patches=${flat.patches} k=${k} />
      <${Marks} marks=${marks.marks} />
      ${byHand.map((/** @type {any} */ m) => html`<circle class="by-hand" cx=${m.at[0][0]} cy=${m.at[0][1]} r=${reach(marks.motifs[m.motif]) * m.size + ringed / k} />`)}
      ${k >= numbered && marks.marks.map((/** @type {any} */ m) => html`<${Words} at=${m.at[0]} down=${-off} kind="label number">${m.n}<//>`)}
      ${flat.stretches.map((/** @type {any} */ s) => html`<path class="hem" d=${s.hem} /><path class="waist" d=${s.waist} />`)}
      ${flat.labels.map((/** @type {any} */ l) => html`<${Label} ...${l} k=${k} inside=${l.role === 'panel' && crowded(flat.labels, stretches, k)} />`)}`,
  });
  const n = marks.marks.length;
  const words = [flat.words, flat.patches.length > 0 && 'hatched: kept bare', byHand.length > 0 && 'ringed: placed by hand'].filter(Boolean).join(' · ');
  return html`<${Viewer} view="flat" unit=${state?.unit} draw=${draw}
    label=${`The skirt laid flat: ${n} ${n === 1 ? 'cutout' : 'cutouts'}. ${words}`} caption=${words} />`;
}

/** How far a cutout reaches from its middle, millimetres. @param {{box: number[]}} motif left, top, right, bottom */
const reach = ({ box: [x0, y0, x1, y1] }) => Math.hypot(Math.max(-x0, x1), Math.max(-y0, y1));

/** Cloth that is kept bare. @param {{patches: string[], k: number}} p */
function Patches({ patches, k }) {
  if (!patches.length) return null;
  return html`
    <defs><pattern id="kept-bare" width=${hatching} height=${hatching} patternUnits="userSpaceOnUse" patternTransform=${`rotate(45) scale(${1 / k})`}><path d=${`M0 0V${hatching}`} class="hatch pale" /></pattern></defs>
    <g clip-path="url(#cloth)">${patches.map(d => html`<path class="patch" d=${d} fill="url(#kept-bare)" />`)}</g>`;
}

/** @param {any} p */
function Label({ text, short, at, turn, role, wide, out, k, inside }) {
  const said = [text, short].find(s => s && (!wide || fits(s, wide * k)));
  const down = role === 'gathered' ? nextLine : (inside ? -out : out) * beside;
  return said && html`<${Words} at=${at} turn=${turn} down=${down} kind=${`label ${inside ? 'on-cloth' : role}`}>${said}<//>`;
}

/**
 * Whether there is no room for the panels' names between their edges and a stretch below.
 * @param {any[]} labels @param {number[][]} stretches their extents @param {number} k
 */
const crowded = (labels, stretches, k) => labels.some(({ role, at: [x, y] }) => role === 'panel'
  && stretches.some(([x0, y0, x1]) => x > x0 - lineRoom / k && x < x1 + lineRoom / k && y0 > y && (y0 - y) * k < lineRoom));

/** The extent of path data of M, L and Z: left, top, right, bottom. @param {string} d */
function extent(d) {
  const numbers = (d.match(/-?[\d.]+/g) ?? []).map(Number), xs = numbers.filter((_, i) => i % 2 === 0), ys = numbers.filter((_, i) => i % 2);
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}

/** The flat picture's box with room for words above and below it, which do not get smaller with it. @param {any} flat @param {import('./camera.js').Room} room */
function roomy({ box: [x, y, w, h], labels }, room) {
  const { w: across, h: down } = inner(room), line = lineRoom / Math.min(across / w, down / h);
  const outside = labels.filter((/** @type {any} */ l) => l.out && Math.abs(l.turn) < LEVEL);
  const above = Math.max(0, ...outside.filter((/** @type {any} */ l) => l.out < 0).map((/** @type {any} */ l) => y - (l.at[1] - line)));
  const below = Math.max(0, ...outside.filter((/** @type {any} */ l) => l.out > 0).map((/** @type {any} */ l) => l.at[1] + line - (y + h)));
  return [x, y - above, w, h + above + below];
}

/** Words turned less than this many degrees take room above and below, not beside. */
const LEVEL = 45;

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
