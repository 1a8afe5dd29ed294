// @ts-check
/** Wheels that turn, lock and stand, the loads on them, and how fast and how far each unit has gone. */

import { draw, say } from "dom";
import { indexAt } from "codec";
import { told } from "units";

/**
 * @typedef {import("./types").RoadDoc} RoadDoc
 * @typedef {import("./types").Read} Read
 */

/** Way of a tread in one turn of its spoke [m]: a true wheel turns too fast for the eye. */
export const TURN = 16;

/** A vehicle up to this speed stands [m/s], and a wheel slower than this share of its vehicle is locked. */
const [RESTS, LOCKED] = [0.05, 0.05];

/** Steps of a turn and of a bar: what moves less is not drawn anew. */
const STEPS = 96;

/** Numbers are written so often while time runs [ms]. */
const PAUSE = 100;

/** Room from the rim of a tyre: to the bar, its height, to the word, its height [drawing units]. */
const [GAP, BAR, WORD] = [6, 10, 25];
const DISC = 18;

/**
 * What a wheel does.
 * @param {number} V  speed of its vehicle [m/s]
 * @param {number} v  speed of its tread [m/s]
 * @returns {"" | "locked" | "stands"}
 */
export function doing(V, v) {
  if (!Number.isFinite(V) || !Number.isFinite(v)) return "";
  if (Math.abs(V) <= RESTS) return "stands";
  return Math.abs(v) < LOCKED * Math.abs(V) ? "locked" : "";
}

/**
 * Way that a tread has run at each time [m].
 * @param {Float64Array} times
 * @param {Float32Array} speeds
 */
export function wayOf(times, speeds) {
  const way = new Float64Array(times.length);
  for (let k = 1; k < times.length; k++) way[k] = way[k - 1] + 0.5 * (speeds[k] + speeds[k - 1]) * (times[k] - times[k - 1]);
  return way;
}

/**
 * How many turns its spoke has made at a time, between two samples by their speeds.
 * @param {{times: Float64Array, speeds: Float32Array, way: Float64Array}} tread
 * @param {number} t
 */
export function turnsAt({ times, speeds, way }, t) {
  const i = Math.min(Math.max(indexAt(times, t), 0), times.length - 1);
  const since = i + 1 < times.length ? Math.max(t - times[i], 0) : 0;
  const span = i + 1 < times.length ? times[i + 1] - times[i] : 1;
  const gain = span > 0 ? (speeds[i + 1] - speeds[i]) / span : 0;
  return (way[i] + since * (speeds[i] + 0.5 * (Number.isFinite(gain) ? gain : 0) * since)) / TURN;
}

export class Rolling {
  /**
   * @param {SVGSVGElement} svg
   * @param {Map<string, SVGElement>} elements
   * @param {RoadDoc} road
   * @param {import("codec").Track} track
   * @param {Pick<import("./types").ReplayDoc, "quantities">} doc
   */
  constructor(svg, elements, road, track, doc) {
    this.road = road;
    this.quantities = doc.quantities;
    this.still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    this.written = -Infinity;
    this.wheels = road.wheels.flatMap((wheel) => {
      const element = elements.get(wheel.element);
      return element ? [new Wheel(element, wheel, track)] : [];
    });
    this.units = road.units.flatMap((unit) => {
      const group = svg.querySelector(`.vehicles [data-unit="${CSS.escape(unit.unit)}"]`);
      const name = group?.querySelector("text.unit");
      return name ? [{ ...unit, lines: linesBelow(name) }] : [];
    });
    for (const group of /** @type {NodeListOf<SVGElement>} */ (svg.querySelectorAll(".vehicles [data-unit]"))) this.#widen(group);
  }

  /** Names of the elements that are wheels on the road. */
  get elements() {
    return new Set(this.road.wheels.map(({ element }) => element));
  }

  /**
   * A box with room for what stands outside of the wheels.
   * @param {number[]} box  x, y, width, height
   */
  room([x, y, width, height]) {
    const tops = this.wheels.map((wheel) => wheel.ends[0]);
    const bottoms = this.wheels.map((wheel) => wheel.ends[1]);
    const [top, bottom] = [Math.min(y, ...tops), Math.max(y + height, ...bottoms)];
    return [x, top, width, bottom - top];
  }

  /** @param {SVGElement} group  of a unit, whose box is that which is shown when it is shown alone */
  #widen(group) {
    const own = this.wheels.filter(({ element }) => group.contains(element));
    if (!group.dataset.box || !own.length) return;
    const [x, y, width, height] = group.dataset.box.split(" ").map(Number);
    const [top, bottom] = [Math.min(y, ...own.map(({ ends }) => ends[0])), Math.max(y + height, ...own.map(({ ends }) => ends[1]))];
    group.dataset.box = [x, top, width, bottom - top].join(" ");
  }

  /**
   * @param {Read} read
   * @param {number} t  the run's own time [s]
   * @param {boolean} moving  while time runs, numbers are written some times a second
   */
  apply(read, t, moving) {
    for (const wheel of this.wheels) wheel.apply(read, this.still ? 0 : t, this.road.full);
    const now = performance.now();
    if (moving && now - this.written < PAUSE) return;
    this.written = now;
    for (const unit of this.units) this.#write(unit, read);
  }

  /**
   * @param {import("./types").RollingUnit & {lines: SVGElement[]}} unit
   * @param {Read} read
   */
  #write({ owner, before, lines }, read) {
    const [speed, distance, hitched] = ["speed", "distance", "hitched"].map((quantity) => read(`${owner}.${quantity}`));
    const behind = before !== null && hitched < 0.5 ? read(`${before}.distance`) - distance : NaN;
    const words = [told(speed, this.quantities.speed), told(distance, this.quantities.distance)];
    if (Number.isFinite(behind)) words.push(`${told(behind, this.quantities.distance)} behind`);
    lines.forEach((line, k) => say(line, words[k] ?? ""));
  }
}

/** A wheel: a spoke that turns with its tread, a bar for its load, and what it does in a word. */
class Wheel {
  /**
   * @param {SVGElement} element
   * @param {import("./types").RollingWheel} wheel
   * @param {import("codec").Track} track
   */
  constructor(element, wheel, track) {
    this.element = element;
    this.wheel = wheel;
    const speeds = track.values.get(`${wheel.owner}.speed`) ?? new Float32Array(track.times.length);
    this.tread = { times: track.times, speeds, way: wayOf(track.times, speeds) };
    this.state = "?";
    this.turned = -1;
    this.loaded = -1;
    const { up, out } = wheel;
    const tyre = /** @type {SVGElement} */ (element.querySelector(".tyre"));
    const [x, y, width, height] = ["x", "y", "width", "height"].map((name) => Number(tyre.getAttribute(name)));
    const from = up ? y - out - GAP - BAR : y + height + out + GAP;
    const word = up ? from - 2 - WORD : from + BAR + 2;
    const [cx, cy] = [x + DISC, (Math.min(from, word) + Math.max(from + BAR, word + WORD)) / 2];
    const room = { x: x + 2 * DISC + 6, y: from, height: BAR };
    this.full = width - 2 * DISC + 6;
    this.ends = [Math.min(word, cy - DISC) - 6, Math.max(word + WORD, cy + DISC) + 6];
    this.spoke = draw("path", { class: "spoke", d: `M${cx},${cy} V${cy - DISC + 2}` });
    this.centre = [cx, cy];
    this.bar = draw("rect", { class: "bar", ...room, width: 0 });
    element.append(draw("g", { class: "roll" },
      draw("g", { class: "turning" }, draw("circle", { class: "disc", cx, cy, r: DISC }), this.spoke, draw("circle", { class: "hub", cx, cy, r: 4 })),
      draw("g", { class: "block" }, draw("rect", { x: cx - DISC, y: cy - DISC, width: 2 * DISC, height: 2 * DISC }), draw("path", { d: `M${cx - 11},${cy} h22` })),
      draw("rect", { class: "room", ...room, width: this.full }), this.bar,
      draw("rect", { class: "ground", x: room.x - 3, y: word, width: this.full + 6, height: WORD, rx: 4 }),
      draw("text", { class: "does locked", x: room.x + this.full / 2, y: word + 19 }, "LOCKED"),
      draw("text", { class: "does stands", x: room.x + this.full / 2, y: word + 19 }, "stands")));
  }

  /**
   * @param {Read} read
   * @param {number} t
   * @param {number} full  load that is drawn full [N]
   */
  apply(read, t, full) {
    const { owner, vehicle } = this.wheel;
    const state = doing(read(`${vehicle}.speed`), read(`${owner}.speed`));
    if (state !== this.state) for (const one of ["locked", "stands"]) this.element.classList.toggle(`is-${one}`, state === one);
    this.state = state;
    const turned = Math.round(STEPS * turnsAt(this.tread, t)) % STEPS;
    if (turned !== this.turned) this.spoke.setAttribute("transform", `rotate(${(-360 * turned) / STEPS} ${this.centre.join(" ")})`);
    this.turned = turned;
    const loaded = Math.round(STEPS * Math.min(Math.max(read(`${owner}.load`) / full, 0), 1)) || 0;
    if (loaded !== this.loaded) this.bar.setAttribute("width", ((this.full * loaded) / STEPS).toFixed(1));
    this.loaded = loaded;
  }
}

/**
 * Lines of numbers below the name of a unit.
 * @param {Element} name
 */
function linesBelow(name) {
  const [x, y] = ["x", "y"].map((one) => Number(name.getAttribute(one)));
  const lines = [1, 2, 3].map((k) => draw("text", { class: "rolled", x, y: y + 24 * k }));
  name.after(...lines);
  return lines;
}
