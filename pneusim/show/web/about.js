// @ts-check
/** What was measured, how the run ended, and how all of it was computed. */

import { make } from "dom";

/**
 * @typedef {import("./types").ReplayDoc} ReplayDoc
 * @typedef {import("./types").RunDoc} RunDoc
 */

/**
 * Measures with their limits, and the sentences about the end.
 * @param {HTMLElement} host
 * @param {RunDoc[]} runs
 */
export function fillOutcome(host, runs) {
  host.replaceChildren(...runs.map((run) => {
    const told = [run.message, ...run.narrative.filter(({ time }) => time === null).map(({ text }) => text)].filter(Boolean).map((text) => make("p", {}, text));
    const [asked, others] = [run.measures.filter((one) => one.asked), run.measures.filter((one) => !one.asked)];
    const more = others.length ? [make("details", {}, make("summary", {}, `All other measures (${others.length})`), measures(others, `Other measures of run ${run.name}`))] : [];
    return make("div", { class: "outcome" }, ...(runs.length > 1 ? [make("h3", {}, `${run.name}: ${run.title}`)] : []), ...told,
      ...(asked.length ? [measures(asked, `Measures of run ${run.name} that the scenario asks for`)] : []), ...more);
  }));
}

/**
 * @param {import("./types").Measure[]} found
 * @param {string} title
 */
function measures(found, title) {
  const judged = found.some((one) => one.met !== null || one.limit);
  const remarked = found.some((one) => one.reason);
  const heads = ["measure", "value", ...(judged ? ["limit", "verdict"] : []), ...(remarked ? ["remark"] : [])];
  const rows = found.map((one) => make("tr", {},
    make("th", { scope: "row" }, one.words, make("span", { class: "quiet name" }, one.name)), make("td", { class: "value" }, one.value),
    ...(judged ? [make("td", {}, one.limit), make("td", { class: one.met === false ? "missed" : "" }, one.met === null ? "" : one.met ? "met" : "missed")] : []),
    ...(remarked ? [make("td", {}, one.reason)] : [])));
  const head = make("tr", {}, ...heads.map((text) => make("th", { scope: "col" }, text)));
  return make("div", { class: "scroll", tabindex: 0, role: "region", "aria-label": title },
    make("table", { class: "measures" }, make("thead", {}, head), make("tbody", {}, ...rows)));
}

/**
 * @param {HTMLElement} host
 * @param {ReplayDoc} doc
 */
export function fillAbout(host, doc) {
  const runs = doc.runs.flatMap((run) => {
    const name = doc.runs.length > 1 ? `${run.name}: ` : "";
    return [
      ...(run.closure ? [make("p", {}, `${name}${run.closure}`)] : []),
      ...(run.samples.told ? [make("p", {}, `${name}${run.samples.told}`)] : []),
      ...list(`${name}Outside the range of its source`, run.extrapolated), ...list(`${name}Sources`, run.sources),
    ];
  });
  host.replaceChildren(make("p", {}, doc.caution), make("p", {}, doc.limits_of_model), ...(doc.beside ? [make("p", {}, doc.beside)] : []), ...runs);
}

/**
 * @param {string} title
 * @param {string[]} items
 */
function list(title, items) {
  if (!items.length) return [];
  return [make("details", {}, make("summary", {}, `${title} (${items.length})`), make("ul", {}, ...items.map((text) => make("li", {}, text))))];
}
