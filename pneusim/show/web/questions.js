// @ts-check
/** The question that a class predicts an answer to: its text, choices, and what was right. */

import { make } from "dom";
import { current, isRight } from "predict";

/**
 * @typedef {import("predict").Prediction} Prediction
 * @typedef {object} Answers  what the panel asks for
 * @property {(choice: number) => void} choose
 * @property {() => void} reveal
 * @property {() => void} goOn
 */

export class QuestionPanel {
  /**
   * @param {HTMLElement} host
   * @param {Answers} answers
   */
  constructor(host, answers) {
    this.host = host;
    this.answers = answers;
    /** @type {Prediction | null} */
    this.shown = null;
  }

  /**
   * Show a state; what has not changed is left alone, so that the focus stays.
   * @param {Prediction | null} state
   */
  show(state) {
    const before = this.shown;
    this.shown = state;
    const question = state && current(state);
    const focused = this.host.contains(document.activeElement);
    if (!state || !question) {
      if (focused) document.getElementById("play")?.focus();
      this.host.hidden = true;
      this.host.replaceChildren();
      return;
    }
    if (before?.phase === state.phase && before.open === state.open && !this.host.hidden) return this.#warn(state);
    this.host.hidden = false;
    const title = make("h2", { id: "question-text" }, question.text);
    this.host.replaceChildren(title, ...(state.phase === "asked" ? this.#asked(question, state) : this.#revealed(question, state)));
    this.#warn(state);
    if (focused) this.host.querySelector("button")?.focus();
  }

  /** @param {Prediction} state */
  #warn(state) {
    this.host.querySelector(".sure")?.classList.toggle("gone", !(state.phase === "asked" && state.sure));
  }

  /**
   * @param {import("./types").Question} question
   * @param {Prediction} state
   * @returns {Element[]}
   */
  #asked(question, state) {
    const button = make("button", { type: "button", class: "main" }, "Reveal");
    button.addEventListener("click", () => this.answers.reveal());
    if (!question.choices.length) return [make("p", {}, "Say or write what you expect, then reveal."), button, sure()];
    const choices = question.choices.map((text, k) => {
      const input = make("input", { type: "radio", name: "answer", value: k, checked: k === state.choice });
      input.addEventListener("change", () => this.answers.choose(k));
      return make("label", { class: "answer" }, input, make("span", { class: "letter" }, letter(k)), make("span", {}, text));
    });
    return [make("fieldset", {}, make("legend", {}, "What do you expect?"), ...choices), button, sure()];
  }

  /**
   * @param {import("./types").Question} question
   * @param {Prediction} state
   * @returns {Element[]}
   */
  #revealed(question, state) {
    const button = make("button", { type: "button", class: "main" }, "Go on");
    button.addEventListener("click", () => this.answers.goOn());
    const choices = question.choices.map((text, k) => {
      const right = k === question.answer;
      const marks = [right ? "right answer" : "", k === state.choice ? "your choice" : ""].filter(Boolean).join(", ");
      return make("li", { class: right ? "answer right" : "answer" }, make("span", { class: "letter" }, letter(k)),
        make("span", {}, text, ...(marks ? [make("strong", {}, ` (${marks})`)] : [])));
    });
    return [
      ...(choices.length ? [make("ul", { class: "answers" }, ...choices)] : []),
      make("p", { class: "verdict" }, verdict(question, state.choice)), button,
    ];
  }
}

function sure() {
  return make("p", { class: "sure quiet" }, "Once more reveals the answer.");
}

/**
 * What was right, in words.
 * @param {import("./types").Question} question
 * @param {number | null} choice
 */
export function verdict(question, choice) {
  const right = isRight(question, choice);
  const start = right === null ? "" : right ? "Right." : "Not so.";
  return [start, question.explanation].filter(Boolean).join(" ");
}

/** @param {number} index */
function letter(index) {
  return String.fromCharCode(65 + index);
}
