// @ts-check
/** Shapes that tell curves apart without colour. */

import { draw } from "dom";

/** Outlines around the origin, of half width 1. */
const SHAPES = [
  "M-1,0 A1,1 0 1 1 1,0 A1,1 0 1 1 -1,0Z", "M-.9,-.9 H.9 V.9 H-.9Z", "M0,-1.15 L1.05,.85 H-1.05Z", "M0,-1.25 L1.25,0 L0,1.25 L-1.25,0Z",
  "M0,1.15 L1.05,-.85 H-1.05Z", "M-.4,-1.1 H.4 V-.4 H1.1 V.4 H.4 V1.1 H-.4 V.4 H-1.1 V-.4 H-.4Z",
];

/** @typedef {{colour: string, marker: number, hollow: boolean, dash: string}} Look */

/**
 * The mark of a curve at a point of its plot.
 * @param {Look} look
 * @param {number} x
 * @param {number} y
 * @param {number} size
 */
export function markPath(look, x, y, size) {
  return draw("path", {
    class: look.hollow ? "mark hollow" : "mark", d: SHAPES[look.marker % SHAPES.length], stroke: look.colour,
    ...(look.hollow ? {} : { fill: look.colour }), "stroke-width": 2 / size, transform: `translate(${x.toFixed(1)} ${y.toFixed(1)}) scale(${size})`,
  });
}

/**
 * A sample of a curve for a legend.
 * @param {Look} look
 */
export function mark(look) {
  return draw("svg", { class: "sample", viewBox: "0 0 36 16", "aria-hidden": "true" },
    draw("path", { class: "curve", d: "M1,8 H35", stroke: look.colour, "stroke-dasharray": look.dash || "none" }), markPath(look, 18, 8, 4.6));
}

/** A sample of the line of a limit. */
export function limitSample() {
  return draw("svg", { class: "sample", viewBox: "0 0 36 16", "aria-hidden": "true" }, draw("path", { class: "limit", d: "M1,8 H35" }));
}
