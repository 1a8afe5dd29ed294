// @ts-check
/** The schematic of a run at a time: pressures, what moves, what is damaged; what is picked in it. */

import { Damage } from "damage";
import { draw } from "dom";
import { Picker } from "picker";
import { STEPS, WORDS, alarm, filler, setter } from "poses";
import { number } from "units";

export { legend } from "legend";

/**
 * @typedef {import("./types").Actor} Actor
 * @typedef {import("./types").Read} Read
 */

/** Numbers are written so often while time runs [ms]: nobody reads faster. */
const PAUSE = 100;

export class Scene {
  /**
   * @param {Element} host
   * @param {HTMLTemplateElement} template  holds the drawing
   * @param {Pick<import("./types").RunDoc, "actors" | "marks">} run
   * @param {Pick<import("./types").ReplayDoc, "quantities">} doc
   * @param {number} top  the pressure, or the difference of pressures, that is drawn full [Pa]
   */
  constructor(host, template, run, doc, top) {
    const svg = /** @type {DocumentFragment} */ (template.content.cloneNode(true)).querySelector("svg");
    if (!svg) throw new Error("the template holds no drawing");
    this.svg = svg;
    this.top = top;
    const { pressure } = doc.quantities;
    /** @type {import("poses").Written} */
    this.number = (value) => number(value, pressure);
    /** Step of pressures that are written [Pa]. */
    this.written = pressure ? pressure.factor * 10 ** -pressure.digits : 1;
    /** @type {Map<string, SVGElement>} */
    this.elements = new Map([.../** @type {NodeListOf<SVGElement>} */ (svg.querySelectorAll("[data-id]"))].map((one) => [one.dataset.id ?? "", one]));
    for (const [id, element] of this.elements) if (id.startsWith("w-")) this.#word(element);
    for (const part of /** @type {NodeListOf<SVGElement>} */ (svg.querySelectorAll(".core"))) setter(part, this.number)(NaN, NaN);
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
    /** When numbers were written last [ms]. */
    this.last = -Infinity;
    /** The least size of the picture. */
    this.least = [0, 0];
    this.show(null);
    host.append(svg);
  }

  /**
   * Make room for what rolls, and let its wheels be picked.
   * @param {import("rolling").Rolling} rolling
   */
  roll(rolling) {
    this.whole = rolling.room(this.whole);
    this.picker.wheels = rolling.elements;
    this.show(null);
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
   * @param {boolean} moving  while time runs, numbers are written some times a second
   */
  apply(read, t, moving) {
    if (this.damage.apply(t) && this.unit !== null) this.show(this.unit);
    for (const role of this.#due(moving)) this.#set(role, valueOf(role, read), shareOf(role, read, this.top));
  }

  /**
   * Show how far two runs are apart: pressures by their difference, all else as in the first.
   * @param {Read} readA
   * @param {Read} readB
   * @param {number} t  [s]
   * @param {boolean} moving
   */
  compare(readA, readB, t, moving) {
    this.damage.apply(t);
    for (const role of this.#due(moving)) {
      const apart = Math.abs(valueOf(role, readA) - valueOf(role, readB));
      if (role.pressure) this.#set(role, apart, clamp(apart / this.top));
      else this.#set(role, 0, shareOf(role, readA, this.top));
    }
  }

  /**
   * What is to be looked at.
   * @param {boolean} moving
   */
  #due(moving) {
    const now = performance.now();
    if (moving && now - this.last < PAUSE) return this.roles.filter((role) => !role.exact);
    this.last = now;
    return this.roles;
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

  /**
   * Where a unit is, or everything: x, y, width, height.
   * @param {string | null} unit
   */
  box(unit) {
    const found = unit === null ? null : /** @type {SVGElement | null} */ (this.svg.querySelector(`[data-unit="${CSS.escape(unit)}"]`));
    return found ? (found.dataset.box ?? "").split(" ").map(Number) : [...this.whole];
  }

  /**
   * @param {string | null} unit  a unit that fills the picture, the others pale; null for everything
   * @param {number[]} least  width and height that the picture has at least
   */
  show(unit, least = this.least) {
    [this.unit, this.least] = [unit, least];
    const groups = [.../** @type {NodeListOf<SVGElement>} */ (this.svg.querySelectorAll("[data-unit], [data-from]"))];
    for (const { dataset, classList } of groups) classList.toggle("pale", unit !== null && ![dataset.unit, dataset.from, dataset.to].includes(unit));
    const [x, y, width, height] = this.box(unit);
    const [dx, dy] = unit === null ? [0, 0] : this.damage.offset(unit);
    const [wide, high] = [Math.max(width, least[0]), Math.max(height, least[1])];
    this.svg.setAttribute("viewBox", `${x + dx - (wide - width) / 2} ${y + dy - (high - height) / 2} ${wide} ${high}`);
  }

  /**
   * @param {Role} role
   * @param {number} value
   * @param {number} share
   */
  #set(role, value, share) {
    const step = Number.isNaN(share) ? -1 : role.exact ? Math.round(value / role.exact) : Math.round(STEPS * share);
    if (step === role.last) return;
    role.last = step;
    for (const set of role.setters) set(role.exact ? share : step < 0 ? NaN : step / STEPS, value);
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
    const setters = parts.map((part) => (pressure && part.classList.contains("fill") ? filler(part) : setter(part, this.number)));
    setters.push((share) => {
      for (const one of [element, ...parts]) one.classList.toggle(one === element ? `is-${pose}` : "on", share >= 1 / STEPS);
    });
    const exact = parts.some((part) => part.classList.contains("value")) ? this.written : 0;
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
