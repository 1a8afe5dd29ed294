"""Reads a fit file: like a study file, with the measured columns in place of a plan."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario
from pneusim.errors import UsageError
from pneusim.reading.context import Context
from pneusim.reading.documents import Document, Library, check_version
from pneusim.reading.faults import Faults, listed, nearest
from pneusim.reading.fields import Fields, quantity_of, within
from pneusim.reading.shipped import shipped_folder
from pneusim.reading.tree import Entry, MapNode, Scalar
from pneusim.studies.fit.measured import Measured, MeasuredReader
from pneusim.studies.fit.problem import CONFIDENCE, OFFSET, RTOL, STARTS, Fit
from pneusim.studies.fit.unknown import Unknown
from pneusim.studies.sweep.file import context_of, named_circuit, named_scenario, with_variant
from pneusim.studies.sweep.parameter import Parameter
from pneusim.studies.sweep.parameter_file import ParameterReader

_REQUIRED = ("pneusim", "circuit", "scenario", "measured", "parameters")
_OPTIONAL = ("title", "about", "variant", "starts", "seed", "confidence", "rtol")
_BOUNDS, _BESIDE = ("from", "to"), ("of", "start")
_LEAST_RTOL, _MOST_RTOL = 1e-9, 1e-3
MOST_STARTS = 1000


def shipped_fits() -> dict[str, Path]:
    """Name to file of every fit that comes with the package."""
    folder = shipped_folder()
    files = sorted((folder / "studies" / "fits").glob("*.yaml")) if folder else ()
    return {path.stem: path for path in files}


def find_fit(name: str | Path) -> Path:
    """File of a fit: the path as given if it exists, else the shipped fit of that name.

    Raises
    ------
    UsageError
        If there is neither; it names the nearest.
    """
    path, known = Path(name), shipped_fits()
    if path.is_file():
        return path
    stem = str(name).removesuffix(".yaml")
    if stem in known:
        return known[stem]
    near = nearest(stem, known)
    hint = f"{near!r} is meant?" if near else f"shipped fits: {listed(known)}"
    raise UsageError(f"there is no fit file {str(name)!r} and no shipped fit of that name; {hint}")


def load_fit(path: str | Path, measured: str | Path | None = None) -> Fit:
    """Read a fit file, or a shipped fit by its name.

    Parameters
    ----------
    path : path
    measured : path, optional
        A file of measured columns in place of the one that the fit file names.

    Raises
    ------
    InvalidFile
        With all faults of the fit file and of the measured file, or of the circuit.
    """
    faults = Faults()
    library = Library(faults)
    return _fit(library.open(find_fit(path)), library, faults, measured)


def load_fit_text(text: str, name: str = "fit", circuit: Circuit | None = None, measured: str | Path = "") -> Fit:
    """Read a fit from text; as text cannot name files, circuit and measured file are given beside it.

    Raises
    ------
    InvalidFile
    """
    faults = Faults()
    library = Library(faults)
    return _fit(library.text(text, name), library, faults, measured or None, circuit)


def _fit(
    document: Document | None, library: Library, faults: Faults, measured: str | Path | None,
    circuit: Circuit | None = None,
) -> Fit:  # fmt: skip
    faults.raise_errors()
    assert document is not None
    fields = Fields(document.root, faults, _REQUIRED, _OPTIONAL, missing_at=document.root.place)
    check_version(fields)
    circuit = circuit or named_circuit(fields, document, library)
    scenario = named_scenario(fields, circuit) if circuit else None
    if circuit is None or scenario is None:
        faults.raise_errors()
        raise AssertionError("a fit without a circuit has a fault")
    circuit = with_variant(fields, circuit)
    reader = _Reader(fields, circuit, scenario, context_of(circuit, faults))
    made = reader.fit(document, None if measured is None else Path(measured))
    faults.raise_errors()
    assert made is not None
    return made


@dataclass
class _Reader:
    """Reads what stands in a fit file, once its circuit and scenario are known."""

    fields: Fields
    circuit: Circuit
    scenario: Scenario
    context: Context

    def fit(self, document: Document, measured: Path | None) -> Fit | None:
        """The whole fit; None if something is at fault."""
        fields = self.fields
        fields.text("about")
        title = fields.text("title")
        unknowns = self._unknowns()
        found = self._measured(document, measured)
        starts, seed = fields.integer("starts", 1, MOST_STARTS), fields.integer("seed", 0, 2**31)
        rtol = fields.quantity("rtol", "number", low=_LEAST_RTOL, high=_MOST_RTOL)
        confidence = fields.quantity("confidence", "fraction", low=0.5, high=0.9999)
        if found is None or self.context.faults.errors:
            return None
        if isinstance(found.offset, Unknown):
            unknowns = (*unknowns, found.offset)
        name = Path(document.file).stem
        made = Fit(
            name, self.circuit, self.scenario, found.traces, unknowns,
            0.0 if isinstance(found.offset, Unknown) else found.offset,
            starts=STARTS if starts is None else starts, seed=seed or 0,
            confidence=CONFIDENCE if confidence is None else confidence, rtol=RTOL if rtol is None else rtol,
            title=title or name.replace("-", " ").replace("_", " "), left_out=found.left_out, source=document.file,
            variant=fields.text("variant") or "",
        )  # fmt: skip
        if made.size <= len(unknowns):
            problem = f"{made.size} measured values cannot tell {len(unknowns)} unknowns"
            fields.report("S10", "parameters", problem, "measure more, or look for less")
        return made

    def _measured(self, document: Document, measured: Path | None) -> Measured | None:
        section = self.fields.mapping("measured")
        if section is None:
            return None
        return MeasuredReader(section, self.scenario.lasts, self.context).read(document.path, measured)

    # ---- parameters

    def _unknowns(self) -> tuple[Unknown, ...]:
        section = self.fields.mapping("parameters")
        if section is None:
            return ()
        ranges, starts = {}, {}
        for entry in section:
            node = entry.node
            if isinstance(node, MapNode):
                fields = Fields(node, self.context.faults, _BOUNDS, _BESIDE, missing_at=entry.place)
                starts[entry.key] = fields.get("start")
                kept = {key: e for key, e in fields.node.entries.items() if key in ("of", *_BOUNDS)}
                if not kept.keys() >= set(_BOUNDS):
                    continue
                node = MapNode(node.place, node.path, kept)
            ranges[entry.key] = Entry(entry.key, entry.place, node)
            if entry.key == OFFSET:
                problem = "'offset' is the name of the clocks' offset"
                self.context.faults.report("N02", entry.place, section.path, problem, "choose another name")
        if section.entries and not ranges:
            return ()
        read = ParameterReader(self.circuit, self.scenario, self.context)
        found = read.read(replace(section, entries=ranges))
        return tuple(self._unknown(p, section.entries[p.name], starts.get(p.name)) for p in found if p.spreads)

    def _unknown(self, parameter: Parameter, entry: Entry, start: object) -> Unknown:
        spread, nominal = parameter.spreads[0], parameter.nominal[0]
        made = Unknown(
            parameter.name, parameter.paths, parameter.dimension, spread.low, spread.high, spread.low
        )  # fmt: skip
        inside = nominal is not None and spread.low <= nominal <= spread.high
        guess = float(nominal) if inside else made.value(0.5)
        if isinstance(start, Scalar):
            faults = self.context.faults
            given = quantity_of(start, parameter.dimension, faults, self.context.ambient.pressure)
            if given is not None and within(
                start, given, parameter.dimension, faults, low=spread.low, high=spread.high
            ):
                guess = given
        elif start is not None:
            self.context.faults.report("S05", entry.node.place, entry.node.path, "'start' is no single value",
                                       "write a value between 'from' and 'to'")  # fmt: skip
        return replace(made, start=guess)
