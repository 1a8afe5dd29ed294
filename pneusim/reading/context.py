"""What the readers of all sections share: the faults, the ambient pressure, and the circuit as far as it is read."""

from __future__ import annotations

from dataclasses import dataclass, field

from pneusim.circuit.circuit import Ambient, Component, Joint, Line, Port, Vehicle
from pneusim.errors import Place
from pneusim.parts.base import Part
from pneusim.reading.documents import Document
from pneusim.reading.faults import Faults
from pneusim.reading.fields import Fields
from pneusim.reading.tree import Scalar


@dataclass(frozen=True)
class UnitFile:
    """A file of the circuit: the prefix of its names (``trailer.``, "" for the outermost) and its keys."""

    document: Document
    prefix: str
    fields: Fields
    parent: UnitFile | None = None

    @property
    def unit(self) -> str:
        """Name of the unit, "" for the outermost file."""
        return self.prefix.removesuffix(".")


@dataclass(frozen=True)
class Use:
    """A port as a line or joint uses it."""

    port: Port
    place: Place
    path: str
    user: str


@dataclass
class Draft:
    """A circuit as far as it has been read.

    ``components`` holds what could be read; ``parts`` the class of each component whose type is known; ``names`` all
    names of components, lines, couplings and vehicles that the files give, at fault or not; ``doubtful`` the names
    whose connections could not all be read.
    """

    components: dict[str, Component] = field(default_factory=dict)
    parts: dict[str, type[Part]] = field(default_factory=dict)
    lines: dict[str, Line] = field(default_factory=dict)
    joints: list[Joint] = field(default_factory=list)
    vehicles: list[Vehicle] = field(default_factory=list)
    names: dict[str, tuple[str, Place]] = field(default_factory=dict)
    uses: list[Use] = field(default_factory=list)
    doubtful: set[str] = field(default_factory=set)
    name_parameters: list[tuple[str, str, Scalar]] = field(default_factory=list)


@dataclass
class Context:
    """Faults, ambient state and draft, handed from section to section.

    ``on_road`` is whether the scenario that is being read has a road, so that there are its channels.
    """

    faults: Faults
    ambient: Ambient = field(default_factory=Ambient)
    draft: Draft = field(default_factory=Draft)
    on_road: bool = False

    def claim(self, name: str, kind: str, place: Place, path: str) -> bool:
        """Take a name of the one namespace; a name that is taken is a fault."""
        taken = self.draft.names.get(name)
        if taken is None:
            self.draft.names[name] = (kind, place)
            return True
        problem = f"the name {name!r} is taken by the {taken[0]} in line {taken[1].line}"
        self.faults.report(
            "N02",
            place,
            path,
            problem,
            "rename one of them; components, lines, couplings and vehicles share their names",
        )
        return False

    def names(self, kind: str) -> list[str]:
        """Names of one kind: component, line, coupling or vehicle."""
        return [name for name, (its_kind, _) in self.draft.names.items() if its_kind == kind]
