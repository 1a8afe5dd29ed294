// @ts-check
/** What the page shows, in the part of its address after `#`: a slide can link to an instant. */

import { inside, SPEEDS } from "clock";

/**
 * @typedef {import("./types").View} View
 * @typedef {object} Limits  what this page has
 * @property {[number, number]} span
 * @property {boolean} two  whether there are two runs
 * @property {string[]} units
 * @property {string[]} components
 * @property {number[]} windows
 */

/** So many plots of components are kept in an address. */
export const MOST_PLOTS = 8;

const LONGEST = 2000;

/**
 * The view that an address asks for; what it asks for and the page has not stays as it is in `view`.
 * @param {string} fragment  with or without `#`
 * @param {View} view
 * @param {Limits} limits
 * @returns {View}
 */
export function readAddress(fragment, view, limits) {
  const asked = new URLSearchParams(fragment.replace(/^#/, "").slice(0, LONGEST));
  const chosen = (/** @type {string} */ key, /** @type {readonly any[]} */ allowed, /** @type {any} */ usual) =>
    allowed.find((one) => asked.has(key) && String(one) === asked.get(key)) ?? usual;
  const flag = (/** @type {string} */ key, /** @type {boolean} */ usual) => chosen(key, ["1", "0"], usual ? "1" : "0") === "1";
  const time = /^-?\d{1,9}(\.\d{1,9})?$/.test(asked.get("t") ?? "") ? Number(asked.get("t")) : view.time;
  const plots = (asked.get("plots") ?? "").split(",").filter((name) => limits.components.includes(name));
  return {
    time: inside(time, limits.span),
    show: chosen("show", limits.two ? ["A", "B", "side", "difference"] : ["A"], view.show),
    speed: chosen("speed", SPEEDS, view.speed),
    stops: flag("stops", view.stops),
    zoom: chosen("zoom", ["", ...limits.units], view.zoom),
    window: chosen("window", limits.windows, view.window),
    plots: asked.has("plots") ? [...new Set(plots)].slice(0, MOST_PLOTS) : view.plots,
    ground: chosen("ground", ["light", "dark"], view.ground),
    large: flag("large", view.large),
    predict: flag("predict", view.predict),
  };
}

/**
 * The address of a view; what is as in `usual` is left out, the time never is.
 * @param {View} view
 * @param {View} usual
 */
export function writeAddress(view, usual) {
  const parts = new URLSearchParams({ t: String(Number(view.time.toFixed(6))) });
  for (const key of /** @type {const} */ (["show", "speed", "zoom", "window", "ground"])) {
    if (view[key] !== usual[key]) parts.set(key, String(view[key]));
  }
  for (const key of /** @type {const} */ (["stops", "large", "predict"])) {
    if (view[key] !== usual[key]) parts.set(key, view[key] ? "1" : "0");
  }
  if (view.plots.length) parts.set("plots", view.plots.slice(0, MOST_PLOTS).join(","));
  return `#${parts}`;
}
