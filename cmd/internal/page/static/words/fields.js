// What is said of each field beyond the schema: its name for those who cannot see
// the sentence, plain words for the file's words, a hint, and the part of its range
// that its tape shows. "#" stands for the place in a list.

/**
 * @typedef {object} About
 * @property {string} label
 * @property {'length'|'number'|'choice'|'colour'|'yes'|'text'} [kind] text where left out
 * @property {Record<string, string>} [words] the file's word → what it is called here, in order
 * @property {string} [hint] stands under the sentence while the field is in use
 * @property {[number, number, number]} [tape] from, to, step: millimetres of a length, else plain numbers
 * @property {Record<string, string>} [marks] words under marks of the tape
 * @property {string} [empty] what an empty field shows
 * @property {boolean} [long] a length of cloth or thread, in metres or yards
 * @property {boolean} [gives] the tape tells cutouts and sheets under each mark
 */

/** @type {(label: string, from: number, to: number, step: number, hint?: string, more?: Partial<About>) => About} */
const length = (label, from, to, step, hint, more) => ({ label, kind: 'length', tape: [from, to, step], hint, ...more });
/** @type {(label: string, from: number, to: number, step: number, hint?: string, more?: Partial<About>) => About} */
const number = (label, from, to, step, hint, more) => ({ label, kind: 'number', tape: [from, to, step], hint, ...more });
/** @type {(label: string, words: Record<string, string>, hint?: string) => About} */
const choice = (label, words, hint) => ({ label, kind: 'choice', words, hint });
/** @type {(label: string, more?: Partial<About>) => About} */
const colour = (label, more) => ({ label, kind: 'colour', ...more });
/** @type {(label: string, hint?: string, more?: Partial<About>) => About} */
const text = (label, hint, more) => ({ label, kind: 'text', hint, ...more });
/** @type {(label: string, yes: string, no: string) => About} */
const yes = (label, whenTrue, whenFalse) => ({ label, kind: 'yes', words: { true: whenTrue, false: whenFalse } });

const CIRCLE_MARKS = { '0.25': 'quarter', '0.5': 'half', '0.75': '¾', '1': 'full', '2': 'double' };
const NO_PRICE = 'an unknown price';
const PER = 'Left out, the price is for a metre.';

/** @type {Record<string, About>} */
export const fields = {
  title: text('Name of the project', 'It is printed on every sheet of paper.'),
  unit: choice('Measures in', { cm: 'centimetres', mm: 'millimetres', in: 'inches' }),
  seed: number('Number of the arrangement', 1, 30, 1, 'The same number always gives the same arrangement.'),

  'skirt.cut': choice('Cut of the skirt', { circle: 'circle', rectangle: 'gathered rectangle', gores: 'set of gores', outline: 'shape of your own' }),
  'skirt.layers': number('Layers of net', 1, 8, 1),
  'skirt.waist': length('Waist, round the body', 500, 1200, 10, 'Measure where the band will sit, over what is worn under it.'),
  'skirt.hip': length('Hip, round the widest place', 600, 1500, 10, 'The lining is cut to the hip, so that it goes on.', { empty: 'not measured' }),
  'skirt.length': length('Length, top of the waistband to the hem', 300, 1100, 10, 'From the top of the waistband to the hem, finished.'),
  'skirt.waistband': length('Height of the waistband', 0, 120, 5, '0 where there is none.'),
  'skirt.drop': length('Top layer, waist seam to hem', 200, 1100, 10, 'Usually the length less the waistband; write it only if yours differs.', { empty: 'the rest' }),
  'skirt.fullness': number('Fullness', 1, 4, 0.1, '2: twice as long as the waist, then gathered in.'),
  'skirt.circle': number('Part of a full circle', 0.25, 2, 0.25, 'How much of a full circle the sewn layer makes.', { marks: CIRCLE_MARKS }),
  'skirt.panels': number('Panels of the skirt', 1, 12, 1, 'Pieces the layer is sewn from.'),
  'skirt.hem_girth': length('Hem of all gores together', 1000, 6000, 50, 'Round the whole hem.', { empty: 'not yet said' }),
  'skirt.hem': choice('Lower edge of each gore', { curved: 'curved', straight: 'straight across' }),
  'skirt.outline': text('Drawing of the panels', 'An SVG drawing of the panels, true to size.', { empty: 'no drawing yet' }),
  'skirt.seams': text('Edges that are sewn together', 'Names of lines in the drawing, in pairs: left = right, front = back.', { empty: 'none' }),
  'skirt.waist_edge': text('Edges that count as the waist', 'Names of lines in the drawing, with a comma between.', { empty: 'none' }),
  'skirt.seam_allowance': length('Seam allowance', 0, 30, 1),
  'skirt.colour': colour('Colour of the net'),
  'skirt.opacity': number('How much one layer of net hides', 0, 1, 0.05, '0 hides nothing, 1 hides all that lies under it.', { marks: { 0: 'clear', 1: 'solid' } }),
  'skirt.fabric_width': length('Width of the net in the shop', 900, 3200, 100),
  'skirt.fabric_price': number('Price of the net', 0, 20, 0.1, undefined, { empty: NO_PRICE }),
  'skirt.fabric_price_per': length('Length of net for that price', 100, 10000, 100, PER, { empty: '1 m', long: true }),

  'lining.colour': colour('Colour of the lining'),
  'lining.shorter_by': length('Lining ends above the hem', 0, 200, 5),
  'lining.fullness': number('Fullness of the lining', 0.5, 4, 0.1, 'Against the measure it is cut to.'),
  'lining.circle': number('Lining, part of a full circle', 0.25, 2, 0.25, 'Left out: cut as the skirt is.', { marks: CIRCLE_MARKS, empty: 'as the skirt' }),
  'lining.girth': choice('Lining cut to', { hip: 'hip', waist: 'waist' }),
  'lining.fabric_width': length('Width of the lining cloth', 900, 3200, 100),
  'lining.fabric_price': number('Price of the lining cloth', 0, 40, 0.1, undefined, { empty: NO_PRICE }),
  'lining.fabric_price_per': length('Length of lining cloth for that price', 100, 10000, 100, PER, { empty: '1 m', long: true }),

  'motif.#.name': text('Name of the cutout'),
  'motif.#.outline': text('Drawing of the cutout', 'The file beside the project.'),
  'motif.#.width': length('Width of the cutout', 10, 150, 5, undefined, { empty: 'as large as drawn' }),
  'motif.#.height': length('Height of the cutout', 10, 150, 5, undefined, { empty: 'to suit' }),
  'motif.#.paper': choice('Sheet of paper in the photograph', { '': 'no sheet to measure by', A3: 'A3', A4: 'A4', A5: 'A5', letter: 'letter', legal: 'legal', tabloid: 'tabloid' }, 'A photograph of a whole sheet of paper tells its size.'),
  'motif.#.pick': number('Figure in the picture', 1, 20, 1, 'Where a picture shows several figures: which one. Left out: all of them.', { empty: 'all of them' }),
  'motif.#.cut': number('How many to cut without a skirt', 0, 100, 1, 'For a lay without a skirt.'),
  'motif.#.sizes': text('Sizes', 'Sizes of it, with a comma between: 1, 0.7 gives the whole size and one at 0.7.'),
  'motif.#.share': number('Parts of the mix', 0, 10, 1, 'Against the other cutouts: 3 to 1 gives three times as many.'),
  'motif.#.colour': colour('Felt colour of the cutout', { empty: 'its own colours' }),
  'motif.#.direction': choice('Which way up', { 'one-way': 'upright', 'two-way': 'upright or upside down', tossed: 'any way round' }),
  'motif.#.tilt': number('Tilt in degrees', -90, 90, 5, 'Degrees turned from upright, clockwise.'),

  'scatter.pattern': choice('Pattern', { polka: 'Loose polka', grid: 'Even rows', hemband: 'A band at the hem' }),
  'scatter.spacing': length('From middle to middle', 70, 150, 10, 'Under each distance: how many cutouts, and how many sheets of felt to buy.', { gives: true }),
  'scatter.spacing_waist': length('From middle to middle at the waist', 60, 160, 10, 'It changes evenly from the waist down to the hem.', { empty: 'the same' }),
  'scatter.cutouts': number('Cutouts on the skirt', 20, 300, 10),
  'scatter.sheets': number('Sheets of felt to use up', 1, 12, 1),
  'scatter.budget': number('Money for felt', 1, 50, 1),
  'scatter.jitter': number('How loose', 0, 1, 0.1, undefined, { marks: { 0: 'in rows', 1: 'loosest' } }),
  'scatter.row_spacing': length('From row to row', 40, 160, 5, undefined, { empty: 'the same' }),
  'scatter.stagger': yes('Every other row', 'half a step round', 'straight below'),
  'scatter.rows': number('Rows of the band', 1, 6, 1),
  'scatter.rise': length('Lowest row above the hem', 20, 200, 5, 'From the hem to the middle of the lowest row.', { empty: 'just' }),
  'scatter.repeat': number('Times the arrangement is repeated', 1, 12, 1, 'Left out: once a panel.', { empty: 'once a panel' }),
  'scatter.even': choice('Even', { flat: 'on the flat cloth', worn: 'once it is gathered in' }),

  'clearance.between': length('Clear between cutouts', 0, 60, 1, 'From edge to edge, true outlines, across every seam.'),
  'clearance.waist': length('Clear below the waist', 0, 200, 5, 'From the waist seam to the nearest edge of a cutout.'),
  'clearance.hem': length('Clear above the hem', 0, 200, 5, 'From the hem to the nearest edge of a cutout.'),
  'clearance.seam': length('Clear beside the side seams', 0, 60, 1, '0: cutouts may lie across a seam.'),

  'bare.#.panel': number('Panel of the bare patch', 1, 12, 1),
  'bare.#.down': text('Bare from the waist down', 'From the waist seam: 0 – 18 cm. Left out: all the way down.', { empty: 'all the way down' }),
  'bare.#.around': text('Bare across', 'From the left edge of the panel: 0 – 6 cm. Left out: all across.', { empty: 'all across' }),
  'fixed.#.motif': text('Cutout placed by hand'),
  'fixed.#.panel': number('Panel it lies on', 1, 12, 1),
  'fixed.#.down': length('Below the waist seam', 0, 1000, 5),
  'fixed.#.around': length("From the panel's left edge", 0, 1500, 5),
  'fixed.#.turn': number('Turned by degrees', -180, 180, 5, 'Degrees from upright, clockwise.'),
  'fixed.#.size': number('Size of the cutout placed by hand', 0.1, 2, 0.1, 'One of the sizes of the cutout.'),

  'cutting.gap': length('Between cutouts on the felt', 0, 10, 0.5),
  'cutting.spare': text('Spare cutouts', 'A share such as 5 %, or a number of each; rounded up.'),
  'cutting.trace_on': choice('Side of the felt you draw on', { back: 'back', front: 'front' }),
  'cutting.effort': number('How hard to look for less felt', 0, 10, 1, '0 is quick, 10 is thorough.', { marks: { 0: 'quick', 10: 'thorough' } }),
  'backing.shape': choice('Patch behind each cutout', { none: 'no patch', square: 'a square patch', round: 'a round patch' }),
  'backing.size': text('Size of the patch', '“auto” is the widest that stays hidden whichever way the cutout is turned.'),
  'backing.colour': colour('Felt colour of the patch', { empty: 'the colour of the net' }),

  'sheet.#.name': text('Name of the felt', 'As it stands in the shopping list.'),
  'sheet.#.width': length('Width of the felt', 100, 1000, 10),
  'sheet.#.height': length('Height of a sheet', 100, 1000, 10),
  'sheet.#.margin': length('Unused edge of the felt', 0, 20, 1),
  'sheet.#.colours': text('Colours it comes in', 'Left out: any colour. Else like #d9a521, with a comma between.', { empty: 'any colour' }),
  'sheet.#.nap': choice('Ways a cutout may be turned', { none: 'any way', 'four-way': 'by quarter turns only', 'two-way': 'upside down only', 'one-way': 'not at all' }),
  'sheet.#.price': number('Price of the felt', 0, 10, 0.05, undefined, { empty: NO_PRICE }),
  'sheet.#.stock': number('Sheets in the drawer', 0, 20, 1, 'Of each colour. Used first, and costs nothing.'),
  'sheet.#.buy': yes('More of it', 'more can be bought', 'no more can be had'),
  'sheet.#.roll': yes('Sold as', 'felt by the length', 'felt in sheets'),
  'sheet.#.price_per': length('Length of felt for that price', 100, 5000, 100, PER, { empty: '1 m', long: true }),
  'sheet.#.sold_by': length('The shop cuts it in steps of', 10, 1000, 10, undefined, { empty: 'any length' }),

  'supplies.fixing': choice('The cutouts are', { glue: 'glued on', sew: 'sewn on by hand' }),
  'supplies.glue_stick': text('Glue stick', 'Across and along: 11 mm x 200 mm.', { empty: 'an unknown size' }),
  'supplies.paper': choice('Paper', { A4: 'A4', A3: 'A3', letter: 'letter', tabloid: 'tabloid', large: 'one large sheet' }),
  'supplies.currency': text('Currency', 'Three letters, such as EUR or GBP.', { empty: 'no currency' }),
  'supplies.fixing_price': number('Price of a glue stick or a reel of thread', 0, 10, 0.05, undefined, { empty: NO_PRICE }),
  'supplies.paper_price': number('Price of a printed sheet of paper', 0, 1, 0.01, undefined, { empty: NO_PRICE }),
  'supplies.felt_weight': number('Weight of felt in grams a square metre', 100, 400, 10, undefined, { empty: 'not known' }),
  'supplies.net_weight': number('Weight of net in grams a square metre', 5, 80, 1),
  'supplies.cutting_speed': length('Cut in a second', 1, 30, 1, 'How far your scissors go along the edge in a second.', { empty: 'a usual length' }),
  'supplies.fixing_time': number('Seconds to fix a piece', 5, 180, 5, undefined, { empty: 'a usual time' }),
  'supplies.glue_per_piece': number('Glue for a piece in cubic centimetres', 0.05, 1, 0.05),
  'supplies.thread_per_piece': length('Thread for a piece', 50, 1500, 50),
  'supplies.thread_reel': length('Thread on a reel', 10000, 500000, 10000, undefined, { long: true }),
};
