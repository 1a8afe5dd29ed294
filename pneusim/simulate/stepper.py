"""A circuit that is operated step by step: set something, advance, look, decide."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario, Step
from pneusim.engine.methods import RTOL
from pneusim.errors import UsageError
from pneusim.reading.steps import LONGEST
from pneusim.results.run import Run
from pneusim.simulate.asked import ROUNDING, fault_of, input_of, position
from pneusim.simulate.check import check
from pneusim.simulate.runner import varied
from pneusim.simulate.session import Session

LOOK_EVERY = 0.1  # [s]
LEAST_LOOK = 1e-3  # time in which a drift can be seen [s]


class Stepper:
    """A circuit at rest that waits for what is done with it.

    Parameters
    ----------
    circuit : Circuit
    begin : Mapping
        Inputs, latches, pressures and parameters at the start, as in a scenario's ``begin`` [SI, gauge]; inputs may be
        words of their ``choices``.
    prepared : tuple of Step
        Breaks, leaks and crossings that may be asked of it later: the circuit is built with their places.  When they
        happen need not be told.
    variant : str, optional
        Name of a variant of the circuit.
    rtol : float
        Relative tolerance, 1e-10 to 1e-2.

    Raises
    ------
    UsageError
        For an unknown variant, a tolerance out of range, or what the circuit cannot make sense of.
    RunFailed
        If the circuit does not come to rest.

    Examples
    --------
    >>> from pneusim.reading import load_text
    >>> stepper = Stepper(load_text('''
    ... pneusim: 1
    ... components:
    ...   source: {type: supply, pressure: 2 bar}
    ...   vessel: {type: test_volume, volume: 1 L}
    ... lines:
    ...   pipe: {from: source.1, to: vessel.1, bore: 6 mm, length: 2 m}
    ... '''))
    >>> stepper.set("source.pressure", 6e5, over=0.1)
    >>> stepper.advance(2.0)
    >>> round(stepper.value("vessel.pressure") / 1e5, 3)
    6.0
    """

    def __init__(
        self,
        circuit: Circuit,
        begin: Mapping[str, Any] | None = None,
        *,
        prepared: tuple[Step, ...] = (),
        variant: str | None = None,
        rtol: float = RTOL,
    ) -> None:
        self._prepared = tuple(replace(step, at=0.0, when=None) for step in prepared)
        scenario = Scenario("by_hand", "Operated by hand", 0.0, begin or {}, self._prepared)
        self._session = Session(varied(circuit, variant), scenario, "rodas4", rtol, variant)
        self._session.sampler.now()
        self._done: list[Step] = []

    @property
    def time(self) -> float:
        """Time since the start [s]."""
        return self._session.time

    def value(self, channel: str) -> float:
        """Value of a channel now [SI, pressures gauge].

        Raises
        ------
        UsageError
            If there is no such channel.
        """
        return self._session.value(channel)

    def state(self) -> dict[str, float]:
        """All channels now [SI, pressures gauge]."""
        return self._session.state()

    def set(self, name: str, to: float | str, over: float = 0.0) -> None:
        """Move an input ``component.input`` over a time [s], beginning now.

        Parameters
        ----------
        name : str
        to : float or str
            A value within the input's range [SI], or a word of its ``choices``.
        over : float
            Not less than 0.

        Raises
        ------
        UsageError
            If there is no such input, or a number is out of its range.
        """
        self.do(Step("set", target=name, to=position(input_of(self._session.circuit, name), to), over=over))

    def fault(self, name: str, to: float | None = None) -> None:
        """Make a part fail: ``component.fault``, 0 or 1, or within its range [SI]; None for its default.

        Raises
        ------
        UsageError
            If there is no such fault, or the number is out of its range.
        """
        spec = fault_of(self._session.circuit, name)
        default = spec.default if spec else 0.0
        self.do(Step("fault", target=name, to=default if to is None else to))

    def do(self, step: Step) -> None:
        """Do any step of the scenario language now; its own time does not count.

        Raises
        ------
        UsageError
            If the circuit has nothing of that name, a number is out of its range, or the circuit was not prepared for
            this break, leak or crossing at this place.
        """
        step = replace(step, at=self.time, when=None)
        check(self._session.circuit, Scenario("by_hand", steps=(step,)))
        self._refuse_unprepared(step)
        self._session.do(step)
        self._done.append(step)

    def advance(self, seconds: float) -> None:
        """Let time pass [s].

        Raises
        ------
        UsageError
            If the time is not more than 0 or has no end.
        RunFailed
            If the method could not go on; ``partial`` holds what there is.
        """
        if not 0.0 < seconds <= LONGEST:
            raise UsageError(f"time can only go forward, at most {LONGEST:g} s at once: {seconds:g} s was asked for")
        self._session.advance(self.time + seconds)

    def rest(self, channels: tuple[str, ...], drift: float, at_most: float) -> bool:
        """Advance until the channels drift by less than a rate [SI/s], or ``at_most`` [s]; tell whether they do.

        They are looked at every 0.1 s or a little more often: at equal intervals that end at ``at_most``.

        Raises
        ------
        UsageError
            If there is no such channel, or ``at_most`` is less than 1 ms or has no end.
        """
        if not LEAST_LOOK <= at_most <= LONGEST:
            raise UsageError(f"rest can be waited for {LEAST_LOOK:g} to {LONGEST:g} s: {at_most:g} s was asked for")
        looks = max(1, math.ceil(at_most / LOOK_EVERY - ROUNDING))
        interval, before = at_most / looks, [self.value(name) for name in channels]
        for _ in range(looks):
            self.advance(interval)
            now = [self.value(name) for name in channels]
            if all(abs(b - a) < drift * interval for a, b in zip(before, now)):
                return True
            before = now
        return False

    def run(self) -> Run:
        """What happened so far, as a run with measures, events and the narrative.

        Raises
        ------
        RunFailed
            If the balance of mass or energy does not close.
        """
        session = self._session
        session.scenario = replace(session.scenario, lasts=self.time, steps=tuple(self._done))
        return session.result()

    def _refuse_unprepared(self, step: Step) -> None:
        """A break, a leak or a crossing needs its place in the circuit."""
        if step.action not in ("break", "leak", "cross"):
            return
        planned = [s for s in self._prepared if _wanted(s) == _wanted(step)]
        if not planned:
            names = ", ".join(step.targets or (step.target,))
            raise UsageError(
                f"the circuit was not prepared for the step {step.action!r} of {names}: give it to the stepper under "
                f"'prepared', with its place"
            )
        place = planned[0].where
        if step.target in self._session.circuit.lines and step.where != place:
            raise UsageError(
                f"{step.target} was prepared for the step {step.action!r} at {100.0 * place:g} % of its length, not at "
                f"{100.0 * step.where:g} %: give both the same 'where'"
            )


def _wanted(step: Step) -> tuple[str, str, set[str]]:
    """What a step must have been prepared for."""
    return step.action, step.target, set(step.targets)
