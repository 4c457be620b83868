// Lengths as a maker writes them. The engine decides what a text means; this is
// only for tapes and arrow keys, which need a number at once.

const MM = { mm: 1, cm: 10, m: 1000, in: 25.4, '"': 25.4, inch: 25.4, inches: 25.4, yd: 914.4 };
const FRACTIONS = { '½': 1 / 2, '¼': 1 / 4, '¾': 3 / 4, '⅛': 1 / 8, '⅜': 3 / 8, '⅝': 5 / 8, '⅞': 7 / 8, '⅓': 1 / 3, '⅔': 2 / 3 };
const SIXTEENTHS = 16;    // the finest marks on a dressmaker's tape in inches
const ON_TAPE = 0.015;    // of a length this close to a mark is called by it, as the engine does

/** @typedef {'mm'|'cm'|'in'|'m'|'yd'} Unit the last two of cloth by the length */

/**
 * Reads a plain number: "4", "4,5", "4 1/2", "4½".
 * @param {string} text
 * @returns {number} NaN where it is none
 */
export function parseNumber(text) {
  const t = text.trim().replace(',', '.');
  const m = t.match(/^(-?\d*\.?\d+)?\s*(?:(\d+)\s*\/\s*(\d+)|([½¼¾⅛⅜⅝⅞⅓⅔]))?$/);
  if (!t || !m) {
    const lone = t.match(/^(\d+)\s*\/\s*(\d+)$/);
    return lone ? +lone[1] / +lone[2] : NaN;
  }
  if (m[1] && m[2] && !/\s/.test(t.slice(m[1].length, m[1].length + 1))) return ratio(t);
  return (m[1] ? +m[1] : 0) + (m[2] ? +m[2] / +m[3] : 0) + (m[4] ? FRACTIONS[m[4]] : 0);
}

/** @param {string} t "3/4" */
function ratio(t) {
  const [a, b] = t.split('/').map(Number);
  return a / b;
}

/**
 * Reads a length into millimetres; a bare number is in unit.
 * @param {string} text
 * @param {Unit} unit
 * @returns {number} NaN where it is none
 */
export function parseLength(text, unit) {
  const m = text.trim().match(/^(.*?)\s*(mm|cm|m|inches|inch|in|yd|")?$/);
  const mm = m && parseNumber(m[1]) * MM[m[2] || unit];
  return Number.isFinite(mm) ? mm : NaN;
}

/**
 * Writes millimetres as a length in unit: "11 cm", "4 1/2 in".
 * @param {number} mm
 * @param {Unit} unit
 */
export function showLength(mm, unit) {
  return `${showNumber(mm, unit)} ${unit}`;
}

/**
 * The number of a length alone: "11", "4 1/2".
 * @param {number} mm
 * @param {Unit} unit
 */
export function showNumber(mm, unit) {
  const n = mm / MM[unit];
  if (unit !== 'in') return trim(n, unit === 'cm' ? 2 : 1);
  for (const under of [SIXTEENTHS, 2 * SIXTEENTHS]) {
    const parts = Math.round(n * under);
    if (Math.abs(parts / under - n) <= ON_TAPE * Math.abs(n)) return fraction(parts, under);
  }
  return trim(n, 3);
}

/** @param {number} parts @param {number} of how many make an inch */
function fraction(parts, of) {
  const sign = parts < 0 ? '-' : '', all = Math.abs(parts), whole = Math.floor(all / of);
  let over = all % of, under = of;
  while (over && over % 2 === 0) { over /= 2; under /= 2; }
  if (!over) return sign + whole;
  return sign + (whole ? `${whole} ` : '') + `${over}/${under}`;
}

/**
 * A number with at most so many decimals and no trailing zeros.
 * @param {number} n
 * @param {number} decimals
 */
export function trim(n, decimals) {
  return String(+n.toFixed(decimals));
}

/** Millimetres of one unit. @param {Unit} unit */
export const mmOf = unit => MM[unit];
