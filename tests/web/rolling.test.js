// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";

import { extent } from "axes";
import { TURN, doing, turnsAt, wayOf } from "rolling";

test("a wheel is locked below a twentieth of its vehicle's speed, and stands with it", () => {
  assert.deepEqual([doing(20, 19), doing(20, 1.01), doing(20, 0.99), doing(20, 0), doing(0.04, 0), doing(NaN, 0), doing(20, NaN)],
    ["", "", "locked", "locked", "stands", "", ""]);
});

test("a spoke turns by the way of its tread", () => {
  const times = Float64Array.from([0, 1, 1, 3]);
  const speeds = Float32Array.from([16, 16, 8, 0]);
  const tread = { times, speeds, way: wayOf(times, speeds) };
  assert.deepEqual([...tread.way], [0, 16, 16, 24]);
  const turns = [-1, 0, 0.5, 1, 2, 3, 9].map((t) => turnsAt(tread, t) * TURN);
  assert.deepEqual(turns, [0, 0, 8, 16, 22, 24, 24]);
});

test("an axis whose quantity has ends keeps to them", () => {
  const percent = { symbol: "%", factor: 0.01, offset: 0, digits: 0 };
  const spec = { dimension: "fraction", curves: [], limits: [], ends: /** @type {[number, number]} */ ([-0.05, 1.05]) };
  assert.deepEqual(extent(spec, percent).map(Math.round), [-5, 105]);
});
