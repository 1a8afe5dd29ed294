"""What the files of sweeps and fits have in common: where they lie, and the circuit and scenario that they name."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from pathlib import Path

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario
from pneusim.errors import InvalidFile, UsageError
from pneusim.parts.registry import part
from pneusim.reading import apply_changes, read
from pneusim.reading.context import Context, Draft
from pneusim.reading.documents import Document, Library, check_version
from pneusim.reading.faults import Faults, listed, meant, nearest
from pneusim.reading.fields import Fields
from pneusim.reading.shipped import shipped_folder
from pneusim.reading.tree import Scalar


@dataclass(frozen=True)
class Shelf:
    """Where the shipped files of a kind lie: below the shipped circuits, and what they are called."""

    folder: str
    noun: str
    plural: str

    def shipped(self) -> dict[str, Path]:
        """Name to file of all that come with the package."""
        folder = shipped_folder()
        files = sorted((folder / self.folder).glob("*.yaml")) if folder else ()
        return {path.stem: path for path in files}

    def find(self, name: str | Path) -> Path:
        """File of a name: the path as given if it exists, else the shipped one of that name.

        Raises
        ------
        UsageError
            If there is neither; it names the nearest.
        """
        path, known = Path(name), self.shipped()
        if path.is_file():
            return path
        stem = str(name).removesuffix(".yaml")
        if stem in known:
            return known[stem]
        near = nearest(stem, known)
        hint = f"{near!r} is meant?" if near else f"shipped {self.plural}: {listed(known)}"
        noun = self.noun
        raise UsageError(f"there is no {noun} file {str(name)!r} and no shipped {noun} of that name; {hint}")


@dataclass
class Reader:
    """What a file is read with, once its circuit and scenario are known."""

    fields: Fields
    circuit: Circuit
    scenario: Scenario
    context: Context


def opened(
    document: Document | None, library: Library, faults: Faults, required: Collection[str], optional: Collection[str],
    circuit: Circuit | None = None,
) -> tuple[Fields, Circuit, Scenario, Context]:
    """What a `Reader` is made of.

    Parameters
    ----------
    document : Document or None
        The file; None if it could not be opened.
    library : Library
        Opens what it names.
    faults : Faults
    required, optional : collection of str
        Keys of the file.
    circuit : Circuit, optional
        In place of the one that the file names.

    Raises
    ------
    InvalidFile
        If the file names no circuit or scenario, or the circuit has faults of its own: the file cannot be held to it.
    """
    faults.raise_errors()
    assert document is not None
    fields = Fields(document.root, faults, required, optional, missing_at=document.root.place)
    check_version(fields)
    circuit = circuit or _named_circuit(fields, document, library)
    scenario = _named_scenario(fields, circuit) if circuit else None
    if circuit is None or scenario is None:
        faults.raise_errors()
        raise AssertionError("a file without a circuit has a fault")
    circuit = _with_variant(fields, circuit)
    return fields, circuit, scenario, _context_of(circuit, faults)


def _context_of(circuit: Circuit, faults: Faults) -> Context:
    """What the readers of measures and parameters look names up in, for a circuit that has been read."""
    parts = {name: part(component.type) for name, component in circuit.components.items()}
    draft = Draft(dict(circuit.components), parts, dict(circuit.lines), vehicles=list(circuit.vehicles))
    draft.names |= {name: ("component", component.place) for name, component in circuit.components.items()}
    for name, line in circuit.lines.items():
        draft.names[name] = ("coupling" if line.coupling else "line", line.place)
    draft.names |= {vehicle.name: ("vehicle", vehicle.place) for vehicle in circuit.vehicles if vehicle.name}
    return Context(faults, circuit.ambient, draft)


def _named_circuit(fields: Fields, document: Document, library: Library) -> Circuit | None:
    """The circuit that a file names: a file beside it or below, or a shipped one; faults of its own are raised."""
    name = fields.get("circuit")
    if not isinstance(name, Scalar) or name.value is None:
        fields.text("circuit")
        return None
    bare = replace(name, text=name.text.removesuffix(".yaml"))
    beside = document.path is not None and (document.path.parent / name.text).is_file()
    found = library.include(name if beside else bare, document, [])
    if found is None or found.path is None:
        return None
    circuit, faults = read(found.path)
    if circuit is None:
        raise InvalidFile(faults)
    return circuit


def _named_scenario(fields: Fields, circuit: Circuit) -> Scenario | None:
    """The scenario that a file names, of its circuit; None if it is at fault."""
    name = fields.text("scenario")
    if name is None:
        return None
    if name not in circuit.scenarios:
        problem = f"{circuit.source or circuit.title} has no scenario {name!r}"
        fields.report("S06", "scenario", problem, meant(name, list(circuit.scenarios)))
        return None
    return circuit.scenarios[name]


def _with_variant(fields: Fields, circuit: Circuit) -> Circuit:
    """The circuit in the variant that a file names, if it names one."""
    name = fields.text("variant")
    if name is None:
        return circuit
    if name not in circuit.variants:
        problem = f"{circuit.source or circuit.title} has no variant {name!r}"
        fields.report("S06", "variant", problem, meant(name, list(circuit.variants)))
        return circuit
    return apply_changes(circuit, circuit.variants[name])
