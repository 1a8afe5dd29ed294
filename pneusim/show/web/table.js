// @ts-check
/** The state of every component in words and numbers: the text twin of the picture. */

import { make, say } from "dom";
import { worded } from "units";

/**
 * @typedef {import("./types").ReplayDoc} ReplayDoc
 * @typedef {import("./types").RunDoc} RunDoc
 * @typedef {import("./types").Read} Read
 */

/** Values are written so often while time runs [ms]. */
const PAUSE = 250;

export class StateTable {
  /**
   * @param {HTMLElement} host
   * @param {ReplayDoc} doc
   * @param {(component: string) => void} pick
   */
  constructor(host, doc, pick) {
    this.host = host;
    this.doc = doc;
    this.pick = pick;
    this.written = -Infinity;
    this.seen = false;
    new IntersectionObserver(([entry]) => (this.seen = entry.isIntersecting)).observe(host);
    /** @type {{place: HTMLElement, run: number, cell: import("./types").Cell, dimension: string}[]} */
    this.cells = [];
    /** @type {Map<string, HTMLElement>} */
    this.bodies = new Map();
  }

  /** @param {number[]} shown  indices of runs */
  fill(shown) {
    this.cells = [];
    this.bodies = new Map();
    const rows = rowsOf(this.doc, shown);
    const [parts, lines] = [rows.filter((row) => row.kind !== "line"), rows.filter((row) => row.kind === "line")];
    const folded = make("details", { class: "lines", open: true }, make("summary", {}, `Lines (${lines.length})`), make("div", { class: "tables" }, ...this.#units(lines, shown)));
    this.host.replaceChildren(make("div", { class: "tables" }, ...this.#units(parts, shown)), ...(lines.length ? [folded] : []));
  }

  /**
   * A table for each unit.
   * @param {import("./types").Row[]} rows
   * @param {number[]} shown
   */
  #units(rows, shown) {
    const units = [...new Set(rows.map((row) => row.unit ?? ""))];
    return units.map((unit) => this.#unit(unit, rows.filter((row) => (row.unit ?? "") === unit), shown));
  }

  /**
   * @param {string} unit
   * @param {import("./types").Row[]} rows
   * @param {number[]} shown
   */
  #unit(unit, rows, shown) {
    const heads = shown.length > 1 ? shown.map((k) => this.doc.runs[k].name) : ["value"];
    const head = make("tr", {}, ...["component", "quantity", ...heads].map((text) => make("th", { scope: "col" }, text)));
    const caption = unit || "everything else";
    return make("table", { class: "state" }, make("caption", {}, caption), make("thead", {}, head), ...rows.map((row) => this.#component(row, shown)));
  }

  /**
   * @param {import("./types").Row} row
   * @param {number[]} shown
   */
  #component(row, shown) {
    const button = make("button", { type: "button", class: "link" }, row.title || row.component);
    button.addEventListener("click", () => this.pick(row.component));
    const name = make("span", { class: "quiet name" }, row.component);
    const body = make("tbody");
    row.cells.forEach((cell, k) => {
      const first = k ? [] : [make("th", { scope: "rowgroup", rowspan: row.cells.length }, button, name)];
      body.append(make("tr", {}, ...first, make("td", {}, cell.words), ...shown.map((run) => this.#cell(run, cell))));
    });
    this.bodies.set(row.component, body);
    return body;
  }

  /**
   * @param {number} run
   * @param {import("./types").Cell} cell
   */
  #cell(run, cell) {
    const { name, samples: { channels, dimensions } } = this.doc.runs[run];
    const place = make("td", { class: "value", "data-channel": cell.channel, "data-run": name });
    this.cells.push({ place, run, cell, dimension: dimensions[channels.indexOf(cell.channel)] });
    return place;
  }

  /** @param {string | null} component */
  select(component) {
    for (const [name, body] of this.bodies) body.classList.toggle("chosen", name === component);
  }

  /**
   * @param {Read[]} reads  one for each run
   * @param {boolean} moving  while time runs, not every frame is written, and none that is not on the screen
   */
  at(reads, moving) {
    const now = performance.now();
    if (moving && (!this.seen || now - this.written < PAUSE)) return false;
    this.written = now;
    for (const { place, run, cell, dimension } of this.cells) say(place, worded(reads[run](cell.channel), this.doc.quantities[dimension], cell));
    return true;
  }
}

/**
 * Rows of the runs shown, each component once.
 * @param {ReplayDoc} doc
 * @param {number[]} shown
 */
export function rowsOf(doc, shown) {
  /** @type {Map<string, import("./types").Row>} */
  const rows = new Map();
  for (const k of shown) for (const row of doc.runs[k].table) if (row.cells.length && !rows.has(row.component)) rows.set(row.component, row);
  return [...rows.values()];
}
