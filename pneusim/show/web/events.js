// @ts-check
/** The list of events, each a button that goes there, and the sentences that tell the run. */

import { SAME } from "clock";
import { make, say } from "dom";
import { lastOf } from "moments";
import { seconds } from "units";

/** @typedef {import("moments").Moment} Moment */

const KINDS = /** @type {Record<string, string>} */ ({ step: "step", trip: "trip", warning: "warning", mode: "mode", mechanics: "brakes" });

export class EventList {
  /**
   * @param {HTMLElement} host
   * @param {(time: number) => void} seek
   */
  constructor(host, seek) {
    this.host = host;
    this.seek = seek;
    /** @type {Moment[]} */
    this.moments = [];
    /** @type {HTMLElement[]} */
    this.items = [];
  }

  /**
   * @param {Moment[]} moments
   * @param {boolean} named  whether each tells its run
   */
  fill(moments, named) {
    this.moments = moments;
    this.items = moments.map((moment) => {
      const button = make("button", { type: "button", "data-time": moment.own, "data-run": moment.run },
        make("span", { class: "number" }, String(moment.number)),
        make("span", { class: "when" }, seconds(moment.time)),
        make("span", { class: "what" }, ...(named ? [make("b", { class: "run" }, moment.run), " "] : []), moment.text, " ",
          make("span", { class: `kind ${moment.category}` }, KINDS[moment.category] ?? moment.category)));
      button.addEventListener("click", () => this.seek(moment.time));
      return make("li", {}, button);
    });
    this.host.replaceChildren(...this.items);
  }

  /**
   * @param {number} time
   * @param {number} horizon  later events are hidden
   */
  at(time, horizon) {
    const last = lastOf(this.moments, time);
    this.items.forEach((item, k) => {
      item.hidden = this.moments[k].time > horizon;
      item.classList.toggle("past", k <= last);
      const button = /** @type {HTMLElement} */ (item.firstChild);
      if (k === last) button.setAttribute("aria-current", "step");
      else button.removeAttribute("aria-current");
    });
    if (last >= 0) keepInView(this.host, this.items[last]);
    else this.host.scrollTop = 0;
  }
}

export class Story {
  /** @param {HTMLElement} host */
  constructor(host) {
    this.host = host;
    /** @type {{time: number, until: number, parts: [number, string][], item: HTMLElement, cut: HTMLElement}[]} */
    this.sentences = [];
  }

  /** @param {import("./types").RunDoc[]} runs */
  fill(runs) {
    this.empty = make("p", { class: "quiet empty" }, "Nothing has happened yet: play, or go to an event.");
    this.sentences = runs.flatMap((run) => run.narrative.flatMap((sentence) => this.#sentence(sentence, run, runs.length > 1))).sort((a, b) => a.time - b.time);
    const moved = runs.filter((run) => Math.abs(run.shift) >= 0.005).map((run) => make("p", { class: "quiet" },
      `Sentences of ${run.name} tell its own times; the clock is ${seconds(Math.abs(run.shift))} ${run.shift < 0 ? "behind" : "ahead of"} them.`));
    this.host.replaceChildren(...moved, this.empty, ...this.sentences.map((sentence) => sentence.item));
  }

  /**
   * A sentence as it stands at a time, and the whole of it for print.
   * @param {import("./types").Sentence} sentence
   * @param {import("./types").RunDoc} run
   * @param {boolean} named
   */
  #sentence({ time, until, text, so_far }, { name, shift }, named) {
    if (time === null) return [];
    const cut = make("span", { class: "cut" });
    const item = make("p", { "data-time": time, "data-run": name }, ...(named ? [make("b", { class: "run" }, name), " "] : []), cut, make("span", { class: "whole" }, text));
    const parts = /** @type {[number, string][]} */ (so_far.map(([when, words]) => [when + shift, words]));
    return [{ time: time + shift, until: (until ?? time) + shift, parts, item, cut }];
  }

  /**
   * How many parts of sentences can be told.
   * @param {number} time
   */
  going(time) {
    return this.sentences.reduce((sum, { parts }) => sum + parts.filter(([when]) => when <= time + SAME).length, 0);
  }

  /**
   * What has happened so far, no clause before its time.  Print shows later sentences too, but for those that reach
   * beyond the horizon.
   * @param {number} time
   * @param {number} horizon
   */
  at(time, horizon) {
    const last = lastOf(this.sentences, time);
    this.empty?.classList.toggle("gone", last >= 0);
    this.sentences.forEach(({ time: when, until, parts, item, cut }, k) => {
      const told = parts.filter(([from]) => from <= time + SAME);
      say(cut, told.length ? told[told.length - 1][1] : "");
      item.classList.toggle("held", until > horizon);
      item.classList.toggle("later", k > last || !told.length);
      item.classList.toggle("now", last >= 0 && k <= last && when === this.sentences[last].time);
    });
    if (last >= 0) keepInView(this.host, this.sentences[last].item);
  }
}

/**
 * Scroll a box, and never the page, so that one of its items is seen.
 * @param {HTMLElement} box
 * @param {HTMLElement} item
 */
function keepInView(box, item) {
  const [outer, inner] = [box.getBoundingClientRect(), item.getBoundingClientRect()];
  if (inner.top < outer.top) box.scrollTop -= outer.top - inner.top;
  else if (inner.bottom > outer.bottom) box.scrollTop += Math.min(inner.bottom - outer.bottom, inner.top - outer.top);
}
