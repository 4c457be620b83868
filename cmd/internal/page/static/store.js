// What the page knows: the latest of each part that the engine tells, and what is
// being sent to it. The project itself lives in the engine.

import { useEffect, useState } from './vendor/preact.js';
import { call, listen, Refused } from './engine.js';

/**
 * @typedef {object} Store
 * @property {any} state    every control's value, what can be undone, where it is saved
 * @property {any} marks    the flat picture, motifs, marks, counts
 * @property {any} lay      the felt
 * @property {any} sum      what the whole comes to
 * @property {any} refused  why the present project cannot be planned; {} if it can
 * @property {boolean} connected
 * @property {{key: string, text: string} | null} denied  a change that could not be made at all
 */

/** @type {Store} */
let store = { state: null, marks: null, lay: null, sum: null, refused: {}, connected: true, denied: null };
/** @type {Set<(s: Store) => void>} */
const watchers = new Set();

/** @param {Partial<Store>} change */
function set(change) {
  store = { ...store, ...change };
  for (const w of watchers) w(store);
}

/** The present values, outside components. */
export const now = () => store;

/** @param {(s: Store) => void} fn @returns {() => void} ends it */
export function watch(fn) {
  watchers.add(fn);
  return () => watchers.delete(fn);
}

/** The present values, in a component, which is drawn again when one changes. */
export function useStore() {
  const [s, see] = useState(store);
  useEffect(() => {
    see(store);
    return watch(see);
  }, []);
  return s;
}

/** Starts listening to the engine. */
export function start() {
  return listen(m => set({ [m.part]: m }), connected => set({ connected }));
}

/**
 * Why a control's value is refused; '' if it is not.
 * @param {Store} s
 * @param {string} key
 */
export function refusalOf(s, key) {
  if (s.denied?.key === key) return s.denied.text;
  if (s.state?.refused[key]) return s.state.refused[key];
  return s.refused?.key === key ? s.refused.text ?? '' : '';
}

// ---- sending ------------------------------------------------------------------------

/** @typedef {{edits: any[], live: boolean, words: string, done: (answer: any) => void}} Sending */

/** @type {Sending[]} */
const queue = [];
let sending = false;
/** How many changes that are made by no edits are on their way. */
let changing = 0;
/** The latest revision that a change gave; what is told of it may come later. */
let acted = 0;

/** How long a sliding control waits for its picture before the next value is sent: longer plans are cut short instead. */
const longest = 250;

/**
 * Changes the project. live: the control is still being slid or typed in; only the
 * latest such change is sent, and once the picture of the last one is there.
 * @param {any[]} edits
 * @param {{live?: boolean, words?: string}} [how]
 * @returns {Promise<{rev?: number, refused?: string}>}
 */
export function act(edits, { live = false, words = '' } = {}) {
  return new Promise(done => {
    const last = queue.at(-1);
    if (live && last?.live) {
      queue.pop();
      last.done({});
    }
    queue.push({ edits, live, words, done });
    set({ denied: null });
    pump();
  });
}

async function pump() {
  if (sending) return;
  sending = true;
  while (queue.length > 0) {
    const { edits, live, words, done } = /** @type {Sending} */ (queue.shift());
    try {
      const { rev } = await call('act', { edits, live, words });
      acted = Math.max(acted, rev);
      if (live) await pictured(rev);
      done({ rev });
    } catch (e) {
      const text = e instanceof Refused ? e.message : String(e);
      set({ denied: { key: edits[0]?.key ?? '', text } });
      done({ refused: text });
    }
  }
  sending = false;
  set({});
}

/** Waits until a revision is drawn, or refused, or took too long. */
function pictured(/** @type {number} */ rev) {
  return new Promise(done => {
    const there = (/** @type {Store} */ s) => s.marks?.rev >= rev || (s.refused?.text && s.refused.rev >= rev);
    if (there(store)) return done(null);
    const end = () => { off(); clearTimeout(timer); done(null); };
    const timer = setTimeout(end, longest);
    const off = watch(s => there(s) && end());
  });
}

/**
 * How far the answer is: 'working' from a change on, 'done' once counts and lay are
 * those of the controls, 'refused' where the controls cannot be planned.
 * @param {Store} s
 */
export function phase(s) {
  if (sending || changing > 0 || queue.length > 0 || !s.state) return 'working';
  const rev = Math.max(acted, s.state.rev);
  if (s.refused?.text && s.refused.rev >= rev) return 'refused';
  return s.lay?.rev >= rev && !s.lay.working && s.marks?.rev >= rev ? 'done' : 'working';
}

/** Resolves once the present plan is done, costs and all; rejects where it is refused. */
export function finished() {
  return new Promise((done, fail) => {
    const settled = (/** @type {Store} */ s) => {
      const p = phase(s);
      if (p === 'refused') return fail(new Refused(s.refused.text)), true;
      return p === 'done' && s.sum?.rev >= Math.max(acted, s.state.rev) && (done(s), true);
    };
    if (settled(store)) return;
    const off = watch(s => { if (settled(s)) off(); });
  });
}

/**
 * A change that is not made by edits: undo, redo, back, example, begin.
 * @param {string} name
 * @param {object} [args]
 */
export async function change(name, args) {
  changing++;
  set({ denied: null });
  try {
    const answer = await call(name, args);
    acted = Math.max(acted, answer.rev ?? 0);
    return answer;
  } finally {
    changing--;
    set({});
  }
}

export const undo = () => change('undo');
export const redo = () => change('redo');
