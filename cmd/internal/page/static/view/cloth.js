// How net and lining are cut from cloth by the length.

import { html } from '../vendor/preact.js';
import { Viewer, Words, fits } from './viewer.js';
import { useAnswer } from './answers.js';
import { inRows } from './rows.js';
import { showLength } from '../words/measure.js';

/** Room for the words below a cloth, and between cloths, in pixels. */
const below = 44, between = 44;
const firstLine = 20; // pixels below the cloth
const leastTall = 15; // pixels that a piece must be high to carry its name

/** @param {{store: any}} p */
export function Cloth({ store: { state, sum } }) {
  const { value: cloths, failed } = useAnswer('cloth', sum?.rev);
  if (!cloths) return html`<p class="cap wait" id="cap">${failed || 'Working out the cloth …'}</p>`;
  if (cloths.length === 0) return html`<p class="cap wait" id="cap">There is no skirt, so no cloth to cut.</p>`;
  const draw = (/** @type {any} */ room, /** @type {number} */ k) => {
    // Cloth lies lengthwise across a wide screen, and down a narrow one.
    const lying = room.w > room.h;
    const sizes = cloths.map((/** @type {any} */ c) => lying ? [c.length, c.width] : [c.width, c.length]);
    const { box, at } = inRows(sizes, room, below, between);
    return { box, tree: cloths.map((/** @type {any} */ c, /** @type {number} */ i) => html`<${Length} ...${c} at=${at[i]} k=${k} lying=${lying} unit=${state?.unit} />`) };
  };
  return html`<${Viewer} view="cloth" unit=${state?.unit} draw=${draw} label=${cloths.map((/** @type {any} */ c) => c.words).join('. ')}
    caption=${html`${cloths.map((/** @type {any} */ c) => html`<span class="line">${c.words}</span>`)}${numbered(cloths) && html`<span class="line soft key">2·1 is layer 2, panel 1</span>`}`} />`;
}

/** Whether names have two numbers, which stand alone where there is little room. @param {any[]} cloths */
const numbered = cloths => cloths.some(c => c.pieces.some((/** @type {any} */ p) => /\d.*, .*\d/.test(p.name)));

/** One length of cloth. @param {any} p */
function Length({ part, colour, width, length, shapes, pieces, at: [x, y], k, lying, unit }) {
  const size = `${showLength(length, unit)} of ${part}, ${showLength(width, unit)} wide`, across = lying ? length : width;
  return html`
    <g transform=${`translate(${x} ${y})`}>
      <g transform=${lying ? `translate(0 ${width}) rotate(-90)` : null}>
        <rect class="sheet" width=${width} height=${length} />
        <path class="selvedge" d=${`M0 0V${length}M${width} 0V${length}`} />
        ${pieces.map((/** @type {any} */ p) => html`
          <rect class="allowance" x=${p.box[0]} y=${p.box[1]} width=${p.box[2]} height=${p.box[3]} />
          <path class="piece" d=${shapes[p.shape]} fill=${colour} fill-rule="evenodd" transform=${`translate(${p.x} ${p.y}) rotate(${p.turn})`} />`)}
      </g>
      ${pieces.map((/** @type {any} */ p) => html`<${Name} ...${p} lying=${lying} width=${width} k=${k} />`)}
      <${Words} at=${[across / 2, lying ? width : length]} down=${firstLine} kind="label">${fits(size, across * k + between) ? size : part}<//>
    </g>`;
}

/** The name of a piece where it is widest; where that does not fit, "layer 1, panel 2" is 1·2. @param {any} p */
function Name({ name, middle: [x, y], room: [w, h], lying, width, k }) {
  const [wide, tall] = lying ? [h, w] : [w, h];
  const brief = (name.match(/\d+/g) ?? []).join('·'), said = [name, brief].find(n => n && fits(n, wide * k));
  return said && tall * k >= leastTall && html`<${Words} at=${lying ? [y, width - x] : [x, y]} kind=${said === brief ? 'label on-cloth brief' : 'label on-cloth'}>${said}<//>`;
}
