"""Short runs of shipped vehicles on roads, each computed once."""

from dataclasses import replace
from functools import cache

from pneusim import simulate
from pneusim.circuit.road import Road, Stretch
from pneusim.circuit.scenario import Step
from pneusim.circuit.surfaces import shipped_surfaces
from pneusim.reading import load
from pneusim.results.run import Run
from tests.circuits import shipped


def road(surface: str, speed: float, loading: str = "laden") -> Road:
    """A level road of one surface, and the speed on it [m/s]."""
    return Road(speed, 0.0, (Stretch(-1e6, surface, surface),), shipped_surfaces(), {"": loading})


@cache
def stop(surface: str = "wet", loading: str = "laden", speed: float = 40.0 / 3.6) -> Run:
    """The rigid truck stops at full application; on wet its rear wheels lock."""
    step = Step("set", at=0.2, target="foot.travel", to=1.0, over=0.1)
    return _run("rigid-truck", "full_application", step, road(surface, speed, loading))


@cache
def separated() -> Run:
    """The trailer comes off at 60 km/h on a dry road."""
    step = Step("separate", at=0.5, targets=("supply_line", "control_line"), over=0.05)
    return _run("tractor-semitrailer", "full_application", step, road("dry", 60.0 / 3.6))


def _run(vehicle: str, scenario: str, step: Step, on: Road) -> Run:
    circuit = load(shipped.FILES[vehicle])
    own = replace(circuit.scenarios[scenario], lasts=3.0, measures=(), expectations=(), road=on, steps=(step,))
    return simulate.run(circuit, own)
