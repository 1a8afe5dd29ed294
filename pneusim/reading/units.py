"""The files of a combination: each vehicle's file is read with the vehicle's name before its names."""

from __future__ import annotations

from pathlib import Path

from pneusim.reading.context import Context, UnitFile
from pneusim.reading.documents import Document, Library, check_version
from pneusim.reading.fields import Fields, check_name
from pneusim.reading.likes import entries
from pneusim.reading.tree import Scalar

_KEYS = (
    "pneusim",
    "title",
    "about",
    "ambient",
    "heat",
    "vehicle",
    "vehicles",
    "axles",
    "components",
    "couplings",
    "lines",
    "joints",
    "scenarios",
    "scenarios_from",
    "variants",
    "layout",
)


def gather(document: Document, library: Library, context: Context) -> list[UnitFile]:
    """The outermost file first, then the files of its vehicles, theirs, and so on."""
    chain = [document.path.resolve()] if document.path else []
    return _unit(UnitFile(document, "", _fields(document, context)), library, context, chain)


def _fields(document: Document, context: Context) -> Fields:
    fields = Fields(document.root, context.faults, (), _KEYS, missing_at=document.root.place)
    check_version(fields)
    if "components" not in fields and "vehicles" not in fields:
        context.faults.report(
            "S09",
            document.root.place,
            "file",
            "the file holds neither components nor vehicles",
            "add 'components:' (a circuit) or 'vehicles:' (several circuits coupled)",
        )
    if "vehicles" in fields:
        for key in ("vehicle", "axles"):
            if key in fields:
                fields.report(
                    "V01",
                    key,
                    f"{key!r} stands beside 'vehicles'",
                    f"move {key!r} into the file of the vehicle that it describes",
                )
    return fields


def _unit(unit: UnitFile, library: Library, context: Context, chain: list[Path]) -> list[UnitFile]:
    found = [unit]
    section = unit.fields.mapping("vehicles")
    for vehicle in entries(section, context.faults).values() if section else ():
        name = unit.prefix + vehicle.name
        if not check_name(vehicle.name, vehicle.key_place, vehicle.node.path, context.faults):
            context.draft.doubtful.add(name)
            continue
        context.claim(name, "vehicle", vehicle.key_place, vehicle.node.path)
        fields = Fields(vehicle.node, context.faults, ["circuit"], missing_at=vehicle.place)
        file = fields.get("circuit")
        if not isinstance(file, Scalar):
            fields.text("circuit")
            context.draft.doubtful.add(name)
            continue
        document = library.include(file, unit.document, chain)
        if document is None or document.path is None:
            context.draft.doubtful.add(name)
            continue
        inner = UnitFile(document, f"{name}.", _fields(document, context), unit)
        found += _unit(inner, library, context, [*chain, document.path.resolve()])
    return found
