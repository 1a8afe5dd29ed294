// @ts-check
/** The bars of controls: they ask, and show what is. */

import { SPEEDS } from "clock";
import { draw, make, say, the } from "dom";
import { WINDOWS } from "plots";
import { seconds } from "units";

/**
 * @typedef {import("./types").View} View
 * @typedef {object} Asks
 * @property {() => void} play
 * @property {() => void} previous
 * @property {() => void} next
 * @property {(time: number) => void} seek
 * @property {(change: Partial<View>) => void} change
 * @property {(on: boolean) => void} animate
 */

const SHOWS = { A: "A", B: "B", side: "A and B side by side", difference: "difference of A and B" };
const FRACTIONS = /** @type {Record<number, string>} */ ({ 0.1: "1/10", 0.25: "1/4", 0.5: "1/2" });

export class Controls {
  /**
   * @param {[number, number]} span
   * @param {{names: string[], units: string[], questions: boolean, still: boolean}} page  titles of the runs, what there is to choose
   * @param {Asks} asks
   */
  constructor(span, page, asks) {
    this.span = span;
    this.play = the("play", HTMLButtonElement);
    this.time = the("time", HTMLInputElement);
    this.clock = the("clock", HTMLElement);
    this.play.addEventListener("click", asks.play);
    the("previous", HTMLButtonElement).addEventListener("click", asks.previous);
    the("next", HTMLButtonElement).addEventListener("click", asks.next);
    this.time.min = String(span[0]);
    this.time.max = String(span[1]);
    this.time.addEventListener("input", () => asks.seek(Number(this.time.value)));
    const keys = /** @type {(keyof typeof SHOWS)[]} */ (Object.keys(SHOWS));
    const titled = (/** @type {keyof typeof SHOWS} */ key) => (page.names[keys.indexOf(key)] ? `${key}: ${page.names[keys.indexOf(key)]}` : SHOWS[key]);
    const short = span[1] - span[0];
    this.selects = {
      speed: choices("speed", SPEEDS.map((speed) => [String(speed), FRACTIONS[speed] ?? String(speed)]), (speed) => asks.change({ speed: Number(speed) })),
      show: choices("show", keys.map((key) => [key, titled(key)]), (show) => asks.change({ show: /** @type {View["show"]} */ (show) })),
      zoom: choices("zoom", [["", "everything"], ...page.units.map((unit) => [unit, unit])], (zoom) => asks.change({ zoom })),
      window: choices("window", WINDOWS.filter((width) => width < short).map((width) => [String(width), width ? `${width} s around the time` : "the whole run"]),
        (width) => asks.change({ window: Number(width) })),
    };
    this.toggles = {
      stops: toggle("stops", (stops) => asks.change({ stops })), predict: toggle("predict", (predict) => asks.change({ predict })),
      large: toggle("large", (large) => asks.change({ large })),
    };
    this.dark = toggle("dark", (dark) => asks.change({ ground: dark ? "dark" : "light" }));
    this.motion = toggle("motion", asks.animate);
    the("show-choice", HTMLElement).hidden = page.names.length < 2;
    the("zoom-choice", HTMLElement).hidden = page.units.length < 2;
    the("predict-choice", HTMLElement).hidden = !page.questions;
    the("motion-choice", HTMLElement).hidden = !page.still;
  }

  /** @param {View} view */
  set(view) {
    for (const key of /** @type {const} */ (["speed", "show", "zoom", "window"])) this.selects[key].value = String(view[key]);
    for (const key of /** @type {const} */ (["stops", "predict", "large"])) this.toggles[key].checked = view[key];
    this.dark.checked = view.ground === "dark";
  }

  /**
   * Marks above the slider: events, and what must not be seen yet.
   * @param {number[]} times
   * @param {number} horizon
   */
  mark(times, horizon) {
    const x = (/** @type {number} */ t) => (1000 * (t - this.span[0])) / (this.span[1] - this.span[0] || 1);
    const svg = document.getElementById("ticks");
    svg?.setAttribute("viewBox", "0 0 1000 10");
    const lines = times.filter((time) => time <= horizon).map((time) => draw("path", { d: `M${x(time).toFixed(2)},0 V10` }));
    const hidden = horizon < this.span[1] ? [draw("rect", { x: x(horizon), y: 0, width: 1000 - x(horizon), height: 10 })] : [];
    svg?.replaceChildren(...hidden, ...lines);
  }

  /**
   * @param {number} time
   * @param {boolean} playing
   */
  at(time, playing) {
    this.time.value = String(time);
    this.time.setAttribute("aria-valuetext", `${time.toFixed(2)} seconds`);
    say(this.clock, seconds(time));
    say(this.play, playing ? "Pause" : "Play");
  }
}

/** @param {boolean} folded  whether settings give their room to the picture */
export function fold(folded) {
  the("settings", HTMLDetailsElement).open = !folded;
}

/**
 * @param {string} id
 * @param {string[][]} options  value and words of each
 * @param {(value: string) => void} changed
 */
function choices(id, options, changed) {
  const select = the(id, HTMLSelectElement);
  select.replaceChildren(...options.map(([value, words]) => make("option", { value }, words)));
  select.addEventListener("change", () => changed(select.value));
  return select;
}

/**
 * @param {string} id
 * @param {(on: boolean) => void} changed
 */
function toggle(id, changed) {
  const input = the(id, HTMLInputElement);
  input.addEventListener("change", () => changed(input.checked));
  return input;
}
