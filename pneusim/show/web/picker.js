// @ts-check
/** Picking components and lines of a drawing: by pointer, or by keys, with one stop of the tab key for all. */

export class Picker {
  /**
   * @param {SVGSVGElement} svg
   * @param {Map<string, SVGElement>} elements
   */
  constructor(svg, elements) {
    this.elements = elements;
    /** @type {(element: string) => void} */
    this.onPick = () => {};
    /** Wheels that are picked by themselves, not for their brakes. @type {Set<string>} */
    this.wheels = new Set();
    this.items = [...elements].filter(([id]) => /^[clj]-/.test(id)).map(([, element]) => element);
    for (const item of this.items) {
      item.setAttribute("tabindex", "-1");
      item.setAttribute("role", "button");
      // Names are written in the picture with spaces, and who speaks to a computer says what is written.
      item.setAttribute("aria-label", item.querySelector("title")?.textContent?.replaceAll("_", " ") ?? "");
    }
    this.#stop(this.items.find((item) => item.classList.contains("c")) ?? this.items[0]);
    svg.addEventListener("click", (event) => this.#pick(event.target));
    svg.addEventListener("keydown", (event) => this.#key(event));
  }

  /** @param {string | null} id */
  select(id) {
    for (const item of this.items) item.classList.toggle("selected", item.dataset.id === id);
  }

  /** @param {EventTarget | null} target */
  #pick(target) {
    const found = target instanceof Element ? target.closest("[data-id]") : null;
    const id = found instanceof SVGElement ? found.dataset.id?.replace(/^w-/, "c-") : undefined;
    const item = id === undefined ? undefined : this.elements.get(id);
    if (!item || id === undefined || !this.items.includes(item)) return;
    this.#stop(item);
    const wheel = found instanceof SVGElement ? (found.dataset.id ?? "") : "";
    this.onPick(this.wheels.has(wheel) ? wheel : id);
  }

  /** @param {SVGElement | undefined} item  that the tab key comes to from now on */
  #stop(item) {
    if (!item) return;
    for (const one of this.items) if (one.getAttribute("tabindex") === "0") one.setAttribute("tabindex", "-1");
    item.setAttribute("tabindex", "0");
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const here = event.target;
    if (!(here instanceof SVGElement)) return;
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (event.key === "Enter") this.#pick(here);
    else if (way) this.#go(here, way);
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  /**
   * @param {SVGElement} from
   * @param {number[]} way
   */
  #go(from, [x, y]) {
    const start = centre(from);
    let best = Infinity;
    let next = from;
    for (const item of this.items) {
      const there = centre(item);
      const [dx, dy] = [there.x - start.x, there.y - start.y];
      const ahead = dx * x + dy * y;
      const cost = ahead + 3 * Math.abs(dx * y) + 3 * Math.abs(dy * x);
      if (item !== from && ahead > 1 && cost < best) [best, next] = [cost, item];
    }
    this.#stop(next);
    next.focus();
  }
}

/** @param {SVGElement} element */
function centre(element) {
  const { left, top, width, height } = element.getBoundingClientRect();
  return { x: left + width / 2, y: top + height / 2 };
}
