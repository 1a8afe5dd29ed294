"""Braking forces of axles over their loads, where the file describes the foundation brakes."""

from __future__ import annotations

import re

from pneusim.results.run import Channel, Run
from pneusim.rules.finding import NotJudged
from pneusim.rules.subject import Subject

MISSING = "no foundation brake is described, so there is no braking force: write 'brake: {type: s_cam}' under 'axles'"


def braking_ratios(subject: Subject, run: Run) -> dict[int, Channel]:
    """Braking force over static load of every axle, by its number."""
    prefix = f"{subject.name}." if subject.name else ""
    pattern = re.compile(re.escape(prefix) + r"axle_(\d+)\.braking_ratio")
    found = {int(match[1]): run[name] for name in run.channels if (match := pattern.fullmatch(name))}
    if not found:
        raise NotJudged(MISSING)
    bare = [str(axle.number) for axle in subject.vehicle.axles if axle.number not in found]
    if bare:
        raise NotJudged(f"axle {bare[0]} has no foundation brake, or no load, described")
    return found
