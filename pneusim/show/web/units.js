// @ts-check
/** Numbers in words: values with their unit, times. */

/** @typedef {import("./types").Quantity} Quantity */

const MINUS = "\u2212";

/**
 * A value in the unit of the page.
 * @param {number} value  SI
 * @param {Quantity | undefined} quantity
 */
export function shown(value, quantity) {
  return quantity ? (value - quantity.offset) / quantity.factor : value;
}

/**
 * A value in the unit of the page, without its name.
 * @param {number} value  SI
 * @param {Quantity | undefined} quantity
 */
export function number(value, quantity) {
  return decimal(shown(value, quantity), quantity?.digits ?? 2);
}

/**
 * A value with its unit; what is not there is a dash.
 * @param {number} value  SI
 * @param {Quantity | undefined} quantity
 */
export function told(value, quantity) {
  if (!Number.isFinite(value)) return "\u2013";
  const written = number(value, quantity);
  return quantity?.symbol ? `${written}\u00a0${quantity.symbol}` : written;
}

/** A share this near to a state is that state. */
const NEAR = 0.005;

/**
 * A value in words where it has some: open, shut, 25 % open.
 * @param {number} value  SI
 * @param {Quantity | undefined} quantity
 * @param {import("./types").Cell} cell
 */
export function worded(value, quantity, { states, between }) {
  const found = states?.find(([at]) => Math.abs(value - at) < NEAR);
  if (found) return found[1];
  return between && Number.isFinite(value) ? `${told(value, quantity)} ${between}` : told(value, quantity);
}

/**
 * A number with a true minus and no negative zero.
 * @param {number} value
 * @param {number} digits
 */
export function decimal(value, digits) {
  const text = value.toFixed(digits);
  return Number(text) === 0 ? text.replace("-", "") : text.replace("-", MINUS);
}

/** @param {number} time  [s] */
export function seconds(time) {
  return `${decimal(time, 2)}\u00a0s`;
}
