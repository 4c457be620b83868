// What each mark of a tape would give: cutouts and felt, worked out in the background,
// one try at a time, nearest to the present value first.

import { useEffect, useState } from '../vendor/preact.js';
import { call } from '../engine.js';
import { placed } from './deeds.js';
import { mmOf, parseLength, showLength } from './measure.js';

/** @typedef {{cutouts?: number, felt?: string, refused?: boolean}} Give */

/** Tries of one project, and of no other. @type {{of: string, found: Map<string, Give>, running: boolean}} */
let tries = { of: '', found: new Map(), running: false };

/**
 * What key gives at each of these texts, as far as it is known yet.
 * @param {any} shown
 * @param {string} key
 * @param {string[]} texts
 * @param {string} now the present value
 * @returns {Map<string, Give>}
 */
export function useGives(shown, key, texts, now) {
  const [, redraw] = useState(0);
  const of = texts.length ? `${key} ${signature(shown.state, key)}` : '';
  const { state, lay, refused } = shown, at = state.rev; // what she asked for comes before what she might
  const quiet = !state.live && ((lay?.rev === at && !lay.working) || (refused?.rev === at && !!refused.text));
  useEffect(() => {
    if (!of || !quiet) return undefined;
    const stop = new AbortController(); // a change comes before what others would give
    run({ of, key, order: nearestFirst(texts, now, shown.state.unit), unit: shown.state.unit, signal: stop.signal, tell: () => redraw(n => n + 1) });
    return () => stop.abort();
  }, [of, quiet, texts.join('|')]);
  return tries.of === of ? tries.found : new Map();
}

/**
 * Works out what is missing, until it is no longer wanted.
 * @param {{of: string, key: string, order: string[], unit: any, signal: AbortSignal, tell: () => void}} job
 */
async function run(job) {
  if (tries.of !== job.of) tries = { of: job.of, found: new Map(), running: false };
  const mine = tries;
  for (const text of job.order) {
    while (mine.running && !job.signal.aborted) await pause();
    if (job.signal.aborted) return;
    if (mine.found.has(text)) continue;
    mine.running = true;
    try {
      const answer = await call('try', { edits: [{ key: job.key, text }], lay: true }, job.signal);
      mine.found.set(text, giveOf(answer, job.unit));
    } catch {
      return;
    } finally {
      mine.running = false;
    }
    job.tell();
  }
}

const PAUSE = 50; // ms; short beside a try, long beside nothing

const pause = () => new Promise(done => { setTimeout(done, PAUSE); });

/** @param {any} answer of "try" @param {import('./measure.js').Unit} unit @returns {Give} */
function giveOf(answer, unit) {
  if (answer.refused) return { refused: true };
  return { cutouts: placed(answer.marks), felt: feltOf(answer.order ?? [], unit) };
}

/**
 * Felt to buy, as short as it can be said: a number of sheets, a length off the roll, or both.
 * @param {any[]} order
 * @param {import('./measure.js').Unit} unit
 */
export function feltOf(order, unit) {
  const sheets = order.filter(o => !o.roll).reduce((n, o) => n + o.buy, 0);
  const length = toBuy(order.filter(o => o.roll).reduce((n, o) => n + o.buy, 0), unit);
  if (!length) return String(sheets);
  return sheets ? `${sheets} ${sheets === 1 ? 'sheet' : 'sheets'} and ${showLength(length, unit)}` : showLength(length, unit);
}

/** A length of felt as it is bought: up to the next half inch or centimetre. @param {number} mm @param {import('./measure.js').Unit} unit */
export function toBuy(mm, unit) {
  const step = unit === 'in' ? mmOf('in') / 2 : 10;
  return Math.ceil((mm - 0.5) / step) * step;
}

/** All of the project that a try depends on, but for the key that is tried. @param {any} state @param {string} key */
function signature(state, key) {
  return JSON.stringify(Object.entries(state.fields).filter(([k, f]) => f.written && k !== key && k !== 'title').map(([k, f]) => [k, f.text]));
}

/** @param {string[]} texts @param {string} now @param {any} unit */
function nearestFirst(texts, now, unit) {
  const far = t => Math.abs(parseLength(t, unit) - parseLength(now, unit)) || 0;
  return [...texts].sort((a, b) => far(a) - far(b));
}
