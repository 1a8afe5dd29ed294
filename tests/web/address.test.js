// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";

import { MOST_PLOTS, readAddress, writeAddress } from "address";

/** @type {import("../../pneusim/show/web/types").View} */
const USUAL = {
  time: 0, show: "A", speed: 1, stops: true, zoom: "", window: 0, plots: [], ground: "light", large: false, predict: true,
};
/** @type {import("address").Limits} */
const PAGE = { span: [0, 40], two: true, units: ["tractor", "trailer"], components: ["tractor.wet", "tractor.foot", "supply line"], windows: [0, 5, 1] };
const read = (/** @type {string} */ fragment, page = PAGE) => readAddress(fragment, USUAL, page);

test("what is written is read back", () => {
  /** @type {import("../../pneusim/show/web/types").View} */
  const view = {
    time: 14.5, show: "difference", speed: 0.25, stops: false, zoom: "trailer", window: 5, plots: ["tractor.wet", "supply line"], ground: "dark", large: true, predict: false,
  };
  assert.deepEqual(read(writeAddress(view, USUAL)), view);
  assert.deepEqual(read(writeAddress(USUAL, USUAL)), USUAL);
});

test("an address is short while nothing is unusual", () => {
  assert.equal(writeAddress({ ...USUAL, time: 1 / 3 }, USUAL), "#t=0.333333");
});

test("times beyond the run come to its ends", () => {
  assert.equal(read("#t=99").time, 40);
  assert.equal(read("#t=-3").time, 0);
});

test("with or without the sign in front", () => {
  assert.equal(read("t=2").time, 2);
  assert.equal(read("#t=2").time, 2);
});

test("what is no time, speed, unit or flag leaves the usual view", () => {
  const hostile = [
    "t=NaN", "t=Infinity", "t=1e9", "t=0x10", "t=", "t=%00", "t=1;alert(1)", "show=C", "show=__proto__", "show=constructor", "speed=0", "speed=-1", "speed=1e3",
    "speed=1.0", "zoom=<script>", "zoom=toString", "window=-5", "window=abc", "ground=url(x)", "large=yes", "predict=2", "stops=true",
    "plots=<img src=x onerror=alert(1)>", "plots=__proto__,constructor", "plots=,,,", "__proto__=1", "&&&===", "%", "%E0%A4%A", "t[]=1", "",
  ];
  for (const fragment of hostile) assert.deepEqual(read(`#${fragment}`), USUAL, fragment);
});

test("an endless address is cut, and plots are few and each once", () => {
  assert.deepEqual(read(`#plots=${"tractor.wet,".repeat(100000)}`).plots, ["tractor.wet"]);
  const many = Array.from({ length: 30 }, (_, k) => `c${k}`);
  assert.equal(read(`#plots=${many.join(",")}`, { ...PAGE, components: many }).plots.length, MOST_PLOTS);
});

test("a page with one run shows no second", () => {
  assert.equal(read("#show=side", { ...PAGE, two: false }).show, "A");
});

test("a name with signs of addresses in it goes there and back", () => {
  const components = ["a&t=9", "b#c", "d e", "ü%"];
  const view = { ...USUAL, plots: components };
  assert.deepEqual(read(writeAddress(view, USUAL), { ...PAGE, components }), view);
});
