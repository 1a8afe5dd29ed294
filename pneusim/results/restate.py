"""Sentences written in kPa, kN, mm, m, km/h and m/s2, said again in another unit system."""

from __future__ import annotations

import re

from pneusim.quantities import express, parse, parse_any, unit_of

_NUMBER = r"-?\d+(?:\.\d+)?"
_UNIT = r"(kPa|bar|kN|N|mm|m/s2|m|degC|km/h)\b(?! m\b|/)"
_QUANTITY = re.compile(rf"((?:about|some|near) )?(?<![\w.])({_NUMBER}) {_UNIT}")
_SPAN = re.compile(rf"(?<=\bfrom )({_NUMBER}) to ({_NUMBER}) {_UNIT}")


def restate(text: str, system: str) -> str:
    """The text with the quantities of a run that it names in the unit system ``si`` or ``us``.

    What is told to be about so much gets no more digits than it has, or two.  Metres are a way, told in feet.

    Examples
    --------
    >>> restate("its delivery fell through 207 kPa at 5.31 s", "us")
    'its delivery fell through 30 psi at 5.31 s'
    >>> restate("The pedal alone gave about 13 kN.", "us")
    'The pedal alone gave about 2900 lbf.'
    >>> restate("at most 12.2 m, time from 45 to 15 km/h", "us")
    'at most 40 ft, time from 28 mph to 9.32 mph'
    """
    if system == "si":
        return text
    apart = _SPAN.sub(r"\1 \3 to \2 \3", text)
    return _QUANTITY.sub(lambda match: _again(match, system), apart)


def _again(match: re.Match[str], system: str) -> str:
    rough, number, unit = match[1] or "", match[2], match[3]
    dimension = "distance" if unit == "m" else parse_any(f"1 {unit}")[1]
    value = parse(f"{number} {unit}", dimension)
    if rough:
        value = rounded(value, dimension, system, len(number.strip("-0.").replace(".", "")))
    return (rough or "") + express(value, dimension, system)


def rounded(value: float, dimension: str, system: str, digits: int = 2) -> float:
    """A value [SI] that has so many digits, or two, in the unit of a system."""
    unit = unit_of(dimension, system)
    shown = float(f"{(value - unit.offset) / unit.factor:.{max(digits, 2)}g}")
    return shown * unit.factor + unit.offset
