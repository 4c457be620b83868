// How wide a field is where the browser cannot fit one to its words by itself
// (field-sizing, which browsers learned from 2024 to 2026).

const known = globalThis.CSS?.supports?.('field-sizing', 'content') ?? true;

const ARROW = 14; // px, of a choice
const CARET = 2;  // px behind the last letter

/** @type {CanvasRenderingContext2D | undefined} */
let pen;

/**
 * The style that fits a field to its words; undefined where the browser does it.
 * @param {string} words
 * @param {boolean} [choice] it has an arrow behind them
 * @returns {{width: string} | undefined}
 */
export function fitted(words, choice = false) {
  if (known) return undefined;
  pen ??= /** @type {CanvasRenderingContext2D} */ (document.createElement('canvas').getContext('2d'));
  const { fontSize, fontFamily } = getComputedStyle(document.body);
  pen.font = `${fontSize} ${fontFamily}`;
  return { width: `${Math.ceil(pen.measureText(words).width) + (choice ? ARROW : CARET)}px` };
}
