// @ts-check
/** The pictures of the vehicle: one run, two beside each other, or their difference. */

import { valueAt } from "codec";
import { make, say } from "dom";
import { TICK } from "plot";
import { Scene, legend } from "scene";

/**
 * @typedef {import("./types").ReplayDoc} ReplayDoc
 * @typedef {import("./types").View} View
 * @typedef {import("plots").Loaded} Loaded
 * @typedef {{element: HTMLElement, scene: Scene, runs: number[]}} Panel
 */

/** Indices of the runs in each view. */
export const SHOWN = { A: [0], B: [1], side: [0, 1], difference: [0, 1] };

/**
 * What a run's channels are at a time of the page; at an event, after it.
 * @param {Loaded} run
 * @param {number} time
 * @returns {(channel: string) => number}
 */
export function readAt({ track, doc }, time) {
  return (channel) => valueAt(track, channel, time - doc.shift + TICK);
}

export class Stage {
  /**
   * @param {{stage: HTMLElement, hosts: HTMLElement, scale: HTMLElement, told: HTMLElement}} places
   * @param {ReplayDoc} doc
   * @param {Loaded[]} runs
   * @param {(element: string) => void} pick
   */
  constructor(places, doc, runs, pick) {
    this.places = places;
    this.doc = doc;
    this.runs = runs;
    this.pick = pick;
    /** @type {Map<string, Panel>} */
    this.made = new Map();
    /** @type {Panel[]} */
    this.panels = [];
    this.horizon = Infinity;
    places.scale.replaceChildren(legend(doc));
    const aspect = aspectOf(this.#template(0));
    places.stage.dataset.shape = shapeOf(aspect);
    places.stage.style.setProperty("--aspect", String(aspect));
    if (shapeOf(aspect) === "tall") places.stage.querySelector("#plots")?.setAttribute("tabindex", "0");
  }

  /** Units that can be zoomed to. */
  get units() {
    return this.#panel("A").scene.units;
  }

  /** @param {number} run */
  #template(run) {
    const found = document.getElementById(`drawing-${this.doc.runs[run].drawing}`);
    if (!(found instanceof HTMLTemplateElement)) throw new Error(`the page has no drawing of run ${run}`);
    return found;
  }

  /**
   * @param {"A" | "B" | "difference"} key
   * @returns {Panel}
   */
  #panel(key) {
    const run = key === "B" ? 1 : 0;
    const found = this.made.get(key) ?? this.#make(key, run);
    this.made.set(key, found);
    return found;
  }

  /**
   * @param {"A" | "B" | "difference"} key
   * @param {number} run
   */
  #make(key, run) {
    const { name, title } = this.doc.runs[run];
    const words = key === "difference" ? "Difference of A and B" : `${name}: ${title}`;
    const host = make("div", { class: "drawing", tabindex: 0, role: "region", "aria-label": `Schematic, ${words}` });
    host.style.setProperty("--aspect", String(aspectOf(this.#template(run))));
    host.style.setProperty("--high", String(sizeOf(this.#template(run))[1]));
    const scene = new Scene(host, this.#template(run), this.doc.runs[run], this.doc);
    scene.onPick((/** @type {string} */ element) => this.pick(element));
    scene.hide(Number.isFinite(this.horizon) ? this.horizon - this.doc.runs[run].shift : null);
    const caption = this.doc.runs.length > 1 ? [make("figcaption", {}, words)] : [];
    return { element: make("figure", {}, ...caption, host), scene, runs: key === "difference" ? [0, 1] : [run] };
  }

  /**
   * @param {View["show"]} show
   * @param {string} zoom  a unit, or "" for everything
   */
  set(show, zoom) {
    this.places.stage.dataset.show = show;
    this.panels = (show === "side" ? /** @type {const} */ (["A", "B"]) : [show]).map((key) => this.#panel(key));
    this.places.hosts.replaceChildren(...this.panels.map((panel) => panel.element));
    for (const { scene } of this.panels) scene.show(scene.units.includes(zoom) ? zoom : null);
    say(this.places.told, show === "difference" ? "Colour and width show how far apart the pressures of A and B are." : "");
  }

  /**
   * @param {number} time
   * @param {number} horizon  marks after it are not shown
   */
  at(time, horizon) {
    if (horizon !== this.horizon) {
      this.horizon = horizon;
      for (const { scene, runs } of this.made.values()) scene.hide(Number.isFinite(horizon) ? horizon - this.doc.runs[runs[0]].shift : null);
    }
    for (const { scene, runs } of this.panels) {
      if (runs.length > 1) scene.compare(readAt(this.runs[0], time), readAt(this.runs[1], time));
      else scene.apply(readAt(this.runs[runs[0]], time), time - this.doc.runs[runs[0]].shift);
    }
  }

  /** @param {string | null} element */
  select(element) {
    for (const { scene } of this.made.values()) scene.select(element);
  }
}

/** @param {HTMLTemplateElement} template */
function sizeOf(template) {
  return (template.content.querySelector("svg")?.getAttribute("viewBox") ?? "0 0 16 9").split(" ").map(Number).slice(2);
}

/** @param {HTMLTemplateElement} template */
function aspectOf(template) {
  const [width, height] = sizeOf(template);
  return width / height;
}

/**
 * How a page is laid out around a drawing.
 * @param {number} aspect  width over height
 */
export function shapeOf(aspect) {
  return aspect > 2.2 ? "wide" : aspect < 1.15 ? "tall" : "usual";
}
