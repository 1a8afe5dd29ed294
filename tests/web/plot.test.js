// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";

import { extent } from "axes";
import { windowAt } from "plots";
import { decimal, seconds, told, worded } from "units";

const KPA = { symbol: "kPa", factor: 1000, offset: 0, digits: 0 };
/**
 * @param {number[]} values
 * @param {{value: number, label: string}[]} limits
 */
const spec = (values, limits = [], dimension = "pressure") => {
  const track = { times: new Float64Array(values.length), values: new Map([["a", Float32Array.from(values)]]), dimensions: new Map(), labels: new Map() };
  const look = { label: "", colour: "", marker: 0, hollow: false, dash: "", run: "A", shift: 0 };
  return { dimension, limits, curves: [{ channel: "a", track, ...look }] };
};

test("the value axis starts at zero and holds every sample and limit", () => {
  assert.deepEqual(extent(spec([300e3, 800e3]), KPA).map(Math.round), [0, 848]);
  assert.deepEqual(extent(spec([300e3], [{ value: 900e3, label: "" }]), KPA).map(Math.round), [0, 954]);
});

test("before a horizon the value axis tells nothing of what comes later", () => {
  const one = spec([0, 2e3, 18e3], [{ value: 20e3, label: "" }], "force");
  one.curves[0].track.times.set([0, 1, 2]);
  const kN = { symbol: "kN", factor: 1000, offset: 0, digits: 2 };
  assert.deepEqual(extent(one, kN, 1.5), [0, 2.12]);
  assert.deepEqual(extent(one, kN, 0.5), [0, 1.06], "zeros so far");
  one.curves[0].shift = 1;
  assert.deepEqual(extent(one, kN, 2.5), [0, 2.12], "times of the page");
  assert.deepEqual(extent(one, kN), [0, 21.2]);
});

test("negative values are not cut off, temperatures are not drawn from zero", () => {
  assert.ok(extent(spec([-50e3, 100e3]), KPA)[0] < -50);
  const [low, high] = extent(spec([290, 300], [], "temperature"), { symbol: "degC", factor: 1, offset: 273.15, digits: 0 });
  assert.ok(low > 15 && low < 16.85 && high > 26.85 && high < 28);
});

test("what differs by less than is written is drawn flat", () => {
  const [low, high] = extent(spec([293.1, 293.2], [], "temperature"), { symbol: "degC", factor: 1, offset: 273.15, digits: 0 });
  assert.ok(high - low > 5);
});

test("a curve of zeros, and none at all, still have an axis", () => {
  assert.deepEqual(extent(spec([0, 0]), KPA), [0, 5.3]);
  assert.deepEqual(extent(spec([]), KPA), [0, 1]);
});

test("a window holds its time away from its ends, and stays inside the run", () => {
  for (let time = 0; time <= 40; time += 0.01) {
    const [from, to] = windowAt(time, 5, [0, 40]);
    assert.ok(from >= 0 && to <= 40 && Math.abs(to - from - 5) < 1e-9);
    assert.ok(time >= from && time <= to);
    if (time > 2.5 && time < 37.5) assert.ok(time - from >= 1.2499 && to - time >= 1.2499, `${time} in ${from} to ${to}`);
  }
  assert.deepEqual(windowAt(3, 0, [0, 40]), [0, 40]);
  assert.deepEqual(windowAt(3, 50, [0, 40]), [0, 40]);
});

test("shares are told by their states, and between them by both", () => {
  const percent = { symbol: "%", factor: 0.01, offset: 0, digits: 0 };
  /** @type {import("../../pneusim/show/web/types").Cell} */
  const cell = { channel: "a", words: "", states: [[0, "shut"], [1, "open"]], between: "open" };
  const all = [0, 0.004, 0.25, 0.997, 1, NaN].map((value) => worded(value, percent, cell));
  assert.deepEqual(all, ["shut", "shut", "25\u00a0% open", "open", "open", "\u2013"]);
  assert.equal(worded(0.25, percent, { channel: "a", words: "" }), "25\u00a0%");
});

test("numbers are written with their unit, a true minus, no negative zero, and a dash for none", () => {
  assert.equal(told(612_345, KPA), "612\u00a0kPa");
  assert.equal(told(NaN, KPA), "\u2013");
  assert.equal(decimal(-3.25, 1), "\u22123.3");
  assert.equal(decimal(-0.01, 1), "0.0");
  assert.equal(told(293.15, { symbol: "degC", factor: 1, offset: 273.15, digits: 0 }), "20\u00a0degC");
  assert.equal(seconds(1.2345), "1.23\u00a0s");
});
