"""Restriction: ISO 6358 flow between two nodes, with the enthalpy it carries."""

from __future__ import annotations

from pneusim.engine.families.family import PRESSURE, TEMPERATURE, UNITY, Family
from pneusim.physics.compiled import law
from pneusim.physics.constants import CP
from pneusim.physics.flow import iso6358, iso6358_gradient


@law
def _restriction(
    p_a: float, T_a: float, p_b: float, T_b: float, opening: float, conductance: float, critical_ratio: float,
    dp_laminar: float,
) -> tuple[float, float]:  # fmt: skip
    C = conductance * opening
    if C <= 0.0:
        return 0.0, 0.0
    q = iso6358(p_a, T_a, p_b, T_b, C, critical_ratio, dp_laminar)
    return q, q * CP * (T_a if q >= 0.0 else T_b)


@law
def _restriction_gradient(
    p_a: float, T_a: float, p_b: float, T_b: float, opening: float, conductance: float, critical_ratio: float,
    dp_laminar: float,
) -> tuple[float, float, float, float, float, float, float, float, float, float, float, float]:  # fmt: skip
    C = conductance * opening
    if C <= 0.0:
        return 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
    q, q_pa, q_Ta, q_pb, q_Tb, q_C = iso6358_gradient(p_a, T_a, p_b, T_b, C, critical_ratio, dp_laminar)
    q_o = q_C * conductance
    if q >= 0.0:
        h = CP * T_a
        return q, q * h, q_pa, q_Ta, q_pb, q_Tb, q_o, h * q_pa, h * q_Ta + q * CP, h * q_pb, h * q_Tb, h * q_o
    h = CP * T_b
    return q, q * h, q_pa, q_Ta, q_pb, q_Tb, q_o, h * q_pa, h * q_Ta, h * q_pb, h * q_Tb + q * CP, h * q_o


RESTRICTION = Family(
    "restriction",
    _restriction,
    {"p_a": PRESSURE, "T_a": TEMPERATURE, "p_b": PRESSURE, "T_b": TEMPERATURE, "opening": UNITY},
    ("conductance", "critical_ratio", "dp_laminar"),
    ("flow", "enthalpy"),
    gradient=_restriction_gradient,
)
