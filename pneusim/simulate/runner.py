"""Runs a scenario from its start to its end."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario
from pneusim.control.protocol import Controller
from pneusim.engine.methods import RTOL
from pneusim.errors import RunFailed, UsageError
from pneusim.reading import apply_changes
from pneusim.results.road.band import Band, bands, neighbours
from pneusim.results.run import MeasureResult, Run
from pneusim.simulate.session import SHARPEST, Session


def run(
    circuit: Circuit,
    scenario: str | Scenario,
    *,
    variant: str | None = None,
    engine: str = "rodas4",
    rtol: float = RTOL,
    error_bar: bool = False,
    band: bool = False,
    progress: Callable[[float], None] | None = None,
    controllers: Mapping[str, Controller] | None = None,
) -> Run:
    """Run one scenario of a circuit.

    Parameters
    ----------
    circuit : Circuit
    scenario : str or Scenario
        Name of a scenario of the circuit, or one made in Python.
    variant : str, optional
        Name of a variant of the circuit.
    engine : {"rodas4", "radau"}
        ``radau`` is scipy's method on the same equations: slow, for checking.
    rtol : float
        Relative tolerance, 1e-10 to 1e-2.
    error_bar : bool
        Run again at half the tolerance and give every measure its numerical error.
    band : bool
        Run again at initial speeds 0.01 m/s lower and higher, and give every measure as its error how far it moves: a
        stop under anti-lock control is not smooth in its inputs.
    progress : callable, optional
        Told the share of the scenario done, 0..1.
    controllers : Mapping, optional
        Controllers of one's own, `on_sample(time, speeds) -> commands`, by the name of the anti-lock control whose
        place they take.

    Returns
    -------
    Run

    Raises
    ------
    UsageError
        For an unknown scenario, variant or engine, a tolerance out of range, or a circuit or scenario made in Python
        that asks for what there is not or is not allowed.
    RunFailed
        If the run did not settle or converge, or does not conserve mass or energy; ``partial`` holds what there is.
    """
    chosen = _scenario(circuit, scenario)
    if error_bar and band:
        raise UsageError("an error bar and a band are both told as a measure's error: ask for one of them")
    others = neighbours(chosen)[::2] if band else ()
    session = Session(varied(circuit, variant), chosen, engine, rtol, variant, controllers=controllers)
    result = _whole(session, progress)
    if error_bar:
        return _with_error_bar(result, engine, 0.5 * rtol, controllers)
    return _with_band(result, others, controllers) if band else result


def _whole(session: Session, progress: Callable[[float], None] | None) -> Run:
    """Play the scenario of a session to its end."""
    session.schedule()
    lasts = session.scenario.lasts
    session.advance(lasts, progress and (lambda time: progress(min(time / lasts, 1.0))))
    result = session.result()
    session.close()
    return result


def _with_error_bar(
    result: Run, engine: str, rtol: float, controllers: Mapping[str, Controller] | None
) -> Run:
    """Run again at another tolerance; if that fails, the result stays and says so."""
    if rtol < SHARPEST:
        raise UsageError(f"an error bar needs a tolerance of at least {2.0 * SHARPEST:g}")
    try:
        session = Session(
            result.circuit, result.scenario, engine, rtol, result.variant, controllers=controllers
        )
        finer = _whole(session, None)
    except RunFailed as failure:
        return replace(result, message=f"{result.message} There is no error bar: {failure}")
    return with_errors(result, finer)


def _with_band(
    result: Run, others: Sequence[Scenario], controllers: Mapping[str, Controller] | None
) -> Run:
    """Run other scenarios as well; if one of them fails, the result stays and says so."""
    runs = []
    for other in others:
        solver = result.solver
        try:
            session = Session(
                result.circuit, other, solver.engine, solver.rtol, result.variant, controllers=controllers
            )
            runs.append(_whole(session, None))
        except RunFailed as failure:
            return replace(result, message=f"{result.message} There is no band: {failure}")
    spread = {band.name: band for band in bands((result, *runs))}
    measures = tuple(replace(one, error=_reach(one, spread[one.name])) for one in result.measures)
    return replace(result, measures=measures)


def _reach(measure: MeasureResult, band: Band) -> float | None:
    """How far a measure's band goes from its value."""
    if measure.value is None or band.lowest is None or band.highest is None:
        return None
    return max(band.highest - measure.value, measure.value - band.lowest)


def _scenario(circuit: Circuit, scenario: str | Scenario) -> Scenario:
    if isinstance(scenario, Scenario):
        return scenario
    if scenario not in circuit.scenarios:
        known = ", ".join(circuit.scenarios) or "none"
        raise UsageError(f"scenario {scenario!r} is not in {circuit.source or circuit.title} (there are: {known})")
    return circuit.scenarios[scenario]


def varied(circuit: Circuit, variant: str | None) -> Circuit:
    """The circuit with a variant's changes."""
    if variant is None:
        return circuit
    if variant not in circuit.variants:
        known = ", ".join(circuit.variants) or "none"
        raise UsageError(f"variant {variant!r} is not in {circuit.source or circuit.title} (there are: {known})")
    return apply_changes(circuit, circuit.variants[variant])


def with_errors(result: Run, finer: Run) -> Run:
    """Give every measure the difference that the finer run makes."""
    finer_values = {measure.name: measure.value for measure in finer.measures}
    measures = []
    for measure in result.measures:
        other = finer_values.get(measure.name)
        error = None if measure.value is None or other is None else abs(measure.value - other)
        measures.append(replace(measure, error=error))
    return replace(result, measures=tuple(measures))
