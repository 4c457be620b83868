// A picture that can be enlarged and shifted, with its scale and a caption.

import { html, useLayoutEffect, useMemo, useRef, useState } from '../vendor/preact.js';
import { Camera } from './camera.js';
import { gestures, grow } from './gestures.js';

/**
 * @param {object} p
 * @param {string} p.view      which one: it keeps its own shot
 * @param {string} p.unit      "mm", "cm" or "in", of the scale
 * @param {string} p.label     what is shown, for those who do not see it
 * @param {any} p.caption      what stands below it
 * @param {(room: import('./camera.js').Room, k: number) => {box: number[], tree: any}} p.draw
 *   the picture in millimetres and its extent, for as many pixels as there are, and as many a millimetre
 */
export function Viewer({ view, unit, label, caption, draw }) {
  const svg = useRef(null), world = useRef(null), camera = useRef(/** @type {Camera | null} */ (null));
  const [room, setRoom] = useState(/** @type {import('./camera.js').Room | null} */ (null));
  const [shot, setShot] = useState({ k: 1, own: false });
  useLayoutEffect(() => {
    camera.current = new Camera(view, svg.current, world.current, setShot);
    const sized = new ResizeObserver(([e]) => setRoom({ w: e.contentRect.width, h: e.contentRect.height }));
    sized.observe(svg.current);
    setRoom({ w: svg.current.clientWidth, h: svg.current.clientHeight });
    const end = gestures(svg.current, camera.current);
    return () => { end(); sized.disconnect(); };
  }, [view]);
  const { box, tree } = useMemo(() => room ? draw(room, shot.k) : { box: null, tree: null }, [draw, room, shot.k]);
  useLayoutEffect(() => { if (box && room) camera.current?.show(box, room); }, [view, box?.join(), room]);
  return html`
    <div class="shot">
      <svg ref=${svg} tabindex="0" role="application" aria-roledescription="picture" aria-label=${label} aria-describedby="cap"><g ref=${world}>${tree}</g></svg>
      <${Scale} k=${shot.k} unit=${unit} own=${shot.own} camera=${camera} />
    </div>
    <p class="cap" id="cap">${caption}</p>`;
}

/** @type {Record<string, {mm: number, lengths: number[]}>} round lengths that a scale may show, in its unit */
const scales = {
  mm: { mm: 1, lengths: [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000] },
  cm: { mm: 10, lengths: [0.2, 0.5, 1, 2, 5, 10, 20, 50, 100] },
  in: { mm: 25.4, lengths: [0.125, 0.25, 0.5, 1, 2, 4, 6, 12, 24, 36, 72] },
};
const leastBar = 46; // pixels: a shorter bar cannot be compared with the picture by eye

/** A scale, with buttons that enlarge. @param {{k: number, unit: string, own: boolean, camera: {current: Camera | null}}} p */
export function Scale({ k, unit, own, camera }) {
  const { mm, lengths } = scales[unit] ?? scales.cm;
  const long = lengths.find(l => l * mm * k >= leastBar) ?? lengths[lengths.length - 1];
  const written = unit === 'in' && long < 1 ? { 0.125: '⅛', 0.25: '¼', 0.5: '½' }[long] : long;
  return html`
    <div class="scale ${own ? 'own' : ''}">
      <button type="button" class="step" aria-label="Smaller" onClick=${() => camera.current?.zoom(1 / grow)}>−</button>
      <span class="bar"><i style=${{ width: `${(long * mm * k).toFixed(1)}px` }}></i><span>${written} ${unit}</span></span>
      <button type="button" class="step" aria-label="Larger" onClick=${() => camera.current?.zoom(grow)}>+</button>
      <button type="button" class="word" onClick=${() => camera.current?.all()}>whole<span class="vh"> picture</span></button>
    </div>`;
}

/** About how wide a letter of words on a picture is, in pixels: a little more than the mean of the fonts named in page.css. */
const letter = 6.6;

/** Whether words fit into a width in pixels. @param {string} text @param {number} wide */
export const fits = (text, wide) => text.length * letter <= wide;

/**
 * Words on a picture that keep their size however far it is enlarged.
 * @param {object} p
 * @param {number[]} p.at     of their middle, millimetres
 * @param {number} [p.turn]   degrees
 * @param {number} [p.down]   pixels below it, for one more line
 * @param {string} [p.kind]   class of the text
 * @param {any} p.children
 */
export function Words({ at, turn = 0, down = 0, kind = '', children }) {
  const place = `translate(${at[0]}px, ${at[1]}px) rotate(${turn}deg) scale(calc(1 / var(--k, 1)))`;
  return html`<g style=${{ transform: place }}><text class=${kind} y=${down}>${children}</text></g>`;
}
