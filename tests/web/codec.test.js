// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";
import { deflateRawSync } from "node:zlib";

import { between, decode, indexAt, valueAt } from "codec.js";

const packed = (/** @type {number[]} */ bytes) => deflateRawSync(Uint8Array.from(bytes)).toString("base64");

/** Two channels of three samples; the second and third at one time.  Steps 0, 300, -1 and 2, 2, 2. */
const samples = {
  count: 3,
  channels: ["a.pressure", "b.stroke"],
  dimensions: ["pressure", "length"],
  labels: ["a", "b"],
  scales: [100, 0.5],
  offsets: [-200, 1],
  tick: 1e-6,
  times: packed([0, 0, 0, 0, 0x0f, 0, 0, 0x42, 0, 0, 0x40, 0]),
  values: packed([0, 600 >> 8, 601 >> 8, 0, 0, 0, 0, 600 & 255, 601 & 255, 4, 0, 0]),
};

test("times and values come back, channels with their dimensions and labels", async () => {
  const track = await decode(samples);
  assert.deepEqual([...track.times], [0, 1, 1]);
  assert.deepEqual([...(track.values.get("a.pressure") ?? [])], [-200, 29800, -300]);
  assert.deepEqual([...(track.values.get("b.stroke") ?? [])], [2, 2, 2]);
  assert.equal(track.dimensions.get("b.stroke"), "length");
  assert.equal(track.labels.get("a.pressure"), "a");
});

test("times beyond half of what 32 bit hold are no negative ones", async () => {
  const long = { ...samples, count: 1, channels: [], times: packed([0xf0, 0, 0, 1]), values: packed([]), tick: 1 };
  assert.deepEqual([...(await decode(long)).times], [0xf0000001]);
});

test("samples cut short are refused", async () => {
  await assert.rejects(decode({ ...samples, count: 4 }), /hold 12 bytes, not 16/);
});

test("at a time that stands twice the limit from the right counts", async () => {
  const track = await decode(samples);
  assert.equal(indexAt(track.times, 1), 2);
  assert.equal(valueAt(track, "a.pressure", 1), -300);
  assert.equal(valueAt(track, "a.pressure", 1 - 1e-12), -300);
  assert.equal(valueAt(track, "a.pressure", 1 - 1e-6) > 29799, true);
});

test("values are linear between samples, and NaN outside the run and without a channel", async () => {
  const track = await decode(samples);
  assert.equal(valueAt(track, "a.pressure", 0.5), 14800);
  for (const outside of [-1, -1e-6, 1 + 1e-6, 9]) assert.equal(valueAt(track, "a.pressure", outside), NaN);
  assert.equal(valueAt(track, "a.pressure", -1e-12), -200);
  assert.equal(valueAt(track, "a.pressure", 1 + 1e-12), -300);
  assert.equal(valueAt(track, "c.pressure", 0.5), NaN);
  assert.equal(between(track.times, Float32Array.of(0, 2, 4), 0, 0.25), 0.5);
});

test("before the first sample stands the first", () => {
  assert.equal(indexAt(Float64Array.of(5, 6, 7), 1), 0);
  assert.equal(indexAt(Float64Array.of(5, 6, 7), 6.5), 1);
  assert.equal(indexAt(Float64Array.of(5, 6, 7), 99), 2);
});
