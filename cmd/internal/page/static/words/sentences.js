// The plan in words: five parts of sentences with fields in them.
//
// In a text, {skirt.waist} is the field of that key, {=layers} words worked out from
// values (said.js) and {!lining-add} a button (deeds.js). "#" stands for the place in a
// list. A clause is a text, or a text with the condition under which it is said; one
// with a refused key is said in any case, so that the reason finds its control.

/**
 * @typedef {import('./values.js').Values} Values
 * @typedef {string | [(v: Values) => boolean, string]} Clause
 * @typedef {object} Sentence
 * @property {string} id
 * @property {Clause[]} say
 * @property {Clause[]} [more] rare settings, unfolded by "more"
 * @property {(v: Values) => boolean} [when]
 * @property {string} [each] said once for each of this list
 * @typedef {{id: string, title: string, short: string, cards?: boolean, sentences: Sentence[]}} Part
 */

/** @type {(key: string, ...words: string[]) => (v: Values) => boolean} */
const is = (key, ...words) => v => v.is(key, ...words);
/** @type {(test: (v: Values) => boolean) => (v: Values) => boolean} */
const not = test => v => !test(v);
/** @type {(table: string) => (v: Values) => boolean} */
const has = table => v => v.has(table);
/** @type {(key: string) => (v: Values) => boolean} */
const written = key => v => v.written(key);

const circle = is('skirt.cut', 'circle');
const gores = is('skirt.cut', 'gores');
const drawn = is('skirt.cut', 'outline');
const sewn = not(drawn);
const polka = is('scatter.pattern', 'polka');
const band = is('scatter.pattern', 'hemband');
const roll = is('sheet.#.roll', 'true');
const byHeight = v => v.written('motif.#.height') && !v.written('motif.#.width');
const byNumber = v => v.written('scatter.cutouts') || v.written('scatter.sheets') || v.written('scatter.budget');
const several = v => v.count('motif') > 1;
const picture = v => !/\.svg$/i.test(v.text('motif.#.outline'));
const glued = is('supplies.fixing', 'glue');

/** The sentence on one cutout's card. @type {Sentence} */
export const card = {
  id: 'motif',
  say: [
    '{motif.#.name},', [v => !byHeight(v) && v.written('motif.#.width'), '{motif.#.width} wide,'], [v => !byHeight(v) && !v.written('motif.#.width'), '{motif.#.width},'], [byHeight, '{motif.#.height} high,'],
    'in {=sizes} {motif.#.sizes}, {motif.#.direction}', [several, '; {motif.#.share} {=parts} of the mix'], '.',
  ],
  more: [
    [not(is('motif.#.direction', 'tossed')), 'Tilted by {motif.#.tilt} degrees.'],
    'Felt in {motif.#.colour}.',
    [not(byHeight), 'Height {motif.#.height}.'], [byHeight, 'Width {motif.#.width}.'],
    'Drawn in {motif.#.outline}; {!motif-drawing}.',
    [picture, 'The picture shows {motif.#.paper}; taken from it: {motif.#.pick}.'],
    'For cutting without a skirt: {motif.#.cut} of each size.',
    [v => !several(v), 'Beside others it is {motif.#.share} {=parts} of the mix.'],
    [several, '{!motif-drop}.'],
  ],
};

/** @type {Part} */
const skirt = {
  id: 'skirt', title: 'The skirt', short: 'Skirt', sentences: [
    {
      id: 'cut', say: [
        'A {skirt.cut} of net in {skirt.layers} {=layers}',
        [sewn, 'for a waist of {skirt.waist} and a hip of {skirt.hip}, {skirt.length} long with a {skirt.waistband} waistband'],
        [drawn, 'as drawn in {skirt.outline}; {!panels-drawing}'],
        [gores, 'and {skirt.hem_girth} round the hem'],
        '.',
        [circle, 'Sewn up, a layer makes {skirt.circle} {=circles}.'],
        [sewn, 'It is sewn from {skirt.panels} {=panels}, and at the top it is {skirt.fullness} times the waist.'],
      ],
      more: [
        [sewn, 'From the waist seam to the hem the top layer measures {skirt.drop}.'],
        [gores, 'The lower edge of each gore is {skirt.hem}.'],
        [drawn, 'Sewn together: {skirt.seams}. The waist lies along {skirt.waist_edge}.'],
        'Side seams take {skirt.seam_allowance}.',
      ],
    },
    {
      id: 'net', say: ['The net is {skirt.colour}.'],
      more: [
        'It is sold {skirt.fabric_width} wide and costs {skirt.fabric_price} for {skirt.fabric_price_per}.',
        'One layer hides {skirt.opacity} of what is under it.',
      ],
    },
    {
      id: 'lining', when: has('lining'), say: ['Under it hangs a lining in {lining.colour} that ends {lining.shorter_by} above the hem.'],
      more: [
        'It is cut to {lining.fullness} times the {lining.girth},',
        [v => circle(v) || v.written('lining.circle'), 'as {lining.circle} {=lining},'],
        'from cloth {lining.fabric_width} wide at {lining.fabric_price} for {lining.fabric_price_per}. {!lining-drop}.',
      ],
    },
    { id: 'unlined', when: v => !v.has('lining') && sewn(v), say: ['It has no lining; {!lining-add}.'] },
  ],
};

/** @type {Part} */
const cutouts = { id: 'cutouts', title: 'The cutouts', short: 'Cutouts', cards: true, sentences: [] };

/** @type {Part} */
const pattern = {
  id: 'pattern', title: 'The pattern', short: 'Pattern', sentences: [
    {
      id: 'scatter', say: [
        '{scatter.pattern}, {?many}',
        [not(byNumber), '{scatter.spacing} from middle to middle'],
        [written('scatter.cutouts'), '{scatter.cutouts} cutouts'],
        [written('scatter.sheets'), '{scatter.sheets} {=sheets} of felt'],
        [written('scatter.budget'), '{scatter.budget} {=money} of felt'],
        [band, 'in {scatter.rows} {=rows}'],
        [polka, ', {=loose} ({scatter.jitter})'],
        '. {!compare}.',
      ],
      more: [
        'At the waist {scatter.spacing_waist}, changing evenly to the hem; even {scatter.even}.',
        [not(polka), 'From row to row {scatter.row_spacing}, every other row {scatter.stagger}.'],
        [band, 'The lowest row lies {scatter.rise} above the hem.'],
        [sewn, 'The arrangement is repeated {scatter.repeat} {=times} round the skirt.'],
        'This is arrangement number {seed}.',
      ],
    },
    {
      id: 'clearance', say: [
        'Keep {clearance.between} between cutouts, {clearance.waist} below the waist and {clearance.hem} above the hem;',
        'beside the side seams {clearance.seam}.',
      ],
    },
    { id: 'bare', each: 'bare', say: ['A patch of panel {bare.#.panel} stays bare: {bare.#.down} down and {bare.#.around} across. {!bare-drop}.'] },
    {
      id: 'fixed', each: 'fixed', say: [
        'By hand: {fixed.#.motif} on panel {fixed.#.panel}, {fixed.#.down} below the waist seam and {fixed.#.around} from its left edge,',
        'turned by {fixed.#.turn} degrees, size {fixed.#.size}. {!fixed-drop}.',
      ],
    },
    { id: 'hand', say: ['{!anew}, {!bare-add} or {!fixed-add}.'] },
  ],
};

/** @type {Part} */
const felt = {
  id: 'felt', title: 'The felt', short: 'Felt', sentences: [
    { id: 'nosheet', when: v => v.count('sheet') === 0, say: ['No felt is named, so it is planned on craft felt A4; {!sheet-first}.'] },
    {
      id: 'sheet', each: 'sheet', say: [
        '{=from} {sheet.#.name}, {sheet.#.width}', [not(roll), 'by {sheet.#.height}, at {sheet.#.price} a sheet, with {sheet.#.stock} of each colour in the drawer.'],
        [roll, 'wide off the roll, at {sheet.#.price} for {sheet.#.price_per}.'],
      ],
      more: [
        'Nothing is cut in the outer {sheet.#.margin}; cutouts may be turned {sheet.#.nap}. It comes in {sheet.#.colours}; {sheet.#.buy}. This is {sheet.#.roll}.',
        [roll, 'The shop cuts it in steps of {sheet.#.sold_by}.'],
        '{!sheet-drop}.',
      ],
    },
    {
      id: 'cutting', say: [
        'Leave {cutting.gap} between cutouts on the felt, cut {cutting.spare} spare, and draw round them on the {cutting.trace_on}.',
      ],
      more: ['Effort put into saving felt: {cutting.effort} of 10.', [v => v.count('sheet') > 0, '{!sheet-add}.']],
    },
    {
      id: 'backing', say: [
        'Behind each cutout lies {backing.shape}', [not(is('backing.shape', 'none', '')), ', {backing.size} across in {backing.colour}'], '.',
      ],
    },
  ],
};

/** @type {Part} */
const paper = {
  id: 'paper', title: 'The paper', short: 'Paper', sentences: [
    { id: 'print', say: ['Print on {supplies.paper}, in {unit}; prices in {supplies.currency}.'] },
    {
      id: 'fixing', say: [
        'The cutouts are {supplies.fixing}, at {supplies.fixing_price} for', [glued, 'a stick of {supplies.glue_stick}.'], [not(glued), 'a reel of {supplies.thread_reel}.'],
      ],
      more: [
        [glued, 'A piece takes {supplies.glue_per_piece} cm³ of glue.'], [not(glued), 'A piece takes {supplies.thread_per_piece} of thread.'],
        'Fixing a piece takes {supplies.fixing_time}', [written('supplies.fixing_time'), 'seconds'], '; scissors cut {supplies.cutting_speed} a second.',
        'A printed sheet of paper costs {supplies.paper_price}.',
        'The weight of a square metre of felt is {supplies.felt_weight}', [written('supplies.felt_weight'), 'g'], ', of net {supplies.net_weight} g.',
      ],
    },
  ],
};

/** @type {Part[]} */
export const parts = [skirt, cutouts, pattern, felt, paper];

/**
 * The keys in some clauses, with "#" for places in lists.
 * @param {Clause[]} clauses
 * @returns {string[]}
 */
export function keysIn(clauses) {
  return clauses.flatMap(c => [...(typeof c === 'string' ? c : c[1]).matchAll(/\{([a-z][^}]*)\}/g)].map(m => m[1]));
}
