// @ts-check
/** The component that was picked: its name and its values, beside the picture. */

import { make, say } from "dom";
import { told } from "units";

/** @typedef {import("./types").ReplayDoc} ReplayDoc */

export class Chosen {
  /**
   * @param {HTMLElement} host
   * @param {ReplayDoc} doc
   * @param {() => void} close
   */
  constructor(host, doc, close) {
    this.host = host;
    this.doc = doc;
    this.close = close;
    /** @type {{cell: HTMLElement, run: number, channel: string, dimension: string}[]} */
    this.cells = [];
  }

  /**
   * @param {import("./types").Row | null} row
   * @param {number[]} shown  indices of runs
   */
  fill(row, shown) {
    this.cells = [];
    this.host.hidden = !row;
    if (!row) return this.host.replaceChildren();
    const close = make("button", { type: "button", class: "close", "aria-label": `Close ${row.title || row.component}` }, "Close");
    close.addEventListener("click", this.close);
    const lines = row.cells.map(({ channel, words }) => make("div", {}, make("dt", {}, words), ...shown.map((run) => this.#value(run, channel, shown.length > 1))));
    this.host.replaceChildren(
      make("div", { class: "top" }, make("h2", {}, row.title || row.component, " ", make("span", { class: "quiet" }, row.component)), close), make("dl", {}, ...lines));
  }

  /**
   * @param {number} run
   * @param {string} channel
   * @param {boolean} named
   */
  #value(run, channel, named) {
    const { name, samples: { channels, dimensions } } = this.doc.runs[run];
    const cell = make("span", { class: "value", "data-channel": channel, "data-run": name });
    this.cells.push({ cell, run, channel, dimension: dimensions[channels.indexOf(channel)] });
    return make("dd", {}, ...(named ? [make("b", { class: "run" }, name), " "] : []), cell);
  }

  /** @param {import("./types").Read[]} reads  one for each run */
  at(reads) {
    for (const { cell, run, channel, dimension } of this.cells) say(cell, told(reads[run](channel), this.doc.quantities[dimension]));
  }
}
