// The scale of a field's tape: in its unit, with marks a maker knows from her own.

import { mmOf, parseLength, parseNumber, showNumber, trim } from './measure.js';

/**
 * @typedef {import('./fields.js').About & {schema?: any}} About
 * @typedef {import('./measure.js').Unit} Unit
 * @typedef {{from: number, to: number, step: number, every: number}} Scale in the unit; every so many steps stands a number
 */

const INCH_STEPS = [1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 5]; // as dressmakers' tapes divide an inch, then whole inches
const EVERY = [1, 2, 4, 5, 8, 10, 16, 20, 40, 50, 100];
const MOST_NUMBERS = 9;   // that fit on a tape 320 px wide
const DECIMALS = 3;       // enough for a sixteenth of an inch or a hundredth of anything
const NEAR = 1e-9;

/**
 * The scale of a tape, widened where the present value lies outside it; null where the
 * field has none.
 * @param {About} about
 * @param {string} text the present value
 * @param {Unit} unit
 * @returns {Scale|null}
 */
export function scaleOf(about, text, unit) {
  if (!about.tape) return null;
  const [from, to, step] = inUnit(about, unit), now = valueOf(about, text, unit);
  const low = Number.isFinite(now) ? Math.min(from, Math.floor(now / step + NEAR) * step) : from;
  const high = Number.isFinite(now) ? Math.max(to, Math.ceil(now / step - NEAR) * step) : to;
  const steps = (high - low) / step;
  return { from: round(low), to: round(high), step, every: EVERY.find(k => steps / k < MOST_NUMBERS) ?? roundUp(steps / MOST_NUMBERS) };
}

/** The unit that a field's lengths are shown in, of a project's. @param {About} about @param {Unit} unit @returns {Unit} */
export function unitFor(about, unit) {
  if (!about.long) return unit;
  return unit === 'in' ? 'yd' : 'm';
}

/** The next of 1, 2, 5, 10, 20, 50 and so on. @param {number} n */
function roundUp(n) {
  const ten = 10 ** Math.floor(Math.log10(n));
  return ten * [1, 2, 5, 10].find(k => k * ten >= n);
}

/** @param {About} about @param {Unit} unit @returns {[number, number, number]} */
function inUnit(about, unit) {
  const [from, to, step] = /** @type {[number, number, number]} */ (about.tape);
  if (about.kind !== 'length') return [from, to, step];
  const per = about.long ? mmOf('m') : mmOf(unit); // as many yards as metres
  if (unit !== 'in') return [from / per, to / per, step / per];
  const inches = INCH_STEPS.reduce((best, s) => (Math.abs(Math.log(s * per / step)) < Math.abs(Math.log(best * per / step)) ? s : best));
  return [Math.floor(from / per / inches) * inches, Math.ceil(to / per / inches) * inches, inches];
}

/** What a text is on the scale, NaN where it is none. @param {About} about @param {string} text @param {Unit} unit */
export function valueOf(about, text, unit) {
  return about.kind === 'length' ? parseLength(text, unit) / mmOf(unit) : parseNumber(text);
}

/** The text that stands for a place on the scale. @param {About} about @param {number} value @param {Unit} unit */
export function textOf(about, value, unit) {
  return about.kind === 'length' ? `${numeral(about, value, unit)} ${unit}` : numeral(about, value, unit);
}

/** Its number alone, as it stands on the tape. @param {About} about @param {number} value @param {Unit} unit */
export function numeral(about, value, unit) {
  return about.kind === 'length' ? showNumber(value * mmOf(unit), unit) : trim(value, DECIMALS);
}

/**
 * One step up or down from a text; null where it is no number.
 * @param {About} about
 * @param {string} text
 * @param {Unit} unit
 * @param {1|-1} way
 */
export function stepped(about, text, unit, way) {
  if (!about.tape) return null;
  const now = valueOf(about, text, unit), [, , step] = inUnit(about, unit);
  if (!Number.isFinite(now)) return null;
  const least = about.schema?.min ?? 0;
  const on = Math.round(now / step) * step, next = Math.abs(on - now) < step * NEAR ? on + way * step : way > 0 ? Math.ceil(now / step) * step : Math.floor(now / step) * step;
  const limit = about.kind === 'length' ? 0 : Math.min(least, about.tape[0]);
  return textOf(about, Math.max(round(next), limit), unit);
}

/** The step of a scale that is nearest to a place. @param {Scale} s @param {number} value */
export const onStep = (s, value) => Math.min(s.to, Math.max(s.from, round(Math.round(value / s.step) * s.step)));

/** The numbered places of a scale. @param {Scale} s @returns {number[]} */
export function numbered(s) {
  const out = [], by = s.step * s.every;
  for (let at = Math.ceil(s.from / by - NEAR) * by; at <= s.to + NEAR; at += by) out.push(round(at));
  return out;
}

/** Every tick of a scale. @param {Scale} s @returns {number[]} */
export function ticks(s) {
  const n = Math.round((s.to - s.from) / s.step), fine = n > 120 ? s.every / 2 : 1, out = [];
  for (let i = 0; i <= n; i += Math.max(1, Math.floor(fine))) out.push(round(s.from + i * s.step));
  return out;
}

/** @param {number} n */
const round = n => +n.toFixed(6);
