// Bringing a drawing: picked or dropped, checked for what a browser can tell, handed to
// the engine, and written into the project.

import { useEffect, useState } from '../vendor/preact.js';
import { act } from '../store.js';
import { ask, bytesOf } from './ask.js';
import { nameEdits, rounded } from './deeds.js';

/** @typedef {import('./values.js').Values} Values */

const DRAWINGS = /\.(svg|svgz|png|jpe?g|tiff?|webp|bmp|gif)$/i;
export const ACCEPT = '.svg,.png,.jpg,.jpeg,.tif,.tiff,.webp,.bmp,.gif';
const MOST_BYTES = 64 * 1024 * 1024; // what the engine reads of one drawing
const FIRST_WIDTH = 60;              // mm; a cutout of about a hand's width, to start from
const STARTER = 'ginkgo.svg';         // the drawing a new project begins with, in a width of its own
const NAME_LENGTH = 60;              // characters, as the project file allows

/** What stands under the cutouts or the skirt about the last drawing brought. */
let remark = { words: '', of: '', bad: false };
const listeners = new Set();

/** @param {string} words @param {string} of the key it was for, "" for a new cutout @param {boolean} [bad] */
function tell(words, of, bad = false) {
  remark = { words, of, bad };
  for (const f of listeners) f(remark);
}

/** The remark about the last drawing brought. */
export function useRemark() {
  const [now, set] = useState(remark);
  useEffect(() => { listeners.add(set); return () => { listeners.delete(set); }; }, []);
  return now;
}

/**
 * Why a file cannot be a drawing, and what would do; "" where it may be one.
 * @param {{name: string, size: number, type?: string}} file
 */
export function unfit({ name, size, type }) {
  if (/\.(heic|heif)$/i.test(name)) return `${name} is in a format few programs can read. Share or export the photograph as JPEG and bring that.`;
  if (/\.pdf$/i.test(name)) return `${name} is a PDF. Save the drawing as SVG or PNG, or take a picture of the page, and bring that.`;
  if (!DRAWINGS.test(name) && !/^image\/(svg|png|jpeg|tiff|webp)/.test(type ?? '')) return `${name} is not a drawing strew can read. SVG, PNG, JPEG, TIFF and WebP will do.`;
  if (size > MOST_BYTES) return `${name} is too large. A picture of up to 64 MB will do: make it smaller, or photograph it again with fewer pixels.`;
  return size ? '' : `${name} is empty. Bring the drawing again once it is saved.`;
}

/** Whether an SVG says how large it is in lengths of this world: then it is cut as it is drawn. @param {File} file */
async function isTrueSize(file) {
  return /\.svg$/i.test(file.name) && /<svg[^>]*\swidth\s*=\s*["'][\d.]+(mm|cm|in|pt|pc)["']/.test(await file.text());
}

/**
 * Brings one drawing: for a key, or as a new cutout.
 * @param {File} file
 * @param {Values} v
 * @param {string} [key] whose drawing it becomes; left out: a new cutout
 */
export async function bring(file, v, key = '') {
  const why = unfit(file);
  if (why) return tell(why, key, true);
  tell(`Reading ${file.name} …`, key);
  const answer = await ask('drawing', { name: file.name, data: await bytesOf(file) });
  if (answer.refused) return tell(answer.refused, key, true);
  const sized = await isTrueSize(file), first = v.text(key) === STARTER && sized ? [{ key: key.replace(/outline$/, 'width'), text: '' }] : [];
  const edits = key ? [{ key, text: answer.name }, ...renamed(file.name, v, key), ...first]
    : [{ add: 'motif', values: { name: freeName(file.name, v), outline: answer.name, ...(!sized && { width: rounded(FIRST_WIDTH, v.unit) }) } }];
  const at = key || `motif.${v.count('motif')}.outline`, checked = await ask('try', { edits, lay: false });
  if (checked.refused?.key === at) return tell(`${file.name}: ${checked.refused.text.replace(/^motif "[^"]*": /, '')}`, key, true); // nothing is changed
  tell(key ? `${file.name} is in.` : '', key);
  return act(edits, { live: false, words: `the drawing ${file.name}` });
}

/**
 * Opens the browser's file picker for a drawing.
 * @param {Values} v
 * @param {string} [key]
 */
export function askForDrawing(v, key) {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = ACCEPT;
  input.addEventListener('change', () => input.files?.[0] && bring(input.files[0], v, key));
  input.click();
}

/**
 * What was dropped: a drawing becomes a cutout, a project is handed on, a folder is refused.
 * @param {DataTransfer} data
 * @param {Values} v
 * @param {(file: File) => void} open takes a project file or a zip
 */
export function dropped(data, v, open) {
  const entry = data.items?.[0]?.webkitGetAsEntry?.();
  if (entry?.isDirectory) return tell(`${entry.name} is a folder. Bring the drawing that is in it, or use Open for a project.`, '', true);
  const file = data.files?.[0];
  if (!file) return undefined;
  return /\.(zip|toml)$/i.test(file.name) ? open(file) : bring(file, v);
}

/** A cutout that was called after its drawing is called after the new one. @param {string} fileName @param {Values} v @param {string} key */
function renamed(fileName, v, key) {
  const name = key.replace(/outline$/, 'name');
  const before = v.text(key).replace(/^.*[\\/]|\.[^.]*$/g, '');
  return key.startsWith('motif.') && v.text(name) === before ? nameEdits(name, freeName(fileName, v), v) : [];
}

/** A name for a cutout from its file's, not yet taken. @param {string} fileName @param {Values} v */
export function freeName(fileName, v) {
  const base = fileName.replace(/\.[^.]*$/, '').replace(/[_\s-]+/g, ' ').trim().slice(0, NAME_LENGTH - 4) || 'cutout';
  const taken = new Set(Array.from({ length: v.count('motif') }, (_, i) => v.text(`motif.${i}.name`)));
  for (let n = 1; ; n++) {
    const name = n === 1 ? base : `${base} ${n}`;
    if (!taken.has(name)) return name;
  }
}
