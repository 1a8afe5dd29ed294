// @ts-check
/** Runs the time: plays, pauses, and stops where it must. */

import { advance, inside } from "clock";

export class Player {
  /**
   * @param {[number, number]} span
   * @param {{stops: () => number[], limit: () => number, moved: (moving: boolean) => void}} asks  `limit` is the latest time that may be seen
   */
  constructor(span, asks) {
    this.span = span;
    this.asks = asks;
    this.time = span[0];
    this.speed = 1;
    this.playing = false;
    this.last = 0;
    /** The frame that is asked for. */
    this.next = 0;
  }

  get end() {
    return Math.min(this.span[1], this.asks.limit());
  }

  /** @param {number} time */
  seek(time) {
    this.time = inside(time, [this.span[0], this.end]);
    this.asks.moved(this.playing);
  }

  play() {
    if (this.playing) return;
    if (this.time >= this.span[1]) this.time = this.span[0];
    this.playing = true;
    this.last = performance.now();
    this.asks.moved(true);
    this.#ask();
  }

  pause() {
    if (!this.playing) return;
    this.playing = false;
    cancelAnimationFrame(this.next);
    this.asks.moved(false);
  }

  #ask() {
    this.next = requestAnimationFrame((now) => this.#frame(now));
  }

  /** @param {number} now */
  #frame(now) {
    const { time, stopped } = advance(this.time, (now - this.last) / 1000, this.speed, this.asks.stops(), this.end);
    this.time = time;
    this.last = now;
    this.playing = !stopped;
    this.asks.moved(this.playing);
    if (this.playing) this.#ask();
  }
}
