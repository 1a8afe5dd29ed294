// @ts-check
/** What colours, widths and signs of the schematic mean. */

import { SIGNS } from "damage";
import { draw, make } from "dom";
import { WIDTHS, WORDS, alarm, colour, coreWidth } from "poses";
import { TURN } from "rolling";
import { number, told } from "units";

const SAMPLES = 6;
const LONG = 46;

/** Strokes are drawn larger than in the schematic. */
const LARGER = 1.5;

/**
 * @param {import("./types").ReplayDoc} doc
 * @param {number} top  what is drawn full [Pa]
 * @param {string} what  that is drawn, behind the unit
 * @returns {HTMLElement}
 */
export function legend(doc, top, what = "") {
  const { pressure } = doc.quantities;
  const written = (/** @type {number} */ value) => number(value, pressure);
  return make("ul", { class: "legend" },
    item(pressures(written, top), `${pressure?.symbol ?? ""}${what}`),
    item(line("pilot"), "control line"), item(line("hose"), "hose"), item(noData(), "no value"),
    item(signal(), "signal"), item(squares("passes"), "passes"), item(squares("vents"), "vents"), item(squares("holds"), "holds"),
    item(wheel("is-braked is-service", "service"), "service brake applied"), item(wheel("is-braked is-spring is-firm", "spring"), "spring applied"),
    item(wheel("is-braked is-service is-spring is-firm", "both"), "both at once"), item(wheel("is-braked", "drags"), "by a weak spring or little air"), item(wheel("is-sprung", "held"), "spring held off by air"),
    ...(doc.runs?.some(({ road }) => road) ? rolls(doc) : []), item(warning(), "warns"),
    ...[["broken", "broken"], ["leaking", "leaks"], ["blocked", "blocked"], ["parted", "parted"], ["fault", "faulty"]].map(([kind, words]) => item(sign(kind), words)));
}

/**
 * @param {SVGElement} picture
 * @param {string} words
 */
function item(picture, words) {
  return make("li", {}, picture, make("span", {}, words));
}

/**
 * @param {number} width
 * @param {number} height
 * @param {...Node} children
 */
function picture(width, height, ...children) {
  return draw("svg", { class: "pneusim", width, height, viewBox: `0 0 ${width} ${height}`, "aria-hidden": "true" }, ...children);
}

/**
 * @param {import("poses").Written} written
 * @param {number} top
 */
function pressures(written, top) {
  const pieces = Array.from({ length: SAMPLES }, (_, n) => {
    const share = n / (SAMPLES - 1);
    const text = draw("text", { class: "mark", x: 4 + LONG * (n + 0.5), y: 32 }, written(share * top));
    return draw("g", {}, ...stroke(false, share, 4 + LONG * n, LONG - 2, WIDTHS.casing), text);
  });
  return picture(8 + SAMPLES * LONG, 36, ...pieces);
}

/**
 * @param {boolean} pilot
 * @param {number} share
 * @param {number} x
 * @param {number} long
 * @param {number} beside
 */
function stroke(pilot, share, x, long, beside) {
  const d = `M${x},10 h${long}`;
  const width = LARGER * coreWidth(pilot, share);
  const core = draw("path", { class: "core", d, "stroke-width": width });
  core.style.stroke = colour(share);
  return [draw("g", { class: `line${pilot ? " pilot" : ""}` }, draw("path", { class: "casing", d, "stroke-width": width + LARGER * 2 * beside }), core)];
}

/** @param {"pilot" | "hose"} kind */
function line(kind) {
  return picture(54, 20, ...stroke(kind === "pilot", 0.6, 2, 50, kind === "hose" ? WIDTHS.hose : WIDTHS.casing));
}

function noData() {
  const d = "M2,10 h50";
  return picture(54, 20, draw("g", { class: "line" }, draw("path", { class: "casing", d, "stroke-width": 5 }), draw("path", { class: "core nodata", d, "stroke-width": 2 })));
}

function signal() {
  return picture(54, 20, draw("path", { class: "told", d: "M2,10 h50" }));
}

/** @param {"passes" | "vents" | "holds"} does */
function squares(does) {
  const through = "M11,20 V5 M7,10 L11,4 L15,10";
  const out = "M33,4 V14 M29,9 L33,15 L37,9 M28,19 H38";
  return picture(46, 24, draw("g", { class: "c" }, draw("rect", { class: "o", x: 1, y: 1, width: 44, height: 22 }),
    draw("g", { class: `position${does === "passes" ? " on" : ""}` }, draw("rect", { class: "square", x: 1, y: 1, width: 22, height: 22 }), draw("path", { d: through })),
    draw("g", { class: `position${does === "vents" ? " on" : ""}` }, draw("rect", { class: "square", x: 23, y: 1, width: 22, height: 22 }), draw("path", { d: out }))));
}

/**
 * @param {string} states
 * @param {keyof typeof WORDS} word
 */
function wheel(states, word) {
  return picture(114, 32, draw("g", { class: `wheel ${states}` }, draw("rect", { class: "tyre", x: 3, y: 3, width: 108, height: 26, rx: 8 }),
    draw("text", { class: `word ${word}`, x: 57, y: 22.5 }, WORDS[word])));
}

/**
 * What stands beside wheels on a road.
 * @param {import("./types").ReplayDoc} doc
 */
function rolls({ runs, quantities }) {
  const full = Math.max(...runs.map(({ road }) => road?.full ?? 0));
  const disc = [draw("circle", { class: "disc", cx: 17, cy: 17, r: 15 }), draw("path", { class: "spoke", d: "M17,17 V4" }), draw("circle", { class: "hub", cx: 17, cy: 17, r: 3.5 })];
  const block = [draw("rect", { x: 2, y: 2, width: 30, height: 30 }), draw("path", { d: "M8,17 h18" })];
  const bar = [draw("rect", { class: "room", x: 2, y: 11, width: 72, height: 11 }), draw("rect", { class: "bar", x: 2, y: 11, width: 40, height: 11 })];
  const roll = (/** @type {SVGElement[]} */ parts, name = "turning") => draw("g", { class: "wheel is-locked" }, draw("g", { class: "roll" }, draw("g", { class: name }, ...parts)));
  return [
    item(picture(34, 34, draw("g", { class: "roll" }, ...disc)), `a turn is ${TURN} m of tread`),
    item(picture(34, 34, roll(block, "block")), "wheel locked"), item(picture(76, 34, draw("g", { class: "roll" }, ...bar)), `load of a wheel, full ${told(full, quantities.force && { ...quantities.force, digits: 0 })}`),
  ];
}

function warning() {
  return picture(44, 40, draw("g", { class: "c is-warning", transform: "translate(-26 26)" }, alarm()));
}

/** @param {string} kind */
function sign(kind) {
  const strokes = SIGNS[kind].map(([name, d]) => draw("path", { class: name, d }));
  const y = kind === "leaking" ? 34 : 20;
  return picture(40, 40, draw("g", { class: `sign ${kind}`, transform: `translate(20 ${y})` }, ...strokes));
}
