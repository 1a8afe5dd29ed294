"""Events of the start: what settling found so never changed, and is told as it is."""

from __future__ import annotations

import re
from dataclasses import replace

from pneusim.results.run import Event, Run

IS = {
    "closed its contact": "is closed",
    "braked by itself": "brakes by itself",
    "applied by itself": "is applied",
    "popped out": "is out",
}
"""What has happened, and how it is where it was so from the start."""

_FELL = re.compile(rf"(?P<who>.*) (?P<did>{'|'.join(IS)}), because (?P<what>.*) fell through (?P<level>.*)")


def begun(run: Run) -> tuple[Event, ...]:
    """The events of a run, those of its start in the words of `as_it_is`; of these what was done comes first."""
    start = run.span[0]
    events = [as_it_is(event) if event.time <= start else event for event in run.events]
    return tuple(sorted(events, key=lambda event: (event.time, event.time <= start and event.category != "step")))


def as_it_is(event: Event) -> Event:
    """The event of a pressure that never fell.

    Examples
    --------
    >>> fell = "low closed its contact, because the pressure fell through 414 kPa"
    >>> as_it_is(Event(0.0, "closed", "low", fell, "warning")).text
    'low is closed: the pressure is below 414 kPa'
    """
    found = _FELL.fullmatch(event.text)
    if found is None or event.category == "step":
        return event
    return replace(event, text=f"{found['who']} {IS[found['did']]}: {found['what']} is below {found['level']}")
