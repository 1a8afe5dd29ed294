"""Samples to text that a page unpacks: whole steps, differences, planes of bytes, raw deflate, base64.

`codec.js` is the other side.
"""

from __future__ import annotations

import base64
import math
import zlib
from collections.abc import Mapping
from typing import Any

import numpy as np
import numpy.typing as npt

from pneusim.results.run import Channel
from pneusim.show.replay.samples import Floats, Samples

RESOLUTION = {
    "pressure": 100.0,
    "force": 0.5,
    "torque": 0.2,
    "length": 2e-5,
    "temperature": 0.05,
    "fraction": 1e-3,
    "mass_flow": 1e-5,
    "rotation": 0.05,
    "speed": 5e-3,
    "acceleration": 2e-3,
    "distance": 2e-3,
    "energy": 20.0,
}
"""The steps in which values are told, by dimension [SI], at most a fifth of the last digit that a page writes; others
in `STEPS` steps of their range."""

STEPS = 30_000
"""Most steps between the lowest and the highest value: a difference must fit into 16 bit with its sign."""

TICK = 1e-6
"""The steps in which times are told [s]; ten times that, and so on, for runs that 32 bit cannot hold."""


def packed(samples: Samples, channels: Mapping[str, Channel]) -> dict[str, Any]:
    """The samples as the page's document holds them.

    Parameters
    ----------
    samples : Samples
    channels : mapping of str to Channel
        Tells the dimension and label of each.
    """
    names = list(samples.values)
    grids = [_grid(samples.values[name], channels[name].dimension) for name in names]
    steps = [_steps(samples.values[name], *grid) for name, grid in zip(names, grids)]
    return {
        "count": len(samples.times),
        "channels": names,
        "dimensions": [channels[name].dimension for name in names],
        "labels": [channels[name].label for name in names],
        "scales": [scale for scale, _ in grids],
        "offsets": [offset for _, offset in grids],
        "tick": tick(samples.times),
        "times": _text(_planes(np.diff(_ticks(samples.times), prepend=0).astype(">u4")[np.newaxis])),
        "values": _text(_planes(np.array([_zigzag(own) for own in steps], ">u2"))),
    }


def tick(times: Floats) -> float:
    """The step in which the times of a run are told [s].

    Examples
    --------
    >>> tick(np.array([0.0, 20.0])), tick(np.array([0.0, 5000.0]))
    (1e-06, 1e-05)
    """
    decades = math.ceil(math.log10(max(float(times[-1]) / TICK / 2**32, 1.0)))
    return float(f"1e{decades + round(math.log10(TICK))}")


def on_tick(time: float, step: float) -> float:
    """A time as the page holds it, so that an event stands at its samples [s].

    Examples
    --------
    >>> on_tick(5.3141593, 1e-6)
    5.314159
    """
    return float(np.rint(time / step) * step)


def _ticks(times: Floats) -> npt.NDArray[np.int64]:
    return np.rint(times / tick(times)).astype(np.int64)


def _grid(values: Floats, dimension: str) -> tuple[float, float]:
    """Step and offset; the offset is a whole number of steps, so that 0 stays 0."""
    low, high = float(values.min()), float(values.max())
    if low == high:
        return 1.0, low
    scale = max(RESOLUTION.get(dimension, 0.0), (high - low) / STEPS)
    return scale, math.floor(low / scale) * scale


def _steps(values: Floats, scale: float, offset: float) -> npt.NDArray[np.int64]:
    return np.rint((values - offset) / scale).astype(np.int64)


def _zigzag(steps: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
    """Differences from sample to sample, the sign in the lowest bit."""
    differences = np.diff(steps, prepend=0)
    return np.where(differences < 0, -2 * differences - 1, 2 * differences)


def _planes(rows: npt.NDArray[Any]) -> bytes:
    """The highest bytes of all rows, then the next ones, from big-endian numbers, shape (rows, columns)."""
    width = rows.dtype.itemsize
    return np.ascontiguousarray(rows).view(np.uint8).reshape(-1, width).T.tobytes()


def _text(data: bytes) -> str:
    deflate = zlib.compressobj(wbits=-zlib.MAX_WBITS)
    return base64.b64encode(deflate.compress(data) + deflate.flush()).decode("ascii")
