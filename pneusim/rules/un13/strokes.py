"""Full-stroke actuations one after the other without recharge, each until the pressures stand still."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from pneusim.results.run import Run
from pneusim.rules.bench import Bench
from pneusim.rules.un13.kinds import FRONT, pedal, ready, service_pressures
from pneusim.simulate.stepper import Stepper

RAMP = 0.2
"""Time of actuation and of release [s]."""

AT_LEAST, AT_MOST, DRIFT = 1.0, 3.0, 2e3
"""How long a control is held where it is [s], and the drift at which pressures stand still [Pa/s]: our choice."""

BEFORE = 0.5


@dataclass(frozen=True)
class Strokes:
    """What was held in each actuation, by channel [SI]; when each was held and was over [s]; the whole run.

    ``restless`` tells after how many movements of the control, of two in each actuation, the pressures did not come to
    rest in time.
    """

    held: tuple[Mapping[str, float], ...]
    times: tuple[float, ...]
    rests: tuple[float, ...]
    run: Run
    restless: int = 0

    @property
    def remark(self) -> str:
        """For a finding: whether everything was read at rest; "" if it was."""
        if not self.restless:
            return ""
        moves = f"{self.restless} of {2 * len(self.held)} movements of the control"
        return f"; the pressures had not come to rest {AT_MOST:g} s after {moves}, when they were read"

    def share(self, channel: str, last: int) -> float:
        """Value held in the ``last`` actuation over that in the first."""
        return self.held[last - 1][channel] / self.held[0][channel]


def _nothing(_stepper: Stepper) -> None:
    """What happens between actuations of most vehicles."""


def strokes(
    bench: Bench,
    number: int,
    begin: Mapping[str, float],
    rigs: tuple[str, ...],
    control: tuple[str, float],
    between: Callable[[Stepper], None] = _nothing,
) -> Strokes:
    """Actuate a control (its input, and the value it is moved to) so many times; ``between`` acts before each."""
    channels = tuple(service_pressures(bench.subject).values())
    stepper = bench.stepper(begin, rigs)
    name, full = control
    stepper.advance(BEFORE)
    held, times, rests, restless = [], [], [], 0
    for _ in range(number):
        between(stepper)
        restless += not _moved(stepper, name, full, channels)
        held.append(stepper.state())
        times.append(stepper.time)
        restless += not _moved(stepper, name, 0.0, channels)
        rests.append(stepper.time)
    return Strokes(tuple(held), tuple(times), tuple(rests), stepper.run(), restless)


def by_pedal(
    bench: Bench, number: int, pressure: float, rigs: tuple[str, ...], between: Callable[[Stepper], None] = _nothing
) -> Strokes:
    """Full strokes of a motor vehicle's pedal, its reservoirs at a pressure [Pa] at the start.

    Springs are caged: they would brake as the pressure falls, and must not count as braking by the pedal.
    """
    caged = {f"{brake.name}.caged": 1.0 for brake in bench.subject.all("spring_brake_actuator")}
    return strokes(bench, number, ready(bench, pressure) | caged, rigs, (pedal(bench.subject), 1.0), between)


def by_control_line(bench: Bench, number: int, begin: Mapping[str, float], rigs: tuple[str, ...]) -> Strokes:
    """Full strokes of a trailer by its control line; its supply line is blocked at the head once it is charged."""
    control = (f"{FRONT}.control.pressure", bench.value("storage.control"))

    def blocked(stepper: Stepper) -> None:
        stepper.set(f"{FRONT}.shut_off.position", 0.0)

    return strokes(bench, number, begin, rigs, control, blocked)


def _moved(stepper: Stepper, name: str, to: float, channels: tuple[str, ...]) -> bool:
    """Move the control and wait; tells whether the pressures came to rest."""
    stepper.set(name, to, RAMP)
    stepper.advance(AT_LEAST)
    return stepper.rest(channels, DRIFT, AT_MOST - AT_LEAST)
