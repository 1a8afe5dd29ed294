// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";

import { outline, ticks } from "decimate.js";

const COLUMNS = 1200;
const grid = (/** @type {number} */ count) => Float64Array.from({ length: count }, (_, i) => i * 1e-3);

test("a spike of one sample in 20 001 is drawn, at full height, in one column", () => {
  const times = grid(20001);
  const values = new Float32Array(20001);
  values[12347] = 850e3;
  const points = outline(times, values, 0, 20, COLUMNS);
  const high = points.filter(([, value]) => value > 0);
  assert.deepEqual(high, [[times[12347], 850e3]]);
  assert.equal(points.length <= 4 * COLUMNS, true);
  const everyTenth = values.filter((_, i) => i % 10 === 0);
  assert.equal(Math.max(...everyTenth), 0);
});

test("the points are samples, in order, and no extreme of a column is missing", () => {
  const times = grid(20001);
  const values = Float32Array.from(times, (t, i) => Math.sin(40 * t) + 0.3 * Math.sin(i * i));
  const points = outline(times, values, 0, 20, COLUMNS);
  const column = (/** @type {number} */ t) => Math.floor(t / (20 / COLUMNS));
  /** @type {Map<number, [number, number]>} */
  const drawn = new Map();
  let before = -1;
  for (const [t, value] of points) {
    const i = Math.round(t * 1e3);
    assert.equal(i > before, true);
    assert.equal(value, values[i]);
    before = i;
    const [low, high] = drawn.get(column(t)) ?? [Infinity, -Infinity];
    drawn.set(column(t), [Math.min(low, value), Math.max(high, value)]);
  }
  times.forEach((t, i) => {
    const [low, high] = drawn.get(column(t)) ?? [NaN, NaN];
    assert.equal(low <= values[i] && values[i] <= high, true);
  });
});

test("few samples are all drawn, and a time that stands twice is a vertical stroke", () => {
  const times = Float64Array.of(0, 1, 1, 2);
  assert.deepEqual(outline(times, Float32Array.of(0, 8, 2, 2), 0, 2, 10), [[0, 0], [1, 8], [1, 2], [2, 2]]);
});

test("a part of the run is drawn to both of its ends", () => {
  const times = Float64Array.of(0, 1, 2, 3);
  const values = Float32Array.of(0, 10, 20, 30);
  assert.deepEqual(outline(times, values, 0.5, 2.5, 10), [[0.5, 5], [1, 10], [2, 20], [2.5, 25]]);
  assert.deepEqual(outline(times, values, 1.2, 1.4, 10).map(([t]) => t), [1.2, 1.4]);
  assert.deepEqual(outline(times, values, -5, 9, 10).length, 4);
});

test("without samples there, nothing is drawn", () => {
  assert.deepEqual(outline(new Float64Array(0), new Float32Array(0), 0, 1, 10), []);
  assert.deepEqual(outline(Float64Array.of(0, 1), Float32Array.of(0, 1), 2, 3, 10), []);
  assert.deepEqual(outline(Float64Array.of(0, 1), Float32Array.of(0, 1), 1, 1, 10), []);
});

test("numbers along an axis are round", () => {
  assert.deepEqual(ticks(0, 900, 5), { values: [0, 200, 400, 600, 800], digits: 0 });
  assert.deepEqual(ticks(0, 1, 5), { values: [0, 0.2, 0.4, 0.6, 0.8, 1], digits: 1 });
  assert.deepEqual(ticks(-0.021, 0.06, 4), { values: [-0.02, 0, 0.02, 0.04, 0.06], digits: 2 });
  assert.deepEqual(ticks(4.97, 5.03, 6).values, [4.97, 4.98, 4.99, 5, 5.01, 5.02, 5.03]);
  assert.deepEqual(ticks(7, 7, 5), { values: [7], digits: 0 });
});
