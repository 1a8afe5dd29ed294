// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";

import { BEFORE } from "clock.js";
import { cut, gone, pathOf, pointsOf, standing } from "damage.js";
import { colour, coreWidth, setter } from "poses.js";
import { outside, roundUp } from "stage.js";

/** @type {[number, number][]} */
const course = [[0, 0], [30, 0], [30, 10]];

test("a course is cut at a share of its length", () => {
  assert.deepEqual(cut(course, 0.5), [[[0, 0], [20, 0]], [[20, 0], [30, 0], [30, 10]]]);
  assert.deepEqual(cut(course, 0.875)[0], [[0, 0], [30, 0], [30, 5]]);
  assert.deepEqual(cut(course, 1)[0], course);
});

test("path data is read as it was written", () => {
  const points = [[12, -7.5], [100.5, 0]];
  assert.deepEqual(pointsOf(pathOf(points)), points);
  assert.deepEqual(pointsOf("M1,2 L3,4.5"), [[1, 2], [3, 4.5]]);
});

test("units leave at once, further for a while, and then stay", () => {
  assert.equal(gone(0) > 0.3, true);
  assert.equal(gone(0.2) > gone(0), true);
  assert.equal(gone(0.8), 1);
  assert.equal(gone(1e6), 1);
});

test("more pressure is a wider line, whatever its kind; no value is thin", () => {
  for (const pilot of [true, false]) {
    const widths = [0, 0.25, 0.5, 0.75, 1].map((share) => coreWidth(pilot, share));
    assert.deepEqual([...widths].sort((a, b) => a - b), widths);
    assert.equal(widths[4] >= 2.5 * widths[0], true);
    assert.equal(coreWidth(pilot, NaN), widths[0]);
  }
});

test("colours run from the first to the last", () => {
  assert.deepEqual([0, 0.5, 1].map(colour), ["var(--p0)", "var(--p16)", "var(--p32)"]);
});

test("a mark of a run that is shifted stands from its very event on, and is gone from its very end on", () => {
  for (const shift of [0, 0.1, 0.3, -0.7, 1 / 3, 1234.567891]) {
    const marks = [{ time: 1.1, until: 2.3, kind: "broken", element: "l-a", text: "" }];
    const at = (/** @type {number} */ time, limit = Infinity) => standing(marks, time + shift - shift, limit).length;
    assert.deepEqual([at(1.1), at(1.1 - 1e-6), at(2.3), at(2.3 - 1e-6)], [1, 0, 0, 1], `shift ${shift}`);
    assert.deepEqual([at(2, 1.1 - BEFORE), at(2, 1.1)], [0, 1], "what happens at a question's time waits");
  }
});

test("a run is outside its span only beyond its ends, in times of the page", () => {
  const run = { name: "B", span: /** @type {[number, number]} */ ([0, 2]), shift: 0.1 };
  assert.deepEqual([0.1, 0.1 - 1e-12, 1, 2.1, 2.1 + 1e-12].map((time) => outside(run, time)), ["", "", "", "", ""]);
  assert.equal(outside(run, 2.2), "run B ended at 2.10\u00a0s");
  assert.equal(outside(run, 0), "run B begins at 0.10\u00a0s");
});

test("a scale ends at a round number, and is not finer than what is written", () => {
  const kPa = { symbol: "kPa", factor: 1000, offset: 0, digits: 0 };
  assert.deepEqual([0, 5e3, 5.1e3, 11e3, 20e3, 430e3, 999e3].map((value) => Math.round(roundUp(value, kPa))), [5e3, 5e3, 10e3, 20e3, 20e3, 500e3, 1e6]);
  assert.equal(roundUp(0.3, { symbol: "psi", factor: 1, offset: 0, digits: 1 }), 0.5);
});

test("strokes are drawn in proportion", () => {
  assert.equal(set({ move: "0 0 20 0" }, 0.25).transform, "translate(5.0 0.0)");
});

/** What a part of a drawing is to a setter.  @param {Record<string, string>} dataset */
function part(dataset) {
  /** @type {Record<string, string>} */
  const attributes = { x: "10", width: "20" };
  return {
    dataset, attributes, classList: { contains: () => false },
    getAttribute: (/** @type {string} */ name) => attributes[name],
    setAttribute: (/** @type {string} */ name, /** @type {string} */ value) => { attributes[name] = value; },
  };
}

/**
 * @param {Record<string, string>} dataset
 * @param {number} share
 */
function set(dataset, share) {
  const one = part(dataset);
  setter(/** @type {any} */ (one), String)(share, 0);
  return one.attributes;
}

test("parts move as the drawing says", () => {
  assert.equal(set({ move: "0 0 23 -4" }, 1).transform, "translate(23.0 -4.0)");
  assert.equal(set({ move: "3 0 -10 0" }, 0).transform, "translate(3.0 0.0)");
  assert.equal(set({ turn: "0 90 24 12" }, 1).transform, "rotate(90.0 24 12)");
  assert.equal(set({ stretch: "3 1.5" }, 1).transform, "translate(3 0) scale(1.5 1) translate(-3 0)");
  assert.deepEqual([set({ grow: "5 -5" }, 1).x, set({ grow: "5 -5" }, 1).width], ["15.0", "15.0"]);
  assert.equal(set({ move: "0 0 23 0" }, NaN).transform, "translate(0.0 0.0)");
});
