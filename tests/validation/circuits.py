"""Small circuits as a user writes them, run for what a published figure says."""

from __future__ import annotations

from collections.abc import Sequence

from pneusim.reading import load_text
from pneusim.results.run import Run
from pneusim.simulate import run


def told(text: str, scenario: str = "check") -> Run:
    """Run a scenario of a circuit given as text."""
    return run(load_text("pneusim: 1\ntitle: A published check\n" + text), scenario)


def block(lines: Sequence[str], indent: int = 6) -> str:
    """Lines of a list, indented for the place they go to."""
    return "\n".join(" " * indent + "- " + line for line in lines)
