"""The runs that the pages in these tests show, each computed once."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from pneusim import simulate
from pneusim.reading import load, load_text, shipped_lessons
from pneusim.results.run import Run
from tests.circuits import on_road, shipped

HERE = Path(__file__).parent / "circuits"

LESSON = """
  lesson:
    title: The feed pipe breaks, foretold by the class
    lasts: 12 s
    begin: {park.lever: released, foot.travel: 0 %}
    steps:
      - {at: 0.5 s, set: foot.travel, to: 60 %, over: 0.2 s}
      - at: 2 s
        ask:
          text: The feed pipe of the axle will break. What do the brakes do?
          choices: [they stay applied, they let go, the springs apply at once]
          answer: they let go
          explanation: The relay has no air to hold the chambers with.
      - {at: 2 s, break: feed, where: 50 %}
      - {at: 6 s, ask: How could the driver stop now?}
      - {at: 6 s, set: park.lever, to: applied}
"""


LESSONS = sorted(shipped_lessons())


@cache
def run(name: str) -> Run:
    """A run by its short name; of a shipped lesson the first scenario."""
    if name in LESSONS:
        circuit = load(shipped_lessons()[name])
        return simulate.run(circuit, next(iter(circuit.scenarios)))
    return _MAKERS[name]()


def _lesson() -> Run:
    text = shipped.FILES["one-axle"].read_text(encoding="utf-8").rstrip() + "\n" + LESSON
    return simulate.run(load_text(text), "lesson")


def _failed() -> Run:
    message = "the run stopped at 5 s: the balance of mass does not close"
    return replace(shipped.run("one-axle", "brake"), status="failed", message=message)


def _failed_lesson() -> Run:
    return replace(run("lesson"), status="failed", message="the run stopped: the balance of mass does not close")


_MAKERS = {
    "separation": lambda: shipped.run("tractor-semitrailer", "trailer_separates"),
    "break": lambda: shipped.run("tractor-semitrailer", "supply_line_breaks"),
    "brake": lambda: shipped.run("one-axle", "brake"),
    "lesson": _lesson,
    "hostile": lambda: simulate.run(load(HERE / "hostile.yaml"), "empty"),
    "long": lambda: simulate.run(load(HERE / "long.yaml"), "pumped"),
    "failed": _failed,
    "failed lesson": _failed_lesson,
    "stop on wet": on_road.stop,
    "trailer off": on_road.separated,
}
