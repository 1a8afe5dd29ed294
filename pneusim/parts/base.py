"""What a part is: parameters, ports, inputs, faults, events, channels, and how it lowers.

A part is one file in this package holding one subclass of :class:`Part`.  Parameters are pydantic
fields made by :func:`parameter`; everything else is a class attribute.  ``lower`` asks the builder for
volumes, restrictions and followers; it holds no solver code and no physics.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from pydantic import BaseModel, ConfigDict, Field

from pneusim.parts.builder import Builder
from pneusim.parts.catalogue import default_of


@dataclass(frozen=True)
class PortSpec:
    """A port that a part offers.

    ``number`` is the ISO 6786 number; with ``many`` the part takes as many of them as are used (``2`` stands
    for 21, 22, ...; ``*`` for any number).  ``optional`` ports are closed when unconnected; ``exhaust`` ports
    are open to atmosphere when unconnected.
    """

    number: str
    name: str
    many: bool = False
    optional: bool = False
    exhaust: bool = False
    words: str = ""


@dataclass(frozen=True)
class InputSpec:
    """Something a driver or test engineer moves.

    ``dimension`` is a dimension of ``pneusim.quantities`` ("fraction" for % travel).  ``choices`` maps words
    to values (``{"released": 1.0, "applied": 0.0}``).  ``latched`` inputs are modes that the part itself can
    change too (a control that trips); they move at once, ``over`` does not apply.
    """

    name: str
    dimension: str
    initial: float
    low: float
    high: float
    words: str
    choices: Mapping[str, float] | None = None
    latched: bool = False


@dataclass(frozen=True)
class FaultSpec:
    """A way the part can fail: ``flag`` (on/off) or a value of a dimension (a hole's diameter: "length").

    ``default`` is the value taken when the scenario gives none.
    """

    name: str
    words: str
    dimension: str = "flag"
    default: float = 1.0
    low: float = 0.0
    high: float = 1.0


@dataclass(frozen=True)
class EventSpec:
    """Something that happens to the part, with the sentence that tells it.

    ``category`` is ``trip``, ``warning``, ``mode`` or ``mechanics``.  The sentence is a format string; known
    fields: ``{title}`` (the component in words) and ``{level}`` (the level passed, with unit).
    """

    name: str
    category: str
    sentence: str


@dataclass(frozen=True)
class ChannelSpec:
    """A quantity over time that the part offers: name, dimension, words."""

    name: str
    dimension: str
    words: str


@dataclass(frozen=True)
class Way:
    """A way of air through a part: from ports to ports, each a number or several in one text (``"12 13"``).

    ``2x`` stands for all deliveries 21, 22, ...; air at one of ``pilots``, where there are any, must open it.  With
    ``pipe`` air passes either way.
    """

    inlets: str
    outlets: str
    pilots: str = ""
    pipe: bool = False


def parameter(
    dimension: str,
    default: str | None = None,
    *,
    optional: bool = False,
    names: str | None = None,
    low: float | None = None,
    high: float | None = None,
    above: float | None = None,
    doc: str,
) -> Any:
    """Declare a parameter of a part.

    Parameters
    ----------
    dimension : str
        A dimension of ``pneusim.quantities`` ("pressure", "length", ...), "number", "word", "flag" or "name".
    default : str or None
        Key in the catalogue (``"check_valve.crack"``); None = the file must give it.  A key with braces
        (``"chamber.{service}.stroke"``) depends on the part's size: the field is None until the file gives
        it.
    optional : bool
        Without a default: the part does without it when the file does not give it.
    names : str, optional
        Of a "name": the part type of the component that it names.  A parameter called like a part type needs none.
    low, high, above : float, optional
        Bounds in SI: ``low <= value <= high``, ``value > above``.
    doc : str
        What it is, for the reference and the editor schema.
    """
    extra = {"dimension": dimension, "catalogue": default, "names": names}
    bounds: dict[str, Any] = {
        "ge": low,
        "le": high,
        "gt": above,
        "description": doc,
        "json_schema_extra": extra,
    }
    if optional or (default is not None and "{" in default):
        return Field(default=None, **bounds)
    if default is None:
        return Field(**bounds)
    return Field(default=default_of(default, dimension), **bounds)


class Part(BaseModel):
    """Base of all parts; a subclass is one component type.

    The contract, held by one test for every registered type:

    1. ``type`` is the word in the circuit file and the name of the module.
    2. Every parameter has a dimension, bounds, a sentence, and a default from the catalogue or none.
    3. ``lower`` may only call the builder it is given, and registers exactly the channels declared.
    4. Every fault and input declared is asked for by ``lower``; every event declared is made by it.
    5. ``example`` is a whole small circuit file that runs.
    6. ``characteristic`` names the two channels of the example, or ``time`` and one, whose curve tells what the part
       does: what is moved, then what follows.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)

    type: ClassVar[str]
    title: ClassVar[str]
    ports: ClassVar[tuple[PortSpec, ...]] = ()
    inputs: ClassVar[tuple[InputSpec, ...]] = ()
    faults: ClassVar[tuple[FaultSpec, ...]] = ()
    events: ClassVar[tuple[EventSpec, ...]] = ()
    channels: ClassVar[tuple[ChannelSpec, ...]] = ()
    symbol: ClassVar[str] = ""
    example: ClassVar[str] = ""
    characteristic: ClassVar[tuple[str, str] | None] = None
    pipe: ClassVar[bool] = False
    """Whether air passes either way between any two of its ports."""
    ways: ClassVar[tuple[Way, ...] | None] = None
    """Ways of air, where they are other than the port numbers tell: from 1x to 2x, opened by 4x if there is a 4x."""

    def sizes(self) -> dict[str, str]:
        """What stands in the braces of catalogue keys, for parts whose defaults depend on their size."""
        return {}

    def catalogue_key(self, parameter: str) -> str | None:
        """Where the catalogue keeps a parameter's default, None if it has none."""
        extra: Any = type(self).model_fields[parameter].json_schema_extra
        key = extra["catalogue"]
        return None if key is None else str(key).format(**self.sizes())

    def lower(self, b: Builder) -> None:
        """Describe the part to the builder in primitives."""
        raise NotImplementedError
