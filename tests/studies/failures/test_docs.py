"""The page says of kinds and classes what the program says."""

from __future__ import annotations

from pathlib import Path

from pneusim.show.tables.failure_cells import LATER, MUCH_LATER, MUCH_MORE, VERY_LOPSIDED
from pneusim.studies.failures.classes import CLASSES
from pneusim.studies.failures.cycle import FAILS, HOLD, OFF, ROLL, STAND, WAIT
from pneusim.studies.failures.failure import KINDS
from pneusim.studies.failures.judge import LIMITS

PAGE = (Path(__file__).parents[3] / "docs" / "failures.md").read_text(encoding="utf-8")


def rows(first: str) -> list[str]:
    """Rows of the table that begins with a heading."""
    after = PAGE[PAGE.index(f"| {first} |") :].splitlines()[2:]
    return after[: next(k for k, line in enumerate(after) if not line.startswith("|"))]


def test_all_kinds_stand_there() -> None:
    assert rows("kind") == [f"| `{name}` | {words} |" for name, words in KINDS.items()]


def test_all_classes_stand_there_worst_first() -> None:
    assert rows("class") == [f"| `{kind.name}` | {kind.words} | {kind.means} |" for kind in CLASSES]


def test_signs_of_the_picture_stand_there() -> None:
    limits = (LIMITS.weak, LIMITS.half, LIMITS.lost, LIMITS.strong, MUCH_MORE, LIMITS.lopsided, VERY_LOPSIDED)
    weak, half, lost, more, much, lopsided, very = (f"{100 * share:.0f} %" for share in limits)
    assert rows("cell")[:5] == [
        f"| share of force, of air | under {weak} | under {half} | under {lost} |",
        f"| share of force of a whole vehicle, of all | under {weak} | | under {half} |",
        f"| ▲ more force, more air | over {more} | over {much} | |",
        f"| later | over {LATER:g} s | over {MUCH_LATER:g} s | |",
        f"| sides differ | | over {lopsided} | over {very} |",
    ]
    assert rows("cell")[-1] == "| stops when it came away | | | no |"


def test_the_cycle_stands_there() -> None:
    times = [0.0, FAILS]
    for span in (WAIT, HOLD, ROLL, STAND, OFF):
        times.append(times[-1] + span)
    assert [row.split("|")[1].strip() for row in rows("time")] == [f"{time:g} s" for time in times]
