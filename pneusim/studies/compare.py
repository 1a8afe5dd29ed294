"""``pneusim.compare``: two circuits, results or runs beside each other."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path

from pneusim.circuit.circuit import Circuit
from pneusim.errors import UsageError
from pneusim.reading import find_shipped, load
from pneusim.results import Run
from pneusim.results.comparison.comparison import Comparison
from pneusim.results.comparison.description import Change, description
from pneusim.results.comparison.runs import RunComparison
from pneusim.results.comparison.scenarios import Played, scenario_changes
from pneusim.results.store import folder_name
from pneusim.results.stored import read_result
from pneusim.simulate.runner import varied
from pneusim.studies.finished import finished

FAILED_RUN = ".failed"
"""Ending of the folder of a run that failed."""

STUDY = "table.csv"
"""What the folder of a study has and that of a run has not: studies may lie among results, and are none."""

Progress = Callable[[str, float], None]
Key = tuple[str, str | None]


@dataclass(frozen=True)
class Side:
    """A or B: what it is called, how to get at its run of a scenario, by scenario and variant, and its circuit.

    The circuit has its variant's changes; of a folder of results it is known when one of them is read.  ``single``
    marks one run, which is compared with any other one.
    """

    label: str
    runs: Mapping[Key, Callable[[], Run]]
    circuit: Circuit | None = None
    single: bool = False


def compare(
    a: Run | Circuit | str | Path,
    b: Run | Circuit | str | Path,
    *scenarios: str,
    variant_a: str | None = None,
    variant_b: str | None = None,
    error_bar: bool = False,
    progress: Progress | None = None,
) -> Comparison:
    """Compare two circuits, results or runs.

    Parameters
    ----------
    a, b : Run, Circuit, str or Path
        A run; the folder of a result; a folder of several, of which those of the same scenario are compared; a circuit,
        its file, or the name of a shipped one, whose scenarios are run.
    scenarios : str
        Names of the scenarios to compare, by default all that both have.
    variant_a, variant_b : str, optional
        Variant of the circuit to run, or whose results to take from a folder of several.
    error_bar : bool
        Run circuits a second time, finer, and let only differences above the numerical error count.
    progress : callable, optional
        Told the scenario that runs and the share of it done, 0..1.

    Returns
    -------
    Comparison

    Raises
    ------
    UsageError
        If there is nothing of that name, a scenario or variant is unknown, or nothing can be compared.
    InvalidFile
        If a circuit's file has faults.
    """
    asked = variant_a is not None or variant_b is not None
    first = _side(a, variant_a, asked, error_bar, progress)
    second = _side(b, variant_b, asked, error_bar, progress)
    pairs = list(_pairs(first, second, scenarios))
    chosen = {ours for ours, _ in pairs}, {theirs for _, theirs in pairs}
    left = [
        () if scenarios else tuple(folder_name(*key) for key in side.runs if key not in used)
        for side, used in zip((first, second), chosen)
    ]
    if not pairs and not (first.circuit and second.circuit):
        ours, theirs = (", ".join(names) or "none" for names in left)
        raise UsageError(f"there is no scenario in common: A has {ours}; B has {theirs}")
    compared = tuple(RunComparison(first.runs[one](), second.runs[other]()) for one, other in pairs)
    return Comparison(first.label, second.label, tuple(_changes(first, second, compared)), compared, *left)


def _changes(a: Side, b: Side, compared: Sequence[RunComparison]) -> Iterator[Change]:
    ours = a.circuit or compared[0].a.circuit
    theirs = b.circuit or compared[0].b.circuit
    yield from description(ours, theirs)
    for one in compared:
        yield from scenario_changes(Played(one.a.circuit, one.a.scenario), Played(one.b.circuit, one.b.scenario))


def _pairs(a: Side, b: Side, scenarios: Sequence[str]) -> Iterator[tuple[Key, Key]]:
    """What is compared with what: the same scenario and variant, else the same scenario where no choice is left."""
    for side in (a, b):
        for name in scenarios:
            _known("scenario", name, [key[0] for key in side.runs], side.label)
    if a.single and b.single:
        yield next(iter(a.runs)), next(iter(b.runs))
        return
    ours, theirs = ([k for k in side.runs if not scenarios or k[0] in scenarios] for side in (a, b))
    same = set(ours) & set(theirs)
    for key in ours:
        if key in same:
            yield key, key
            continue
        mates = [[k for k in keys if k[0] == key[0] and k not in same] for keys in (ours, theirs)]
        if len(mates[0]) == len(mates[1]) == 1:
            yield key, mates[1][0]


def _side(
    what: Run | Circuit | str | Path, variant: str | None, asked: bool, error_bar: bool, progress: Progress | None
) -> Side:
    if isinstance(what, Run):
        return _one(what, folder_name(what.scenario.name, what.variant), variant)
    if isinstance(what, Circuit):
        return _circuit(what, what.name, variant, error_bar, progress)
    place = Path(what)
    if (place / STUDY).is_file():
        raise UsageError(f"{place}: the folder holds a study of many cases; name the result of a run, or a circuit")
    if (place / "summary.json").is_file():
        return _one(read_result(place), place.resolve().name, variant)
    if place.is_dir():
        return _folder(place, variant, asked)
    file = find_shipped(what)
    return _circuit(load(file), file.stem, variant, error_bar, progress)


def _one(run: Run, label: str, variant: str | None) -> Side:
    if variant is not None:
        raise UsageError(f"{label} is one run: a variant can be named for a circuit or for a folder of several results")
    return Side(label, {(run.scenario.name, run.variant): lambda: run}, run.circuit, single=True)


def _folder(place: Path, variant: str | None, asked: bool) -> Side:
    """Results below a folder: all, or where variants are ``asked`` for, those of this one; a run that failed counts
    where there is no other."""
    names = [path.parent.name for path in place.glob("*/summary.json") if not (path.parent / STUDY).exists()]
    if not names:
        raise UsageError(f"{place}: the folder holds no result; name one that 'pneusim run' wrote, or a circuit")
    label = place.resolve().name
    found: dict[Key, Callable[[], Run]] = {}
    for name in sorted(names, key=lambda name: (name.endswith(FAILED_RUN), name)):
        scenario, _, own = name.removesuffix(FAILED_RUN).partition("+")
        found.setdefault((scenario, own or None), lambda name=name: read_result(place / name))  # type: ignore[misc]
    if variant is not None:
        _known("variant", variant, [own for _, own in found if own], label)
    kept = {key: run for key, run in found.items() if key[1] == variant or not asked}
    return Side(folder_name(label, variant), kept)


def _circuit(
    circuit: Circuit, label: str, variant: str | None, error_bar: bool, progress: Progress | None
) -> Side:
    if variant is not None:
        _known("variant", variant, list(circuit.variants), label)
    runs = {
        (name, variant): lambda name=name: _ran(circuit, name, variant, error_bar, progress)
        for name in circuit.scenarios
    }
    changed = varied(circuit, variant)
    return Side(folder_name(label, variant), runs, changed)


def _ran(circuit: Circuit, name: str, variant: str | None, error_bar: bool, progress: Progress | None) -> Run:
    told = None if progress is None else (lambda share: progress(folder_name(name, variant), share))
    return finished(circuit, name, variant=variant, error_bar=error_bar, progress=told)


def _known(noun: str, name: str, known: Sequence[str], owner: str) -> None:
    if name not in known:
        near = get_close_matches(name, known, n=1)
        hint = f"{near[0]!r} is meant?" if near else f"there are: {', '.join(dict.fromkeys(known)) or 'none'}"
        raise UsageError(f"{owner} has no {noun} {name!r}; {hint}")
