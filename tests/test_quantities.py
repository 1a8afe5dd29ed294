"""Units against an independent table (pint) where it knows them, by hand where it does not."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pneusim.quantities import (
    DIMENSIONS,
    QuantityError,
    allowed,
    digits,
    express,
    is_absolute,
    parse,
    parse_any,
    symbol_in,
    unit_of,
)

REGISTRY = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)

# How pint writes our symbols: (dimension, symbol) -> (pint's unit, SI unit of the dimension).
IN_PINT = {
    **{("pressure", s): (p, "pascal") for s, p in {
        "bar": "bar", "mbar": "millibar", "kPa": "kilopascal", "MPa": "megapascal", "psi": "psi",
        "inHg": "inHg"}.items()},
    **{("volume", s): (p, "meter**3") for s, p in {
        "L": "liter", "cm3": "centimeter**3", "in3": "inch**3", "m3": "meter**3"}.items()},
    **{("length", s): (p, "meter") for s, p in {
        "um": "micrometer", "mm": "millimeter", "cm": "centimeter", "m": "meter", "in": "inch", "ft": "foot"}.items()},
    **{("area", s): (p, "meter**2") for s, p in {
        "mm2": "millimeter**2", "cm2": "centimeter**2", "m2": "meter**2", "in2": "inch**2"}.items()},
    **{("distance", s): (p, "meter") for s, p in {
        "mm": "millimeter", "cm": "centimeter", "m": "meter", "in": "inch", "ft": "foot"}.items()},
    ("fading", "s/m"): ("second/meter", "second/meter"),
    **{("time", s): (p, "second") for s, p in {"ms": "millisecond", "s": "second", "min": "minute"}.items()},
    **{("mass", s): (p, "kilogram") for s, p in {"kg": "kilogram", "t": "metric_ton", "lb": "pound"}.items()},
    **{("force", s): (p, "newton") for s, p in {"N": "newton", "kN": "kilonewton", "lbf": "force_pound"}.items()},
    **{("torque", s): (p, "newton*meter") for s, p in {"N m": "newton*meter", "lbf ft": "force_pound*foot"}.items()},
    ("inertia", "kg m2"): ("kilogram*meter**2", "kilogram*meter**2"),
    **{("stiffness", s): (p, "newton/meter") for s, p in {
        "N/mm": "newton/millimeter", "kN/mm": "kilonewton/millimeter", "lbf/in": "force_pound/inch"}.items()},
    **{("conductance", s): (p, "meter**3/second/pascal") for s, p in {
        "dm3/(s bar)": "decimeter**3/second/bar", "m3/(s Pa)": "meter**3/second/pascal"}.items()},
    **{("mass_flow", s): (p, "kilogram/second") for s, p in {"g/s": "gram/second", "kg/s": "kilogram/second"}.items()},
    **{("speed", s): (p, "meter/second") for s, p in {
        "km/h": "kilometer/hour", "m/s": "meter/second", "mph": "mile/hour"}.items()},
    **{("acceleration", s): (p, "meter/second**2") for s, p in {
        "m/s2": "meter/second**2", "ft/s2": "foot/second**2"}.items()},
    ("rate", "1/s"): ("1/second", "1/second"),
    ("rotation", "rpm"): ("revolution/minute", "revolution/second"),
    **{("displacement", s): (p, "meter**3/revolution") for s, p in {
        "L/rev": "liter/revolution", "cm3/rev": "centimeter**3/revolution"}.items()},
    **{("temperature", s): (p, "kelvin") for s, p in {"degC": "degC", "K": "kelvin", "degF": "degF"}.items()},
    ("film", "W/(m2 K)"): ("watt/meter**2/kelvin", "watt/meter**2/kelvin"),
    ("heat_conductance", "W/K"): ("watt/kelvin", "watt/kelvin"),
    ("energy", "kJ"): ("kilojoule", "joule"),
    **{("pressure_rate", s): (p, "pascal/second") for s, p in {
        "kPa/s": "kilopascal/second", "kPa/min": "kilopascal/minute", "psi/min": "psi/minute"}.items()},
    ("angle", "deg"): ("degree", "radian"),
    ("fraction", "%"): ("percent", "dimensionless"),
}  # fmt: skip

# By hand: SI value of "1 <symbol>", worked out from the source named.
ANR = 1.185  # reference density [kg/m3], ISO 8778, as used by ISO 6358-1
BY_HAND = {
    ("flow", "L/min"): ANR * 1e-3 / 60,
    ("flow", "L/s"): ANR * 1e-3,
    ("flow", "L/min (ANR)"): ANR * 1e-3 / 60,
    ("flow", "L/s (ANR)"): ANR * 1e-3,
    ("flow", "cfm"): ANR * 0.3048**3 / 60,  # foot of 0.3048 m, agreement of 1959
    # C = 0.68473 A / (rho0 sqrt(R T0)): ISO 6358 choked flow C p1 rho0 = A p1 0.68473/sqrt(R T0)
    ("conductance", "mm2"): 0.68473 * 1e-6 / (ANR * math.sqrt(287.05 * 293.15)),
}

numbers = st.floats(min_value=-1e6, max_value=1e6, allow_nan=False).map(lambda x: round(x, 6))


def test_every_unit_is_checked_against_pint_or_by_hand() -> None:
    table = {(name, symbol) for name, dimension in DIMENSIONS.items() for symbol in dimension.units}
    same = {"pressure_difference": "pressure", "mass_flow": "flow"}
    checked = set(IN_PINT) | set(BY_HAND)
    checked |= {(alias, symbol) for alias, name in same.items() for dim, symbol in list(checked) if dim == name}
    checked |= {("flow", symbol) for dim, symbol in list(checked) if dim == "mass_flow"}
    assert table == checked


def test_aliases_have_the_same_units() -> None:
    assert DIMENSIONS["pressure"].units == DIMENSIONS["pressure_difference"].units
    assert DIMENSIONS["flow"].units == DIMENSIONS["mass_flow"].units


@settings(derandomize=True, deadline=None, max_examples=25)
@given(number=numbers)
@pytest.mark.parametrize("key", IN_PINT, ids=" ".join)
def test_units_that_pint_knows(key: tuple[str, str], number: float) -> None:
    dimension, symbol = key
    theirs, si = IN_PINT[key]
    expected = REGISTRY.Quantity(number, theirs).to(si).magnitude
    assert parse(f"{number!r} {symbol}", dimension) == pytest.approx(expected, rel=1e-6, abs=1e-12)


@pytest.mark.parametrize("key", BY_HAND, ids=" ".join)
def test_units_by_hand(key: tuple[str, str]) -> None:
    assert parse(f"1 {key[1]}", key[0]) == pytest.approx(BY_HAND[key], rel=1e-12)


@settings(derandomize=True, deadline=None)
@given(number=numbers, ambient=st.floats(min_value=60e3, max_value=110e3))
def test_absolute_pressures_lose_the_ambient(number: float, ambient: float) -> None:
    gauge = parse(f"{number} kPa", "pressure", ambient)
    assert parse(f"{number} kPa abs", "pressure", ambient) == pytest.approx(gauge - ambient, abs=1e-3)


@settings(derandomize=True, deadline=None)
@given(number=st.floats(min_value=1e-6, max_value=1e6))
@pytest.mark.parametrize("system", ["si", "us"])
@pytest.mark.parametrize("dimension", [name for name, table in DIMENSIONS.items() if table.units])
def test_what_is_expressed_parses_back(dimension: str, system: str, number: float) -> None:
    unit = unit_of(dimension, system)
    value = number * unit.factor + unit.offset
    again = parse(express(value, dimension, system), dimension)
    assert (again - unit.offset) / unit.factor == pytest.approx(number, rel=5.1e-3)


def test_expressed_as_people_write() -> None:
    assert express(8.5e5, "pressure") == "850 kPa"
    assert express(414e3, "pressure", "us") == "60 psi"
    assert express(293.15, "temperature") == "20 degC"
    assert express(0.05, "length", "us") == "1.97 in"
    assert express(0.25, "fraction") == "25 %"
    assert express(3.0, "number") == "3"
    assert express(7123.0, "force") == "7.12 kN"
    assert (digits(123456.7), digits(99.96), digits(-0.5), digits(1e9)) == ("123457", "100", "-0.5", "1e+09")


@pytest.mark.parametrize(
    ("text", "dimension", "kind", "words"),
    [
        ("8", "pressure", "bare", "bar, mbar, kPa, MPa, psi or inHg"),
        ("8 mn", "length", "unit", "um, mm, cm, m, in or ft"),
        ("8 barg", "pressure", "unit", "barg"),
        ("8 Bar", "pressure", "unit", "'Bar'"),
        ("3 L/min abs", "flow", "absolute", "leave 'abs' out"),
        ("3 kPa abs", "pressure_difference", "absolute", "leave 'abs' out"),
        ("abs", "pressure", "form", "not a pressure"),
        ("", "time", "form", "not a time"),
        ("nan s", "time", "form", "not a time"),
        ("inf s", "time", "form", "not a time"),
        ("1,5 s", "time", "form", "comma"),
        ("1e400 s", "time", "range", "too large"),
        ("75", "fraction", "range", "75 %"),
        ("-0.1", "fraction", "range", "bare number"),
        ("3 mm", "number", "plain", "without a unit"),
        ("8 bar 3", "pressure", "unit", "'bar 3'"),
        ("12 1.5 mm", "length", "unit", "'1.5 mm'"),
    ],
)
def test_what_is_not_a_quantity_is_refused_with_what_is_allowed(
    text: str, dimension: str, kind: str, words: str
) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, dimension)
    assert caught.value.kind == kind
    assert words in str(caught.value)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(text=st.text(max_size=30), dimension=st.sampled_from(sorted(DIMENSIONS)))
def test_any_text_is_parsed_or_refused(text: str, dimension: str) -> None:
    refused = None
    try:
        value = parse(text, dimension)
    except QuantityError as error:
        refused = error
    assert (refused.problem and refused.fix) if refused else math.isfinite(value)


def test_space_before_the_unit_is_free() -> None:
    assert parse("8bar", "pressure") == parse(" 8   bar ", "pressure") == 8e5
    assert parse("1e5 m", "length") == 1e5


def test_a_unit_tells_its_dimension() -> None:
    assert parse_any("450 ms") == (0.45, "time")
    assert parse_any("3 kN") == (3000.0, "force")
    assert parse_any("60 %") == (0.6, "fraction")
    assert parse_any("4") == (4.0, "number")
    assert parse_any("2 bar abs", ambient=1e5) == (1e5, "pressure")
    with pytest.raises(QuantityError):
        parse_any("4 furlongs")


def test_small_helpers() -> None:
    assert symbol_in("6 bar abs") == "bar"
    assert symbol_in("big") == ""
    assert is_absolute("6 bar abs")
    assert not is_absolute("6 barabs")
    assert allowed("number") == "a number without a unit"
