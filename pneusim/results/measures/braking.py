"""Largest braking ratio of every axle, vehicle and of the combination."""

from __future__ import annotations

from pneusim.results.run import MeasureResult, Run

RATIO = ".braking_ratio"


def measure(run: Run) -> list[MeasureResult]:
    """``<owner>.highest_braking_ratio``: braking force at the tyres over static axle load [-], tyre adhesion aside."""
    return [
        MeasureResult(f"{name.removesuffix(RATIO)}.highest_braking_ratio", float(channel.values.max()), "fraction")
        for name, channel in run.channels.items()
        if name.endswith(RATIO)
    ]
