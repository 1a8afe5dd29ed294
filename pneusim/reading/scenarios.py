"""Scenarios, in the circuit file or a file of their own, and variants."""

from __future__ import annotations

from typing import Any

from pneusim.circuit.scenario import Scenario
from pneusim.reading.changes import read_changes
from pneusim.reading.context import Context, UnitFile
from pneusim.reading.documents import Library, check_version
from pneusim.reading.fields import Fields, check_name
from pneusim.reading.likes import Merged, entries
from pneusim.reading.measures import read_expectations, read_measures
from pneusim.reading.road import read_road
from pneusim.reading.steps import LONGEST, read_steps
from pneusim.reading.tree import MapNode, Scalar

MOST_SCENARIOS = 200
_KEYS = ("title", "lasts", "road", "begin", "steps", "measure", "expect")
_DEFAULT_LASTS = 10.0  #: [s]


def read_scenarios(unit: UnitFile, library: Library, context: Context) -> dict[str, Scenario]:
    """Scenarios of the outermost file and of the file that it names under ``scenarios_from``."""
    found: dict[str, Scenario] = {}
    for section in (unit.fields.mapping("scenarios"), _from_file(unit, library, context)):
        if section is None:
            continue
        if len(section.entries) > MOST_SCENARIOS:
            context.faults.report(
                "S10", section.place, section.path, f"there are more than {MOST_SCENARIOS} scenarios", "split the file"
            )
            continue
        for entry in entries(section, context.faults).values():
            if entry.name in found:
                earlier = found[entry.name].place
                context.faults.report(
                    "N03",
                    entry.key_place,
                    entry.node.path,
                    f"the scenario {entry.name!r} is there already, in {earlier.file} line {earlier.line}",
                    "rename one of them",
                )
            elif check_name(entry.name, entry.key_place, entry.node.path, context.faults):
                found[entry.name] = _scenario(entry, context)
    return found


def _from_file(unit: UnitFile, library: Library, context: Context) -> MapNode | None:
    name = unit.fields.get("scenarios_from")
    if name is None:
        return None
    if not isinstance(name, Scalar) or name.value is None:
        unit.fields.text("scenarios_from")
        return None
    path = unit.document.path
    document = library.include(name, unit.document, [path.resolve()] if path else [])
    if document is None:
        return None
    fields = Fields(
        document.root, context.faults, ["scenarios"], ["pneusim", "title", "about"], missing_at=document.root.place
    )
    check_version(fields)
    return fields.mapping("scenarios")


def _scenario(entry: Merged, context: Context) -> Scenario:
    fields = Fields(entry.node, context.faults, (), _KEYS, ambient=context.ambient.pressure, missing_at=None)
    given = fields.quantity("lasts", "time", above=0.0, high=LONGEST)
    lasts = _DEFAULT_LASTS if given is None else given
    if "lasts" in fields and given is None:
        lasts = LONGEST
    road = read_road(fields, context)
    context.on_road = "road" in fields
    begin = fields.mapping("begin")
    steps = fields.sequence("steps")
    measures, dimensions = read_measures(fields.sequence("measure"), lasts, context)
    return Scenario(
        name=entry.name,
        title=fields.text("title") or "",
        lasts=lasts,
        begin=read_changes(begin, context, begin=True) if begin else {},
        steps=read_steps(steps, lasts, context) if steps else (),
        measures=measures,
        expectations=read_expectations(fields.sequence("expect"), dimensions, context),
        place=entry.key_place,
        road=road,
    )


def read_variants(unit: UnitFile, context: Context) -> dict[str, dict[str, Any]]:
    """Variants of the outermost file: name to changes of parameters in SI."""
    section = unit.fields.mapping("variants")
    found: dict[str, dict[str, Any]] = {}
    for entry in entries(section, context.faults).values() if section else ():
        if check_name(entry.name, entry.key_place, entry.node.path, context.faults):
            found[entry.name] = read_changes(entry.node, context, begin=False)
    return found
