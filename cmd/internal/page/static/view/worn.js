// The skirt as it hangs, turned by dragging.

import { html, useLayoutEffect, useMemo, useRef, useState } from '../vendor/preact.js';
import { useAnswer } from './answers.js';
import { Camera } from './camera.js';
import { gestures } from './gestures.js';
import { Scale } from './viewer.js';
import { extent, meshOf } from './drape.js';
import { Colours } from './light.js';
import { Look, paintSkirt } from './paint.js';
import { bandOf, paintBand, paintInside } from './band.js';
import { throughNet } from './through.js';
import { atAngle, sideOf, Turner } from './turner.js';

/** @typedef {import('./drape.js').Folds} Folds */

/** The screen's own pixels are drawn up to this many a CSS pixel: beyond it nobody sees a difference. */
const finest = 2;

/** After the last movement, milliseconds until the fine picture is drawn. */
const rest = 120;

/** Of so many columns, and rows of gathers, one is drawn while the skirt turns: a third of the work. */
const coarse = 2;

/** Degrees between two stops of the range. */
const stop = 5;

/** The turn in degrees, kept while other views are looked at. */
const kept = { turn: 0 };

/** @param {{store: any}} p */
export function Worn({ store: { marks, state } }) {
  const { value: folds, failed } = useAnswer('folds', marks?.rev);
  const drawn = state?.fields['skirt.cut']?.text === 'outline';
  if (drawn || (folds && !folds.rows)) return html`<p class="cap wait" id="cap">${why(drawn)}</p>`;
  if (!folds || !state) return html`<p class="cap wait" id="cap">${failed || 'Hanging up the skirt …'}</p>`;
  return html`<${Hanging} folds=${folds} unit=${state.unit} />`;
}

/** Why nothing hangs. @param {boolean} drawn */
const why = drawn => (drawn
  ? 'Panels that you drew yourself do not say how they are worn, so strew cannot show them hanging. Look at them under Flat.'
  : 'There is no skirt here to hang up.');

/** @param {{folds: Folds, unit: string}} p */
function Hanging({ folds, unit }) {
  const canvas = useRef(null), camera = useRef(/** @type {Camera | null} */ (null)), turner = useRef(/** @type {Turner | null} */ (null));
  const [turn, setTurn] = useState(kept.turn), [shot, setShot] = useState({ k: 1, own: false });
  const picture = useMemo(() => new Picture(folds), [folds]), shown = useRef(picture);
  shown.current = picture;
  useLayoutEffect(() => {
    const el = canvas.current, paint = () => shown.current.soon(el, kept.turn, camera.current);
    const cam = camera.current = new Camera('worn', el, el, s => { setShot(s); paint(); });
    const turned = turner.current = new Turner(cam, el, kept.turn, degrees => { kept.turn = degrees; setTurn(degrees); paint(); });
    const show = () => cam.show(extent(shown.current.folds), { w: el.clientWidth, h: el.clientHeight });
    const sized = new ResizeObserver(show), end = gestures(el, /** @type {any} */ (turned));
    sized.observe(el);
    return () => { end(); turned.end(); sized.disconnect(); shown.current.end(); };
  }, []);
  useLayoutEffect(() => {
    const el = canvas.current;
    camera.current?.show(extent(folds), { w: el.clientWidth, h: el.clientHeight });
    return () => picture.end();
  }, [picture]);
  const shows = `${folds.shows_front} of ${folds.marks.length / 2} show from the front.`;
  return html`
    <div class="shot worn">
      <canvas ref=${canvas} tabindex="0" role="application" aria-roledescription="picture" aria-describedby="cap"
        aria-label=${`The skirt as it hangs, seen from the ${sideOf(turn)}. Left and right arrow keys turn it.`}></canvas>
      <${Scale} k=${shot.k} unit=${unit} own=${shot.own} camera=${camera} />
    </div>
    <div class="cap turning">
      <p id="cap">${shows} Where the folds fall is a guess; how much cloth is in them is not.</p>
      <label>turned <input type="range" min="-180" max="180" step=${stop} value=${Math.round(turn / stop) * stop}
        aria-valuetext=${atAngle(turn)} onInput=${(/** @type {any} */ e) => turner.current?.to(Number(e.target.value))} />
        <span class="side" aria-hidden="true">${sideOf(turn)}</span></label>
    </div>`;
}

/** Paints folds: coarse while something moves, fine once it rests. */
class Picture {
  /** @param {Folds} folds */
  constructor(folds) {
    this.folds = folds;
    /** @type {{fine?: import('./drape.js').Mesh, coarse?: import('./drape.js').Mesh}} made when first painted */
    this.meshes = {};
    this.colours = new Colours(folds.net);
    this.frame = 0;
    this.timer = 0;
  }

  /** @param {HTMLCanvasElement} canvas @param {number} degrees @param {Camera | null} camera */
  soon(canvas, degrees, camera) {
    if (!camera) return;
    const paint = (/** @type {boolean} */ fine) => this.paint(canvas, degrees, camera.shot(), fine);
    const moving = this.timer > 0;
    this.end();
    this.frame = requestAnimationFrame(() => paint(!moving));
    this.timer = window.setTimeout(() => { this.timer = 0; if (moving) paint(true); }, rest);
  }

  end() {
    cancelAnimationFrame(this.frame);
    clearTimeout(this.timer);
    this.timer = 0;
  }

  /** @param {boolean} fine */
  mesh(fine) {
    if (fine) return this.meshes.fine ??= meshOf(this.folds, 1);
    return this.meshes.coarse ??= meshOf(this.folds, coarse);
  }

  /** @param {HTMLCanvasElement} canvas @param {number} degrees @param {import('./camera.js').Shot} shot @param {boolean} fine */
  paint(canvas, degrees, shot, fine) {
    const dense = Math.min(finest, window.devicePixelRatio || 1), turn = degrees * Math.PI / 180;
    canvas.width = Math.round(canvas.clientWidth * dense);
    canvas.height = Math.round(canvas.clientHeight * dense);
    const ctx = canvas.getContext('2d'), { colours, folds } = this;
    if (!ctx) return;
    const at = { k: shot.k * dense, dx: shot.dx * dense, dy: shot.dy * dense };
    const look = new Look(this.mesh(fine), turn, at), band = bandOf(folds.band, turn, at);
    const banded = folds.band.height > 0;
    if (!banded) paintInside(ctx, band, colours);
    paintSkirt(ctx, look, colours, throughNet(ctx, look, colours));
    if (banded) paintInside(ctx, band, colours);
    if (banded) paintBand(ctx, band, colours);
  }
}
