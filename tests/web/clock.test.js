// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";

import { SPEEDS, advance, inside, nextOf, previousOf, snapped } from "clock";

test("time goes on by what passed, times the speed", () => {
  assert.deepEqual(advance(1, 0.016, 1, [], 40), { time: 1.016, stopped: false });
  for (const speed of SPEEDS) assert.ok(Math.abs(advance(1, 0.02, speed, [], 40).time - 1 - 0.02 * speed) < 1e-12);
});

test("a frame that would pass an event ends on it, on the first of several, and stops", () => {
  assert.deepEqual(advance(0.99, 0.05, 1, [5, 1.02, 1], 40), { time: 1, stopped: true });
  assert.deepEqual(advance(0, 0.1, 10, [0.7], 40), { time: 0.7, stopped: true });
});

test("an event that the replay stands on does not hold it", () => {
  assert.equal(advance(1, 0.01, 1, [1], 40).stopped, false);
  assert.equal(advance(1 - 1e-12, 0.01, 1, [1], 40).time, 1);
});

test("the end stops, and there time does not run on", () => {
  assert.deepEqual(advance(39.99, 0.1, 10, [], 40), { time: 40, stopped: true });
  assert.deepEqual(advance(40, 0.1, 10, [], 40), { time: 40, stopped: true });
});

test("a question that stands open is an end that cannot be passed, wherever events are", () => {
  assert.deepEqual(advance(0.95, 0.1, 1, [1, 1.01], 0.999), { time: 0.999, stopped: true });
});

test("a page that slept does not jump, and a clock that goes back does not either", () => {
  assert.equal(advance(1, 60, 1, [], 40).time, 1.1);
  assert.equal(advance(1, -5, 1, [], 40).time, 1);
});

test("every event is met in turn at any speed", () => {
  const stops = [1, 1.183592, 1.232798, 1.2333, 7];
  for (const speed of SPEEDS) {
    const met = [];
    let time = 0;
    for (let frame = 0; frame < 20000 && time < 8; frame++) {
      const next = advance(time, 1 / 60, speed, stops, 8);
      if (next.stopped) met.push(next.time);
      time = next.time;
    }
    assert.deepEqual(met, [...stops, 8], `speed ${speed}`);
  }
});

test("neighbours of a time", () => {
  assert.equal(nextOf([3, 1, 2], 1), 2);
  assert.equal(nextOf([1, 2], 2), null);
  assert.equal(previousOf([3, 1, 2], 3), 2);
  assert.equal(previousOf([1, 2], 1), null);
  assert.equal(nextOf([], 0), null);
});

test("a time from an address is the event's own time again", () => {
  const event = 1.2327979999999998;
  assert.equal(snapped(Number(event.toFixed(6)), [1, event]), event);
  assert.equal(snapped(1.2328, [1, event]), 1.2328);
});

test("a time is kept inside a span", () => {
  assert.deepEqual([-1, 0.5, 9].map((time) => inside(time, [0, 4])), [0, 0.5, 4]);
});
