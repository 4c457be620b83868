// Talks to the engine. Everything the page asks goes through the three functions
// here, so that another transport, such as a worker that holds the engine, takes
// their place and nothing else changes.

/** A call that was refused, with the reason in the maker's words. */
export class Refused extends Error {
  /** @param {string} text @param {Record<string, any>} [more] what else the answer says */
  constructor(text, more = {}) {
    super(text);
    this.more = more;
  }
}

const gone = 'strew does not answer, so this did nothing. What you changed before is kept, and is offered when you start strew again.';

/**
 * Asks for something and returns the answer: a value, or a Blob where it is a file.
 * @param {string} name
 * @param {object} [args]
 * @param {AbortSignal} [signal]
 * @returns {Promise<any>}
 */
export async function call(name, args = {}, signal) {
  let reply;
  try {
    reply = await fetch(`api/${name}`, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(args), signal });
  } catch (e) {
    if (signal?.aborted) throw e;
    throw new Refused(gone, { gone: true });
  }
  const json = reply.headers.get('Content-Type')?.startsWith('application/json');
  if (reply.ok) return json && name !== 'result' ? reply.json() : reply.blob();
  const said = json ? await reply.json() : {};
  throw new Refused(said.refused ?? gone, { ...said, status: reply.status });
}

/**
 * The address of a file, for a picture or a new window.
 * @param {string} name
 * @param {object} [args]
 * @returns {Promise<string>}
 */
export async function url(name, args = {}) {
  return `api/${name}?args=${encodeURIComponent(JSON.stringify(args))}`;
}

/**
 * Listens to what changes. A new listener hears the present value of every part
 * first. heard gets each part; connected is called with false when the engine cannot
 * be heard, and with true when it can again.
 * @param {(part: any) => void} heard
 * @param {(is: boolean) => void} connected
 * @returns {() => void} ends it
 */
export function listen(heard, connected) {
  const events = new EventSource('api/events');
  events.onopen = () => connected(true);
  events.onerror = () => connected(false);
  events.onmessage = e => heard(JSON.parse(e.data));
  return () => events.close();
}
