// @ts-check
/** Elements made and found without a word of HTML: names from a file are text and nothing else. */

const SVG = "http://www.w3.org/2000/svg";

/**
 * @template {keyof HTMLElementTagNameMap} Tag
 * @param {Tag} tag
 * @param {Record<string, string | number | boolean>} [attributes]  a flag that is false is left out
 * @param {...(Node | string)} children
 * @returns {HTMLElementTagNameMap[Tag]}
 */
export function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  put(element, attributes);
  element.append(...children);
  return element;
}

/**
 * @template {keyof SVGElementTagNameMap} Tag
 * @param {Tag} tag
 * @param {Record<string, string | number | boolean>} [attributes]
 * @param {...(Node | string)} children
 * @returns {SVGElementTagNameMap[Tag]}
 */
export function draw(tag, attributes = {}, ...children) {
  const element = document.createElementNS(SVG, tag);
  put(element, attributes);
  element.append(...children);
  return element;
}

/**
 * @param {Element} element
 * @param {Record<string, string | number | boolean>} attributes
 */
function put(element, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== false) element.setAttribute(name, value === true ? "" : String(value));
  }
}

/**
 * The element with an id, of the class wanted.
 * @template {HTMLElement} Kind
 * @param {string} id
 * @param {new () => Kind} kind
 * @returns {Kind}
 */
export function the(id, kind) {
  const found = document.getElementById(id);
  if (!(found instanceof kind)) throw new Error(`the page has no ${kind.name} ${id}`);
  return found;
}

/**
 * Write a text only where it changed, so that nothing is laid out or read out for nothing.
 * @param {Element} element
 * @param {string} text
 */
export function say(element, text) {
  if (element.textContent !== text) element.textContent = text;
}
