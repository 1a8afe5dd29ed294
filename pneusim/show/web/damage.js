// @ts-check
/** What is damaged at a time, on the drawing: breaks, leaks, blockages, faults, hoses that have parted, units that left. */

import { SAME } from "clock";
import { draw } from "dom";

/** @typedef {import("./types").Mark} Mark */

/** Share of a hose that its keeper is drawn to hold, and how units leave: at once, then to the end over a time [s]. */
const KEPT = 0.62;
const AT_ONCE = 0.35;
const LEAVING = 0.8;

export class Damage {
  /**
   * @param {SVGSVGElement} svg
   * @param {Map<string, SVGElement>} elements
   * @param {Mark[]} marks
   */
  constructor(svg, elements, marks) {
    this.svg = svg;
    this.elements = elements;
    this.marks = marks;
    /** Marks after it are not shown [s]. */
    this.limit = Infinity;
    this.state = "";
    /** @type {Map<string, number[]>} */
    this.offsets = new Map();
    this.shapes = new Map(marks.map((mark) => [mark, this.#shape(mark)]));
    /** @type {Map<SVGElement, string>} */
    this.courses = new Map();
  }

  /**
   * Show what is damaged.
   * @param {number} t  [s]
   * @returns {number} how many things were touched
   */
  apply(t) {
    const now = standing(this.marks, t, this.limit);
    const moved = new Map(now.filter(({ kind }) => kind === "apart").map((mark) => [mark, gone(t - mark.time)]));
    const state = now.map((mark) => `${this.marks.indexOf(mark)}:${moved.get(mark) ?? ""}`).join(" ");
    if (state === this.state) return 0;
    this.state = state;
    for (const [mark, shape] of this.shapes) if (shape) reveal(shape, now.includes(mark) ? mark.text : null);
    this.#classes(now);
    this.#hoses(now);
    this.#move(now, moved);
    return now.length + 1;
  }

  /**
   * The picture with room for all that leaves.
   * @param {number[]} box  x, y, width, height
   */
  room([x, y, width, height]) {
    let [right, down] = [0, 0];
    for (const unit of new Set(this.marks.flatMap((mark) => mark.units ?? []))) {
      const ways = this.marks.filter((mark) => mark.units?.includes(unit)).map((mark) => mark.by ?? [0, 0]);
      right = Math.max(right, ...ways.map((by) => by[0]));
      down = Math.max(down, ...ways.map((by) => by[1]));
    }
    return [x, y, width + right, height + down];
  }

  /**
   * How far a unit has left.
   * @param {string} unit
   */
  offset(unit) {
    return this.offsets.get(unit) ?? [0, 0];
  }

  /** @param {Mark[]} now */
  #classes(now) {
    for (const kind of ["broken", "blocked", "leaking", "parted", "crossed", "fault"]) {
      const hit = new Set(now.filter((mark) => mark.kind === kind).map((mark) => mark.element));
      for (const id of new Set(this.marks.map((mark) => mark.element))) this.elements.get(id)?.classList.toggle(kind, hit.has(id));
    }
  }

  /**
   * Hoses end in the gap, or at the wrong head, while they do.
   * @param {Mark[]} now
   */
  #hoses(now) {
    for (const [path, d] of this.courses) path.setAttribute("d", d);
    this.courses.clear();
    const parted = now.filter(({ kind, keeps }) => keeps && (kind === "parted" || kind === "crossed"));
    const courses = new Map(parted.flatMap(({ element, partner }) => [element, partner ?? element]).map((id) => [id, this.#course(id)]));
    for (const { element, kind, keeps, partner } of parted) {
      const line = this.elements.get(element);
      if (!line) continue;
      const [kept, taken] = [element, partner ?? element].map((id) => (keeps === "end" ? [...(courses.get(id) ?? [])].reverse() : courses.get(id) ?? []));
      const drawn = kind === "parted" ? cut(kept, KEPT)[0] : [kept[0], taken[taken.length - 1]];
      this.#redraw(line, keeps === "end" ? drawn.reverse() : drawn, kind === "parted" ? 0.5 / KEPT : 0.5, keeps ?? "");
    }
  }

  /** @param {string} id */
  #course(id) {
    const line = this.elements.get(id);
    return line ? courseOf(line) : [];
  }

  /**
   * @param {SVGElement} line
   * @param {Point[]} course
   * @param {number} half  share of the kept course that belongs to the half at the keeper
   * @param {string} keeps
   */
  #redraw(line, course, half, keeps) {
    const [near, far] = cut(course, keeps === "end" ? 1 - half : half);
    for (const path of line.querySelectorAll("path")) {
      const { classList } = path;
      if (!["core", "casing", "ground", "hit"].some((name) => classList.contains(name))) continue;
      this.courses.set(path, path.getAttribute("d") ?? "");
      path.setAttribute("d", pathOf(classList.contains("start") ? near : classList.contains("end") ? far : course));
    }
  }

  /**
   * Units that have left stand apart, with what belongs to them; a hose goes with the unit that keeps it.
   * @param {Mark[]} now
   * @param {Map<Mark, number>} moved
   */
  #move(now, moved) {
    this.offsets.clear();
    for (const [mark, share] of moved) {
      for (const unit of mark.units ?? []) {
        const [x, y] = this.offset(unit);
        const [dx, dy] = mark.by ?? [0, 0];
        this.offsets.set(unit, [x + share * dx, y + share * dy]);
      }
    }
    const keepers = new Map(now.flatMap((mark) => (mark.keeper ? [[mark.element, mark.keeper]] : [])));
    for (const group of /** @type {NodeListOf<SVGElement>} */ (this.svg.querySelectorAll("[data-unit], [data-from]"))) {
      const line = group.firstElementChild;
      const id = line instanceof SVGElement ? line.dataset.id ?? "" : "";
      const [x, y] = this.offset(group.dataset.unit ?? keepers.get(id) ?? group.dataset.from ?? "");
      group.setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
    }
  }

  /**
   * The sign of a mark, hidden, where it belongs.
   * @param {Mark} mark
   */
  #shape(mark) {
    const element = this.elements.get(mark.element);
    const place = mark.at ?? (element && mark.kind === "parted" ? freeEnd(element, mark) : undefined);
    const strokes = SIGNS[mark.kind];
    if (!element || !place || !strokes) return null;
    const sign = draw("g", { class: `sign ${mark.kind}`, transform: `translate(${place[0]} ${place[1]})`, visibility: "hidden" },
      draw("title"), ...strokes.map(([name, d]) => draw("path", { class: name, d })));
    element.append(sign);
    return sign;
  }
}

/**
 * Show a sign with its words, or hide both: what is still to come stands nowhere.
 * @param {SVGElement} sign
 * @param {string | null} text
 */
function reveal(sign, text) {
  sign.setAttribute("visibility", text === null ? "hidden" : "visible");
  if (sign.firstChild) sign.firstChild.textContent = text ?? "";
}

/**
 * The marks that stand at a time.
 * @param {Mark[]} marks
 * @param {number} t  [s]
 * @param {number} limit  marks after it are not shown [s]
 */
export function standing(marks, t, limit) {
  return marks.filter(({ time, until }) => time <= Math.min(t, limit) + SAME && (until === null || t < until - SAME));
}

/** Strokes of the signs, about their place: class and path.  @type {Record<string, string[][]>} */
export const SIGNS = {
  broken: [["halo", "M-15,-15 L15,15 M-15,15 L15,-15"], ["bar", "M-15,-15 L15,15 M-15,15 L15,-15"]],
  leaking: [
    ["halo", "M0,-7 m-7,0 a7,7 0 1 0 14,0 a7,7 0 1 0 -14,0 M-11,-17 L-17,-27 M0,-19 V-31 M11,-17 L17,-27"],
    ["ring", "M0,-7 m-7,0 a7,7 0 1 0 14,0 a7,7 0 1 0 -14,0"], ["thin", "M-9,-17 L-15,-27 M0,-18 V-31 M9,-17 L15,-27"],
  ],
  blocked: [["disc", "M-15,0 a15,15 0 1 0 30,0 a15,15 0 1 0 -30,0"], ["white", "M-9,0 H9"]],
  fault: [["disc", "M-14,0 a14,14 0 1 0 28,0 a14,14 0 1 0 -28,0"], ["white", "M0,-8 V2 M0,6 V8"]],
  parted: [["halo", "M-5,-20 l9,10 l-9,10 l9,10 l-9,10"], ["bar", "M-5,-20 l9,10 l-9,10 l9,10 l-9,10"]],
};

/** @typedef {number[]} Point */

/**
 * Share of its way that a unit has left, a time after it parted: in steps, so that little is touched.
 * @param {number} since  [s]
 */
export function gone(since) {
  return Math.round(64 * Math.min(1, AT_ONCE + (1 - AT_ONCE) * (since / LEAVING))) / 64;
}

/**
 * Course of a line from its start to its end.
 * @param {SVGElement} line
 * @returns {Point[]}
 */
function courseOf(line) {
  const [near, far] = ["start", "end"].map((end) => pointsOf(line.querySelector(`.core.${end}`)?.getAttribute("d") ?? ""));
  return [...near, ...(far ?? []).slice(1)];
}

/**
 * @param {string} d  "M0,0 L1,0 L1,1"
 * @returns {Point[]}
 */
export function pointsOf(d) {
  return [...d.matchAll(/(-?[\d.]+),(-?[\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)]);
}

/** @param {Point[]} points */
export function pathOf(points) {
  return `M${points.map(([x, y]) => `${x.toFixed(1)},${y.toFixed(1)}`).join(" L")}`;
}

/**
 * Both pieces of a course that is cut at a share of its length.
 * @param {Point[]} course
 * @param {number} share  0..1
 * @returns {[Point[], Point[]]}
 */
export function cut(course, share) {
  const lengths = course.slice(1).map(([x, y], n) => Math.hypot(x - course[n][0], y - course[n][1]));
  let left = share * lengths.reduce((sum, length) => sum + length, 0);
  for (let n = 0; n < lengths.length; n++) {
    if (left <= lengths[n] && lengths[n] > 0) {
      const [[ax, ay], [bx, by]] = [course[n], course[n + 1]];
      const place = [ax + ((bx - ax) * left) / lengths[n], ay + ((by - ay) * left) / lengths[n]];
      return [[...course.slice(0, n + 1), place], [place, ...course.slice(n + 1)]];
    }
    left -= lengths[n];
  }
  return [course, course.slice(-1)];
}

/**
 * Where a parted hose ends.
 * @param {SVGElement} line
 * @param {Mark} mark
 */
function freeEnd(line, mark) {
  const course = courseOf(line);
  const [kept] = cut(mark.keeps === "end" ? course.reverse() : course, KEPT);
  return kept[kept.length - 1];
}
