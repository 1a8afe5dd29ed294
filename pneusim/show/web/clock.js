// @ts-check
/**
 * Time of a replay: how it goes on, where it must stop, and what lies next to it.
 *
 * Tolerances of time, in their order: rounding < SAME < BEFORE < one tick of the packed times (1 us, more for a run of
 * over an hour) < TOGETHER.  Every time in the document is a whole number of ticks, so two times that differ at all
 * differ by more than SAME, and what is BEFORE a time is later than every other time before it.
 */

/** Times nearer than this are one: sums of times meet the event that they mean [s]. */
export const SAME = 1e-7;

/** An open question shows what is so long before its time: what happens at that very time comes after it [s]. */
export const BEFORE = 5e-7;

/** What happens within this time is seen together [s]. */
export const TOGETHER = 1e-3;

/** Speeds that can be chosen, seconds of the run per second. */
export const SPEEDS = [0.1, 0.25, 0.5, 1, 2, 4, 10];

/** Longest gap between two frames that counts [s]: a page that slept does not jump. */
const LONGEST_FRAME = 0.1;

/**
 * Where the time is after a frame, and whether the replay stops there.
 * @param {number} time
 * @param {number} elapsed  seconds of the viewer since the last frame
 * @param {number} speed
 * @param {number[]} stops  times to stop at, in any order; one that has just been left does not count
 * @param {number} end
 * @returns {{time: number, stopped: boolean}}
 */
export function advance(time, elapsed, speed, stops, end) {
  const wanted = time + Math.min(Math.max(elapsed, 0), LONGEST_FRAME) * speed;
  const met = stops.filter((stop) => stop > time && stop <= wanted);
  const next = Math.min(...met, end);
  return next <= wanted ? { time: Math.max(next, time), stopped: true } : { time: wanted, stopped: false };
}

/**
 * The first of some times after a time, or null.
 * @param {number[]} times
 * @param {number} time
 */
export function nextOf(times, time) {
  const later = times.filter((one) => one > time + SAME);
  return later.length ? Math.min(...later) : null;
}

/**
 * The last of some times before a time, or null.
 * @param {number[]} times
 * @param {number} time
 */
export function previousOf(times, time) {
  const earlier = times.filter((one) => one < time - SAME);
  return earlier.length ? Math.max(...earlier) : null;
}

/**
 * A time that was written with six digits, as the very time that was meant.
 * @param {number} time
 * @param {number[]} times
 */
export function snapped(time, times) {
  return times.find((one) => Math.abs(one - time) < SAME) ?? time;
}

/**
 * A time inside a span.
 * @param {number} time
 * @param {[number, number]} span
 */
export function inside(time, [start, end]) {
  return Math.min(Math.max(time, start), end);
}
