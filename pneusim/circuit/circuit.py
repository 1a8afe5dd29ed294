"""The description of a circuit as plain, immutable data.

Everything here is SI; pressures are gauge [Pa] against the circuit's ambient pressure.  A circuit
of several units is already flattened: every name carries its unit (``trailer.relay``).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from importlib import import_module
from typing import Any

from pneusim.circuit.motion import Motion, Rolling
from pneusim.circuit.scenario import Scenario
from pneusim.errors import Place

NOWHERE = Place("", 0, 0)


@dataclass(frozen=True)
class Ambient:
    """Surroundings: absolute pressure [Pa] and temperature [K]."""

    pressure: float = 101_325.0
    temperature: float = 293.15


@dataclass(frozen=True)
class Heat:
    """Wall heat exchange: ``default``, ``isothermal``, ``adiabatic`` or ``fixed`` with a coefficient [W/(m2 K)]."""

    mode: str = "default"
    coefficient: float = 0.0


@dataclass(frozen=True, order=True)
class Port:
    """One port of one component, e.g. ``trailer.relay`` and its canonical ISO 6786 number ``21``."""

    component: str
    number: str

    def __str__(self) -> str:
        return f"{self.component}.{self.number}"


@dataclass(frozen=True)
class Component:
    """One part of the circuit.

    Attributes
    ----------
    name : str
        Full name, unit included.
    type : str
        Registered part type.
    parameters : Mapping[str, Any]
        The parameters that the file gives (and that a variant or ``begin`` changed), SI; defaults are
        not in it.
    unit : str
        Name of the vehicle (unit) it belongs to, "" in a circuit of one unit.
    axle, side
        Axle number from the front of its unit, and ``left`` or ``right``; None where not given.
    """

    name: str
    type: str
    parameters: Mapping[str, Any] = field(default_factory=dict)
    label: str | None = None
    unit: str = ""
    axle: int | None = None
    side: str | None = None
    pos: tuple[float, float] | None = None
    heat: Heat | None = None
    place: Place = NOWHERE

    @property
    def title(self) -> str:
        """What people call it: the label, or the name in words."""
        return self.label or self.name.replace(".", " ").replace("_", " ")


@dataclass(frozen=True)
class Line:
    """A tube or hose between two ports.

    Attributes
    ----------
    start, end : Port
    length, bore : float
        [m]
    roughness : float
        Wall roughness [m].
    loss : float
        Loss coefficient K of bends and other fittings together, on top of the entrance [-].
    bend_loss : float
        The share of ``loss`` that the file gives as ``bends`` [-]; it stays when the rest is changed.
    model : str
        ``distributed`` or ``lumped``.
    cells : int or None
        Number of cells, None = by the rule.
    friction_factor : float or None
        Fixed Darcy factor [-], None = Churchill.
    coupling : bool
        True for the line of a coupling between two vehicles; its ends are coupling heads.
    stays_with : str or None
        Of a coupling: the unit that keeps the hose when the vehicles part.
    """

    name: str
    start: Port
    end: Port
    length: float
    bore: float
    roughness: float = 1.5e-6
    loss: float = 0.0
    bend_loss: float = 0.0
    model: str = "distributed"
    cells: int | None = None
    heat: Heat | None = None
    friction_factor: float | None = None
    label: str | None = None
    unit: str = ""
    coupling: bool = False
    stays_with: str | None = None
    place: Place = NOWHERE

    @property
    def title(self) -> str:
        """What people call it: the label, or the name in words."""
        return self.label or self.name.replace(".", " ").replace("_", " ")


@dataclass(frozen=True)
class Joint:
    """Ports screwed together: one node, no line between them."""

    ports: tuple[Port, ...]
    place: Place = NOWHERE


@dataclass(frozen=True)
class Axle:
    """An axle: static loads [N] (None = not given), tyre radius [m], its brake as read, and what makes it roll."""

    number: int
    load: float | None = None
    load_empty: float | None = None
    tyre_radius: float | None = None
    brake: Mapping[str, Any] = field(default_factory=dict)
    place: Place = NOWHERE
    rolling: Rolling | None = None


@dataclass(frozen=True)
class Vehicle:
    """A unit of the combination; ``name`` is "" in a circuit of one unit; ``motion`` is None if it only stands."""

    name: str = ""
    kind: str = "rig"
    tows: bool = False
    practice: str = "un13"
    axles: tuple[Axle, ...] = ()
    place: Place = NOWHERE
    motion: Motion | None = None


@dataclass(frozen=True, repr=False)
class Circuit:
    """A whole circuit, ready to be compiled.

    ``variants`` maps a variant's name to its changes of parameters ``{"component.parameter": SI value}``.
    ``source`` is the file as the user named it, "" for a circuit made in Python.  ``layout`` is what the drawing tool
    wrote into the file, as it stands.
    """

    title: str
    components: Mapping[str, Component]
    lines: Mapping[str, Line]
    joints: tuple[Joint, ...] = ()
    vehicles: tuple[Vehicle, ...] = (Vehicle(),)
    ambient: Ambient = Ambient()
    heat: Heat = Heat()
    scenarios: Mapping[str, Scenario] = field(default_factory=dict)
    variants: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    about: str = ""
    source: str = ""
    name: str = "circuit"
    layout: Mapping[str, Any] = field(default_factory=dict)

    def __repr__(self) -> str:
        """One line: title, sizes and scenarios."""
        sizes = f"{len(self.components)} parts, {len(self.lines)} lines"
        return f"<Circuit {self.title!r}: {sizes}; scenarios: {', '.join(self.scenarios) or 'none'}>"

    def _repr_html_(self) -> str:
        """Show the circuit in a notebook: what it is, its scenarios, its schematic or its parts."""
        show: Any = import_module("pneusim.show.notebook")  # asked for by name: plain data knows nothing of pictures
        html: str = show.circuit_as_html(self)
        return html

    def title_of(self, part: Component | Line) -> str:
        """What people call a component or line, with its unit before it where another unit has one of the same title.

        Examples
        --------
        >>> tanks = [Component(f"{unit}.tank", "reservoir", label="tank", unit=unit) for unit in ("front", "rear")]
        >>> cock = Component("rear.cock", "stop_valve", label="cock", unit="rear")
        >>> made = Circuit("", {part.name: part for part in (*tanks, cock)}, {})
        >>> made.title_of(tanks[1]), made.title_of(cock)
        ('rear tank', 'cock')
        """
        unit = part.unit.replace(".", " ").replace("_", " ")
        twins = self._units_by_title.get(part.title, set()) - {part.unit}
        return f"{unit} {part.title}" if unit and twins and not part.title.startswith(f"{unit} ") else part.title

    @cached_property
    def _units_by_title(self) -> dict[str, set[str]]:
        found: dict[str, set[str]] = {}
        parts: list[Component | Line] = [*self.components.values(), *self.lines.values()]
        for part in parts:
            found.setdefault(part.title, set()).add(part.unit)
        return found

    @property
    def couplings(self) -> dict[str, Line]:
        """The lines that join two vehicles, by name."""
        return {name: line for name, line in self.lines.items() if line.coupling}
