// @ts-check
/** The list of events, each a button that goes there, and the sentences that tell the run. */

import { SAME } from "clock";
import { make } from "dom";
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
    /** @type {{time: number, until: number, item: HTMLElement}[]} */
    this.sentences = [];
  }

  /** @param {import("./types").RunDoc[]} runs */
  fill(runs) {
    this.empty = make("p", { class: "quiet empty" }, "Nothing has happened yet: play, or go to an event.");
    this.sentences = runs
      .flatMap((run) => run.narrative.flatMap(({ time, until, text }) => (time === null ? [] : [{ time: time + run.shift, until: (until ?? time) + run.shift, own: time, text, run: run.name }])))
      .sort((a, b) => a.time - b.time)
      .map(({ time, until, own, text, run }) => ({ time, until, item: make("p", { "data-time": own, "data-run": run }, ...(runs.length > 1 ? [make("b", { class: "run" }, run), " "] : []), text,
        ...(until > time + SAME ? [make("span", { class: "until" }, ` (until ${seconds(until)})`)] : [])) }));
    const moved = runs.filter((run) => Math.abs(run.shift) >= 0.005).map((run) => make("p", { class: "quiet" },
      `Sentences of ${run.name} tell its own times; the clock is ${seconds(Math.abs(run.shift))} ${run.shift < 0 ? "behind" : "ahead of"} them.`));
    this.host.replaceChildren(...moved, this.empty, ...this.sentences.map((sentence) => sentence.item));
  }

  /**
   * How many sentences have ended.
   * @param {number} time
   */
  going(time) {
    return this.sentences.filter(({ until }) => until <= time + SAME).length;
  }

  /**
   * What has happened so far, and of that only what is over before the horizon; of what is still going on, how long.
   * Print shows later sentences too.
   * @param {number} time
   * @param {number} horizon
   */
  at(time, horizon) {
    const last = lastOf(this.sentences, time);
    this.empty?.classList.toggle("gone", last >= 0);
    this.sentences.forEach(({ time: when, until, item }, k) => {
      item.hidden = until > horizon;
      item.classList.toggle("later", k > last);
      item.classList.toggle("going", until > time + SAME);
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
