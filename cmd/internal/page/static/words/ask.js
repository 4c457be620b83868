// Calls whose refusal is shown rather than thrown.

import { call } from '../engine.js';

/**
 * Calls the engine; a refusal or a lost connection comes back as {refused: text}.
 * @param {string} name
 * @param {object} [args]
 * @returns {Promise<any>}
 */
export async function ask(name, args = {}) {
  try {
    return (await call(name, args)) ?? {};
  } catch (e) {
    return { ...e.more, refused: e.message || 'It did not work. Try once more.' };
  }
}

/** A file's bytes as base64. @param {Blob} file @returns {Promise<string>} */
export function bytesOf(file) {
  return new Promise((done, fail) => {
    const reader = new FileReader();
    reader.onload = () => done(String(reader.result).replace(/^[^,]*,/, ''));
    reader.onerror = () => fail(reader.error);
    reader.readAsDataURL(file);
  });
}
