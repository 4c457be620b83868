// What the words of the page promise, without a browser:
//   node --test cmd/internal/page/jstest/*.test.mjs

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { card, keysIn, parts } from '../static/words/sentences.js';
import { fields } from '../static/words/fields.js';
import { said } from '../static/words/said.js';
import { cutEdits, deeds, editsOf, MANY, manyEdits, placed } from '../static/words/deeds.js';
import { plain } from '../static/words/told.js';
import { colourName, labOf } from '../static/words/colours.js';
import { parseLength, parseNumber, showLength } from '../static/words/measure.js';
import { numbered, onStep, scaleOf, stepped, textOf, ticks, unitFor, valueOf } from '../static/words/scale.js';

/** The tables and keys of the project file, read from the one table that describes it. */
function schema() {
  const source = readFileSync(new URL('../../project/schema.go', import.meta.url), 'utf8');
  const tables = [];
  for (const line of source.split('\n')) {
    const table = line.match(/^\t\{name: "(\w*)",( many: true,)?.*keys: \[\]key\{/);
    if (table) tables.push({ name: table[1], many: !!table[2], keys: [] });
    const key = line.match(/^\t\t\{name: "(\w+)", is: (\w+)/);
    if (key) tables.at(-1).keys.push({ name: key[1], kind: key[2], words: line.match(/words: \[\]string\{([^}]*)\}/)?.[1].match(/[\w-]+/g) ?? [] });
  }
  return tables;
}

const keys = schema().flatMap(t => t.keys.map(k => ({ ...k, full: [t.name, ...(t.many ? ['#'] : []), k.name].filter(Boolean).join('.') })));
const sentences = [card, ...parts.flatMap(p => p.sentences)];
const clauses = s => [...s.say, ...(s.more ?? [])];
const texts = sentences.flatMap(clauses).map(c => (typeof c === 'string' ? c : c[1]));

// Keys without a place in a sentence, and why.
const ELSEWHERE = { title: 'it stands in the head of the page' };

test('every key of the project file can be set, and no other is named', () => {
  assert.ok(keys.length > 90, `only ${keys.length} keys were read from the schema`);
  const at = sentences.flatMap(s => keysIn(clauses(s)));
  assert.deepEqual(keys.map(k => k.full).filter(k => !at.includes(k) && !ELSEWHERE[k]), []);
  assert.deepEqual(at.filter(k => !keys.some(x => x.full === k)), [], 'a sentence has a key that the file has not');
});

test('every key has a name for those who cannot see the sentence', () => {
  for (const { full } of keys) assert.ok(fields[full]?.label, `${full} has no label`);
  const labels = Object.values(fields).map(f => f.label);
  assert.equal(new Set(labels).size, labels.length, 'two controls have the same name');
});

test('choices offer the words of the file and no others', () => {
  for (const k of keys.filter(x => x.kind === 'word')) {
    assert.deepEqual(Object.keys(fields[k.full].words).filter(Boolean).sort(), [...k.words].sort(), k.full);
  }
});

test('every length and number has a tape within what the file takes', () => {
  for (const k of keys.filter(x => ['length', 'gap', 'number', 'count'].includes(x.kind))) {
    const tape = fields[k.full].tape;
    assert.ok(tape && tape[0] < tape[1] && tape[2] > 0, `${k.full} has no tape`);
  }
});

test('every word worked out and every button in a sentence is known', () => {
  for (const text of texts) {
    for (const [, name] of text.matchAll(/\{=([^}]+)\}/g)) assert.equal(typeof said[name], 'function', name);
    for (const [, name] of text.matchAll(/\{!([^}]+)\}/g)) assert.ok(deeds[name]?.say, name);
  }
});

// The international inch is 25.4 mm exactly (ISO 80000-3, Annex).
test('lengths as a maker writes them', () => {
  for (const [text, unit, mm] of [
    ['11', 'cm', 110], ['11 cm', 'mm', 110], ['65mm', 'cm', 65], ['7,5 cm', 'cm', 75], ['2.4 m', 'cm', 2400], ['1 in', 'cm', 25.4],
    ['2 3/4 in', 'cm', 69.85], ['4½in', 'cm', 114.3], ['3/4"', 'cm', 19.05], ['1/2', 'in', 12.7], ['0', 'cm', 0],
  ]) assert.ok(Math.abs(parseLength(text, unit) - mm) < 1e-9, `${text} in ${unit}: ${parseLength(text, unit)}`);
  for (const text of ['', 'wide', '1/0', 'cm', '1 2 3', '--1']) assert.ok(Number.isNaN(parseLength(text, 'cm')), text);
  assert.equal(parseNumber('4,5'), 4.5);
});

// In inches as near as a tape shows it.
test('a length shown is the length typed back', () => {
  for (const unit of ['mm', 'cm', 'in']) {
    for (let i = 0; i <= 20000; i += 7) {
      const mm = i / 10, back = parseLength(showLength(mm, unit), unit);
      assert.ok(Math.abs(back - mm) <= Math.max(0.0501, unit === 'in' ? 0.015 * mm : 0), `${mm} mm in ${unit}: ${showLength(mm, unit)} is ${back}`);
    }
  }
  assert.equal(showLength(69.85, 'in'), '2 3/4 in');
  assert.equal(showLength(110, 'cm'), '11 cm');
});

test('a tape holds the value it is for, and steps lie on it', () => {
  for (const [key, about] of Object.entries(fields).filter(([, f]) => f.tape)) {
    for (const unit of ['mm', 'cm', 'in']) {
      const middle = textOf(about, (scaleOf(about, '', unit).from + scaleOf(about, '', unit).to) / 2, unit);
      const s = scaleOf(about, middle, unit), at = valueOf(about, middle, unit);
      assert.ok(s.from - 1e-6 <= at && at <= s.to + 1e-6, `${key} in ${unit}`);
      assert.ok(numbered(s).length >= 2 && numbered(s).length <= 10, `${key} in ${unit}: ${numbered(s)}`);
      assert.ok(ticks(s).length < 500, `${key} in ${unit}`);
      const up = stepped(about, middle, unit, 1);
      assert.ok(valueOf(about, up, unit) > at - 1e-3, `${key} in ${unit}: ${middle} up is ${up}`);
    }
  }
  const far = scaleOf(fields['skirt.waist'], '3 m', 'cm');
  assert.equal(far.to, 300);
});

// CIELAB of the sRGB primaries under D65, as in Bruce Lindbloom's calculator.
test('CIELAB of the primaries', () => {
  for (const [hex, lab] of [['#ff0000', [53.24, 80.09, 67.2]], ['#00ff00', [87.73, -86.18, 83.18]], ['#0000ff', [32.3, 79.19, -107.86]], ['#ffffff', [100, 0, 0]]]) {
    labOf(hex).forEach((v, i) => assert.ok(Math.abs(v - lab[i]) < 0.1, `${hex}: ${labOf(hex)}`));
  }
});

// Named colours of CSS Color Module Level 4 that a maker calls by the same name.
test('plain names of colours', () => {
  for (const [hex, name] of [['#000000', 'black'], ['#ffffff', 'white'], ['#ffff00', 'yellow'], ['#808080', 'grey'], ['#800080', 'purple'], ['#d2b48c', 'beige'], ['#008080', 'teal'], ['#e6e6fa', 'lavender']]) {
    const got = colourName(hex);
    assert.ok(got === name || (name === 'beige' && /sand|beige/.test(got)), `${hex} is called ${got}, not ${name}`);
  }
  assert.equal(colourName('moss'), '');
});

/** A reader of made-up values. @param {Record<string, string>} given */
const values = (given, more = {}) => ({
  text: k => given[k] ?? '', written: k => k in given, is: (k, ...w) => w.includes(given[k]), number: k => parseFloat(given[k]), mm: () => NaN,
  has: t => Object.keys(given).some(k => k.startsWith(`${t}.`)), count: () => 1, index: undefined, unit: 'cm', shown: more,
});

test('one key decides how many cutouts there are', () => {
  const shown = { marks: { motifs: [{ backs: -1 }, { backs: 0 }], counts: [{ motif: 0, placed: 150 }, { motif: 1, placed: 150 }], found: { spacing_mm: 110 } }, lay: { order: [{ need: 5 }, { need: 2 }] }, sum: { cost: { felt: 4.4 } } };
  assert.equal(placed(shown.marks), 150, 'patches behind cutouts are not counted');
  const want = { 'scatter.spacing': '11 cm', 'scatter.cutouts': '150', 'scatter.sheets': '7', 'scatter.budget': '5' };
  for (const from of Object.keys(MANY)) {
    for (const to of Object.keys(MANY).filter(k => k !== from)) {
      const edits = manyEdits(values({ [from]: '1' }, shown), to);
      assert.deepEqual(edits, [{ key: from, text: '' }, { key: to, text: want[to] }]);
    }
  }
});

test('a cut brings what it cannot do without and drops what it cannot have', () => {
  assert.deepEqual(cutEdits(values({ 'lining.girth': 'hip' }), 'outline'), [{ key: 'skirt.cut', text: 'outline' }, { remove: 'lining' }]);
  const gores = cutEdits(values({ 'skirt.waist': '70 cm' }), 'gores');
  assert.equal(gores[1].key, 'skirt.hem_girth');
  assert.ok(parseLength(gores[1].text, 'cm') > 700, 'a hem no wider than the waist does not flare');
  assert.equal(cutEdits(values({ 'skirt.hem_girth': '3 m' }), 'gores').length, 1);
});

test('felt off the roll has no height, and a sheet no price by length', () => {
  const v = { ...values({}), index: 1 }, keysOf = to => editsOf('sheet.#.roll', 'sheet.1.roll', to, v).map(e => [e.key, e.text]);
  assert.deepEqual(keysOf('true'), [['sheet.1.roll', 'true'], ['sheet.1.height', ''], ['sheet.1.stock', '']]);
  assert.deepEqual(keysOf('false'), [['sheet.1.roll', 'false'], ['sheet.1.price_per', ''], ['sheet.1.sold_by', ''], ['sheet.1.height', '29.7 cm']]);
});

test('cloth and thread by the length are told in metres or yards', () => {
  for (const key of Object.keys(fields).filter(k => fields[k].long)) {
    for (const [unit, whole] of /** @type {const} */ ([['cm', '2 m'], ['in', '2 yd']])) {
      const shown = unitFor(fields[key], unit), scale = scaleOf(fields[key], whole, shown);
      assert.equal(textOf(fields[key], 2, shown), whole);
      assert.equal(valueOf(fields[key], whole, shown), 2, `${key} in ${unit}`);
      assert.ok(scale && scale.from <= 2 && numbered(scale).length > 2, `${key}: ${JSON.stringify(scale)}`);
    }
  }
});

test('a tape slides by its steps, whatever lies between them', () => {
  const scale = scaleOf(fields['scatter.spacing'], '9.5 cm', 'cm');
  assert.equal(onStep(scale, 9.6), 10);
  assert.equal(onStep(scale, 9.4), 9);
  assert.equal(onStep(scale, 99), scale.to);
  assert.equal(valueOf(fields['scatter.spacing'], '9.5 cm', 'cm'), 9.5);
});

test('the numbers of a tape are round, however far it reaches', () => {
  for (const text of ['999', '123456', '3']) {
    const scale = scaleOf(fields['motif.#.share'], text, 'cm'), [a, b] = numbered(scale);
    assert.ok(/^[1-8]0*$/.test(String(b - a)) , `${text}: ${a}, ${b}`);
  }
});

test('a remark shows values as they are typed on the page', () => {
  for (const [file, page] of [
    ['"#12" is not a size; write numbers, as in [1.0, 0.7]', '"#12" is not a size; write numbers, as in 1.0, 0.7'],
    ['"x" is not a stretch; write where it starts and where it ends, as in [0, 18]', '"x" is not a stretch; write where it starts and where it ends, as in 0 – 18'],
    ['"x" is not a pair of names; write two, as in [["left", "right"]]', '"x" is not a pair of names; write two, as in left = right'],
    ['write a longer hem, or choose straight panels (cut = "rectangle")', 'write a longer hem, or choose straight panels'],
    ['write it for each motif, as in cut = 12', 'write it for each motif'],
    ['a waist of 5 cm (1 7/8 in) is too small', 'a waist of 5 cm (1 7/8 in) is too small'],
  ]) assert.equal(plain(file), page);
});

test('what does nothing beside another word is set aside, and comes back with its own', () => {
  const schema = [{ name: 'skirt', keys: [{ name: 'circle', beside: 'cut', with: ['circle'] }, { name: 'panels', beside: 'cut', with: ['circle', 'rectangle', 'gores'] }, { name: 'waist' }] }];
  const at = given => values(given, { schema, state: { place: 'tide', fields: Object.fromEntries(Object.entries(given).map(([k, text]) => [k, { text, written: true }])) } });
  const edits = (given, to) => editsOf('skirt.cut', 'skirt.cut', to, at(given));
  assert.deepEqual(edits({ 'skirt.cut': 'circle', 'skirt.circle': '0.5', 'skirt.panels': '2', 'skirt.waist': '70 cm' }, 'rectangle'), [{ key: 'skirt.cut', text: 'rectangle' }, { key: 'skirt.circle', text: '' }]);
  assert.deepEqual(edits({ 'skirt.cut': 'rectangle', 'skirt.panels': '2' }, 'circle'), [{ key: 'skirt.cut', text: 'circle' }, { key: 'skirt.circle', text: '0.5' }]);
  assert.deepEqual(edits({ 'skirt.cut': 'circle', 'skirt.circle': '1' }, 'circle'), [{ key: 'skirt.cut', text: 'circle' }]);
});

test('cutouts placed by hand keep to a motif that gets another name, and go with it', () => {
  const given = { 'motif.0.name': 'ginkgo', 'motif.#.name': 'ginkgo', 'fixed.0.motif': 'ginkgo', 'fixed.1.motif': 'acorn', 'fixed.2.motif': 'ginkgo' };
  const v = { ...values(given), index: 0, count: () => 3 };
  assert.deepEqual(editsOf('motif.#.name', 'motif.0.name', 'leaf', v), [{ key: 'motif.0.name', text: 'leaf' }, { key: 'fixed.0.motif', text: 'leaf' }, { key: 'fixed.2.motif', text: 'leaf' }]);
  assert.deepEqual(deeds['motif-drop'].edits(v), [{ remove: 'fixed.2' }, { remove: 'fixed.0' }, { remove: 'motif.0' }]);
});
