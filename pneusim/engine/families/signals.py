"""Signals: what valves compute from pressures, strokes, inputs and modes.  No state, evaluated in order."""

from __future__ import annotations

from pneusim.engine.families.family import PRESSURE, UNITY, Family
from pneusim.physics.compiled import law
from pneusim.physics.valves import (
    double_check_openings,
    follower_openings,
    play_rate,
    ramp,
    ramp_slope,
)


@law
def _affine(x1: float, x2: float, constant: float, w1: float, w2: float) -> float:
    return constant + w1 * x1 + w2 * x2


@law
def _affine_gradient(x1: float, x2: float, constant: float, w1: float, w2: float) -> tuple[float, float, float]:
    return constant + w1 * x1 + w2 * x2, w1, w2


AFFINE = Family(
    "affine", _affine, {"x1": UNITY, "x2": UNITY}, ("constant", "w1", "w2"), ("y",), gradient=_affine_gradient
)


@law
def _minimum(a: float, b: float) -> float:
    return min(a, b)


@law
def _minimum_gradient(a: float, b: float) -> tuple[float, float, float]:
    return (a, 1.0, 0.0) if a <= b else (b, 0.0, 1.0)


MINIMUM = Family("minimum", _minimum, {"a": UNITY, "b": UNITY}, (), ("y",), gradient=_minimum_gradient)


@law
def _maximum(a: float, b: float) -> float:
    return max(a, b)


@law
def _maximum_gradient(a: float, b: float) -> tuple[float, float, float]:
    return (a, 1.0, 0.0) if a >= b else (b, 0.0, 1.0)


MAXIMUM = Family("maximum", _maximum, {"a": UNITY, "b": UNITY}, (), ("y",), gradient=_maximum_gradient)


@law
def _product(a: float, b: float) -> float:
    return a * b


@law
def _product_gradient(a: float, b: float) -> tuple[float, float, float]:
    return a * b, b, a


PRODUCT = Family("product", _product, {"a": UNITY, "b": UNITY}, (), ("y",), gradient=_product_gradient)


@law
def _ratio(a: float, b: float, least: float) -> float:
    return a / max(b, least)


@law
def _ratio_gradient(a: float, b: float, least: float) -> tuple[float, float, float]:
    below = max(b, least)
    return a / below, 1.0 / below, -a / (below * below) if b > least else 0.0


# a over b, which counts as no less than a given value.
RATIO = Family("ratio", _ratio, {"a": UNITY, "b": UNITY}, ("least",), ("y",), gradient=_ratio_gradient)


@law
def _leg(x: float, start: float, width: float) -> float:
    return min(max(x - start, 0.0), width)


@law
def _leg_gradient(x: float, start: float, width: float) -> tuple[float, float]:
    return min(max(x - start, 0.0), width), 1.0 if 0.0 <= x - start < width else 0.0


# One leg of a piecewise linear table: how far x has gone beyond a breakpoint, at most to the next.
LEG = Family("leg", _leg, {"x": UNITY}, ("start", "width"), ("y",), gradient=_leg_gradient)


@law
def _ramp(x: float, start: float, width: float) -> float:
    return ramp((x - start) / width)


@law
def _ramp_gradient(x: float, start: float, width: float) -> tuple[float, float]:
    z = (x - start) / width
    return ramp(z), ramp_slope(z) / width


RAMP = Family("ramp", _ramp, {"x": UNITY}, ("start", "width"), ("y",), gradient=_ramp_gradient)


@law
def _forced(value: float, active: float, to: float) -> float:
    return to if active > 0.0 else value


@law
def _forced_gradient(value: float, active: float, to: float) -> tuple[float, float, float]:
    return (to, 0.0, 1.0) if active > 0.0 else (value, 1.0, 0.0)


FORCED = Family(
    "forced",
    _forced,
    {"value": UNITY, "active": UNITY, "to": UNITY},
    (),
    ("y",),
    gradient=_forced_gradient,
    depends={"y": ("value", "to")},
)

FOLLOWER = Family(
    "follower",
    follower_openings,
    {"target": PRESSURE, "feedback": PRESSURE},
    ("half_band", "width"),
    ("inlet", "exhaust"),
)


@law
def _spool(target: float, feedback: float, half_band: float, width: float) -> float:
    """Where the spool of a lagging follower wants to be, -1 (exhaust open) to 1 (inlet open)."""
    force = target - feedback
    if force > half_band:
        force -= half_band
    elif force < -half_band:
        force += half_band
    else:
        force = 0.0
    return min(max(force / width, -1.0), 1.0)


SPOOL = Family(
    "spool", _spool, {"target": PRESSURE, "feedback": PRESSURE}, ("half_band", "width"), ("position",)
)

PLAY = Family(
    "play",
    play_rate,
    {"position": UNITY, "x": PRESSURE},
    ("opens", "closes", "width", "tau"),
    ("rate",),
)

DOUBLE_CHECK = Family(
    "double_check",
    double_check_openings,
    {"p_a": PRESSURE, "p_b": PRESSURE, "p_m": PRESSURE},
    ("width",),
    ("feed_a", "feed_b", "return_a", "return_b"),
)
