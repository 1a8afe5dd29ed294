// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";

import { lastOf, momentsOf, questionsOf, timesOf } from "moments";

const event = (/** @type {number} */ time, /** @type {string} */ text, told = true) => ({ time, category: "step", kind: "set", component: "a", text, told });
const run = (/** @type {string} */ name, /** @type {number} */ shift, /** @type {ReturnType<typeof event>[]} */ ...events) => ({ name, shift, events });

test("events of two runs stand in one order of time, each with its own time too", () => {
  const found = momentsOf([run("A", 0, event(1, "one"), event(3, "three")), run("B", 0.5, event(1, "half"), event(2, "quiet", false))]);
  assert.deepEqual(found.map((one) => [one.number, one.run, one.time, one.own, one.text]), [
    [1, "A", 1, 1, "one"], [2, "B", 1.5, 1, "half"], [3, "A", 3, 3, "three"],
  ]);
});

test("questions stand in the time of the page", () => {
  const question = (/** @type {number} */ time, /** @type {string} */ text) => ({ time, text, choices: [], answer: null, explanation: "" });
  const runs = [{ shift: 0, questions: [question(1, "a")] }, { shift: -0.5, questions: [question(1, "b")] }];
  assert.deepEqual(questionsOf(runs), [question(1, "a"), question(0.5, "b")]);
});

test("what happens together is one stop, at its last moment", () => {
  assert.deepEqual(timesOf([1, 1, 1.0004, 1.0012, 7].map((time) => ({ time }))), [1.0004, 1.0012, 7]);
  assert.deepEqual(timesOf([]), []);
});

test("the last moment that has come", () => {
  const moments = [{ time: 1 }, { time: 2 }, { time: 2 }];
  assert.deepEqual([0.5, 1, 1.999, 2, 9].map((time) => lastOf(moments, time)), [-1, 0, 0, 2, 2]);
});
