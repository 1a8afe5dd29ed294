// @ts-check
/** What stands around the curves of a plot: axes, numbered moments, limits. */

import { ticks } from "decimate";
import { draw } from "dom";
import { decimal, shown } from "units";

/**
 * @typedef {import("plot").Spec} Spec
 * @typedef {import("plot").Frame} Frame
 * @typedef {{x: (t: number) => number, y: (v: number) => number, box: {left: number, right: number, top: number, bottom: number}, t0: number, t1: number}} Scale
 */

/** What an axis has at least while its curves are not whole [SI]. */
const USUAL = /** @type {Record<string, number>} */ ({ pressure: 100e3, force: 1e3, length: 10e-3 });

/**
 * Ends of the value axis in the unit shown: zero is on it, but for temperatures; what differs by less than is written is
 * drawn flat.  Before a horizon it tells nothing of what comes later.
 * @param {Pick<Spec, "dimension" | "curves" | "limits" | "ends">} spec
 * @param {import("./types").Quantity | undefined} quantity
 * @param {number} [horizon]  [s]
 * @returns {[number, number]}
 */
export function extent(spec, quantity, horizon = Infinity) {
  if (spec.ends) return [shown(spec.ends[0], quantity), shown(spec.ends[1], quantity)];
  let [low, high] = [Infinity, -Infinity];
  for (const { track, channel, shift } of spec.curves) {
    const values = track.values.get(channel) ?? [];
    for (let k = 0; k < values.length && track.times[k] + shift <= horizon; k++) {
      if (values[k] < low) low = values[k];
      if (values[k] > high) high = values[k];
    }
  }
  const whole = horizon === Infinity;
  if (whole) for (const limit of spec.limits) [low, high] = [Math.min(low, limit.value), Math.max(high, limit.value)];
  if (!(low <= high)) return [0, 1];
  [low, high] = [shown(low, quantity), shown(high, quantity)];
  if (spec.dimension !== "temperature") [low, high] = [Math.min(low, 0), Math.max(high, 0)];
  const least = Math.max(5 * 10 ** -(quantity?.digits ?? 2), whole ? 0 : (USUAL[spec.dimension] ?? 0) / (quantity?.factor ?? 1));
  const room = Math.max(high - low, least);
  high = low + room;
  const bottom = low < -0.01 * room || spec.dimension === "temperature" ? low - 0.06 * room : low;
  return [bottom, high + 0.06 * room];
}

/**
 * @param {Scale} scale
 * @param {number} low
 * @param {number} high
 * @param {number} letter
 */
export function grid({ x, y, box, t0, t1 }, low, high, letter) {
  const [rows, columns] = [ticks(low, high, 4), ticks(t0, t1, (box.right - box.left) / 90)];
  return [
    ...rows.values.flatMap((v) => [
      draw("path", { class: v === 0 ? "axis" : "grid", d: `M${box.left},${y(v)} H${box.right}` }),
      draw("text", { x: box.left - 6, y: y(v) + letter * 0.36, "text-anchor": "end" }, decimal(v, rows.digits)),
    ]),
    ...columns.values.flatMap((t, k) => [
      draw("path", { class: "grid", d: `M${x(t)},${box.bottom} v5` }),
      draw("text", { x: x(t), y: box.bottom + letter * 1.5, "text-anchor": "middle" }, decimal(t, columns.digits) + (k === columns.values.length - 1 ? " s" : "")),
    ]),
  ];
}

/**
 * Numbers of moments, one above the other where they are close; where three are, the next has a line only.
 * @param {Frame} frame
 * @param {(t: number) => number} x
 * @returns {{number: number, at: number, level: number}[]}
 */
export function placed({ moments, window: [t0, t1], horizon, letter }, x) {
  const free = [-Infinity, -Infinity, -Infinity];
  return moments.filter(({ time }) => time >= t0 && time <= Math.min(t1, horizon)).map(({ number, time }) => {
    const at = x(time);
    const half = 0.32 * letter * String(number).length + 2;
    const level = free.findIndex((end) => at - half > end);
    if (level >= 0) free[level] = at + half;
    return { number, at, level };
  });
}

/**
 * A thin line for each moment, below its number.
 * @param {Scale} scale
 * @param {{number: number, at: number, level: number}[]} marks
 * @param {number} rise  from one level to the next [px]
 */
export function events({ box }, marks, rise) {
  return marks.flatMap(({ number, at, level }) => {
    const line = draw("path", { class: "event", d: `M${at.toFixed(1)},${box.top - Math.max(level, 0) * rise} V${box.bottom}` });
    return level < 0 ? [line] : [line, draw("text", { class: "number", x: at.toFixed(1), y: box.top - 4 - level * rise, "text-anchor": "middle" }, String(number))];
  });
}

/**
 * A line for each limit with its letter beside it; letters of close limits make room for each other.
 * @param {Scale} scale
 * @param {Spec} spec
 * @param {import("./types").Quantity | undefined} quantity
 * @param {number} letter
 */
export function limits({ y, box }, spec, quantity, letter) {
  const lines = spec.limits.map(({ value }, k) => ({ at: y(shown(value, quantity)), k })).sort((a, b) => b.at - a.at);
  let room = Infinity;
  return lines.flatMap(({ at, k }) => {
    const words = Math.min(at, room);
    room = words - 0.9 * letter;
    const d = `M${box.left},${at} H${box.right} L${box.right + 0.5 * letter},${words}`;
    return [draw("path", { class: "limit", d }), draw("text", { class: "limit", x: box.right + 0.7 * letter, y: words + letter * 0.32 }, letterOf(k))];
  });
}

/** @param {number} index */
export function letterOf(index) {
  return String.fromCharCode(97 + index);
}
