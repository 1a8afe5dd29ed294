// @ts-check
/** One time and one view for the pictures, the plots, the story, the table and the questions. */

import { fillOutcome } from "about";
import { MOST_PLOTS, readAddress, writeAddress } from "address";
import { Chosen } from "chosen";
import { BEFORE, TOGETHER, nextOf, previousOf, snapped } from "clock";
import { Controls } from "controls";
import { say, the } from "dom";
import { EventList, Story } from "events";
import { actionFor } from "keys";
import { lastOf, momentsOf, questionsOf, timesOf } from "moments";
import { Player } from "player";
import { PlotPanel, WINDOWS, windowAt } from "plots";
import { begin, choose, goOn, horizon, press, reach, reveal } from "predict";
import { QuestionPanel } from "questions";
import { Stage, outside, readAt, SHOWN } from "stage";
import { StateTable, rowsOf } from "table";
import { seconds } from "units";

/** @typedef {import("./types").View} View */

/** The address follows what is shown after this time [ms]. */
const KEEP = 300;

export class Desk {
  /**
   * @param {import("./types").ReplayDoc} doc
   * @param {import("plots").Loaded[]} runs
   */
  constructor(doc, runs) {
    this.doc = doc;
    this.runs = runs;
    /** @type {[number, number]} */
    this.span = [Math.min(...doc.runs.map((run) => run.span[0] + run.shift)), Math.max(...doc.runs.map((run) => run.span[1] + run.shift))];
    this.still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    /** @type {import("moments").Moment[]} */
    this.moments = [];
    /** @type {number[]} */
    this.times = [];
    /** What the parts that change from event to event were told last. */
    this.told = "";
    this.moving = false;
    /** @type {number | undefined} */
    this.kept = undefined;
    /** @type {string | null} */
    this.picked = null;
    this.prediction = begin([]);
    this.usual = this.#usual();
    this.view = this.usual;
    this.player = new Player(this.span, { stops: () => (this.view.stops ? this.times : []), limit: () => this.limit, moved: (moving) => this.moved(moving) });
    this.stage = new Stage({ stage: the("stage", HTMLElement), hosts: the("hosts", HTMLElement), scale: the("scale", HTMLElement), told: the("told", HTMLElement) },
      doc, runs, (element) => this.pick(rowsOf(doc, this.shown).find((row) => row.element === element)?.component ?? null, element));
    this.events = new EventList(the("events", HTMLElement), (time) => this.go(time));
    this.story = new Story(the("story", HTMLElement));
    this.table = new StateTable(the("table", HTMLElement), doc, (component) => this.pick(component));
    this.plots = new PlotPanel(the("plots", HTMLElement), doc, runs, { seek: (time) => this.go(time), close: (name) => this.change({ plots: this.view.plots.filter((one) => one !== name) }) });
    this.chosen = new Chosen(the("selected", HTMLElement), doc, () => this.pick(null));
    this.question = new QuestionPanel(the("question", HTMLElement), { choose: (choice) => (this.prediction = choose(this.prediction, choice)), reveal: () => this.reveal(), goOn: () => this.goOn() });
    const questions = doc.runs.some((run) => run.questions.length > 0);
    this.controls = new Controls(this.span, { names: doc.runs.map((run) => run.title), units: this.stage.units, questions, still: this.still }, {
      play: () => this.play(), previous: () => this.previous(), next: () => this.next(), seek: (time) => this.go(time),
      change: (change) => this.change(change), animate: (on) => (this.still = !on),
    });
  }

  /** @returns {View} */
  #usual() {
    return {
      time: this.span[0], show: "A", speed: 1, stops: true, zoom: "", window: 0, plots: [], ground: "light", large: false,
      predict: this.doc.runs.some((run) => run.questions.length > 0),
    };
  }

  /** The latest time that may be seen. */
  get limit() {
    return this.view.predict ? horizon(this.prediction) : Infinity;
  }

  get shown() {
    return SHOWN[this.view.show];
  }

  /** Show what the address asks for, at first and when somebody edits it. */
  open() {
    const components = rowsOf(this.doc, this.runs.map((_, k) => k)).map((row) => row.component);
    const limits = { span: this.span, two: this.runs.length > 1, units: this.stage.units, components, windows: WINDOWS };
    const view = readAddress(location.hash, this.usual, limits);
    this.change(view, true);
    this.go(snapped(view.time, this.times));
  }

  /**
   * @param {Partial<View>} change
   * @param {boolean} all  everything is built anew
   */
  change(change, all = false) {
    const changed = (/** @type {keyof View} */ key) => all || (key in change && change[key] !== this.view[key]);
    const [show, zoom, plots, predict, large] = /** @type {const} */ (["show", "zoom", "plots", "predict", "large"]).map(changed);
    this.view = { ...this.view, ...change };
    if (show || predict) this.prediction = begin(questionsOf(this.shown.map((k) => this.doc.runs[k])), predict ? -Infinity : horizon(this.prediction));
    if (show || zoom) this.stage.set(this.view.show, this.view.zoom);
    if (show) this.#fill();
    if (show || plots) this.plots.fill(this.shown, this.view.plots);
    this.player.speed = this.view.speed;
    document.documentElement.dataset.ground = this.view.ground;
    document.documentElement.toggleAttribute("data-large", this.view.large);
    this.controls.set(this.view);
    if (large) this.plots.measure();
    this.player.seek(this.player.time);
    this.keep();
  }

  /** What depends on which runs are shown. */
  #fill() {
    const runs = this.shown.map((k) => this.doc.runs[k]);
    this.moments = momentsOf(runs);
    this.times = timesOf(this.moments);
    this.events.fill(this.moments, runs.length > 1);
    this.story.fill(runs);
    this.table.fill(this.shown);
    fillOutcome(the("outcomes", HTMLElement), runs);
    this.pick(null);
  }

  /**
   * Draw everything at the time of the player.
   * @param {boolean} moving
   */
  moved(moving) {
    if (this.view.predict) this.prediction = reach(this.prediction, this.player.time);
    const limit = this.limit - BEFORE;
    const time = Math.min(this.player.time, limit);
    const reads = this.runs.map((run) => readAt(run, time));
    this.stage.at(time, limit, moving);
    this.plots.at(time, windowAt(time, this.view.window, this.span), limit, this.moments, moving);
    this.controls.at(this.player.time, moving);
    this.chosen.at(reads);
    if (this.table.at(reads, moving)) for (const id of ["table-time", "picture-time"]) say(the(id, HTMLElement), seconds(this.player.time));
    this.question.show(this.view.predict ? this.prediction : null);
    const state = [lastOf(this.moments, time), this.story.going(time), this.#over(time), limit, this.moments.length, this.prediction.phase, this.prediction.open, this.prediction.sure].join(" ");
    if (state !== this.told) this.#tell(time, limit);
    this.told = state;
    if (!moving && this.moving) this.keep();
    this.moving = moving;
  }

  resized() {
    this.plots.measure();
    this.moved(this.player.playing);
  }

  /**
   * What changes only from event to event.
   * @param {number} time
   * @param {number} limit
   */
  #tell(time, limit) {
    this.events.at(time, limit);
    this.story.at(time, limit);
    this.controls.mark(this.times, limit);
    the("outcome", HTMLElement).hidden = limit < Infinity;
    the("plots", HTMLElement).classList.toggle("predicting", limit < Infinity);
    const last = this.moments[lastOf(this.moments, time)];
    const here = this.moments.filter((moment) => last && moment.time <= last.time && moment.time >= last.time - TOGETHER);
    const words = here.map((moment) => (this.shown.length > 1 ? `${moment.run}: ${moment.text}` : moment.text)).join("; ");
    const asked = !this.#asking ? "" : this.prediction.sure ? " A question is open; once more reveals its answer." : " A question is open.";
    const failed = this.shown.map((k) => this.doc.runs[k]).filter((run) => run.status !== "ok" && run.span[1] + run.shift <= limit).map((run) => `${run.message} `).join("");
    say(the("status", HTMLElement), failed + this.#over(time) + (last ? `${seconds(last.time)}: ${words}.` : "") + asked);
  }

  /**
   * Which of two runs is over, or has not begun.
   * @param {number} time
   */
  #over(time) {
    return this.shown.map((k) => outside(this.doc.runs[k], time)).filter(Boolean).map((words) => `${words[0].toUpperCase()}${words.slice(1)}. `).join("");
  }

  /** @param {number} time */
  go(time) {
    this.player.pause();
    this.player.seek(time);
    this.keep();
  }

  /** Play or pause; without animation, go to the next event; at a question, reveal at the second press. */
  play() {
    if (this.player.playing) return this.player.pause();
    if (this.#asking) return this.#press();
    this.prediction = goOn(this.prediction);
    if (!this.still) this.player.play();
    else if (this.player.time >= this.span[1]) this.go(this.span[0]);
    else this.next();
  }

  next() {
    if (this.#asking) return this.#press();
    this.prediction = goOn(this.prediction);
    this.go(nextOf(this.times, this.player.time) ?? this.span[1]);
  }

  previous() {
    this.go(previousOf(this.times, this.player.time) ?? this.span[0]);
  }

  /** Whether a question stands open. */
  get #asking() {
    return this.view.predict && this.prediction.phase === "asked";
  }

  #press() {
    this.prediction = press(this.prediction);
    this.player.seek(this.player.time);
  }

  reveal() {
    this.prediction = reveal(this.prediction);
    this.player.seek(this.player.time);
  }

  goOn() {
    this.prediction = goOn(this.prediction);
    this.play();
  }

  /**
   * Plot a component and mark it in the picture and the table.
   * @param {string | null} component
   * @param {string | null} element
   */
  pick(component, element = null) {
    this.picked = component;
    const row = rowsOf(this.doc, this.shown).find((one) => one.component === component) ?? null;
    this.stage.select(element ?? row?.element ?? null);
    this.table.select(component);
    this.chosen.fill(row, this.shown);
    if (row) this.change({ plots: [row.component, ...this.view.plots.filter((one) => one !== row.component)].slice(0, MOST_PLOTS) });
  }

  /** Write the view into the address, soon: browsers refuse many changes at once; a page inside another has none of its own. */
  keep() {
    this.view = { ...this.view, time: this.player.time };
    if (location.protocol === "about:") return;
    this.kept ??= setTimeout(() => {
      this.kept = undefined;
      history.replaceState(null, "", writeAddress(this.view, this.usual));
    }, KEEP);
  }

  /** @param {KeyboardEvent} event */
  key(event) {
    const action = actionFor(event);
    if (!action) return;
    event.preventDefault();
    if (event.repeat && (action === "play" || (action === "next" && this.#asking))) return;
    const by = (/** @type {number} */ step) => () => this.go(this.player.time + step);
    ({
      play: () => this.play(), previous: () => this.previous(), next: () => this.next(), start: () => this.go(this.span[0]), end: () => this.go(this.span[1]),
      back: by(-0.1), forward: by(0.1), "back-little": by(-0.01), "forward-little": by(0.01),
    })[action]();
  }
}
