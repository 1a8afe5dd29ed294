// @ts-check
/** Predict first, then see: which question stands open, and how far a class may look. */

import { SAME } from "clock";

/**
 * @typedef {import("./types").Question} Question
 * @typedef {object} Prediction
 * @property {Question[]} questions  in order of time
 * @property {number} open  index of the first question that is not revealed
 * @property {"watching" | "asked" | "revealed"} phase
 * @property {number | null} choice
 * @property {boolean} sure  whether one more press reveals the open question
 */

/**
 * Each question once, though two runs may ask it; those before a time are answered already.
 * @param {Question[]} questions
 * @param {number} [answered]
 * @returns {Prediction}
 */
export function begin(questions, answered = -Infinity) {
  const keys = questions.map((one) => `${one.time} ${one.text}`);
  const once = questions.filter((_, k) => keys.indexOf(keys[k]) === k).sort((a, b) => a.time - b.time);
  return { questions: once, open: once.filter((one) => one.time < answered - SAME).length, phase: "watching", choice: null, sure: false };
}

/**
 * Nothing after this time may be seen; without open questions all may.
 * @param {Prediction} state
 */
export function horizon(state) {
  return state.questions[state.open]?.time ?? Infinity;
}

/**
 * The question that is asked or has just been revealed.
 * @param {Prediction} state
 * @returns {Question | null}
 */
export function current(state) {
  if (state.phase === "watching") return null;
  return state.questions[state.phase === "asked" ? state.open : state.open - 1] ?? null;
}

/**
 * The replay is at a time: a question that it reaches is asked, unless an answer of the same time is still being read.
 * @param {Prediction} state
 * @param {number} time
 * @returns {Prediction}
 */
export function reach(state, time) {
  if (state.phase === "revealed" && horizon(state) <= state.questions[state.open - 1].time + SAME) return state;
  if (state.phase !== "asked" && time >= horizon(state) - SAME) return { ...state, phase: "asked", choice: null, sure: false };
  if (state.phase === "asked" && time < horizon(state) - SAME) return { ...state, phase: "watching", choice: null };
  return state;
}

/**
 * @param {Prediction} state
 * @param {number} choice
 * @returns {Prediction}
 */
export function choose(state, choice) {
  const question = state.phase === "asked" ? state.questions[state.open] : null;
  return question && question.choices[choice] !== undefined && Number.isInteger(choice) ? { ...state, choice } : state;
}

/**
 * Show what comes after the open question.
 * @param {Prediction} state
 * @returns {Prediction}
 */
export function reveal(state) {
  return state.phase === "asked" ? { ...state, open: state.open + 1, phase: "revealed" } : state;
}

/**
 * A key or a button that goes on was pressed at an open question: one press too many reveals nothing, the next does.
 * @param {Prediction} state
 * @returns {Prediction}
 */
export function press(state) {
  return state.phase !== "asked" ? state : state.sure ? reveal(state) : { ...state, sure: true };
}

/**
 * Put the answer away.
 * @param {Prediction} state
 * @returns {Prediction}
 */
export function goOn(state) {
  return state.phase === "revealed" ? { ...state, phase: "watching", choice: null } : state;
}

/**
 * What to say about a choice: null where there is nothing to be right about, or nothing was chosen.
 * @param {Question} question
 * @param {number | null} choice
 * @returns {boolean | null}
 */
export function isRight(question, choice) {
  return question.answer === null || choice === null ? null : question.answer === choice;
}
