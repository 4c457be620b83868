// Which choices are put side by side: spacings about the present one, and the patterns.

import { mmOf, showLength } from '../words/measure.js';
import { fields } from '../words/fields.js';

/**
 * @typedef {object} Choice
 * @property {string} id
 * @property {string} name   what a maker calls it
 * @property {boolean} now   as the project is
 * @property {{key: string, text: string}[]} edits that make it so
 */

const spacingKey = 'scatter.spacing', patternKey = 'scatter.pattern';

/** A step is a tenth of the spacing, in whole parts of the unit: two steps change the count by about half. */
const share = 0.1;

/** The parts that steps are counted in: half centimetres, half inches. @type {Record<string, number>} */
const parts = { mm: 5, cm: 5, in: mmOf('in') / 2 };

/** Steps to either side where spacings alone are compared, and with patterns: six choices at most. */
const alone = [-2, -1, 0, 1, 2], together = [0, 1];

/**
 * @param {any} state @param {any} marks
 * @param {'spacing' | 'pattern' | 'both'} axis
 * @param {string[]} many keys of which one decides how many cutouts there are
 * @returns {Choice[]}
 */
export function choices(state, marks, axis, many) {
  const own = state.fields[spacingKey], decides = own?.written && own.mm > 0;
  // One that was too close was widened.
  const mm = decides ? Math.max(own.mm, marks.found.spacing_mm) : marks.found.spacing_mm, now = state.fields[patternKey]?.text;
  const left = many.filter(k => k !== spacingKey && state.fields[k]?.written).map(key => ({ key, text: '' }));
  const spacings = axis === 'pattern' ? [0] : (axis === 'both' ? together : alone);
  const patterns = axis === 'spacing' ? [now] : Object.keys(words());
  return patterns.flatMap(pattern => spacings.flatMap(step => {
    const at = spaced(mm, step, state.unit), edits = [];
    if (at <= 0) return [];
    const far = showLength(at, state.unit);
    if (pattern !== now) edits.push({ key: patternKey, text: pattern });
    if (step) edits.push(...left, { key: spacingKey, text: far });
    const name = [axis !== 'spacing' && words()[pattern], axis !== 'pattern' && `${far} apart`].filter(Boolean).join(', ');
    return [{ id: `${pattern} ${far}`, name, now: !edits.length, edits }];
  }));
}

/** @returns {Record<string, string>} the patterns and their words */
const words = () => fields[patternKey].words;

/** @param {number} mm @param {number} step @param {string} unit */
function spaced(mm, step, unit) {
  const part = parts[unit] ?? parts.cm;
  if (!step) return mm;
  const by = Math.max(1, Math.round(mm * share / part)) * part;
  // Choices other than the present one are lengths a maker would name.
  return Math.round((mm + step * by) / part) * part;
}
