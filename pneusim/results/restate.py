"""Sentences written in kPa, kN, mm and km/h, said again in another unit system."""

from __future__ import annotations

import re

from pneusim.quantities import express, parse_any, unit_of

_QUANTITY = re.compile(r"((?:about|some|near) )?(?<![\w.])(-?\d+(?:\.\d+)?) (kPa|bar|kN|N|mm|degC|km/h)\b(?! m\b|/)")


def restate(text: str, system: str) -> str:
    """The text with its pressures, forces, lengths, temperatures and speeds in the unit system ``si`` or ``us``.

    What is told to be about so much gets no more digits than it has, or two.

    Examples
    --------
    >>> restate("its delivery fell through 207 kPa at 5.31 s", "us")
    'its delivery fell through 30 psi at 5.31 s'
    >>> restate("The pedal alone gave about 13 kN.", "us")
    'The pedal alone gave about 2900 lbf.'
    """
    if system == "si":
        return text
    return _QUANTITY.sub(lambda match: _again(match, system), text)


def _again(match: re.Match[str], system: str) -> str:
    rough, number, unit = match[1] or "", match[2], match[3]
    value, dimension = parse_any(f"{number} {unit}")
    if rough:
        value = rounded(value, dimension, system, len(number.strip("-0.").replace(".", "")))
    return (rough or "") + express(value, dimension, system)


def rounded(value: float, dimension: str, system: str, digits: int = 2) -> float:
    """A value [SI] that has so many digits, or two, in the unit of a system."""
    unit = unit_of(dimension, system)
    shown = float(f"{(value - unit.offset) / unit.factor:.{max(digits, 2)}g}")
    return shown * unit.factor + unit.offset
