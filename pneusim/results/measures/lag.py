"""How far each axle and each vehicle is behind the first, by the slowest of its brakes."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from pneusim.circuit.circuit import Component
from pneusim.results.measures.application import SHARES
from pneusim.results.measures.applications import applications
from pneusim.results.measures.brakes import brakes
from pneusim.results.run import MeasureResult, Run


def measure(run: Run, known: Mapping[str, MeasureResult]) -> list[MeasureResult]:
    """Lags of every application, from the rise times in ``known``."""
    results = []
    axles = _groups(run, axle_name)
    units = _groups(run, lambda component: component.unit or None)
    for application in applications(run):
        for rise in SHARES:
            lag = f"{application.name}.lag_{rise.removeprefix('time_to_')}"
            results += _lags(axles, f"{application.name}.{rise}", lag, known)
            results += _lags(units, f"{application.name}.{rise}", lag, known)
    return results


def axle_name(component: Component) -> str | None:
    """``trailer.axle_2``, or None without an axle."""
    if component.axle is None:
        return None
    return ".".join(filter(None, (component.unit, f"axle_{component.axle}")))


def _groups(run: Run, key: Callable[[Component], str | None]) -> dict[str, list[str]]:
    groups: dict[str, list[str]] = {}
    for brake in brakes(run):
        group = key(brake.component)
        if group is not None:
            groups.setdefault(group, []).append(brake.name)
    return groups if len(groups) > 1 else {}


def _lags(
    groups: Mapping[str, list[str]], rise: str, lag: str, known: Mapping[str, MeasureResult]
) -> list[MeasureResult]:
    slowest = {group: _slowest([known[f"{name}.{rise}"] for name in names]) for group, names in groups.items()}
    reached = [time for time, _ in slowest.values() if time is not None]
    return [
        MeasureResult(f"{group}.{lag}", None, "time", reason)
        if time is None
        else MeasureResult(f"{group}.{lag}", time - min(reached), "time")
        for group, (time, reason) in slowest.items()
    ]


def _slowest(results: list[MeasureResult]) -> tuple[float | None, str]:
    for result in results:
        if result.value is None:
            return None, f"{result.name.split('.application_')[0]}: {result.reason}"
    return max(result.value for result in results if result.value is not None), ""
