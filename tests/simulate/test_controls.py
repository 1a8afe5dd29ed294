"""Two controls at once: every sample is read once and every change of a command is entered once, trials or not."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario, Step
from pneusim.circuit.surfaces import plain_road
from pneusim.engine.rodas4 import Rodas4
from pneusim.reading import load
from pneusim.simulate.controls import Wired
from pneusim.simulate.session import Session

CONTROLS = ("tractor.anti_lock", "trailer.anti_lock")
EVERY = (7, 11)  # samples between two changes
LASTS = 1.0


def commands(sample: int, every: int, modulators: int) -> list[int]:
    """What is commanded at a sample, counted from 0."""
    return [(sample // every * 7 + n * 3) % 3 - 1 for n in range(modulators)]


class Counting:
    """Commands by its own count of samples; ``tells`` says at which of them it tells that it controls."""

    def __init__(self, every: int, modulators: int, tells: Callable[[int], bool]) -> None:
        self.every, self.modulators, self.tells, self.sample = every, modulators, tells, -1

    @property
    def controlling(self) -> bool:
        """Whether it says so."""
        return self.tells(self.sample)

    def on_sample(self, time: float, speeds: Sequence[float]) -> Sequence[int]:
        """Commands by the count."""
        self.sample += 1
        return commands(self.sample, self.every, self.modulators)


def combination(periods: Sequence[float], delays: Sequence[float]) -> Circuit:
    """A tractor and a semitrailer, each with a control of its own times [s]."""
    circuit = load("anti-lock-combination")
    parts = dict(circuit.components)
    for name, period, delay in zip(CONTROLS, periods, delays, strict=True):
        own = {**parts[name].parameters, "sample_time": period, "delay": delay}
        parts[name] = replace(parts[name], parameters=own)
    return replace(circuit, components=parts)


def expected(wired: Wired, every: int) -> list[tuple[float, int, float]]:
    """When which setting must be commanded to be what, once each."""
    found, shown = [], [1] * len(wired.modulators)
    for sample in range(wired.samples):
        wanted = commands(sample, every, len(shown))
        due = sample * wired.period + wired.delay
        found += [(due, wired.modulators[n], float(x)) for n, x in enumerate(wanted) if x != shown[n]]
        shown = wanted
    return found


TELLS = {"no": lambda k: False, "at_times": lambda k: k // 17 % 2 == 0, "yes": lambda k: True}


@pytest.mark.parametrize("tells", TELLS.values(), ids=TELLS)
@pytest.mark.parametrize(
    ("periods", "delays"),
    [((0.005, 0.005), (0.015, 0.015)), ((0.005, 0.005), (0.005, 0.005)), ((0.007, 0.003), (0.007, 0.02))],
    ids=["alike", "delay_is_period", "apart"],
)
@pytest.mark.parametrize("capacity", [256, 5])
def test_nothing_is_lost_or_doubled(periods, delays, tells, capacity, monkeypatch) -> None:
    monkeypatch.setattr(Rodas4.__init__, "__defaults__", ((), capacity))
    circuit = combination(periods, delays)
    road = plain_road("low", 8.0)
    brake = Step("set", at=0.2, target="tractor.foot.travel", to=1.0, over=0.1)
    scenario = Scenario("stop", lasts=LASTS, begin=circuit.scenarios["stop_laden"].begin, steps=(brake,), road=road)
    modulators = [len([c for c in circuit.components.values() if c.type == "brake_modulator" and c.unit == unit])
                  for unit in ("tractor", "trailer")]  # fmt: skip
    made = {name: Counting(every, n, tells) for name, every, n in zip(CONTROLS, EVERY, modulators, strict=True)}
    session = Session(circuit, scenario, "rodas4", 1e-4, controllers=made)
    controls = session.controls
    assert controls is not None
    entered: list[tuple[float, int, float]] = []
    command = controls.command

    def noted(at: Callable[[float, Callable[[], None]], None]) -> None:
        def note(time, action):
            entered.append((time, *action.args))
            at(time, action)

        command(note)

    monkeypatch.setattr(controls, "command", noted)
    session.schedule()
    session.advance(LASTS)
    for wired, every in zip(controls.wired, EVERY, strict=True):
        assert [time for time, _ in wired.references] == [n * wired.period for n in range(wired.samples)]
        assert wired.time == pytest.approx(LASTS, abs=1.001 * wired.period)
        own = sorted(one for one in entered if one[1] in wired.modulators)
        assert own == sorted(expected(wired, every))
        assert len(own) > 10
