"""Reads a fit file: like a study file, with the measured columns in place of a plan."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from pneusim.circuit.circuit import Circuit
from pneusim.reading.documents import Document, Library
from pneusim.reading.faults import Faults
from pneusim.reading.fields import Fields, quantity_of, within
from pneusim.reading.tree import Entry, MapNode, Scalar
from pneusim.studies.file import Reader, Shelf, opened
from pneusim.studies.fit.measured import Measured, MeasuredReader
from pneusim.studies.fit.problem import CONFIDENCE, OFFSET, RTOL, STARTS, Fit
from pneusim.studies.fit.unknown import Unknown
from pneusim.studies.sweep.parameter import Parameter
from pneusim.studies.sweep.parameter_file import ParameterReader

_REQUIRED = ("pneusim", "circuit", "scenario", "measured", "parameters")
_OPTIONAL = ("title", "about", "variant", "starts", "seed", "confidence", "rtol")
_BOUNDS, _BESIDE = ("from", "to"), ("of", "start")
_LEAST_RTOL, _MOST_RTOL = 1e-9, 1e-3
MOST_STARTS = 1000

FITS = Shelf("studies/fits", "fit", "fits")


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
    return _fit(library.open(FITS.find(path)), library, faults, measured)


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
    reader = _Reader(*opened(document, library, faults, _REQUIRED, _OPTIONAL, circuit))
    assert document is not None
    made = reader.fit(document, None if measured is None else Path(measured))
    faults.raise_errors()
    assert made is not None
    return made


class _Reader(Reader):
    """Reads what stands in a fit file."""

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
