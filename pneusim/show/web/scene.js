// @ts-check
/** The schematic of a run at a time: pressures, what moves, what is damaged; what is picked in it. */

import { Damage } from "damage";
import { draw } from "dom";
import { Picker } from "picker";
import { WORDS, filler, setter } from "poses";

export { legend } from "legend";

/**
 * @typedef {{element: string, pose: string, channel: string, low: number, high: number | null, minus?: string}} Actor
 * @typedef {{symbol: string, factor: number, offset: number, digits: number}} Quantity
 * @typedef {{actors: Actor[], marks: import("damage").Mark[]}} SceneRun
 * @typedef {{palette: {pressure: string[]}, pressure_top: number, quantities: Record<string, Quantity>}} SceneDoc
 * @typedef {(channel: string) => number} Read  NaN where there is no such channel
 */

/** Steps that a value is shown in: nothing is touched before it is a step on. */
export const STEPS = 64;

export class Scene {
  /**
   * @param {Element} host
   * @param {HTMLTemplateElement} template  holds the drawing
   * @param {SceneRun} run
   * @param {SceneDoc} doc
   */
  constructor(host, template, run, doc) {
    const svg = /** @type {DocumentFragment} */ (template.content.cloneNode(true)).querySelector("svg");
    if (!svg) throw new Error("the template holds no drawing");
    this.svg = svg;
    this.top = doc.pressure_top;
    /** @type {import("poses").Scale} */
    this.scale = { colours: doc.palette.pressure, number: (value) => shown(value, doc.quantities.pressure) };
    /** @type {Map<string, SVGElement>} */
    this.elements = new Map([.../** @type {NodeListOf<SVGElement>} */ (svg.querySelectorAll("[data-id]"))].map((one) => [one.dataset.id ?? "", one]));
    for (const [id, element] of this.elements) if (id.startsWith("w-")) this.#word(element);
    this.roles = this.#roles(run.actors);
    for (const { element, pose } of run.actors) {
      if (pose === "spring") this.elements.get(element)?.classList.add("is-sprung");
      if (pose === "warning") this.elements.get(element)?.querySelector("g")?.append(alarm());
    }
    this.damage = new Damage(svg, this.elements, run.marks);
    this.picker = new Picker(svg, this.elements);
    this.whole = this.damage.room((svg.getAttribute("viewBox") ?? "0 0 1 1").split(" ").map(Number));
    /** @type {string | null} */
    this.unit = null;
    this.show(null);
    host.append(svg);
  }

  /** Units that can be shown alone. */
  get units() {
    const named = [.../** @type {NodeListOf<SVGElement>} */ (this.svg.querySelectorAll(".vehicles [data-unit]"))].map((one) => one.dataset.unit ?? "");
    return named.length > 1 ? named : [];
  }

  /**
   * Show a time of the run.
   * @param {Read} read
   * @param {number} t  the run's own time [s]
   * @returns {number} how many things were touched
   */
  apply(read, t) {
    let touched = this.damage.apply(t);
    if (touched && this.unit !== null) this.show(this.unit);
    for (const role of this.roles) touched += this.#set(role, valueOf(role, read), shareOf(role, read, this.top));
    return touched;
  }

  /**
   * Show how far two runs are apart: pressures by their difference, all else as in the first.
   * @param {Read} readA
   * @param {Read} readB
   * @returns {number} how many things were touched
   */
  compare(readA, readB) {
    let touched = 0;
    for (const role of this.roles) {
      const apart = Math.abs(valueOf(role, readA) - valueOf(role, readB));
      touched += role.pressure ? this.#set(role, apart, clamp(apart / this.top)) : this.#set(role, 0, shareOf(role, readA, this.top));
    }
    return touched;
  }

  /**
   * Marks after this time are not shown.
   * @param {number | null} after  the run's own time [s]
   */
  hide(after) {
    this.damage.limit = after ?? Infinity;
  }

  /** @param {string | null} element  data-id of what is picked */
  select(element) {
    this.picker.select(element);
  }

  /** @param {(element: string) => void} callback */
  onPick(callback) {
    this.picker.onPick = callback;
  }

  /** @param {string | null} unit  a unit that fills the picture, the others pale; null for everything */
  show(unit) {
    this.unit = unit;
    const groups = [.../** @type {NodeListOf<SVGElement>} */ (this.svg.querySelectorAll("[data-unit], [data-from]"))];
    for (const { dataset, classList } of groups) classList.toggle("pale", unit !== null && ![dataset.unit, dataset.from, dataset.to].includes(unit));
    const found = unit === null ? undefined : groups.find((one) => one.dataset.unit === unit);
    const box = found ? (found.dataset.box ?? "").split(" ").map(Number) : [...this.whole];
    const [dx, dy] = found && unit !== null ? this.damage.offset(unit) : [0, 0];
    this.svg.setAttribute("viewBox", `${box[0] + dx} ${box[1] + dy} ${box[2]} ${box[3]}`);
  }

  /**
   * @param {Role} role
   * @param {number} value
   * @param {number} share
   * @returns {number}
   */
  #set(role, value, share) {
    const step = Number.isNaN(share) ? -1 : role.exact ? Math.round(value / role.exact) : Math.round(STEPS * share);
    if (step === role.last) return 0;
    role.last = step;
    for (const set of role.setters) set(role.exact ? share : step < 0 ? NaN : step / STEPS, value);
    return 1;
  }

  /**
   * What is to be set, by element and pose; several channels of one pose: the largest counts.
   * @param {Actor[]} actors
   * @returns {Role[]}
   */
  #roles(actors) {
    /** @type {Map<string, Role>} */
    const roles = new Map();
    for (const actor of actors) {
      const element = this.elements.get(actor.element);
      if (!element) continue;
      const key = `${actor.element} ${actor.pose}`;
      const role = roles.get(key) ?? this.#role(element, actor);
      role.actors.push(actor);
      roles.set(key, role);
    }
    return [...roles.values()];
  }

  /**
   * @param {SVGElement} element
   * @param {Actor} actor
   * @returns {Role}
   */
  #role(element, { pose, high }) {
    const found = [.../** @type {NodeListOf<SVGElement>} */ (element.querySelectorAll(`.${CSS.escape(pose)}`))];
    const parts = element.classList.contains("line") ? found.filter((part) => part.classList.contains("core")) : found;
    const pressure = high === null;
    /** @type {import("poses").Setter[]} */
    const setters = parts.map((part) => (pressure && part.classList.contains("fill") ? filler(part, this.scale) : setter(part, this.scale)));
    setters.push((share) => {
      for (const one of [element, ...parts]) one.classList.toggle(one === element ? `is-${pose}` : "on", share >= 1 / STEPS);
    });
    const exact = parts.some((part) => part.classList.contains("value")) ? this.top / 1000 : 0;
    return { actors: [], pressure, exact, setters, last: undefined };
  }

  /** @param {SVGElement} wheel */
  #word(wheel) {
    const tyre = wheel.querySelector(".tyre");
    if (!tyre) return;
    const [x, y, width, height] = ["x", "y", "width", "height"].map((name) => Number(tyre.getAttribute(name)));
    for (const [name, word] of Object.entries(WORDS)) {
      wheel.append(draw("text", { class: `word ${name}`, x: x + width / 2, y: y + height / 2 + 6.5 }, word));
    }
  }
}

/** The sign of a warning, beside a symbol that may give one. */
function alarm() {
  return draw("g", { class: "alarm" }, draw("path", { class: "triangle", d: "M48,-22 L68,12 H28 Z" }), draw("path", { d: "M48,-11 V1 M48,6 V8" }));
}

/**
 * @typedef {object} Role  what one pose of one element shows
 * @property {Actor[]} actors
 * @property {boolean} pressure
 * @property {number} exact  step of a number that is written [Pa], 0 for what is drawn
 * @property {import("poses").Setter[]} setters
 * @property {number | undefined} last
 */

/**
 * @param {Role} role
 * @param {Read} read
 */
function valueOf({ actors: [actor] }, read) {
  return read(actor.channel) - (actor.minus ? read(actor.minus) : 0);
}

/**
 * The largest share of a role's channels; NaN if none has a value.
 * @param {Role} role
 * @param {Read} read
 * @param {number} top
 */
function shareOf({ actors }, read, top) {
  let most = NaN;
  for (const { channel, minus, low, high } of actors) {
    const share = clamp((read(channel) - (minus ? read(minus) : 0) - low) / ((high ?? top) - low));
    if (!(share <= most) && !Number.isNaN(share)) most = share;
  }
  return most;
}

/** @param {number} share */
function clamp(share) {
  return Math.min(1, Math.max(0, share));
}

/**
 * @param {number} value  [SI]
 * @param {Quantity} quantity
 */
function shown(value, { factor, offset, digits }) {
  const text = ((value - offset) / factor).toFixed(digits);
  return Number(text) === 0 ? text.replace("-", "") : text;
}
