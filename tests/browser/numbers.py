"""What a number on a page may be, from the run itself."""

from __future__ import annotations

import re
from typing import Any

import numpy as np

from pneusim.results.run import Run

DASH = "\u2013"
_NUMBER = re.compile(r"^([\u2212-]?\d+(?:\.(\d+))?)(?:\s(.*))?$")


def read(text: str) -> tuple[float, int, str]:
    """Number, decimals and unit of "12.5 kPa"."""
    found = _NUMBER.match(text.strip())
    assert found is not None, f"{text!r} is no number with a unit"
    return float(found[1].replace("\u2212", "-")), len(found[2] or ""), found[3] or ""


def allowed(run: Run, channel: str, time: float, quantity: dict[str, Any], digits: int) -> tuple[float, float]:
    """Least and greatest number that a page may show of a channel.

    Samples of a page stand for the run's within 1 ms or a 20 000th of the run.  They are packed in steps of a fifth of
    the last decimal at most, or of a 30 000th of the range; then that decimal is rounded.
    """
    of = run[channel]
    start, end = run.span
    reach = max(1e-3, (end - start) / 20_000)
    near = of.values[(of.times >= time - reach) & (of.times <= time + reach)]
    near = np.append(near, [of(max(start, time - reach)), of(time), of(min(end, time + reach))])
    factor, offset = quantity["factor"], quantity["offset"]
    last = 10.0**-digits
    step = max((of.values.max() - of.values.min()) / 30_000 / factor, 0.2 * last)
    room = 0.5 * step + 0.501 * last
    return (near.min() - offset) / factor - room, (near.max() - offset) / factor + room
