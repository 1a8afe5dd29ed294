// @ts-check
/** The component that was picked: its name and its values, beside the picture. */

import { make, say } from "dom";
import { worded } from "units";

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
    /** @type {{place: HTMLElement, run: number, cell: import("./types").Cell, dimension: string}[]} */
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
    const lines = row.cells.map((cell) => make("div", {}, make("dt", {}, cell.words), ...shown.map((run) => this.#value(run, cell, shown.length > 1))));
    this.host.replaceChildren(
      make("div", { class: "top" }, make("h2", {}, row.title || row.component, " ", make("span", { class: "quiet" }, row.component)), close), make("dl", {}, ...lines));
  }

  /**
   * @param {number} run
   * @param {import("./types").Cell} cell
   * @param {boolean} named
   */
  #value(run, cell, named) {
    const { name, samples: { channels, dimensions } } = this.doc.runs[run];
    const place = make("span", { class: "value", "data-channel": cell.channel, "data-run": name });
    this.cells.push({ place, run, cell, dimension: dimensions[channels.indexOf(cell.channel)] });
    return make("dd", {}, ...(named ? [make("b", { class: "run" }, name), " "] : []), place);
  }

  /** @param {import("./types").Read[]} reads  one for each run */
  at(reads) {
    for (const { place, run, cell, dimension } of this.cells) say(place, worded(reads[run](cell.channel), this.doc.quantities[dimension], cell));
  }
}
