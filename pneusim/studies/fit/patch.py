"""The fitted values as a variant of the circuit: a patch to paste, and the circuit's file with the variant in it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from pneusim.quantities import DIMENSIONS, unit_of
from pneusim.studies.fit.result import Estimate, Fitted
from pneusim.studies.sweep.targets import target

VARIANT = "fitted"
_SECTION = re.compile(r"^variants:[ \t]*(#.*)?$", re.MULTILINE)


def in_full(value: float, dimension: str) -> str:
    """A value with six digits in the usual unit, as files are written.

    Examples
    --------
    >>> in_full(2.0134567e-8, "conductance"), in_full(0.31, "number")
    ('2.01346 dm3/(s bar)', '0.31')
    """
    unit = unit_of(dimension)
    return f"{(value - unit.offset) / unit.factor:.6g} {unit.symbol}".rstrip()


def patch(fitted: Fitted) -> str:
    """The section ``variants`` with the variant `VARIANT`; what no variant can hold stands in remarks."""
    return "".join(f"{line}\n" for line in ("variants:", *_entry(fitted)))


def patched(fitted: Fitted) -> str | None:
    """Text of the circuit's file with the variant in it; None if there is no file, or it has such a variant."""
    source = Path(fitted.fit.circuit.source)
    if not source.is_file() or VARIANT in fitted.fit.circuit.variants:
        return None
    text = source.read_text(encoding="utf-8")
    found = _SECTION.search(text)
    if found is None and "variants" in text and fitted.fit.circuit.variants:
        return None  # variants written in one line
    entry = "\n".join(_entry(fitted))
    if found is None:
        return f"{text.rstrip()}\n\nvariants:\n{entry}\n"
    return f"{text[: found.end()]}\n{entry}{text[found.end() :]}"


def _entry(fitted: Fitted) -> Iterator[str]:
    """Lines of the variant."""
    fit = fitted.fit
    share = f"{100.0 * fit.confidence:g} %"
    yield f"  {VARIANT}:"
    for told in fitted.warnings:
        yield f"    # beware: {told}"
    yield f"    # fitted to {', '.join(trace.column for trace in fit.traces)} of the scenario {fit.scenario.name}"
    for estimate in fitted.estimates:
        told = _interval(estimate, share)
        for path in estimate.unknown.paths:
            value = in_full(estimate.value, estimate.unknown.dimension)
            if _varies(fitted, path):
                yield f"    {path}: {value}{told}"
            else:
                where = f"in 'begin' of {fit.scenario.name}" if path in fit.scenario.begin else "outside a variant"
                yield f"    # {path}: {value}, to be set {where}"
    yield from _kept(fitted)


def _kept(fitted: Fitted) -> Iterator[str]:
    """What else the variant changes of which the fit is."""
    fit = fitted.fit
    for path, value in fit.circuit.variants.get(fit.variant, {}).items():
        if path not in fitted.changes:
            dimension = target(path, fit.circuit, fit.scenario).dimension
            written = in_full(value, dimension) if dimension in DIMENSIONS else str(value)
            yield f"    {path}: {written.lower() if isinstance(value, bool) else written}    # of {fit.variant}"


def holds_something(fitted: Fitted) -> bool:
    """Whether a variant can hold any of the fitted values."""
    return any(_varies(fitted, path) for path in fitted.changes)


def _varies(fitted: Fitted, path: str) -> bool:
    owner = path.rpartition(".")[0]
    circuit = fitted.fit.circuit
    return (owner in circuit.components or owner in circuit.lines) and path not in fitted.fit.scenario.begin


def _interval(estimate: Estimate, share: str) -> str:
    if estimate.low is None or estimate.high is None:
        return f"    # on its {estimate.bound} bound" if estimate.bound else "    # the data cannot tell how sure"
    low, high = (in_full(end, estimate.unknown.dimension) for end in (estimate.low, estimate.high))
    return f"    # {share}: {low} to {high}"
