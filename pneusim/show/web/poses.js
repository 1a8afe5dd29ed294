// @ts-check
/** What a part of a symbol does while what it shows goes from 0 to 1: its `data-` attributes and classes say so. */

import { draw } from "dom";

/** @typedef {(value: number) => string} Written  a pressure [Pa] in the units of the page, without their sign */
/** @typedef {(share: number, value: number) => void} Setter  share 0..1, NaN where there is no value */

/** Widths of the core of a line, empty and full, and of the casing beside it [drawing units]. */
export const WIDTHS = { working: [1.6, 6], pilot: [1.6, 4.6], casing: 1.3, hose: 2.3 };

/** What is said on wheels, by class. */
export const WORDS = { service: "SERVICE", spring: "SPRING", both: "BOTH", drags: "drags", caged: "CAGED", held: "held off", moving: "moving" };

/** The sign of a warning, beside a symbol that may give one. */
export function alarm() {
  return draw("g", { class: "alarm" }, draw("path", { class: "triangle", d: "M48,-22 L68,12 H28 Z" }), draw("path", { d: "M48,-11 V1 M48,6 V8" }));
}

/** Steps of colours of pressures, as many as can be told apart. */
export const STEPS = 32;

/**
 * Colour of a pressure, by its name in the style sheet: each ground has its own.
 * @param {number} share
 */
export function colour(share) {
  return `var(--p${Math.round(share * STEPS)})`;
}

/**
 * How the core of a line is drawn at a pressure.
 * @param {boolean} pilot
 * @param {number} share  NaN where there is no value
 */
export function coreWidth(pilot, share) {
  const [empty, full] = pilot ? WIDTHS.pilot : WIDTHS.working;
  return Number.isNaN(share) ? empty : empty + (full - empty) * share;
}

/**
 * Numbers of a data attribute.
 * @param {string | undefined} text
 */
function numbers(text) {
  return (text ?? "").split(" ").map(Number);
}

/**
 * @param {SVGElement} part
 * @param {Written} written
 * @returns {Setter}
 */
export function setter(part, written) {
  const { move, turn, grow, stretch } = part.dataset;
  if (part.classList.contains("core")) return core(part);
  if (part.classList.contains("value")) {
    return (share, value) => {
      part.textContent = Number.isNaN(share) ? "" : written(value);
      part.classList.toggle("high", share > 0.45);
    };
  }
  /** @type {Setter[]} */
  const all = [];
  if (move) {
    const [x0, y0, x1, y1] = numbers(move);
    all.push((share) => put(part, `translate(${at(x0, x1, share)} ${at(y0, y1, share)})`));
  }
  if (turn) {
    const [from, to, x, y] = numbers(turn);
    all.push((share) => put(part, `rotate(${at(from, to, share)} ${x} ${y})`));
  }
  if (stretch) {
    const [x, factor] = numbers(stretch);
    all.push((share) => put(part, `translate(${x} 0) scale(${at(1, factor, share)} 1) translate(${-x} 0)`));
  }
  if (grow) {
    const [dx, dw] = numbers(grow);
    const [x, width] = ["x", "width"].map((name) => Number(part.getAttribute(name)));
    all.push((share) => {
      part.setAttribute("x", at(x, x + dx, share));
      part.setAttribute("width", at(width, width + dw, share));
    });
  }
  return (share) => all.forEach((set) => set(Number.isNaN(share) ? 0 : share, 0));
}

/**
 * A room that is filled with the colour of its pressure.
 * @param {SVGElement} part
 * @returns {Setter}
 */
export function filler(part) {
  return (share) => {
    part.classList.toggle("nodata", Number.isNaN(share));
    part.style.fill = Number.isNaN(share) ? "" : colour(share);
  };
}

/**
 * Half a line: colour and width tell its pressure, and its casing goes along.
 * @param {SVGElement} part
 * @returns {Setter}
 */
function core(part) {
  const group = /** @type {SVGElement} */ (part.closest(".line"));
  const half = part.classList.contains("end") ? "end" : "start";
  const casing = /** @type {SVGElement} */ (group.querySelector(`.casing.${half}`));
  const pilot = group.classList.contains("pilot");
  const beside = 2 * (group.classList.contains("hose") ? WIDTHS.hose : WIDTHS.casing);
  return (share) => {
    part.classList.toggle("nodata", Number.isNaN(share));
    part.style.stroke = Number.isNaN(share) ? "" : colour(share);
    const width = coreWidth(pilot, share);
    part.style.strokeWidth = width.toFixed(1);
    casing.style.strokeWidth = (width + beside).toFixed(1);
  };
}

/**
 * @param {number} from
 * @param {number} to
 * @param {number} share
 */
function at(from, to, share) {
  return (from + (to - from) * share).toFixed(1);
}

/**
 * @param {SVGElement} part
 * @param {string} transform
 */
function put(part, transform) {
  part.setAttribute("transform", transform);
}
