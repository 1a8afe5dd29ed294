"""How the measured files of the shipped fits were made.  ``python -m tests.studies.fit.shipped`` writes them anew."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from pneusim.reading import load
from pneusim.studies.fit.file import FITS
from tests.studies.fit.synthetic import traces, written

FOLDER = Path(__file__).parents[3] / "circuits" / "studies" / "fits"

TRUTH = {
    "iso6358-discharge": {"out_test.conductance": 1.85e-8, "out_test.critical_ratio": 0.27, "tank.pressure": 6.04e5},
    "iso6358-charge": {"in_test.conductance": 1.85e-8, "in_test.critical_ratio": 0.27, "source.pressure": 6.05e5},
    "axle-feed-pipe": {"feed.bore": 7.5e-3, "relay.crack": 32e3, "step_1.over": 0.25},
}
"""Values that the circuits ran with [SI]."""
OFFSETS = {"iso6358-discharge": 0.37, "iso6358-charge": 0.0, "axle-feed-pipe": 0.12}
"""What the clock of the file shows when the run begins [s]."""


def measured(name: str) -> str:
    """Text of a measured file."""
    if name == "axle-feed-pipe":
        return _axle(name)
    scenario = name.removeprefix("iso6358-")
    shown = traces(load(FOLDER / "rigs" / "iso6358.yaml"), scenario, ["tank.pressure"], TRUTH[name])
    times = np.arange(0.05, 19.95, 0.05)
    values = shown["tank.pressure"](times) + np.random.default_rng(1).normal(0.0, 500.0, len(times))
    remark = "synthetic: a run with known parameters and normal noise of 0.5 kPa; no measurement"
    return written(times + OFFSETS[name], {"tank": (values, "kPa", "pressure")}, remark)


def _axle(name: str) -> str:
    channels = {"pedal": "foot.primary_pressure", "chamber": "left.service_pressure"}
    shown = traces(load("one-axle"), "brake", channels.values(), TRUTH[name])
    times = np.arange(0.2, 2.6, 0.01)
    noise = np.random.default_rng(2).normal(0.0, 3e3, (2, len(times)))
    columns = {head: (shown[c](times) + own, "bar", "pressure") for (head, c), own in zip(channels.items(), noise)}
    remark = "synthetic: a run with known parameters and normal noise of 3 kPa; no measurement"
    return written(times + OFFSETS[name], columns, remark)


if __name__ == "__main__":
    for fit in FITS.shipped():
        (FOLDER / "measured" / f"{fit}.csv").write_text(measured(fit), encoding="utf-8")
