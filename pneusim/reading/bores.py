"""Inner diameter of a line from ``bore``, ``tube`` or ``hose``."""

from __future__ import annotations

import re

from pneusim.parts.catalogue import default_of, section
from pneusim.reading.faults import listed
from pneusim.reading.fields import Fields
from pneusim.reading.tree import Scalar

WAYS = ("bore", "tube", "hose")
LEAST, MOST = 0.5e-3, 0.1  #: bores that a line may have [m]
_METRIC = re.compile(r"([0-9]{1,2}(?:\.[0-9]{1,3})?) ?x ?([0-9]{1,2}(?:\.[0-9]{1,3})?)")
_INCHES = re.compile(r"([0-9]{1,2})/([0-9]{1,2}) ?in")


def read_bore(fields: Fields) -> tuple[float | None, str]:
    """Bore [m] of a line (None = at fault) and the material whose roughness it has, ``tube`` or ``hose``."""
    ways = [way for way in WAYS if way in fields]
    if len(ways) > 1:
        fields.report("C10", ways[1], f"{' and '.join(ways)} are given together", "keep one of them")
        return None, "tube"
    if not ways:
        return None, "tube"
    way = ways[0]
    if way == "bore":
        return fields.quantity("bore", "length", low=LEAST, high=MOST), "tube"
    return (_tube(fields), "tube") if way == "tube" else (_hose(fields), "hose")


def _tube(fields: Fields) -> float | None:
    scalar = fields.get("tube")
    if not isinstance(scalar, Scalar) or scalar.value is None:
        fields.text("tube")
        return None
    metric = _METRIC.fullmatch(scalar.text)
    if metric:
        bore = (float(metric[1]) - 2 * float(metric[2])) * 1e-3
        if bore >= LEAST - 1e-9:
            return round(bore, 9)
        fields.report(
            "C11",
            "tube",
            f"{scalar.text!r} leaves no bore of {LEAST * 1e3:g} mm inside its walls",
            "write outer diameter x wall in mm, for example 12x1.5",
        )
        return None
    sizes = section("tubes")["j844"]
    size = " ".join(scalar.text.replace("in", " in").split())
    if size in sizes:
        return float(default_of(f"tubes.j844.{size}", "length"))
    fields.report(
        "C11",
        "tube",
        f"{scalar.text!r} is no tube",
        f"write outer diameter x wall in mm, for example 12x1.5, or one of the SAE J844 sizes {listed(sizes)}",
    )
    return None


def _hose(fields: Fields) -> float | None:
    """A hose is named by its inner diameter, a length or a fraction of an inch."""
    scalar = fields.get("hose")
    inches = _INCHES.fullmatch(scalar.text) if isinstance(scalar, Scalar) else None
    if inches is None or int(inches[2]) == 0:
        return fields.quantity("hose", "length", low=LEAST, high=MOST)
    return int(inches[1]) / int(inches[2]) * 0.0254
