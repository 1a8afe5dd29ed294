// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";

import { actionOf } from "keys";

test("keys act wherever the focus is, unless its element needs them", () => {
  assert.equal(actionOf(" ", false, "BODY"), "play");
  assert.equal(actionOf(" ", false, "range"), "play");
  for (const focus of ["BUTTON", "SELECT", "checkbox", "radio", "SUMMARY"]) assert.equal(actionOf(" ", false, focus), null);
  assert.equal(actionOf("ArrowRight", false, "range"), "forward");
  assert.equal(actionOf("ArrowRight", true, "BUTTON"), "forward-little");
  assert.equal(actionOf("ArrowLeft", false, "radio"), null);
});

test("a presenter remote turns events, even after a choice from a list", () => {
  for (const focus of ["BODY", "BUTTON", "SELECT", "radio", "range", "checkbox"]) {
    assert.equal(actionOf("PageDown", false, focus), "next");
    assert.equal(actionOf("PageUp", false, focus), "previous");
  }
});

test("letters, digits and names of inner things are no keys", () => {
  for (const key of ["p", "1", "Enter", "Tab", "Escape", "constructor", "__proto__", "toString"]) assert.equal(actionOf(key, false, "BODY"), null);
});
