// @ts-check
/** The pictures of the vehicle: one run, two beside each other, or their difference. */

import { SAME } from "clock";
import { between, indexAt } from "codec";
import { make, say } from "dom";
import { Rolling } from "rolling";
import { Scene, legend } from "scene";
import { seconds, told } from "units";

/**
 * @typedef {import("./types").ReplayDoc} ReplayDoc
 * @typedef {import("./types").View} View
 * @typedef {import("plots").Loaded} Loaded
 * @typedef {object} Panel
 * @property {HTMLElement} element
 * @property {HTMLElement} host
 * @property {HTMLElement | null} ended  says what of its runs is over
 * @property {Scene} scene
 * @property {Rolling | null} rolling  what rolls on a road
 * @property {number[]} runs
 */

const NONE = new Float32Array(0);

/** Indices of the runs in each view. */
export const SHOWN = { A: [0], B: [1], side: [0, 1], difference: [0, 1] };

/**
 * What a run's channels are at a time of the page; at an event, after it.
 * @param {Loaded} run
 * @param {number} time
 * @returns {import("./types").Read}
 */
export function readAt({ track, doc }, time) {
  const [t, i] = [time - doc.shift, indexAt(track.times, time - doc.shift)];
  return outside(doc, time) ? () => NaN : (channel) => between(track.times, track.values.get(channel) ?? NONE, i, t);
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
    /** @type {number | undefined} */
    this.most = undefined;
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
    const { actors, marks } = this.doc.runs[run];
    const scene = new Scene(host, this.#template(run), key === "difference" ? { actors, marks: marksOfBoth(this.doc.runs) } : { actors, marks }, this.doc,
      this.doc.pressure_top);
    const { road } = this.doc.runs[run];
    const rolling = road ? new Rolling(scene.svg, scene.elements, road, this.runs[run].track, this.doc) : null;
    if (rolling) scene.roll(rolling);
    scene.onPick((/** @type {string} */ element) => this.pick(element));
    scene.hide(Number.isFinite(this.horizon) ? this.horizon - this.doc.runs[run].shift : null);
    const two = this.doc.runs.length > 1;
    const ended = two ? make("span", { class: "quiet" }) : null;
    const caption = ended ? [make("figcaption", {}, words, ended)] : [];
    return { element: make("figure", {}, ...caption, host), host, ended, scene, rolling, runs: key === "difference" ? [0, 1] : [run] };
  }

  /**
   * @param {View["show"]} show
   * @param {string} zoom  a unit, or "" for everything
   */
  set(show, zoom) {
    this.places.stage.dataset.show = show;
    this.panels = (show === "side" ? /** @type {const} */ (["A", "B"]) : [show]).map((key) => this.#panel(key));
    this.places.hosts.replaceChildren(...this.panels.map((panel) => panel.element));
    this.#frame(zoom);
    this.#measure();
  }

  /** The legend, and how large a difference is drawn full: before an open question the largest of the run is not told. */
  #measure() {
    const difference = this.places.stage.dataset.show === "difference";
    const apart = !difference ? null : Number.isFinite(this.horizon) ? this.doc.pressure_top : this.apart;
    if (apart !== null) this.#panel("difference").scene.top = apart;
    this.places.scale.replaceChildren(apart === null ? legend(this.doc, this.doc.pressure_top) : legend(this.doc, apart, " apart"));
    say(this.places.told, apart === null ? "" : `Colour and width show how far apart the pressures of A and B are, up to ${told(apart, this.doc.quantities.pressure)}; wheels and valves are those of A.`);
  }

  /**
   * All pictures beside each other have one scale: their boxes have one size.
   * @param {string} zoom
   */
  #frame(zoom) {
    const units = this.panels.map(({ scene }) => (scene.units.includes(zoom) ? zoom : null));
    const sizes = this.panels.map(({ scene }, k) => scene.box(units[k]).slice(2));
    const [wide, high] = [0, 1].map((k) => Math.max(...sizes.map((size) => size[k])));
    this.panels.forEach(({ scene, host }, k) => {
      scene.show(units[k], [wide, high]);
      host.style.setProperty("--aspect", String(wide / high));
      host.style.setProperty("--high", String(high));
      host.toggleAttribute("data-zoomed", units[k] !== null);
    });
  }

  /** The largest difference of two pressures that are drawn, as a round number [Pa]. */
  get apart() {
    this.most ??= roundUp(furthest(this.runs), this.doc.quantities.pressure);
    return this.most;
  }

  /**
   * @param {number} time
   * @param {number} horizon  marks after it are not shown
   * @param {boolean} moving
   */
  at(time, horizon, moving) {
    if (horizon !== this.horizon) {
      const whole = horizon === Infinity;
      const changed = whole !== (this.horizon === Infinity);
      this.horizon = horizon;
      if (changed) this.#measure();
      for (const { scene, runs } of this.made.values()) scene.hide(Number.isFinite(horizon) ? horizon - this.doc.runs[runs[0]].shift : null);
    }
    for (const { scene, rolling, host, ended, runs } of this.panels) {
      const over = runs.map((run) => outside(this.doc.runs[run], time)).filter(Boolean);
      host.classList.toggle("ended", over.length === runs.length);
      if (ended) say(ended, over.length ? ` (${over.join("; ")})` : "");
      if (runs.length > 1) scene.compare(readAt(this.runs[0], time), readAt(this.runs[1], time), time - this.doc.runs[0].shift, moving);
      else scene.apply(readAt(this.runs[runs[0]], time), time - this.doc.runs[runs[0]].shift, moving);
      rolling?.apply(readAt(this.runs[runs[0]], time), time - this.doc.runs[runs[0]].shift, moving);
    }
  }

  /** @param {string | null} element */
  select(element) {
    for (const { scene } of this.made.values()) scene.select(element);
  }
}

/**
 * That a run has not begun or is over, in words; "" while it goes on.
 * @param {Pick<import("./types").RunDoc, "name" | "span" | "shift">} run
 * @param {number} time  of the page [s]
 */
export function outside({ name, span: [start, end], shift }, time) {
  if (time > end + shift + SAME) return `run ${name} ended at ${seconds(end + shift)}`;
  return time < start + shift - SAME ? `run ${name} begins at ${seconds(start + shift)}` : "";
}

/**
 * Damage of both runs, in times of the first; units stand where they belong.
 * @param {import("./types").RunDoc[]} runs
 */
function marksOfBoth([a, b]) {
  const by = b.shift - a.shift;
  const moved = b.marks.map((mark) => ({ ...mark, time: mark.time + by, until: mark.until === null ? null : mark.until + by }));
  const named = (/** @type {string} */ name, /** @type {import("./types").Mark[]} */ marks) => marks.map((mark) => ({ ...mark, text: `${name}: ${mark.text}` }));
  return [...named(a.name, a.marks), ...named(b.name, moved)].filter(({ kind }) => kind !== "apart");
}

/**
 * The largest difference of a pressure that is drawn, between two runs [Pa].
 * @param {Loaded[]} runs
 */
function furthest([a, b]) {
  const drawn = new Set(a.doc.actors.filter(({ high, channel }) => high === null && b.track.values.has(channel)).map(({ channel }) => channel));
  const times = [a, b].flatMap(({ track, doc }) => Array.from(track.times, (time) => time + doc.shift));
  let most = 0;
  for (const channel of drawn) {
    for (const time of times) {
      const apart = Math.abs(readAt(a, time)(channel) - readAt(b, time)(channel));
      if (apart > most) most = apart;
    }
  }
  return most;
}

/**
 * The next number of 1, 2 or 5 and zeros in the unit of the page, at least 5 of its last digit.
 * @param {number} value  SI
 * @param {import("./types").Quantity | undefined} quantity
 * @returns {number} SI
 */
export function roundUp(value, quantity) {
  const { factor, digits } = quantity ?? { factor: 1, digits: 0 };
  const wanted = Math.max(value / factor, 5 * 10 ** -digits);
  const power = 10 ** Math.floor(Math.log10(wanted) + 1e-9);
  return factor * power * ([1, 2, 5].find((one) => one * power >= wanted * (1 - 1e-9)) ?? 10);
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
function shapeOf(aspect) {
  return aspect > 2.2 ? "wide" : aspect < 1.15 ? "tall" : "usual";
}
