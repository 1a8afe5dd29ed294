"""Annex 6, 2.2 and 2.3: response times over the time of actuation, read off at 0.2 s."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pneusim.circuit.scenario import Step
from pneusim.quantities import express
from pneusim.results.run import Channel, Run
from pneusim.rules.bench import Bench, time_to
from pneusim.rules.un13.kinds import cut_in, pedal, ready, rigs

START, END = 0.5, 4.5
"""When the pedal begins to move, and when the test ends [s]: the pressure then is the asymptotic one."""

SHORTEST = 0.05
"""The shortest time in which a foot presses the pedal fully [s]: our assumption."""

AROUND = (0.75, 1.25)
"""Times of actuation that are tried around the one that counts, over that one."""

BEHIND = "test_pipe_behind"


@dataclass(frozen=True)
class Series:
    """The times of actuation that were tried [s] and the run of each, and the run at the time that counts."""

    ramps: tuple[float, ...]
    runs: tuple[Run, ...]
    counted: float
    direct: Run
    remark: str

    def response(self, channel: str, share: float) -> float | None:
        """Time to a share of the asymptotic pressure [s], by interpolation at the time of actuation that counts."""
        times = [_time(run[channel], share) for run in self.runs]
        known = [time for time in times if time is not None]
        return float(np.interp(self.counted, self.ramps, known)) if len(known) == len(times) else None

    def told(self, channel: str, share: float) -> str:
        """How a response time came about, for a finding."""
        time, direct = self.response(channel, share), _time(self.direct[channel], share)
        if time is None or direct is None:
            return f"it never came to {express(share, 'fraction')} of its asymptotic pressure"
        return (
            f"{time:.3f} s by interpolation, before rounding to 0.1 s (1.3); {direct:.3f} s with the pedal pressed in "
            f"exactly {self.counted:g} s; {self.remark}"
        )


def _time(channel: Channel, share: float) -> float | None:
    return time_to(channel, share * float(channel.values[-1]), +1, START)


def series(bench: Bench) -> Series:
    """Full applications from the least normal pressure, pressed in several times; a rig behind a vehicle that tows."""
    pressure, source = cut_in(bench)
    counted, longest = bench.value("response.actuation"), bench.value("response.longest")
    ramps = (SHORTEST, *(share * counted for share in AROUND), longest)
    foot, begin, behind = pedal(bench.subject), ready(bench, pressure), rigs(bench, behind=BEHIND)

    def pressed(ramp: float) -> Run:
        step = Step("set", at=START, target=foot, to=1.0, over=ramp)
        return bench.run(f"Application in {ramp:.3g} s", (step,), END, begin, behind)

    return Series(ramps, tuple(map(pressed, ramps)), counted, pressed(counted), f"reservoirs start at {source}")


def rounded(time: float) -> float:
    """A time to 0.1 s, halves up (Annex 6, 1.3).

    Examples
    --------
    >>> rounded(0.649), rounded(0.65)
    (0.6, 0.7)
    """
    return math.floor(round(time * 10.0, 6) + 0.5) / 10.0
