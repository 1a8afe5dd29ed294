// @ts-check
/**
 * Packed samples of a run to arrays, and values at a time.
 *
 * Values: whole steps of `scale` above `offset`; per channel the differences from sample to sample, the sign in the
 * lowest bit, 16 bit; the high bytes of all channels, then their low bytes.  Times: differences in ticks, 32 bit, four
 * planes of bytes, the highest first.  Both are deflated without a header and written in base64.
 */

import { SAME } from "clock";

/**
 * @typedef {object} Samples
 * @property {number} count
 * @property {string[]} channels
 * @property {string[]} dimensions
 * @property {string[]} labels
 * @property {number[]} scales
 * @property {number[]} offsets
 * @property {number} tick  [s]
 * @property {string} times
 * @property {string} values
 * @property {string} [told]
 */

/**
 * @typedef {object} Track  The samples of a run: SI values, pressures gauge; at an event a time stands twice.
 * @property {Float64Array} times  [s]
 * @property {Map<string, Float32Array>} values
 * @property {Map<string, string>} dimensions
 * @property {Map<string, string>} labels
 */

/**
 * Unpack the samples of a run.
 * @param {Samples} samples
 * @returns {Promise<Track>}
 */
export async function decode(samples) {
  const [times, values] = await Promise.all([inflate(samples.times), inflate(samples.values)]);
  const { count, channels } = samples;
  expect(times, 4 * count, "times");
  expect(values, 2 * count * channels.length, "values");
  return {
    times: timesOf(times, count, samples.tick),
    values: new Map(channels.map((name, k) => [name, valuesOf(values, k, samples)])),
    dimensions: new Map(channels.map((name, k) => [name, samples.dimensions[k]])),
    labels: new Map(channels.map((name, k) => [name, samples.labels[k]])),
  };
}

/**
 * Index of the last sample not later than a time, so the limit from the right where a time stands twice; 0 before all.
 * @param {Float64Array} times
 * @param {number} t
 */
export function indexAt(times, t) {
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle] <= t + SAME) low = middle + 1;
    else high = middle;
  }
  return Math.max(low - 1, 0);
}

/**
 * Value of a channel at a time, linear between samples and never across an event; NaN outside the run, and if there
 * is no such channel.
 * @param {Track} track
 * @param {string} channel
 * @param {number} t
 */
export function valueAt(track, channel, t) {
  const values = track.values.get(channel);
  const { times } = track;
  if (!values || !(t >= times[0] - SAME && t <= times[times.length - 1] + SAME)) return NaN;
  return between(times, values, indexAt(times, t), t);
}

/**
 * Value at a time whose index is known.
 * @param {Float64Array} times
 * @param {Float32Array} values
 * @param {number} i  from `indexAt`
 * @param {number} t
 */
export function between(times, values, i, t) {
  if (t <= times[i] || i + 1 >= times.length) return values[i] ?? NaN;
  return values[i] + ((t - times[i]) / (times[i + 1] - times[i])) * (values[i + 1] - values[i]);
}

/**
 * @param {string} text  base64 of raw deflate
 * @returns {Promise<Uint8Array>}
 */
async function inflate(text) {
  const binary = atob(text);
  const bytes = new Uint8Array(binary.length);
  for (let i = 0; i < bytes.length; i++) bytes[i] = binary.charCodeAt(i);
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

/**
 * @param {Uint8Array} bytes
 * @param {number} length
 * @param {string} what
 */
function expect(bytes, length, what) {
  if (bytes.length !== length) throw new Error(`the ${what} of the run hold ${bytes.length} bytes, not ${length}`);
}

/**
 * @param {Uint8Array} bytes
 * @param {number} count
 * @param {number} tick
 */
function timesOf(bytes, count, tick) {
  const times = new Float64Array(count);
  let ticks = 0;
  for (let i = 0; i < count; i++) {
    ticks += ((bytes[i] * 256 + bytes[count + i]) * 256 + bytes[2 * count + i]) * 256 + bytes[3 * count + i];
    times[i] = ticks * tick;
  }
  return times;
}

/**
 * @param {Uint8Array} bytes
 * @param {number} k  place of the channel
 * @param {Samples} samples
 */
function valuesOf(bytes, k, { count, channels, scales, offsets }) {
  const values = new Float32Array(count);
  const [high, low] = [k * count, (channels.length + k) * count];
  const [scale, offset] = [scales[k], offsets[k]];
  let step = 0;
  for (let i = 0; i < count; i++) {
    const code = (bytes[high + i] << 8) | bytes[low + i];
    step += code & 1 ? -((code + 1) >> 1) : code >> 1;
    values[i] = offset + scale * step;
  }
  return values;
}
