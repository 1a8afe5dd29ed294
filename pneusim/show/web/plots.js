// @ts-check
/** The panel of plots: those of the document, and those of components that were chosen. */

import { make } from "dom";
import { Plot } from "plot";
import { rowsOf } from "table";

/**
 * @typedef {import("./types").ReplayDoc} ReplayDoc
 * @typedef {import("./types").PlotDoc} PlotDoc
 * @typedef {import("plot").Spec} Spec
 * @typedef {{track: import("codec").Track, doc: import("./types").RunDoc}} Loaded
 */

const DASHES = /** @type {Record<string, string>} */ ({ solid: "", dashed: "8 5", dotted: "2 4", dashdot: "8 3 2 3" });

/** Dash of a curve that the document does not have, by run. */
const PLAIN = ["solid", "dashed"];

/** Readouts are written so often while time runs [ms]. */
const PAUSE = 100;

/** Widths of the window of time that plots show [s]; 0 is the whole run. */
export const WINDOWS = [0, 20, 10, 5, 2, 1, 0.5];

export class PlotPanel {
  /**
   * @param {HTMLElement} host
   * @param {ReplayDoc} doc
   * @param {Loaded[]} runs
   * @param {{seek: (time: number) => void, close: (component: string) => void}} asks
   */
  constructor(host, doc, runs, asks) {
    this.host = host;
    this.doc = doc;
    this.runs = runs;
    this.asks = asks;
    /** @type {Plot[]} */
    this.plots = [];
    this.drawn = "";
    this.letter = 14;
    this.width = 0;
    this.written = -Infinity;
    /** Plots on the screen: the others need no cursor while time runs. */
    this.seen = new WeakSet();
    this.watch = new IntersectionObserver((entries) => {
      for (const { target, isIntersecting } of entries) isIntersecting ? this.seen.add(target) : this.seen.delete(target);
    });
  }

  /** Take the measures of the page again: its width or its letters may have changed. */
  measure() {
    this.letter = parseFloat(getComputedStyle(document.documentElement).fontSize) * 0.9;
    this.width = this.plots[0]?.element.clientWidth ?? 0;
  }

  /**
   * @param {number[]} shown  indices of runs
   * @param {string[]} components  chosen ones, the latest first
   */
  fill(shown, components) {
    const specs = [...components.flatMap((name) => this.#ofComponent(name, shown)), ...this.#ofDocument(shown)];
    const asks = { seek: this.asks.seek, close: (/** @type {string} */ key) => this.asks.close(key) };
    this.plots = specs.map((spec) => new Plot(spec, this.doc.quantities[spec.dimension], asks));
    const names = shown.map((k) => this.doc.runs[k].name);
    const note = make("p", { class: "quiet note" }, `Curves of run ${names[0]} are solid or dotted, those of run ${names[1]} dashed or dash-dotted. ${this.doc.beside}`);
    this.watch.disconnect();
    this.host.replaceChildren(...(shown.length > 1 ? [note] : []), ...this.plots.map((plot) => plot.element));
    for (const plot of this.plots) this.watch.observe(plot.element);
    this.measure();
    this.drawn = "";
  }

  /**
   * @param {number[]} shown
   * @returns {Spec[]}
   */
  #ofDocument(shown) {
    const titles = [...new Set(shown.flatMap((k) => this.doc.runs[k].plots.map((plot) => plot.title)))];
    return titles.map((title) => {
      const found = shown.map((k) => ({ k, plot: this.doc.runs[k].plots.find((plot) => plot.title === title) }));
      return this.#spec(title, title, false, found.flatMap(({ k, plot }) => (plot ? [{ k, plot }] : [])));
    });
  }

  /**
   * One plot for every dimension of a component.
   * @param {string} name
   * @param {number[]} shown
   * @returns {Spec[]}
   */
  #ofComponent(name, shown) {
    const row = rowsOf(this.doc, shown).find((one) => one.component === name);
    if (!row) return [];
    const { channels, dimensions } = this.doc.runs[shown[0]].samples;
    const of = (/** @type {string} */ channel) => dimensions[channels.indexOf(channel)];
    const cells = row.cells.filter((cell) => channels.includes(cell.channel));
    const found = [...new Set(cells.map((cell) => of(cell.channel)))];
    return found.sort((a, b) => rank(a) - rank(b)).map((dimension) => {
      const curves = cells.filter((cell) => of(cell.channel) === dimension)
        .map(({ channel, words }, colour) => ({ channel, label: words, colour, hollow: false }));
      const title = `${row.title || name}, ${name}`;
      const dashed = (/** @type {number} */ k) => curves.map((curve) => ({ ...curve, dash: PLAIN[k] }));
      return this.#spec(name, title, true, shown.map((k) => ({ k, plot: { title, dimension, curves: dashed(k) } })));
    });
  }

  /**
   * @param {string} key
   * @param {string} title
   * @param {boolean} closable
   * @param {{k: number, plot: PlotDoc}[]} found
   * @returns {Spec}
   */
  #spec(key, title, closable, found) {
    const labels = [...new Set(found.flatMap(({ plot }) => plot.curves.map((curve) => `${curve.channel} ${curve.label}`)))];
    const colours = this.doc.palette.curves;
    const curves = found.flatMap(({ k, plot }) => plot.curves.map((curve) => {
      const marker = labels.indexOf(`${curve.channel} ${curve.label}`);
      const dash = DASHES[curve.dash];
      const { track, doc } = this.runs[k];
      return { channel: curve.channel, label: curve.label, hollow: curve.hollow, whileAbove: curve.while_above, colour: colours[curve.colour % colours.length], marker, dash, run: doc.name, shift: doc.shift, track };
    }));
    const seen = new Set();
    const limits = found.flatMap(({ plot }) => plot.limits ?? []).filter(({ value, label }) => !seen.has(`${value} ${label}`) && seen.add(`${value} ${label}`));
    return { key, title, dimension: found[0].plot.dimension, curves, limits, closable, ends: found[0].plot.ends };
  }

  /**
   * Draw what changed: curves when the window, the size or the horizon did, the cursor always.
   * @param {number} time
   * @param {[number, number]} window
   * @param {number} horizon
   * @param {{number: number, time: number}[]} moments
   * @param {boolean} moving  while time runs, numbers are written some times a second
   */
  at(time, window, horizon, moments, moving) {
    const { letter, width } = this;
    const wanted = JSON.stringify([window, width, letter, horizon, moments.length]);
    if (wanted !== this.drawn && width > 0) {
      for (const plot of this.plots) plot.draw({ width, letter, window, horizon, moments });
      this.drawn = wanted;
    }
    const written = !moving || performance.now() - this.written > PAUSE;
    if (written) this.written = performance.now();
    for (const plot of this.plots) if (!moving || this.seen.has(plot.element)) plot.cursor(time, written);
  }
}

/** @param {string} dimension  those that people look for first come first */
function rank(dimension) {
  const place = ["pressure", "force", "length", "fraction"].indexOf(dimension);
  return place < 0 ? 9 : place;
}

/**
 * The part of the run that plots show: pages of half a window, so that the cursor is never near an end.
 * @param {number} time
 * @param {number} width  0 for everything [s]
 * @param {[number, number]} span
 * @returns {[number, number]}
 */
export function windowAt(time, width, [start, end]) {
  if (!width || width >= end - start) return [start, end];
  const page = start + Math.floor((time - start) / (width / 2)) * (width / 2) - width / 4;
  const from = Math.min(Math.max(page, start), end - width);
  return [from, from + width];
}
