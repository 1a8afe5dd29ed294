// @ts-check
/** Events of the runs on show, in one order of time, and where a replay stops for them. */

import { SAME, TOGETHER } from "clock";

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
 * @param {Pick<RunDoc, "name" | "shift" | "events">[]} runs
 * @returns {Moment[]}
 */
export function momentsOf(runs) {
  return runs
    .flatMap((run) => run.events.filter((event) => event.told).map((event) => ({ ...event, run: run.name, own: event.time, time: event.time + run.shift })))
    .sort((a, b) => a.time - b.time)
    .map(({ time, own, run, category, component, text }, k) => ({ number: k + 1, time, own, run, category, component, text }));
}

/**
 * Questions of the runs, in times of the page.
 * @param {Pick<RunDoc, "shift" | "questions">[]} runs
 * @returns {import("./types").Question[]}
 */
export function questionsOf(runs) {
  return runs.flatMap((run) => run.questions.map((question) => ({ ...question, time: question.time + run.shift })));
}

/**
 * Times to stop at: of moments that are seen together the last, when all of them have come.
 * @param {{time: number}[]} moments  in order of time
 * @returns {number[]}
 */
export function timesOf(moments) {
  /** @type {{first: number, last: number}[]} */
  const groups = [];
  for (const { time } of moments) {
    const group = groups[groups.length - 1];
    if (group && time - group.first <= TOGETHER) group.last = time;
    else groups.push({ first: time, last: time });
  }
  return groups.map((group) => group.last);
}

/**
 * Index of the last moment that has come, -1 before all.
 * @param {{time: number}[]} moments  in order of time
 * @param {number} time
 */
export function lastOf(moments, time) {
  return moments.findLastIndex((moment) => moment.time <= time + SAME);
}
