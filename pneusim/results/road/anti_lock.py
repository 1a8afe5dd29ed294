"""Anti-lock control: how long it controlled, what air that took, how often each modulator cycled.

The air is what the reservoirs of the control's unit lost from the first to the last moment of control, by the ideal gas
law; it holds what filled chambers in that time, and what a compressor or a towing vehicle delivered is missing.
"""

from __future__ import annotations

import numpy as np

from pneusim.circuit.circuit import Component
from pneusim.physics.constants import RHO0, R
from pneusim.results.measures.reservoirs import reservoirs
from pneusim.results.road.beginning import beginning
from pneusim.results.road.moving import rest_after
from pneusim.results.road.rolling import units
from pneusim.results.road.spells import Spell, both, spells
from pneusim.results.run import Channel, MeasureResult, Run

CONTROL, MODULATOR = "anti_lock_control", "brake_modulator"


def measure(run: Run) -> list[MeasureResult]:
    """``<control>.control_time`` [s], ``.control_share`` of the stop [-], ``.air_used`` [m3 ANR] and
    ``<modulator>.cycles``, releases after an application."""
    if run.scenario.road is None:
        return []
    results, controlled = [], set()
    for component in run.circuit.components.values():
        active = run.channels.get(f"{component.name}.controlling")
        if component.type == CONTROL and active is not None:
            controlled.add(component.unit)
            results += _control(run, component, active)
    for component in run.circuit.components.values():
        command = run.channels.get(f"{component.name}.command")
        if component.type == MODULATOR and component.unit in controlled and command is not None:
            results.append(MeasureResult(f"{component.name}.cycles", float(cycles(command)), "number"))
    return results


def cycles(command: Channel) -> int:
    """How often a modulator was commanded to release after it had applied; what it holds between does not count."""
    told = np.sign(command.values)
    told = told[told != 0.0]
    return int(np.count_nonzero((told[1:] < 0.0) & (told[:-1] > 0.0)))


def _control(run: Run, control: Component, active: Channel) -> list[MeasureResult]:
    found = spells(active.times, active.values - 0.5)
    air, remark = 0.0, "it did not control"
    if found:
        since, until = found[0].start, found[-1].end
        air, remark = _lost(run, control.unit, since, until), f"lost from {since:.2f} s to {until:.2f} s"
    return [
        MeasureResult(f"{control.name}.control_time", sum((spell.lasts for spell in found), 0.0), "time"),
        _share(run, control, found),
        MeasureResult(f"{control.name}.air_used", air, "volume", remark),
    ]


def _share(run: Run, control: Component, found: list[Spell]) -> MeasureResult:
    """Share of the time from the beginning of the stop of its unit to rest, or to the end of the run."""
    name = f"{control.name}.control_share"
    unit = next(unit for unit in units(run) if unit.site.unit == control.unit)
    begins = beginning(run, unit)
    if begins is None:
        return MeasureResult(name, None, "fraction", "no control is moved and nothing fails")
    rest = rest_after(unit, begins.time)
    stop = Spell(begins.time, run.span[1] if rest is None else rest)
    if stop.lasts <= 0.0:
        return MeasureResult(name, None, "fraction", "the stop begins where the run ends")
    share = sum(spell.lasts for spell in both(found, [stop])) / stop.lasts
    return MeasureResult(name, share, "fraction")


def _lost(run: Run, unit: str, since: float, until: float) -> float:
    """What the reservoirs of a unit lose in a time, as a volume of the reference atmosphere [m3]."""
    return sum(
        _air(run, tank, since) - _air(run, tank, until) for tank in reservoirs(run) if tank.unit == unit
    ) / RHO0


def _air(run: Run, tank: Component, time: float) -> float:
    """Mass of the air in a reservoir [kg]."""
    pressure = run[f"{tank.name}.pressure"](time) + run.circuit.ambient.pressure
    return pressure * float(tank.parameters["volume"]) / (R * run[f"{tank.name}.temperature"](time))
