// @ts-check
/** One plot: curves that lose no extreme, limits, numbered events, and a cursor with readouts. */

import { events, extent, grid, letterOf, limits, placed } from "axes";
import { SAME } from "clock";
import { valueAt } from "codec";
import { outline } from "decimate";
import { draw, make, say } from "dom";
import { limitSample, mark, markPath } from "marker";
import { shown, told } from "units";

/**
 * @typedef {object} Curve
 * @property {string} channel
 * @property {string} label
 * @property {string} colour
 * @property {number} marker  its place in the plot, which chooses the shape of its marks
 * @property {boolean} hollow
 * @property {[string, number]} [whileAbove]  another channel, and the size above which this one says something [SI]
 * @property {string} dash  of the stroke, "" for none
 * @property {string} run
 * @property {number} shift  added to the times of its run [s]
 * @property {import("codec").Track} track
 *
 * @typedef {object} Spec
 * @property {string} key
 * @property {string} title
 * @property {string} dimension
 * @property {Curve[]} curves
 * @property {{value: number, label: string}[]} limits
 * @property {boolean} closable
 * @property {[number, number]} [ends]  of the value axis, where its quantity has some [SI]
 *
 * @typedef {object} Frame  what all plots share
 * @property {number} width  [px]
 * @property {number} letter  size of text [px]
 * @property {[number, number]} window  times shown [s]
 * @property {number} horizon  nothing later is drawn [s]
 * @property {{number: number, time: number}[]} moments
 */

export class Plot {
  /**
   * @param {Spec} spec
   * @param {import("./types").Quantity | undefined} quantity
   * @param {{seek: (time: number) => void, close: (key: string) => void}} asks
   */
  constructor(spec, quantity, asks) {
    this.spec = spec;
    this.quantity = quantity;
    /** Ends of the value axis, and the horizon that they belong to. */
    this.axis = { low: 0, high: 1, horizon: NaN };
    this.asks = asks;
    this.svg = draw("svg", { role: "img", "aria-label": `${spec.title} against time: ${[...new Set(spec.curves.map((curve) => curve.label))].join(", ")}` });
    this.svg.addEventListener("pointerdown", (event) => this.#point(event));
    this.svg.addEventListener("pointermove", (event) => event.buttons === 1 && this.#point(event));
    const symbol = quantity?.symbol ? ` [${quantity.symbol}]` : "";
    const close = make("button", { type: "button", class: "close", "aria-label": `Close the plot ${spec.title}` }, "Close");
    close.addEventListener("click", () => asks.close(spec.key));
    this.element = make("figure", { class: "plot" },
      make("figcaption", {}, make("span", {}, spec.title, make("span", { class: "quiet" }, symbol)), ...(spec.closable ? [close] : [])), this.svg, this.#legend());
  }

  /** Curves of the same label are told together, run by run; then what the letters at the limits mean. */
  #legend() {
    /** @type {Map<Curve, HTMLElement>} */
    this.readouts = new Map();
    const many = new Set(this.spec.curves.map((curve) => curve.run)).size > 1;
    const items = [...new Set(this.spec.curves.map((curve) => curve.marker))].map((marker) => {
      const twins = this.spec.curves.filter((curve) => curve.marker === marker);
      const values = twins.map((curve) => {
        const value = make("span", { class: "value", "data-channel": curve.channel, "data-run": curve.run });
        this.readouts?.set(curve, value);
        return make("span", { class: "pair" }, ...(many ? [mark(curve), make("b", { class: "run" }, curve.run), " "] : []), value);
      });
      return make("li", {}, ...(many ? [] : [mark(twins[0])]), make("span", { class: "label" }, twins[0].label), make("span", { class: "values" }, ...values));
    });
    const limits = this.spec.limits.map(({ label }, k) =>
      make("li", { class: "wide" }, limitSample(), make("span", { class: "label" }, make("b", {}, letterOf(k)), ` ${label}`)));
    return make("ul", { class: many ? "legend curves two" : "legend curves" }, ...items, ...limits);
  }

  /** @param {Frame} frame */
  draw(frame) {
    const { width, letter, window: [t0, t1], horizon } = frame;
    if (horizon !== this.axis.horizon) {
      const [low, high] = extent(this.spec, this.quantity, horizon);
      this.axis = { low, high, horizon };
    }
    const { low, high } = this.axis;
    const rise = Math.ceil(letter * 1.05);
    const height = Math.round(Math.min(Math.max(width * 0.36, 230), 300) * (letter / 14) ** 0.5);
    const box = { left: letter * 3.6, right: width - letter * (this.spec.limits.length ? 2.6 : 1.9), top: 0, bottom: height - letter * 2.5 };
    const x = (/** @type {number} */ t) => box.left + ((t - t0) / (t1 - t0)) * (box.right - box.left);
    const marks = placed(frame, x);
    box.top = 6 + rise * (1 + Math.max(-1, ...marks.map((one) => one.level)));
    const y = (/** @type {number} */ v) => box.bottom - ((v - low) / (high - low)) * (box.bottom - box.top);
    this.scale = { x, y, box, t0, t1 };
    this.svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
    this.line = draw("path", { class: "cursor", d: `M0,${box.top - 4} V${box.bottom}` });
    this.dots = this.spec.curves.map((curve) => draw("circle", { r: letter * 0.3, fill: curve.colour, class: "dot" }));
    this.svg.replaceChildren(
      ...grid(this.scale, low, high, letter), ...events(this.scale, marks, rise), ...(horizon < Infinity ? [] : limits(this.scale, this.spec, this.quantity, letter)),
      ...this.spec.curves.flatMap((curve) => this.#curve(curve, frame)), this.line, ...this.dots);
  }

  /**
   * @param {Curve} curve
   * @param {Frame} frame
   */
  #curve(curve, frame) {
    const { x, y, box, t0, t1 } = /** @type {NonNullable<Plot["scale"]>} */ (this.scale);
    const values = curve.track.values.get(curve.channel);
    const end = Math.min(t1, frame.horizon);
    if (!values || end <= t0) return [];
    const { low, high } = this.axis;
    const height = (/** @type {number} */ v) => y(this.spec.ends ? Math.min(Math.max(shown(v, this.quantity), low), high) : shown(v, this.quantity));
    const columns = Math.max(1, Math.round(x(end) - x(t0)));
    const points = outline(curve.track.times, values, t0 - curve.shift, end - curve.shift, columns);
    let pen = "M";
    const d = points.map(([t, v]) => {
      if (!says(curve, t)) return (pen = "M") && "";
      const drawn = `${pen}${x(t + curve.shift).toFixed(1)},${height(v).toFixed(1)}`;
      pen = "L";
      return drawn;
    }).join("");
    const path = draw("path", { class: "curve", d, stroke: curve.colour, "stroke-dasharray": curve.dash || "none" });
    const count = this.spec.curves.length;
    const marks = [0, 1, 2, 3].map((k) => {
      const t = t0 + ((t1 - t0) * (k + (curve.marker + 0.6) / (count + 0.2))) / 4;
      if (t > end) return null;
      const value = valueOf(curve, t - curve.shift);
      return Number.isFinite(value) && markPath(curve, x(t), height(value), 4.2);
    });
    return [path, ...marks.filter((one) => one !== null && one !== false)].map((one) => (box.right > box.left ? one : path));
  }

  /**
   * @param {number} time
   * @param {boolean} written  whether readouts follow too
   */
  cursor(time, written) {
    if (!this.scale || !this.line) return;
    const { x, y, t0, t1 } = this.scale;
    const inside = time >= t0 - SAME && time <= t1 + SAME;
    this.line.setAttribute("transform", `translate(${x(time).toFixed(1)})`);
    this.line.classList.toggle("gone", !inside);
    this.spec.curves.forEach((curve, k) => {
      const value = valueOf(curve, time - curve.shift);
      const dot = this.dots?.[k];
      const there = inside && Number.isFinite(value);
      dot?.classList.toggle("gone", !there);
      if (there) dot?.setAttribute("transform", `translate(${x(time).toFixed(1)} ${y(shown(value, this.quantity)).toFixed(1)})`);
      const readout = written && this.readouts?.get(curve);
      if (readout) say(readout, told(value, this.quantity));
    });
  }

  /** @param {PointerEvent} event */
  #point(event) {
    if (!this.scale) return;
    const area = this.svg.getBoundingClientRect();
    const { box, t0, t1 } = this.scale;
    const at = ((event.clientX - area.left) / area.width) * this.svg.viewBox.baseVal.width;
    this.asks.seek(t0 + Math.min(Math.max((at - box.left) / (box.right - box.left), 0), 1) * (t1 - t0));
  }
}

/**
 * Whether a curve says something at a time of its run.
 * @param {Curve} curve
 * @param {number} t  [s]
 */
function says({ track, whileAbove }, t) {
  return !whileAbove || Math.abs(valueAt(track, whileAbove[0], t)) > whileAbove[1];
}

/**
 * @param {Curve} curve
 * @param {number} t  of its run [s]
 */
function valueOf(curve, t) {
  return says(curve, t) ? valueAt(curve.track, curve.channel, t) : NaN;
}
