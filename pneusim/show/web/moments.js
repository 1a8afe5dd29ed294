// @ts-check
/** Events of the runs on show, in one order of time, and where a replay stops for them. */

import { SAME } from "clock";

/**
 * @typedef {import("./types").RunDoc} RunDoc
 * @typedef {object} Moment
 * @property {number} number  from 1, in order of time
 * @property {number} time  of the page: with the shift of its run [s]
 * @property {number} own  of its run [s]
 * @property {string} run  its run's name
 * @property {string} category
 * @property {string} component
 * @property {string} text
 */

/**
 * @param {RunDoc[]} runs
 * @returns {Moment[]}
 */
export function momentsOf(runs) {
  return runs
    .flatMap((run) => run.events.filter((event) => event.told).map((event) => ({ ...event, run: run.name, own: event.time, time: event.time + run.shift })))
    .sort((a, b) => a.time - b.time)
    .map(({ time, own, run, category, component, text }, k) => ({ number: k + 1, time, own, run, category, component, text }));
}

/**
 * Times of moments without repetition.
 * @param {{time: number}[]} moments  in order of time
 * @returns {number[]}
 */
export function timesOf(moments) {
  /** @type {number[]} */
  const times = [];
  for (const { time } of moments) if (!times.length || time - times[times.length - 1] > SAME) times.push(time);
  return times;
}

/**
 * Index of the last moment that has come, -1 before all.
 * @param {{time: number}[]} moments  in order of time
 * @param {number} time
 */
export function lastOf(moments, time) {
  return moments.findLastIndex((moment) => moment.time <= time + SAME);
}
