"""What the page of validation says about each published figure: our value, and which test file holds it.

The values are kept in the page itself; `compute` finds them anew by running the tests, and every later test run
holds what it computes to what the page says.
"""

from __future__ import annotations

import math
import os
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from tests.reference_figures import Figure

PAGE = Path(__file__).parents[1] / "docs" / "validation.md"
FOLDERS = ("tests/validation", "tests/verification", "tests/physics")  # the first that has a figure is told
COLUMNS = ("figure", "source", "printed", "ours", "difference", "tolerance and why", "how obtained", "held by")
HEAD = "\n".join((f"| {' | '.join(COLUMNS)} |", "| --- " * len(COLUMNS) + "|"))
_computed: dict[str, dict[str, list[float]]] | None = None  # figure: test file: values; None = not being collected


class Stated(NamedTuple):
    """What the page says about a figure: our values in its unit, and the test file that computes them."""

    values: tuple[float, ...]
    file: str


@cache
def stated() -> dict[str, Stated]:
    """What the page says, by figure."""
    found = {}
    for line in PAGE.read_text(encoding="utf-8").splitlines():
        cells = line.removeprefix("| ").removesuffix(" |").split(" | ")
        if len(cells) == len(COLUMNS) and cells[-1].startswith("`tests/"):
            name = cells[0].split("`")[1]
            found[name] = Stated(tuple(float(word) for word in cells[3].split(" to ")), cells[-1].strip("`"))
    return found


def hold(figure: Figure, computed: float) -> None:
    """Take note of a value that a test computed; fail if the page says something else."""
    file = os.environ["PYTEST_CURRENT_TEST"].partition("::")[0]
    if _computed is not None:
        _computed.setdefault(figure.id, {}).setdefault(file, []).append(figure.in_unit(computed))
        return
    said = stated().get(figure.id)
    if said is None or said.file != file:
        return
    ours = figure.in_unit(computed)
    slack = max(last_digit(figure), 0.1 * (figure.in_unit(figure.expected + figure.margin) - figure.value))
    assert min(said.values) - slack <= ours <= max(said.values) + slack, (
        f"{figure.id}: computed {ours:.6g} {figure.unit}, but {PAGE.name} says {said.values}; if the new value is "
        f"right, write the page anew with: python -m tests.pages"
    )


def compute() -> None:
    """Run the tests that check figures, and let the page's rows be rendered with what they find."""
    import pytest

    global _computed
    _computed = {}
    files = [path for folder in FOLDERS for path in Path(folder).glob("test_*.py")]
    using = [str(path) for path in files if "tests.reference_figures" in path.read_text(encoding="utf-8")]
    if pytest.main(["-q", "-p", "no:cacheprovider", *using]) != 0:
        raise SystemExit("the tests of the figures fail; the pages stay as they are")
    found, _computed = _computed, None
    stated.cache_clear()
    for name, files in found.items():
        file = min(files, key=lambda file: FOLDERS.index(file.rpartition("/")[0]))
        stated()[name] = Stated(tuple(files[file]), file)


def rendered() -> str:
    """Rows of all figures, those that count as validation first."""
    from tests.reference_figures import HOW_OBTAINED, figures

    rows = sorted(figures().values(), key=lambda figure: HOW_OBTAINED.index(figure.how_obtained))
    return "\n".join([HEAD, *(_row(figure) for figure in rows)])


def counts() -> str:
    """How many figures there are, by how they were obtained."""
    from tests.reference_figures import HOW_OBTAINED, figures

    kinds = [figure.how_obtained for figure in figures().values()]
    validation = sum(figure.is_validation for figure in figures().values())
    told = {kind: f"{kinds.count(kind)} {kind.replace('_', ' ')}" for kind in HOW_OBTAINED}
    parts = f"{told['seen']}, {told['recomputed']}, {told['closed_form']}"
    others = f"{kinds.count('verification')} figures of verification and {kinds.count('memory')} from memory"
    return f"**{validation} figures of validation** ({parts}); apart from them, {others}."


def _row(figure: Figure) -> str:
    said = stated()[figure.id]
    unit = "" if figure.unit == 1 else f" {figure.unit}"
    ours = sorted({_rounded(value, figure) for value in said.values}, key=float)
    worst = max((float(text) / figure.value - 1.0 for text in ours), key=abs)
    cells = (
        f"{figure.title} `{figure.id}`",
        ", ".join(text for text in figure.source.values() if text not in ("-", "unknown")),
        f"{figure.value:g}{unit}",
        " to ".join(dict.fromkeys((ours[0], ours[-1]))),
        f"{100 * worst:+.2g} %" if worst else "0 %",
        f"{_allowed(figure)}. {figure.why}",
        figure.how_obtained.replace("_", " "),
        f"`{said.file}`",
    )
    assert not any("|" in cell for cell in cells)
    return f"| {' | '.join(cells)} |"


def _allowed(figure: Figure) -> str:
    if "relative" in figure.tolerance:
        return f"{100 * figure.tolerance['relative']:.2g} %"
    return f"{figure.tolerance['absolute']:g} {figure.unit}"


def _rounded(value: float, figure: Figure) -> str:
    step = last_digit(figure)
    return f"{value:.{max(0, -math.floor(math.log10(step) + 0.5))}f}"


def last_digit(figure: Figure) -> float:
    """Last digit shown of our value: four digits at least, and as many as are printed."""
    four = 10.0 ** (math.floor(math.log10(abs(figure.value))) - 3)
    return min(four, 10.0 ** math.floor(math.log10(figure.printed_precision)))
