"""Text with a unit to SI and back: a closed table of dimensions and their units.

Pressures are gauge [Pa]: ``6 bar abs`` loses the ambient pressure.  Flows of volume are of the reference atmosphere
ANR (ISO 8778: 1.185 kg/m3 at 293.15 K), so every flow is a mass flow in SI.  A conductance given as an area is the
throat Cd A of an ideal nozzle (ISO 6358).  A unit is never guessed: what the table lacks is refused.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

STANDARD_ATMOSPHERE = 101_325.0  #: [Pa], ISO 2533
STANDARD_GRAVITY = 9.80665  #: [m/s2], ISO 80000-3
_POUND = 0.45359237  #: [kg], exact, international yard and pound agreement 1959
_INCH = 0.0254  #: [m], exact, same source
_FOOT = 12 * _INCH
_POUND_FORCE = _POUND * STANDARD_GRAVITY
_PSI = _POUND_FORCE / _INCH**2
_INCH_OF_MERCURY = 13_595.1 * STANDARD_GRAVITY * _INCH  #: conventional mercury, 13 595.1 kg/m3 (ISO 80000-4)
_ANR_DENSITY = 1.185  #: [kg/m3], ISO 8778
_LITRE = 1e-3
_PER_AREA = 0.68473 / (_ANR_DENSITY * math.sqrt(287.05 * 293.15))  #: C of an ideal nozzle [m3/(s Pa) per m2], ISO 6358


class Unit(NamedTuple):
    """A unit: SI value = number x ``factor`` + ``offset``."""

    factor: float
    offset: float
    symbol: str


class QuantityError(ValueError):
    """A text is not a quantity of the dimension wanted.

    Attributes
    ----------
    kind : str
        ``form`` (no number in it), ``bare`` (a number without a unit), ``unit`` (a unit that the dimension has not),
        ``plain`` (a unit where none belongs), ``absolute`` (``abs`` where only a difference makes sense) or ``range``.
    problem, fix : str
        What is wrong, and what to write instead.
    """

    def __init__(self, kind: str, problem: str, fix: str) -> None:
        self.kind, self.problem, self.fix = kind, problem, fix
        super().__init__(f"{problem}. Fix: {fix}")


@dataclass(frozen=True)
class Dimension:
    """A dimension in words, its units, and the units that output is written in."""

    words: str
    units: dict[str, float]
    si: str
    us: str
    offsets: dict[str, float] | None = None
    absolute: bool = False

    def unit(self, symbol: str) -> Unit:
        """Unit of the table by its symbol."""
        return Unit(self.units[symbol], (self.offsets or {}).get(symbol, 0.0), symbol)


_PRESSURES = {"bar": 1e5, "mbar": 1e2, "kPa": 1e3, "MPa": 1e6, "psi": _PSI, "inHg": _INCH_OF_MERCURY}
_FLOWS = {
    "L/min": _ANR_DENSITY * _LITRE / 60,
    "L/s": _ANR_DENSITY * _LITRE,
    "L/min (ANR)": _ANR_DENSITY * _LITRE / 60,
    "L/s (ANR)": _ANR_DENSITY * _LITRE,
    "cfm": _ANR_DENSITY * _FOOT**3 / 60,
    "g/s": 1e-3,
    "kg/s": 1.0,
}

DIMENSIONS: dict[str, Dimension] = {
    "pressure": Dimension("a pressure", _PRESSURES, "kPa", "psi", absolute=True),
    "pressure_difference": Dimension("a pressure difference", _PRESSURES, "kPa", "psi"),
    "volume": Dimension("a volume", {"L": 1e-3, "cm3": 1e-6, "in3": _INCH**3, "m3": 1.0}, "L", "in3"),
    "length": Dimension(
        "a length", {"um": 1e-6, "mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": _INCH, "ft": _FOOT}, "mm", "in"
    ),
    "distance": Dimension(
        "a distance", {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": _INCH, "ft": _FOOT}, "m", "ft"
    ),
    "area": Dimension("an area", {"mm2": 1e-6, "cm2": 1e-4, "m2": 1.0, "in2": _INCH**2}, "cm2", "in2"),
    "time": Dimension("a time", {"ms": 1e-3, "s": 1.0, "min": 60.0}, "s", "s"),
    "mass": Dimension("a mass", {"kg": 1.0, "t": 1e3, "lb": _POUND}, "kg", "lb"),
    "force": Dimension("a force", {"N": 1.0, "kN": 1e3, "lbf": _POUND_FORCE}, "kN", "lbf"),
    "torque": Dimension("a torque", {"N m": 1.0, "lbf ft": _POUND_FORCE * _FOOT}, "N m", "lbf ft"),
    "inertia": Dimension("a moment of inertia", {"kg m2": 1.0}, "kg m2", "kg m2"),
    "stiffness": Dimension(
        "a stiffness", {"N/mm": 1e3, "kN/mm": 1e6, "lbf/in": _POUND_FORCE / _INCH}, "N/mm", "lbf/in"
    ),
    "conductance": Dimension(
        "a sonic conductance",
        {"dm3/(s bar)": 1e-8, "m3/(s Pa)": 1.0, "mm2": _PER_AREA * 1e-6},
        "dm3/(s bar)",
        "dm3/(s bar)",
    ),
    "flow": Dimension("a flow", _FLOWS, "L/min (ANR)", "cfm"),
    "mass_flow": Dimension("a flow", _FLOWS, "g/s", "cfm"),
    "displacement": Dimension(
        "a displacement per revolution", {"L/rev": 1e-3, "cm3/rev": 1e-6}, "cm3/rev", "cm3/rev"
    ),
    "speed": Dimension("a speed", {"km/h": 1 / 3.6, "m/s": 1.0, "mph": 5280 * _FOOT / 3600}, "km/h", "mph"),
    "acceleration": Dimension("an acceleration", {"m/s2": 1.0, "ft/s2": _FOOT}, "m/s2", "ft/s2"),
    "rotation": Dimension("a speed of rotation", {"rpm": 1 / 60}, "rpm", "rpm"),
    "temperature": Dimension(
        "a temperature",
        {"degC": 1.0, "K": 1.0, "degF": 5 / 9},
        "degC",
        "degF",
        offsets={"degC": 273.15, "degF": 273.15 - 32 * 5 / 9},
    ),
    "film": Dimension("a film coefficient", {"W/(m2 K)": 1.0}, "W/(m2 K)", "W/(m2 K)"),
    "heat_conductance": Dimension("a heat conductance", {"W/K": 1.0}, "W/K", "W/K"),
    "energy": Dimension("an energy", {"kJ": 1e3}, "kJ", "kJ"),
    "pressure_rate": Dimension(
        "a pressure rate", {"kPa/s": 1e3, "kPa/min": 1e3 / 60, "psi/min": _PSI / 60}, "kPa/s", "psi/min"
    ),
    "fading": Dimension("a loss with speed", {"s/m": 1.0}, "s/m", "s/m"),
    "rate": Dimension("a rate", {"1/s": 1.0}, "1/s", "1/s"),
    "angle": Dimension("an angle", {"deg": math.pi / 180}, "deg", "deg"),
    "fraction": Dimension("a fraction", {"%": 1e-2}, "%", "%"),
    "number": Dimension("a number", {}, "", ""),
}  # fmt: skip

_QUANTITY = re.compile(r"([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)(.*)", re.DOTALL)


def parse(text: str, dimension: str, ambient: float = STANDARD_ATMOSPHERE) -> float:
    """SI value of a text such as ``8.5 bar``.

    Parameters
    ----------
    text : str
    dimension : str
        Key of `DIMENSIONS`.
    ambient : float
        Absolute ambient pressure, taken off pressures marked ``abs`` [Pa].

    Returns
    -------
    float
        SI value; pressures gauge [Pa], flows [kg/s], speeds of rotation [rev/s], angles [rad], temperatures [K].

    Raises
    ------
    QuantityError
        If the text is not a quantity of the dimension; it says what is allowed.

    Examples
    --------
    >>> parse("8.5 bar", "pressure")
    850000.0
    >>> parse("2 bar abs", "pressure", ambient=100e3)
    100000.0
    >>> parse("75 %", "fraction"), parse("0.3", "fraction")
    (0.75, 0.3)
    """
    number, symbol = _split(text, dimension)
    table = DIMENSIONS[dimension]
    if not table.units:
        return _plain_number(number, symbol, text)
    if not symbol:
        return _without_unit(number, text, dimension)
    gauge = symbol.removesuffix(" abs")
    if gauge not in table.units:
        raise QuantityError(
            "unit", f"{text!r} has the unit {symbol!r}, which {_is_no_unit(dimension)}", _fix(dimension)
        )
    if gauge != symbol and not table.absolute:
        raise QuantityError("absolute", f"{text!r} is absolute, but this is {table.words}", "leave 'abs' out")
    unit = table.unit(gauge)
    return number * unit.factor + unit.offset - (ambient if gauge != symbol else 0.0)


def parse_any(text: str, ambient: float = STANDARD_ATMOSPHERE) -> tuple[float, str]:
    """SI value and dimension of a text whose dimension is not known; a bare number is a ``number``.

    A symbol of several dimensions counts as the first in `DIMENSIONS` (``mm2`` is an area).

    Examples
    --------
    >>> parse_any("450 ms")
    (0.45, 'time')
    """
    _, symbol = _split(text, "number")
    for name, dimension in DIMENSIONS.items():
        if (symbol.removesuffix(" abs") if dimension.absolute else symbol) in dimension.units:
            return parse(text, name, ambient), name
    return parse(text, "number"), "number"


def is_absolute(text: str) -> bool:
    """Whether a pressure is marked ``abs``.

    Examples
    --------
    >>> is_absolute("1 bar abs"), is_absolute("1 bar")
    (True, False)
    """
    return text.split()[-1:] == ["abs"]


def unit_of(dimension: str, system: str = "si") -> Unit:
    """Unit that output of a dimension is written in: shown number = (SI value - offset) / factor.

    Parameters
    ----------
    dimension : str
        Key of `DIMENSIONS`.
    system : str
        ``si`` (kPa, mm, kN, ...) or ``us`` (psi, in, lbf, ...).

    Examples
    --------
    >>> unit_of("pressure")
    Unit(factor=1000.0, offset=0.0, symbol='kPa')
    """
    table = DIMENSIONS[dimension]
    symbol = {"si": table.si, "us": table.us}[system]
    return table.unit(symbol) if symbol else Unit(1.0, 0.0, "")


def express(value: float, dimension: str, system: str = "si") -> str:
    """A value with its unit for people: three significant digits, whole numbers in full.

    Examples
    --------
    >>> express(414e3, "pressure"), express(414e3, "pressure", "us"), express(0.4504, "time")
    ('414 kPa', '60 psi', '0.45 s')
    """
    unit = unit_of(dimension, system)
    return express_in(value, unit)


def express_in(value: float, unit: Unit) -> str:
    """A value in a unit, as `express` writes it.

    Examples
    --------
    >>> express_in(1500.0, Unit(1e3, 0.0, "m"))
    '1.5 m'
    """
    return f"{digits((value - unit.offset) / unit.factor)} {unit.symbol}".rstrip()


def digits(number: float) -> str:
    """Three significant digits without trailing zeros, whole numbers in full, powers of ten where they are shorter.

    Examples
    --------
    >>> digits(1013.25), digits(34.56), digits(0.45), digits(1.5e-6), digits(-0.0)
    ('1013', '34.6', '0.45', '1.5e-06', '0')
    """
    if number == 0.0 or not math.isfinite(number):
        return f"{abs(number):g}" if number == 0.0 else f"{number:g}"
    if not 1e-3 <= abs(number) < 1e7:
        return f"{number:.3g}"
    decimals = max(2 - math.floor(math.log10(abs(number))), 0)
    text = f"{number:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def allowed(dimension: str) -> str:
    """What may be written for a dimension, in words.

    Examples
    --------
    >>> allowed("time")
    'a time in ms, s or min'
    """
    table = DIMENSIONS[dimension]
    if dimension == "fraction":
        return "a percentage such as 75 %, or a bare number from 0 to 1"
    return f"{table.words} in {_units(dimension)}" if table.units else "a number without a unit"


def symbol_in(text: str) -> str:
    """Unit that a text carries, without ``abs``; "" if it carries none.

    Examples
    --------
    >>> symbol_in("6 bar abs"), symbol_in("7")
    ('bar', '')
    """
    found = _QUANTITY.fullmatch(text.strip())
    return " ".join(found[2].split()).removesuffix(" abs") if found else ""


def _split(text: str, dimension: str) -> tuple[float, str]:
    found = _QUANTITY.fullmatch(text.strip())
    if not found:
        raise QuantityError("form", f"{text!r} is not {DIMENSIONS[dimension].words}", _fix(dimension))
    number = float(found[1])
    if not math.isfinite(number):
        raise QuantityError("range", f"{text!r} is too large for a number", _fix(dimension))
    symbol = " ".join(found[2].split())
    if symbol.startswith(","):
        raise QuantityError("form", f"{text!r} has a comma inside the number", "write a point before decimals")
    return number, symbol


def _plain_number(number: float, symbol: str, text: str) -> float:
    if symbol:
        raise QuantityError("plain", f"{text!r} has {symbol!r} after the number", "write a number without a unit")
    return number


def _without_unit(number: float, text: str, dimension: str) -> float:
    if dimension != "fraction":
        problem = f"{text!r} has no unit, and {DIMENSIONS[dimension].words} needs one"
        raise QuantityError("bare", problem, f"write the unit behind it, one of {_units(dimension)}")
    if not 0.0 <= number <= 1.0:
        raise QuantityError("range", f"{text!r} is a bare number outside 0 to 1", f"write {allowed('fraction')}")
    return number


def _is_no_unit(dimension: str) -> str:
    return f"is not a unit of {DIMENSIONS[dimension].words}"


def _fix(dimension: str) -> str:
    return f"write {allowed(dimension)}"


def _units(dimension: str) -> str:
    table = DIMENSIONS[dimension]
    words = _either(table.units)
    return f"{words} ('abs' behind it marks an absolute one)" if table.absolute else words


def _either(words: Iterable[str]) -> str:
    *rest, last = words
    return f"{', '.join(rest)} or {last}" if rest else last
