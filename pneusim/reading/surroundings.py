"""Ambient state and wall heat, of the file, a component or a line."""

from __future__ import annotations

from pneusim.circuit.circuit import Ambient, Heat
from pneusim.quantities import is_absolute
from pneusim.reading.faults import Faults
from pneusim.reading.fields import Fields
from pneusim.reading.tree import MapNode, Scalar

_WORDS = ("isothermal", "adiabatic")


def read_ambient(fields: Fields, faults: Faults) -> Ambient:
    """The section ``ambient``; its pressure must be absolute."""
    node = fields.mapping("ambient")
    if not isinstance(node, MapNode):
        return Ambient()
    inner = Fields(node, faults, (), ("pressure", "temperature"), ambient=0.0, missing_at=None)
    default = Ambient()
    pressure = _absolute(inner)
    temperature = inner.quantity("temperature", "temperature", low=200.0, high=350.0)
    return Ambient(pressure or default.pressure, temperature or default.temperature)


def _absolute(fields: Fields) -> float | None:
    text = fields.get("pressure")
    pressure = fields.quantity("pressure", "pressure", low=20e3, high=200e3)
    if pressure is not None and isinstance(text, Scalar) and not is_absolute(text.text):
        fields.report("U08", "pressure", f"{text.text!r} is not marked as absolute", f"write '{text.text} abs'")
        return None
    return pressure


def read_heat(fields: Fields) -> Heat | None:
    """The key ``heat``: a word, or a film coefficient [W/(m2 K)]; None if it is not given."""
    node = fields.get("heat")
    if isinstance(node, Scalar) and node.text in _WORDS:
        return Heat(node.text)
    if isinstance(node, Scalar) and node.text[:1].isalpha():
        fields.word("heat", _WORDS)
        return None
    coefficient = fields.quantity("heat", "film", low=0.0, high=10e3)
    return None if coefficient is None else Heat("fixed", coefficient)
