// @ts-check
/** Samples to the points of a curve that hide no extreme, and the numbers along an axis. */

import { between, indexAt } from "codec";

/**
 * Points of a curve between two times, in order: all samples where there are few, else the first, lowest, highest and
 * last of every column of pixels.  Both ends are drawn to, as far as the samples reach.
 * @param {Float64Array} times  [s]
 * @param {Float32Array} values
 * @param {number} t0
 * @param {number} t1
 * @param {number} columns
 * @returns {Array<[number, number]>}
 */
export function outline(times, values, t0, t1, columns) {
  const count = times.length;
  if (count === 0 || !(t0 < t1) || t1 < times[0] || t0 > times[count - 1]) return [];
  const first = t0 <= times[0] ? 0 : indexAt(times, t0) + 1;
  const last = indexAt(times, t1);
  /** @type {Array<[number, number]>} */
  const points = [];
  if (t0 > times[0]) points.push([t0, between(times, values, first - 1, t0)]);
  const put = (/** @type {number} */ i) => points.push([times[i], values[i]]);
  if (last - first + 1 <= 4 * columns) for (let i = first; i <= last; i++) put(i);
  else for (const i of extremes(times, values, first, last, t0, (t1 - t0) / columns)) put(i);
  if (t1 < times[count - 1] && t1 > times[last]) points.push([t1, between(times, values, last, t1)]);
  return points;
}

/**
 * Indices of the first, lowest, highest and last sample of every column, in order, each once.
 * @param {Float64Array} times
 * @param {Float32Array} values
 * @param {number} first
 * @param {number} last
 * @param {number} t0
 * @param {number} width  of a column [s]
 * @returns {number[]}
 */
function extremes(times, values, first, last, t0, width) {
  /** @type {number[]} */
  const kept = [];
  for (let i = first; i <= last; ) {
    const column = Math.floor((times[i] - t0) / width);
    const start = i;
    let [lowest, highest] = [i, i];
    for (; i <= last && Math.floor((times[i] - t0) / width) === column; i++) {
      if (values[i] < values[lowest]) lowest = i;
      if (values[i] > values[highest]) highest = i;
    }
    const found = [start, Math.min(lowest, highest), Math.max(lowest, highest), i - 1];
    kept.push(...found.filter((index, k) => k === 0 || index !== found[k - 1]));
  }
  return kept;
}

/**
 * Round numbers along an axis, both ends' insides covered, and the decimals to write them with.
 * @param {number} low
 * @param {number} high
 * @param {number} about  how many are wanted
 * @returns {{values: number[], digits: number}}
 */
export function ticks(low, high, about) {
  if (!(high > low) || !Number.isFinite(high - low)) return { values: [low], digits: 0 };
  const rough = (high - low) / Math.max(about, 1);
  const power = Math.floor(Math.log10(rough));
  const share = rough / 10 ** power;
  const factor = share < 1.5 ? 1 : share < 3.5 ? 2 : share < 7.5 ? 5 : 10;
  const exponent = factor === 10 ? power + 1 : power;
  const digits = Math.max(-exponent, 0);
  const step = factor * 10 ** power;
  const values = [];
  for (let k = Math.ceil(low / step - 1e-9); k * step <= high + 1e-9 * step; k++) {
    values.push(Number((k * step).toFixed(digits)) + 0);
  }
  return { values, digits };
}
