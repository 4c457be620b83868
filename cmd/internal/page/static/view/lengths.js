// Lengths as a maker reads them on the pictures.

/** @type {Record<string, {mm: number, decimals: number}>} */
const units = { mm: { mm: 1, decimals: 0 }, cm: { mm: 10, decimals: 1 }, in: { mm: 25.4, decimals: 1 } };

/** A length in the project's unit, without needless decimals. @param {number} mm @param {string} unit */
export function written(mm, unit) {
  const u = units[unit] ?? units.cm;
  return `${Number((mm / u.mm).toFixed(u.decimals))} ${unit in units ? unit : 'cm'}`;
}
