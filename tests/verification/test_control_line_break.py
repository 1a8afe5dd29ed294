"""The control line breaks under a full application; the limit is from memory, so this is no validation."""

from __future__ import annotations

from pneusim.parts.registry import part
from pneusim.reading import load_text
from pneusim.results.run import Channel
from pneusim.simulate import run

LIMIT, WITHIN = 150e3, 2.0  # UN R13 5.2.1.18.4.1, from memory, to be read against the official text [Pa, s]
PRESSED, RELEASED = 1.0, 5.0  # [s]


def at_the_coupling(example: str) -> Channel:
    """Pressure of the supply line at the coupling."""
    return run(load_text(example), "control_line_breaks")["supply_head.pressure"]


def test_the_supply_line_empties_in_time_and_is_fed_again():
    supply = at_the_coupling(part("trailer_control_valve").example)
    assert supply(PRESSED) > 790e3
    assert supply(PRESSED + WITHIN) <= LIMIT
    assert supply(RELEASED + 1.0) > 650e3


def test_without_its_throttle_it_does_not_empty():
    """It is the throttle that does it."""
    text = part("trailer_control_valve").example
    open_throttle = text.replace("type: trailer_control_valve", "type: trailer_control_valve, throttled: 100 %")
    assert at_the_coupling(open_throttle)(PRESSED + WITHIN) > LIMIT
