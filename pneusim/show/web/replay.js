// @ts-check
/** The replay page: reads its document, and puts a time and a view on the desk. */

import { fillAbout } from "about";
import { decode } from "codec";
import { fold } from "controls";
import { Desk } from "desk";
import { say, the } from "dom";

const doc = /** @type {import("./types").ReplayDoc} */ (JSON.parse(the("replay", HTMLElement).textContent ?? ""));
const runs = await Promise.all(doc.runs.map(async (run) => ({ doc: run, track: await decode(run.samples) })));
say(the("title", HTMLElement), doc.title);
say(the("caution", HTMLElement), doc.caution);
fillAbout(the("about", HTMLElement), doc);
const desk = new Desk(doc, runs);
desk.open();
addEventListener("hashchange", () => desk.open());
addEventListener("keydown", (event) => desk.key(event));
new ResizeObserver(() => desk.resized()).observe(the("plots", HTMLElement));
const narrow = matchMedia("(max-width: 760px)");
narrow.addEventListener("change", () => fold(narrow.matches));
fold(narrow.matches);
addEventListener("beforeprint", () => the("about", HTMLElement).querySelectorAll("details").forEach((one) => (one.open = true)));
document.documentElement.dataset.ready = "yes";
