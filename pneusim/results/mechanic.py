"""One mechanical event: what kind it is, and its words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pneusim.results.run import Event, Run
from pneusim.results.words import subject


@dataclass(frozen=True)
class Kind:
    """A kind of mechanical event: what moves, its predicate in the singular and the plural, how its value is told."""

    subject: str
    one: str
    many: str
    told: str = " ({})"


KINDS: Mapping[str, Kind] = {
    "brake_applies": Kind("brake", "began to apply", "began to apply"),
    "no_air": Kind("brake", "got no air", "got no air"),
    "pressure_75": Kind("brake", "had 75 % of the pressure held", "had 75 % of the pressure held"),
    "brake_releases": Kind("brake", "came off", "came off"),
    "spring_begins": Kind("spring", "began to move", "began to move"),
    "spring_touches": Kind("spring", "pressed on its brake", "pressed on their brakes"),
    "spring_force_90": Kind("spring", "had 90 % of its final force", "had 90 % of their final force"),
    "spring_returns": Kind("spring", "began to move back", "began to move back"),
    "spring_lets_go": Kind("spring", "let go of its brake", "let go of their brakes"),
    "locks": Kind("wheel", "locked", "locked", " at {}"),
    "turns_again": Kind("wheel", "turned again", "turned again"),
    "lifts": Kind("axle", "lifted off the road", "lifted off the road"),
    "stops": Kind("vehicle", "came to rest", "came to rest", " after {}"),
    "rolls_away": Kind("vehicle", "moved away", "moved away"),
}


@dataclass(frozen=True)
class Mechanic:
    """One mechanical event of one brake, wheel, axle or vehicle, with the pressure, force, ... that belongs to it."""

    time: float
    kind: str
    owner: str
    value: float | None = None
    dimension: str = ""

    def event(self, run: Run) -> Event:
        """The event as it stands in the run."""
        kind = KINDS[self.kind]
        text = f"{subject(run, kind.subject, [self.owner])} {kind.one}"
        return Event(self.time, self.kind, self.owner, text, "mechanics")
