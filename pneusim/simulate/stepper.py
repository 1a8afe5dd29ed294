"""A circuit that is operated step by step: set something, advance, look, decide."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario, Step
from pneusim.engine.methods import RTOL
from pneusim.engine.tape import Floats
from pneusim.errors import UsageError
from pneusim.results.run import Run
from pneusim.simulate.check import check
from pneusim.simulate.runner import varied
from pneusim.simulate.session import Session

LOOK_EVERY = 0.1  # [s]


class Stepper:
    """A circuit at rest that waits for what is done with it.

    Parameters
    ----------
    circuit : Circuit
    begin : Mapping
        Inputs, latches, pressures and parameters at the start, as in a scenario's ``begin`` [SI, gauge].
    prepared : tuple of Step
        Breaks, leaks and crossings that may be asked of it later: the circuit is built with their places.
    variant : str, optional
        Name of a variant of the circuit.
    rtol : float
        Relative tolerance.

    Raises
    ------
    UsageError
        For an unknown variant, or a step that the circuit cannot make sense of.
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
        scenario = Scenario("by_hand", "Operated by hand", 0.0, begin or {}, prepared)
        self._session = Session(varied(circuit, variant), scenario, "rodas4", rtol, variant)
        self._session.start()
        self._session.sampler.now()
        self._done: list[Step] = []

    @property
    def time(self) -> float:
        """Time since the start [s]."""
        return self._session.machine.time

    def value(self, channel: str) -> float:
        """Value of a channel now [SI, pressures gauge].

        Raises
        ------
        UsageError
            If there is no such channel.
        """
        return float(self._observed()[self._place(channel)])

    def state(self) -> dict[str, float]:
        """All channels now [SI, pressures gauge]."""
        values = self._observed()
        return {name: float(values[self._place(name)]) for name in self._session.compiled.channels}

    def set(self, name: str, to: float, over: float = 0.0) -> None:
        """Move an input ``component.input`` to a value [SI] over a time [s], beginning now."""
        self.do(Step("set", target=name, to=to, over=over))

    def fault(self, name: str, to: float = 1.0) -> None:
        """Make a part fail: ``component.fault`` [0 or 1, or SI]."""
        self.do(Step("fault", target=name, to=to))

    def do(self, step: Step) -> None:
        """Do any step of the scenario language now; its own time does not count.

        Raises
        ------
        UsageError
            If the circuit has nothing of that name, or was not prepared for a break, a leak or a crossing.
        """
        step = replace(step, at=self.time, when=None)
        check(self._session.circuit, replace(self._session.scenario, steps=(step,)))
        self._refuse_unprepared(step)
        self._session.player.do(step)
        self._done.append(step)

    def advance(self, seconds: float) -> None:
        """Let time pass [s].

        Raises
        ------
        RunFailed
            If the method could not go on; ``partial`` holds what there is.
        """
        if not seconds > 0.0:
            raise UsageError(f"time can only go forward: {seconds:g} s was asked for")
        self._session.advance(self.time + seconds)

    def rest(self, channels: tuple[str, ...], drift: float, at_most: float) -> bool:
        """Advance until the channels drift by less than a rate [SI/s], or ``at_most`` [s]; tell whether they do."""
        end, before = self.time + at_most, [self.value(name) for name in channels]
        while self.time < end:
            self.advance(min(LOOK_EVERY, end - self.time))
            now = [self.value(name) for name in channels]
            if all(abs(b - a) < drift * LOOK_EVERY for a, b in zip(before, now)):
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

    def _observed(self) -> Floats:
        return self._session.machine.observe()

    def _place(self, channel: str) -> int:
        session = self._session
        if channel not in session.compiled.channels:
            raise UsageError(f"there is no channel {channel!r}")
        return session.machine.place(session.compiled.channels[channel].value)

    def _refuse_unprepared(self, step: Step) -> None:
        compiled = self._session.compiled
        wanted = {step.target} if step.action in ("break", "leak") else set(step.targets)
        planned = {name for s in compiled.scenario.steps if s.action == step.action for name in (s.target, *s.targets)}
        if step.action in ("break", "leak", "cross") and not wanted <= planned:
            raise UsageError(
                f"the circuit was not prepared for the step {step.action!r} of {', '.join(sorted(wanted))}: give it to "
                f"the stepper under 'prepared', with its place"
            )
