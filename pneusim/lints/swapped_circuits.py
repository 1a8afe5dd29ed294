"""The two service circuits exchanged at a valve that compares them."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.lints.base import CUSTOM, Lint, Seen, at
from pneusim.lints.unit import Unit


def find(unit: Unit) -> Iterator[Seen]:
    """Modulating valves whose port for the primary delivery hangs on the foot valve's secondary, or the reverse."""
    network = unit.network
    for valve in unit.all("spring_modulating_valve"):
        for foot in unit.all("foot_valve"):
            for port, other, words in (("41", "22", "primary"), ("42", "21", "secondary")):
                place, wrong = network.place(valve.name, port), network.place(foot.name, other)
                if place is not None and wrong is not None and place in network.reach([wrong], network.pipes):
                    yield at(
                        valve,
                        f"{valve.name}.{port}, for the {words} delivery, hangs on {foot.name}.{other}; the springs "
                        "would then come on when the wrong circuit is lost",
                        f"lead {valve.name}.{port} to {foot.name}.{'21' if port == '41' else '22'}",
                    )


LINT = Lint("W15", "A modulating valve has its two service circuits exchanged.", CUSTOM, find)
