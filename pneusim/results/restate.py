"""Sentences written in kPa, kN, mm and km/h, said again in another unit system."""

from __future__ import annotations

import re

from pneusim.quantities import express, parse_any

_QUANTITY = re.compile(r"(?<![\w.])(-?\d+(?:\.\d+)?) (kPa|bar|kN|N|mm|degC|km/h)\b(?! m\b|/)")


def restate(text: str, system: str) -> str:
    """The text with its pressures, forces, lengths, temperatures and speeds in the unit system ``si`` or ``us``.

    Examples
    --------
    >>> restate("its delivery fell through 207 kPa at 5.31 s", "us")
    'its delivery fell through 30 psi at 5.31 s'
    """
    if system == "si":
        return text
    return _QUANTITY.sub(lambda match: express(*parse_any(match[0]), system), text)
