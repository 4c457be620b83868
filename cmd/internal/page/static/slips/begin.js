// Begin your own: six questions, beside the picture, which shows the skirt after the
// first. Nothing is lost by it: the project before is one Undo away.

import { html, useLayoutEffect, useRef, useState } from '../vendor/preact.js';
import { act, change, refusalOf } from '../store.js';
import { ask } from '../words/ask.js';
import { askForDrawing, useRemark } from '../words/bring.js';
import { cutEdits, rounded } from '../words/deeds.js';
import { fields } from '../words/fields.js';
import { parseLength, showLength } from '../words/measure.js';
import { reader } from '../words/values.js';
import { Refusal, Slip } from './slip.js';

const INCH = 25; // mm; near enough for an example that reads well in both
const INCHES = { 'skirt.waist': 28, 'skirt.hip': 38, 'skirt.length': 24 };
const LENGTH = { cm: '60 cm', mm: '600 mm', in: '24 in' }; // a knee-length skirt, until she says
const HIP_OVER_WAIST = 260; // mm; between the two as bodies go, until she says; common practice, no source

/** Felt as it is commonly sold; common practice, no source. Lengths in millimetres. */
const FELTS = [
  { say: 'A4 sheets', name: 'craft felt A4', width: 210, height: 297 },
  { say: 'larger sheets, 30 × 45 cm', name: 'craft felt 30 × 45', width: 300, height: 450 },
  { say: 'felt off the roll, 90 cm wide', name: 'felt off the roll', width: 900, roll: true },
];

/** What the starter has in centimetres, as a maker would choose it in inches. */
const IN_INCHES = {
  'skirt.waistband': '1 1/2 in', 'skirt.seam_allowance': '1/2 in', 'skirt.fabric_width': '60 in', 'lining.fabric_width': '54 in', 'lining.shorter_by': '1 in',
  'motif.0.width': '2 1/2 in', 'scatter.spacing': '4 1/2 in', 'clearance.between': '5/8 in', 'clearance.waist': '2 1/2 in', 'clearance.hem': '5/8 in', 'cutting.gap': '1/8 in',
};

const GATHERED = '2'; // a gathered rectangle is about twice the waist; common practice, no source

/**
 * How full the top edge must be so that the skirt can be pulled on over the hips: as long
 * as they are round, or as a gathered one is made.
 * @param {string} cut @param {string} waist @param {string} hip @param {import('../words/measure.js').Unit} unit
 */
function fullnessFor(cut, waist, hip, unit) {
  const ratio = parseLength(hip, unit) / parseLength(waist, unit);
  if (cut === 'rectangle' || !(ratio > 0)) return GATHERED;
  return String(Math.max(1, Math.ceil(ratio * 10 - 1e-9) / 10));
}

/** A hip that goes with a waist; none for a waist that cannot be read. @param {string} waist @param {import('../words/measure.js').Unit} unit */
function hipFor(waist, unit) {
  const mm = parseLength(waist, unit);
  return mm > 0 ? rounded(mm + HIP_OVER_WAIST, unit) : '';
}

/** A usual measure, to show how one is written. @param {string} key @param {import('../words/measure.js').Unit} unit */
const example = (key, unit) => (unit === 'in' ? `${INCHES[key]} in` : showLength(INCHES[key] * INCH, unit));

/** @typedef {{key: string, ask: string, help: string}} Question */

/** @type {Question[]} */
const QUESTIONS = [
  { key: 'skirt.waist', ask: 'What is the waist measurement?', help: fields['skirt.waist'].hint },
  { key: 'skirt.hip', ask: 'What is the hip measurement?', help: 'Round the widest place. A lining is cut to it.' },
  { key: 'skirt.length', ask: 'How long should the skirt be?', help: fields['skirt.length'].hint },
  { key: 'skirt.cut', ask: 'How is it cut?', help: 'You can try each: the picture follows.' },
  { key: 'motif', ask: 'What lies on it?', help: 'A drawing, a scan or a photograph of one. A ginkgo leaf lies there until you bring your own.' },
  { key: 'sheet', ask: 'Which felt do you have?', help: 'You can add other kinds later.' },
];

const STARTER = 'ginkgo.svg', BROUGHT = 'You can bring others later.';

/** @param {{close: () => void, shown: any}} props */
export function Begin({ close, shown }) {
  const [step, setStep] = useState(0), last = step === QUESTIONS.length - 1;
  return html`<${Slip} title="Begin your own" close=${close} beside=${true} notNow=${step ? 'Leave the rest for later' : 'Not now'}>
    <p class="soft">Question ${step + 1} of ${QUESTIONS.length}</p>
    <${Ask} key=${step} q=${QUESTIONS[step]} shown=${shown} first=${step === 0} last=${last} back=${() => setStep(step - 1)} next=${() => (last ? close() : setStep(step + 1))} /><//>`;
}

/** One question. Its field has the focus, with what stood there selected, so that typing replaces it. */
function Ask({ q, shown, first, last, back, next }) {
  const v = reader(shown), form = useRef(null);
  const [text, setText] = useState(first || !q.key.includes('.') ? '' : v.text(q.key)), [why, setWhy] = useState(''), [busy, setBusy] = useState(false);
  useLayoutEffect(() => { const field = form.current.querySelector('input,select,button'); field.focus(); field.select?.(); }, []);
  const submit = async e => {
    e.preventDefault();
    if (busy) return;
    setBusy(true);
    const refused = await answer(q, text, first, v);
    setBusy(false);
    if (refused) setWhy(refused); else next();
  };
  return html`<form ref=${form} onSubmit=${submit}><h3><label for="begin-answer">${q.ask}</label></h3>
    <${Input} q=${q} text=${text} setText=${setText} v=${v} />
    <p class="hint" id="begin-help">${q.key === 'motif' && v.text('motif.0.outline') !== STARTER ? BROUGHT : q.help}</p><${Refusal} words=${why || (!first && refusalOf(shown, q.key))} />
    <p class="row">${!first && html`<button type="button" class="go" onClick=${back}>Back</button>`}
      <button type="submit" class="go first" aria-disabled=${String(busy)}>${last ? 'Done' : 'Next'}</button></p></form>`;
}

/** The field of one question. */
function Input({ q, text, setText, v }) {
  const typed = e => setText(e.currentTarget.value);
  if (q.key === 'motif') return html`<${Drawing} v=${v} />`;
  if (q.key === 'sheet') return html`<select id="begin-answer" value=${text || '0'} onChange=${typed}>${FELTS.map((f, i) => html`<option key=${i} value=${String(i)}>${f.say}</option>`)}</select>`;
  if (q.key === 'skirt.cut') return html`<select id="begin-answer" value=${text || 'circle'} onChange=${e => { typed(e); act(cutOf(v, e.currentTarget.value), { live: false, words: 'the cut' }); }}>
    ${Object.entries(fields[q.key].words).map(([word, say]) => html`<option key=${word} value=${word}>${say}</option>`)}</select>`;
  return html`<input id="begin-answer" type="text" value=${text} placeholder=${example(q.key, v.unit)} autocomplete="off" aria-describedby="begin-help" onInput=${typed} />`;
}

function Drawing({ v }) {
  const remark = useRemark();
  return html`<p><button id="begin-answer" type="button" class="go" onClick=${() => askForDrawing(v, v.count('motif') ? 'motif.0.outline' : '')}>Bring a drawing</button></p>
    ${remark.words && html`<p class=${remark.bad ? 'refuse' : 'note'} role="status">${remark.words}</p>`}`;
}

/**
 * Writes one answer.
 * @param {Question} q @param {string} text @param {boolean} first @param {import('../words/values.js').Values} v
 * @returns {Promise<string>} why it was refused, or ""
 */
async function answer(q, text, first, v) {
  if (q.key === 'motif') return '';
  if (first) return begin(text, v);
  if (q.key === 'sheet') return felt(FELTS[+text || 0], v);
  if (!text && q.key === 'skirt.length') return 'Write a length, such as 60 cm.';
  const edits = q.key === 'skirt.cut' ? cutOf(v, text || 'circle') : [{ key: q.key, text }];
  if (q.key === 'skirt.hip') edits.push({ key: 'skirt.fullness', text: fullnessFor(v.text('skirt.cut'), v.text('skirt.waist'), text, v.unit) });
  const checked = await ask('try', { edits, lay: false });
  if (checked.refused?.key === q.key) return checked.refused.text; // the skirt stays as it is
  const done = await act(edits, { live: false, words: fields[q.key].label });
  return done.refused ?? '';
}

/** The edits of a cut, with the fullness that goes with it. @param {import('../words/values.js').Values} v @param {string} cut */
function cutOf(v, cut) {
  return [...cutEdits(v, cut), ...(cut === 'outline' ? [] : [{ key: 'skirt.fullness', text: fullnessFor(cut, v.text('skirt.waist'), v.text('skirt.hip'), v.unit) }])];
}

/** @param {string} waist @param {import('../words/values.js').Values} v */
async function begin(waist, v) {
  if (!waist.trim()) return 'Write a length, such as 68 cm.';
  const unit = /["″]|\bin/.test(waist) ? 'in' : v.unit, hip = hipFor(waist, unit);
  const inInches = unit === 'in' ? Object.entries(IN_INCHES).map(([key, text]) => ({ key, text })) : [];
  const edits = [
    { remove: 'motif.1' }, { key: 'motif.0.sizes', text: '1' }, { key: 'motif.0.share', text: '' }, { key: 'lining.circle', text: '' }, { key: 'unit', text: unit }, ...inInches,
    { key: 'skirt.hip', text: hip }, { key: 'skirt.fullness', text: fullnessFor('circle', waist, hip, unit) },
    { key: 'skirt.cut', text: 'circle' }, { key: 'skirt.waist', text: waist }, { key: 'skirt.length', text: LENGTH[unit] }];
  const checked = await ask('try', { edits, lay: false });
  if (checked.refused?.key === 'skirt.waist') return checked.refused.text;
  return change('begin', { edits }).then(() => '', e => e.message);
}

/** @param {(typeof FELTS)[number]} f @param {import('../words/values.js').Values} v */
async function felt(f, v) {
  const values = { name: f.name, width: rounded(f.width, v.unit), ...(f.roll ? { roll: 'true' } : { height: rounded(f.height, v.unit) }) };
  const gone = v.count('sheet') ? [{ remove: 'sheet.0' }] : [];
  await act([...gone, { add: 'sheet', values }], { live: false, words: 'the felt' });
  return '';
}
