"""The test bench: couples rigs to a vehicle, starts it as a procedure asks, runs it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from pneusim.circuit.circuit import Circuit, Component, Joint, Port, Vehicle
from pneusim.circuit.road import Road
from pneusim.circuit.scenario import Scenario, Step
from pneusim.errors import UsageError
from pneusim.parts.registry import part
from pneusim.quantities import express, parse_any
from pneusim.reading import load
from pneusim.results.measures.crossing import first_crossing, highest
from pneusim.results.run import Channel, Run
from pneusim.rules.finding import NotJudged, Picture
from pneusim.rules.limits import Table
from pneusim.rules.subject import Subject
from pneusim.simulate import run
from pneusim.simulate.stepper import Stepper

RIGS = Path(__file__).parent / "rigs"
FACING = {"front": "rear", "rear": "front"}
READY = {"lever": "released", "park": "released", "knob": "in", "shunt": "driving", "running": "off"}
"""Where a driver has the controls, by the name of the input."""


class Bench:
    """One subject on the bench.

    Parameters
    ----------
    subject : Subject
    limits : Table
        The figures of the regulation.
    progress : callable, optional
        Told what is running and the share of it done, 0..1.
    """

    def __init__(
        self, subject: Subject, limits: Table, progress: Callable[[str, float], None] | None = None
    ) -> None:
        self.subject, self.limits, self._progress = subject, limits, progress
        self.pictures: list[Picture] = []
        self._runs: dict[object, Run] = {}

    def value(self, name: str) -> float:
        """A figure of the regulation [SI]."""
        return self.limits[name].value

    def run(
        self,
        title: str,
        steps: Sequence[Step],
        lasts: float,
        begin: Mapping[str, Any] | None = None,
        rigs: Iterable[str] = (),
        road: Road | None = None,
        units: Sequence[Vehicle] = (),
    ) -> Run:
        """Run a test on the subject with rigs coupled to its heads; the same test is run once.

        ``begin`` holds inputs and parameters, SI or text with a unit; names of a rig's parts carry the rig's name
        (``trailer_rig.feed``).  Of a rig only the heads are left out: what stood behind them is screwed to the
        vehicle's heads.  On a ``road`` the subject rolls; ``units`` take the place of its vehicles, from the front.
        """
        start = {key: _si(value) for key, value in (begin or {}).items()}
        scenario = Scenario(title.lower().replace(" ", "_"), title, lasts, start, tuple(steps), road=road)
        key = (tuple(rigs), tuple(start.items()), scenario.steps, lasts, repr((road, units)))
        if key not in self._runs:
            progress = partial(self._progress, title) if self._progress else None
            circuit = self.rigged(key[0])
            if units:
                circuit = replace(circuit, vehicles=tuple(units))
            try:
                self._runs[key] = run(circuit, scenario, progress=progress)
            except UsageError as error:
                if road is not None:
                    raise NotJudged(f"the vehicle cannot be run on a road: {error}") from error
                raise _blamed(circuit, error) from error
        return self._runs[key]

    def stepper(
        self, begin: Mapping[str, Any] | None = None, rigs: Iterable[str] = (), prepared: Sequence[Step] = ()
    ) -> Stepper:
        """The subject with rigs, at rest, to be operated step by step; arguments as for `run`."""
        start = {key: _si(value) for key, value in (begin or {}).items()}
        circuit = self.rigged(rigs)
        try:
            return Stepper(circuit, start, prepared=tuple(prepared))
        except UsageError as error:
            raise _blamed(circuit, error) from error

    def rigged(self, rigs: Iterable[str]) -> Circuit:
        """The subject's circuit with rigs coupled to it."""
        circuit = self.subject.circuit
        for rig in rigs:
            circuit = coupled(self.subject, circuit, rig)
        return circuit

    def ready(self, reservoirs: float) -> dict[str, float]:
        """``begin`` of a vehicle ready to drive: its reservoirs at a pressure [Pa], park brake off, trailer supply on,
        engine still."""
        begin = {f"{reservoir.name}.pressure": reservoirs for reservoir in self.subject.reservoirs}
        for component in self.subject.circuit.components.values():
            for spec in part(component.type).inputs:
                word, choices = READY.get(spec.name, ""), spec.choices or {}
                if word in choices:
                    begin[f"{component.name}.{spec.name}"] = choices[word]
        return begin

    def show(self, picture: Picture) -> str:
        """Keep a picture; returns its name."""
        self.pictures.append(picture)
        return picture.name


def coupled(subject: Subject, circuit: Circuit, rig: str) -> Circuit:
    """The circuit with a rig coupled to it.

    A rig is a circuit file whose coupling heads say to which line (``role``) and from which side (``end``) it couples;
    a head at its rear meets the vehicle's at its front.
    """
    found = load(RIGS / f"{rig}.yaml")
    heads = {name: c for name, c in found.components.items() if c.type == "coupling_head"}
    places = {name: _mate(subject, head) for name, head in heads.items()}

    def moved(port: Port) -> Port:
        if port.component in places:
            return places[port.component]
        return Port(f"{rig}.{port.component}", port.number)

    components = {f"{rig}.{name}": replace(c, name=f"{rig}.{name}", unit=rig)
                  for name, c in found.components.items() if name not in heads}  # fmt: skip
    lines = {}
    for line in found.lines.values():
        name = f"{rig}.{line.name}"
        lines[name] = replace(line, name=name, unit=rig, start=moved(line.start), end=moved(line.end))
    joints = tuple(Joint(tuple(map(moved, joint.ports))) for joint in found.joints)
    return replace(
        circuit,
        components={**circuit.components, **components},
        lines={**circuit.lines, **lines},
        joints=(*circuit.joints, *joints),
    )


def _mate(subject: Subject, head: Component) -> Port:
    end = FACING[head.parameters.get("end", "rear")]
    return Port(subject.head(head.parameters["role"], end).name, "2")


def _blamed(circuit: Circuit, error: UsageError) -> Exception:
    """The vehicle is to blame if its circuit cannot be run without the test either, else the test itself."""
    try:
        Stepper(circuit)
    except UsageError as fault:
        return NotJudged(f"the vehicle alone cannot be run: {fault}")
    return error


def _si(value: Any) -> Any:
    return parse_any(value)[0] if isinstance(value, str) else value


def time_to(channel: Channel, level: float, direction: int, zero: float) -> float | None:
    """Time after ``zero`` [s] at which a channel passes a level upwards (+1) or downwards (-1); None if never.

    A level that already holds at ``zero`` is passed at once.
    """
    if direction * (channel(zero) - level) >= 0.0:
        return 0.0
    found = first_crossing(channel, level, direction, zero, float(channel.times[-1]))
    return None if found is None else found - zero


def exactly(pressure: float) -> str:
    """A pressure in four digits, so that it reads as the round number that it is in other units too.

    Examples
    --------
    >>> exactly(100 * 6894.757)
    '689.5 kPa'
    """
    return f"{pressure / 1e3:.4g} kPa"


def never(channel: Channel, level: str, zero: float) -> str:
    """Why a level was not reached, for a finding."""
    best = highest(channel, zero, float(channel.times[-1]))
    return f"never came to {level}; its highest was {express(best, channel.dimension)}"


def named(channel: Channel, label: str) -> Channel:
    """The channel under another label, for a picture."""
    return replace(channel, label=label)
