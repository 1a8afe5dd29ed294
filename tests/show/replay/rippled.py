"""Samples that do not pack too well: 20 s of 150 channels at 1 ms, 58 of them pressures with a ripple of 0.15 kPa."""

from __future__ import annotations

import numpy as np

from pneusim.results.run import Channel
from pneusim.show.replay.samples import Samples

LASTS, STEP, CHANNELS, PRESSURES, RIPPLE = 20.0, 1e-3, 150, 58, 150.0


def rippled() -> tuple[Samples, dict[str, Channel]]:
    """The samples, and their channels: pressures, and strokes that move because of them."""
    rng = np.random.default_rng(1)
    times = np.arange(round(LASTS / STEP) + 1) * STEP
    half = 0.5 * LASTS
    taus = rng.uniform(0.05, 3.0, CHANNELS)
    smooth = [np.where(times < half, np.exp(-times / tau), 1.0 - np.exp((half - times) / tau)) for tau in taus]
    values = {
        f"p{k}.pressure": 8e5 * own + RIPPLE * rng.standard_normal(len(times))
        for k, own in enumerate(smooth[:PRESSURES])
    }
    values |= {f"s{k}.stroke": 0.06 * own for k, own in enumerate(smooth[PRESSURES:])}
    channels = {
        name: Channel(name, times, own, "pressure" if name.endswith("pressure") else "length", name)
        for name, own in values.items()
    }
    return Samples(times, values, STEP, len(times)), channels
