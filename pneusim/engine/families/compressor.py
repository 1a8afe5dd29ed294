"""Source: a reciprocating compressor, loaded or not."""

from __future__ import annotations

from pneusim.engine.families.family import PRESSURE, UNITY, Family
from pneusim.physics.compiled import law
from pneusim.physics.compressor import delivery
from pneusim.physics.constants import CP


@law
def _compressor(
    p: float, speed: float, loaded: float, p_ambient: float, T_ambient: float, displacement: float,
    efficiency: float, clearance: float, temperature: float,
) -> tuple[float, float]:  # fmt: skip
    """Mass and enthalpy flow into the delivery node."""
    q = loaded * delivery(p, p_ambient, T_ambient, displacement, speed, efficiency, clearance)
    return q, q * CP * temperature


COMPRESSOR = Family(
    "compressor",
    _compressor,
    {"p": PRESSURE, "speed": 10.0, "loaded": UNITY},
    ("p_ambient", "T_ambient", "displacement", "efficiency", "clearance", "temperature"),
    ("flow", "enthalpy"),
    depends={"flow": ("p", "speed"), "enthalpy": ("p", "speed")},
)
