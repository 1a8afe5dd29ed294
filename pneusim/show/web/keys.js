// @ts-check
/** What a key means, which depends on what has the focus. */

/** @typedef {"play" | "previous" | "next" | "start" | "end" | "back" | "forward" | "back-little" | "forward-little"} Action */

const ACTIONS = /** @type {Record<string, Action>} */ ({
  " ": "play", PageUp: "previous", PageDown: "next", Home: "start", End: "end", ArrowLeft: "back", ArrowRight: "forward",
});

/** Keys that an element with the focus needs itself. */
const OWN = /** @type {Record<string, string[]>} */ ({
  BUTTON: [" "], SUMMARY: [" "], A: [], SELECT: [" ", "Home", "End", "ArrowLeft", "ArrowRight"],
  checkbox: [" "], radio: [" ", "ArrowLeft", "ArrowRight"], range: [],
});

/**
 * The action of a key, null where it is left to the element; keys of presenter remotes (Page Up, Page Down) always count.
 * @param {string} key
 * @param {boolean} shift
 * @param {string} focus  tag of the element with the focus, or the type of an input
 * @returns {Action | null}
 */
export function actionOf(key, shift, focus) {
  const action = Object.hasOwn(ACTIONS, key) ? ACTIONS[key] : null;
  if (!action || (Object.hasOwn(OWN, focus) && OWN[focus].includes(key))) return null;
  return shift && (action === "back" || action === "forward") ? `${action}-little` : action;
}

/**
 * @param {KeyboardEvent} event
 * @returns {Action | null}
 */
export function actionFor(event) {
  if (event.defaultPrevented || event.ctrlKey || event.altKey || event.metaKey) return null;
  const target = event.target;
  const focus = target instanceof HTMLInputElement ? target.type : target instanceof Element ? target.tagName.toUpperCase() : "";
  return actionOf(event.key, event.shiftKey, focus);
}
