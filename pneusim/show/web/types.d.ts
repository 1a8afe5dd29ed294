/** The document that a page is made from (pneusim/show/replay/content.py): SI, pressures gauge; shown = (value - offset) / factor. */

export interface Quantity { symbol: string; factor: number; offset: number; digits: number }
/** What is damaged, see pneusim/show/replay/damage.py. */
export interface Mark {
  time: number; until: number | null; kind: string; element: string; text: string; where?: number; at?: number[];
  keeper?: string; keeps?: string; partner?: string; units?: string[]; by?: number[];
}
export interface Happening { time: number; category: string; kind: string; component: string; text: string; told: boolean }
/** `so_far` is what can be told of it from which time on, in order of time, the whole last. */
export interface Sentence { time: number | null; until: number | null; text: string; so_far: [number, string][] }
export interface CurveDoc { channel: string; label: string; colour: number; dash: string; hollow: boolean; while_above?: [string, number] }
export interface PlotDoc { title: string; dimension: string; curves: CurveDoc[]; limits?: { value: number; label: string }[]; ends?: [number, number] }
/** A channel of a component; its states are told in words, and a share of the way from the first to the last by what it is between. */
export interface Cell { channel: string; words: string; states?: [number, string][]; between?: string }
export interface Row {
  component: string; title: string; kind: string; unit: string | null; element: string;
  cells: Cell[];
}
export interface Measure { name: string; words: string; value: string; limit: string; met: boolean | null; reason: string; asked: boolean }
export interface Question { time: number; text: string; choices: string[]; answer: number | null; explanation: string }
/** A channel and what it moves, see pneusim/show/replay/poses.py; `high` null is the full scale of pressures. */
export interface Actor { element: string; pose: string; channel: string; low: number; high: number | null; minus?: string }

/** What rolls, see pneusim/show/replay/rolling.py. */
export interface RollingWheel { element: string; owner: string; vehicle: string; up: boolean; out: number }
export interface RollingUnit { unit: string; owner: string; before: string | null }
export interface RoadDoc { full: number; wheels: RollingWheel[]; units: RollingUnit[] }

export interface RunDoc {
  name: string; title: string; scenario: string; variant: string | null; status: string; message: string; circuit: string;
  span: [number, number]; shift: number; drawing: number;
  samples: import("./codec").Samples; actors: Actor[]; marks: Mark[]; events: Happening[]; narrative: Sentence[];
  plots: PlotDoc[]; table: Row[]; measures: Measure[]; questions: Question[];
  sources: string[]; extrapolated: string[]; closure: string; road?: RoadDoc;
}

export interface ReplayDoc {
  title: string; caution: string; limits_of_model: string; units: string; beside: string;
  palette: { curves: string[] };
  quantities: Record<string, Quantity>; pressure_top: number; runs: RunDoc[];
}

/** Values of channels at a time, by name; NaN where there is none. */
export type Read = (channel: string) => number;

/** What the page shows; what of it an address keeps stands in address.js. */
export interface View {
  time: number; show: "A" | "B" | "side" | "difference"; speed: number; stops: boolean; zoom: string; window: number;
  plots: string[]; ground: "light" | "dark"; large: boolean; predict: boolean;
}
