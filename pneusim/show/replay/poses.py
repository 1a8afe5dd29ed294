"""Which channel moves what in which symbol: by the names that channels of parts have in common."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Pose:
    """A channel shown by what has the class ``name`` in the drawing of a symbol.

    Attributes
    ----------
    name : str
        Class in the symbol's drawing; where nothing there has it, the symbol itself is marked ``is-<name>``.
    channel : str
        Channel of the part.  A pose of a channel that the part does not have is left out.
    low, high : float
        The values [SI] that are shown as 0 and as 1; ``high`` None stands for the full scale of pressures.
    minus : str
        A channel that is taken from it.
    """

    name: str
    channel: str
    low: float = 0.0
    high: float | None = 1.0
    minus: str = ""


STROKE = 0.064
"""Travel of pushrods and of spring pistons that is drawn as far as the symbol goes [m]."""


def _pressure(name: str, channel: str) -> Pose:
    return Pose(name, channel, 0.0, None)


def _unless(name: str, channel: str) -> Pose:
    """Shown while the channel is below its half."""
    return Pose(name, channel, 0.5, 0.0)


_VESSEL = (_pressure("fill", "pressure"), _pressure("value", "pressure"))
_LAPPED = 0.03
"""A seat that is open less than this is drawn shut: a valve that holds a pressure only makes up for what leaks."""

_EMPTY = 8e3
"""Springs below this pressure are vented, though no air is left to hold the exhaust open [Pa]."""

PRESSED = 300.0
"""Difference of pressure that holds the ball of a double check valve on its seat [Pa]."""


def _seat(name: str, channel: str) -> Pose:
    return Pose(name, channel, _LAPPED, 1.0)


_VALVE = (_seat("passing", "opening"), _seat("venting", "exhaust_opening"))
_SERVICE = (Pose("stroke", "stroke", 0.0, STROKE), _pressure("service", "service_pressure"))

POSES: dict[str, tuple[Pose, ...]] = {
    "reservoir": _VESSEL,
    "volume": _VESSEL,
    "consumer": (Pose("drawing", "draw"),),
    "compressor": (Pose("running", "running"), Pose("loaded", "loaded")),
    "dryer": (Pose("venting", "purge_opening"),),
    "governor": (Pose("passing", "mode", 1.0, 0.0),),
    "relief": (Pose("venting", "opening"),),
    "check": (Pose("ball", "opening"),),
    "shuttle": (Pose("ball", "opening_11", -1.0, 1.0, minus="opening_12"),),
    "shutoff": (_unless("shut", "opening"), Pose("handle", "position")),
    "drain": (Pose("venting", "opening"),),
    "gauge": (_pressure("needle", "reading"),),
    "switch": (Pose("contact", "closed"),),
    "coupling": (Pose("open", "opening"), _unless("shut", "opening")),
    "chamber": _SERVICE,
    "spring_chamber": (
        *_SERVICE, Pose("spring", "spring_travel", 0.0, STROKE), _pressure("holdoff", "spring_pressure"),
        Pose("caged", "caged"),
    ),
    "treadle": (
        Pose("pedal", "travel"), _pressure("pedal", "demand"), *_VALVE,
        _seat("passing2", "secondary_opening"), _seat("venting2", "secondary_exhaust_opening"),
    ),
    "hand": (Pose("lever", "travel"), _pressure("lever", "demand"), *_VALVE),
    "graduated_park": (Pose("lever", "lever"), *_VALVE),
    "push_pull": (Pose("knob", "knob", 1.0, 0.0), Pose("knob", "lever", 1.0, 0.0), *_VALVE),
    "park_release": (
        Pose("knob", "park", 1.0, 0.0), _seat("passing", "spring_opening"), _seat("venting", "exhaust_opening"),
    ),
    "auxiliary_release": (Pose("knob", "handle"), Pose("passing", "opening")),
    "trailer_spring": (*_VALVE, Pose("venting", "spring_pressure", _EMPTY, 0.0)),
    "quick_release": (Pose("ball", "opening", -1.0, 1.0, minus="exhaust_opening"), *_VALVE),
    "modulator": (*_VALVE, _unless("shut", "opening")),
    "protection": (Pose("ball", "opening"),),
    "four_circuit": tuple(Pose(f"ball{n}", f"opening_{n}") for n in (21, 22, 23, 24)),
    "wheel_sensor": (_unless("shut", "signal"),),
    "electronic_control": (Pose("warning", "lamp"), Pose("ball", "controlling")),
    "tractor_protection": (Pose("passing", "opening"), _unless("shut", "opening")),
}  # fmt: skip
"""By symbol.  Any other symbol, as those of relay valves, shows `OTHERS`."""

OTHERS = _VALVE

PORTS: dict[str, dict[str, str]] = {
    "treadle": {"21": "primary_pressure", "22": "secondary_pressure"},
    "chamber": {"11": "service_pressure"},
    "spring_chamber": {"11": "service_pressure", "12": "spring_pressure"},
    "coupling": {"1": "pressure", "2": "outer_pressure"},
    "tractor_protection": {"11": "supply_pressure", "21": "supply_pressure", "22": "control_pressure"},
    "graduated_park": {"22": "trailer_pressure"},
    "park_release": {"11": "supply_pressure", "21": "emergency_pressure", "22": "spring_pressure"},
    "trailer_control": {"11": "", "12": "supply_pressure"},
    "bobtail": {"42": "signal_pressure"},
}
"""Channels of the pressure at a port where its number does not tell; "" where there is none."""

ANY = ("reservoir", "junction", "volume", "consumer", "gauge", "switch", "governor", "test_point", "source", "exhaust")
"""Symbols of parts that have one pressure, at all their ports."""

BY_NUMBER = {"1": ("supply_pressure",), "2": ("pressure", "spring_pressure"), "4": ("control_pressure",)}
"""Channels of the pressure at a port, by the first figure of its ISO 6786 number."""


def pressure_at(symbol: str, port: str) -> tuple[str, ...]:
    """Names of the channels that tell the pressure at a port, the best first."""
    if symbol in ANY:
        return ("pressure",)
    own = PORTS.get(symbol, {})
    if port in own:
        return (own[port],)
    return BY_NUMBER.get(port[0], ())
