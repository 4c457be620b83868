// What a view asks the engine for when it is opened, and again when the plan changes.

import { useEffect, useState } from '../vendor/preact.js';
import { call } from '../engine.js';

/**
 * The answer to a call, asked anew for every revision; the earlier one stays until it comes.
 * @param {string} name
 * @param {number | undefined} rev of the plan that is done; undefined: none yet
 * @returns {{value: any, failed: string}}
 */
export function useAnswer(name, rev) {
  const [answer, set] = useState({ value: /** @type {any} */ (null), failed: '' });
  useEffect(() => {
    if (rev === undefined) return;
    const stop = new AbortController();
    call(name, {}, stop.signal).then(
      value => set({ value, failed: '' }),
      e => { if (!stop.signal.aborted) set(was => ({ ...was, failed: e.message })); },
    );
    return () => stop.abort();
  }, [name, rev]);
  return answer;
}
