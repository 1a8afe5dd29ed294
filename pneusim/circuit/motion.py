"""What a vehicle weighs and rolls on: masses, hitches, axles' places and tyres, as plain data (SI).

Places along a unit are counted rearward from its own datum [m], its first axle or, where it has one, its front hitch;
heights are counted from the ground.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial

from pneusim.circuit.figures import usual
from pneusim.errors import Place

_NOWHERE = Place("", 0, 0)


@dataclass(frozen=True)
class Loading:
    """A state of loading: mass of the unit alone [kg], height and place of its centre of mass [m].

    ``centre_at`` is None where the file leaves it to follow from the axle loads.
    """

    mass: float
    centre_height: float
    centre_at: float | None = None
    place: Place = _NOWHERE


@dataclass(frozen=True)
class Hitch:
    """A place where another unit is hitched: rearward from the datum, and height [m]."""

    at: float
    height: float


@dataclass(frozen=True)
class Motion:
    """What makes a unit roll: its loadings, hitches, drag area [m2] and the friction of what it skids on [-].

    ``empty`` is None where the file gives only the laden state. ``front_hitch`` is that by which the unit is towed,
    ``rear_hitch`` that by which it tows.
    """

    laden: Loading
    empty: Loading | None = None
    front_hitch: Hitch | None = None
    rear_hitch: Hitch | None = None
    drag_area: float | None = None
    skid: float = field(default_factory=partial(usual, "skid"))

    def loading(self, state: str) -> Loading:
        """The loading ``laden`` or ``empty``; laden where no empty one is given."""
        return self.empty if state == "empty" and self.empty else self.laden


@dataclass(frozen=True)
class Tyre:
    """The tyres at one end of an axle.

    ``law`` is ``burckhardt`` or ``magic``; ``adhesion`` multiplies what the surface gives; ``rated_load`` [N] is that
    of one end of the axle, at which the surface's figures hold; ``load_sensitivity`` is the share of friction lost when
    the load doubles; ``relaxation`` is the relaxation length at small slip [m].
    """

    law: str = "burckhardt"
    adhesion: float = field(default_factory=partial(usual, "tyre.adhesion"))
    rated_load: float | None = None
    load_sensitivity: float = field(default_factory=partial(usual, "tyre.load_sensitivity"))
    relaxation: float = field(default_factory=partial(usual, "tyre.relaxation", "length"))


@dataclass(frozen=True)
class Rolling:
    """What an axle needs to roll: its place rearward from the datum [m], the support that it belongs to, its tyres.

    ``group`` is ``front`` or ``rear``; ``inertia`` is that of one end of the axle with wheel, tyre and drum [kg m2].
    """

    at: float
    group: str = "rear"
    inertia: float | None = None
    tyre: Tyre = field(default_factory=Tyre)
