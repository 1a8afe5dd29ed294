// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";

import { begin, choose, current, goOn, horizon, isRight, press, reach, reveal } from "predict";
import { verdict } from "questions";

const FIRST = { time: 1, text: "What brakes?", choices: ["nothing", "the trailer"], answer: 1, explanation: "Its springs." };
const LAST = { time: 6, text: "And then?", choices: [], answer: null, explanation: "It stays." };

test("questions are asked in order of time, whatever their order in the file", () => {
  assert.deepEqual(begin([LAST, FIRST]).questions, [FIRST, LAST]);
});

test("nothing after the first open question is seen, from the very start", () => {
  assert.equal(horizon(begin([FIRST, LAST])), 1);
  assert.equal(current(begin([FIRST])), null);
});

test("a question is asked when it is reached, not before, and leaving it backwards closes it", () => {
  const start = begin([FIRST, LAST]);
  assert.equal(reach(start, 0.9).phase, "watching");
  const asked = reach(start, 1);
  assert.deepEqual([asked.phase, current(asked), horizon(asked)], ["asked", FIRST, 1]);
  assert.equal(reach(asked, 1), asked);
  assert.equal(reach(asked, 0.5).phase, "watching");
});

test("choosing shows nothing; revealing moves on to the next question", () => {
  const chosen = choose(reach(begin([FIRST, LAST]), 1), 0);
  assert.deepEqual([chosen.choice, chosen.phase, horizon(chosen)], [0, "asked", 1]);
  const seen = reveal(chosen);
  assert.deepEqual([seen.phase, current(seen), seen.choice, horizon(seen)], ["revealed", FIRST, 0, 6]);
});

test("one press too many reveals nothing, the next does; leaving the question takes it back", () => {
  const asked = reach(begin([FIRST, LAST]), 1);
  const sure = press(asked);
  assert.deepEqual([sure.phase, horizon(sure)], ["asked", 1]);
  assert.deepEqual([press(sure).phase, horizon(press(sure))], ["revealed", 6]);
  assert.equal(reach(reach(sure, 0.5), 1).sure, false);
  assert.equal(press(begin([FIRST])).phase, "watching");
});

test("after the last reveal everything may be seen", () => {
  const state = reveal(reach(begin([FIRST]), 1));
  assert.equal(horizon(state), Infinity);
  assert.equal(current(goOn(state)), null);
});

test("nothing is revealed that was not asked, and nothing chosen that is no choice", () => {
  const start = begin([FIRST]);
  assert.equal(reveal(start), start);
  assert.equal(choose(start, 1), start);
  const asked = reach(start, 1);
  for (const none of [-1, 2, 0.5, NaN, /** @type {any} */ ("length")]) assert.equal(choose(asked, none), asked);
  assert.equal(choose(reveal(asked), 0).choice, null);
});

test("an answer stays until it is left or the next question comes", () => {
  const seen = reveal(reach(begin([FIRST, LAST]), 1));
  assert.equal(reach(seen, 3), seen);
  assert.deepEqual(current(reach(seen, 6)), LAST);
  assert.equal(goOn(seen).phase, "watching");
});

test("two questions at one time are asked one after the other", () => {
  const twin = { ...FIRST, text: "Which axle?" };
  const answered = reveal(reach(begin([FIRST, twin]), 1));
  assert.deepEqual(current(reach(answered, 1)), FIRST);
  const second = reach(goOn(answered), 1);
  assert.deepEqual([second.phase, current(second)], ["asked", twin]);
});

test("two runs that ask the same ask once, and what was answered stays answered", () => {
  assert.equal(begin([FIRST, { ...FIRST }]).questions.length, 1);
  const later = begin([FIRST, LAST], 6);
  assert.equal(horizon(later), 6);
  assert.equal(horizon(begin([FIRST, LAST], Infinity)), Infinity);
});

test("right and wrong are told only where there is a right answer and a choice", () => {
  assert.deepEqual([isRight(FIRST, 1), isRight(FIRST, 0), isRight(FIRST, null), isRight(LAST, null)], [true, false, null, null]);
  assert.equal(verdict(FIRST, 1), "Right. Its springs.");
  assert.equal(verdict(FIRST, 0), "Not so. Its springs.");
  assert.equal(verdict(FIRST, null), "Its springs.");
  assert.equal(verdict(LAST, null), "It stays.");
});
