"""Actuators: brake chamber and spring-brake actuator, with the work the air does on them."""

from __future__ import annotations

from pneusim.engine.families.family import PRESSURE, STROKE, Family
from pneusim.physics.chamber import chamber_rate, effective_area, spring_brake_rates, swept_volume
from pneusim.physics.compiled import law

RODS = (
    "p_ambient", "area", "s_max", "decline", "return_preload", "return_rate", "brake_stiffness", "stop_stiffness",
    "friction_base", "friction_share", "damping", "foot",
)  # fmt: skip

SWEPT = Family("swept", swept_volume, {"stroke": STROKE}, ("area", "s_max", "decline"), ("volume",))


@law
def _chamber(
    p: float, s: float, free_stroke: float, p_ambient: float, area: float, s_max: float, decline: float,
    return_preload: float, return_rate: float, brake_stiffness: float, stop_stiffness: float, friction_base: float,
    friction_share: float, damping: float, foot: float,
) -> tuple[float, float, float]:  # fmt: skip
    """Stroke rate, force on the brake, and the power that the air gives off."""
    rate, force = chamber_rate(
        p, p_ambient, s, area, s_max, decline, return_preload, return_rate, free_stroke, brake_stiffness,
        stop_stiffness, friction_base, friction_share, damping, foot,
    )  # fmt: skip
    return rate, force, p * effective_area(s, area, s_max, decline) * rate


CHAMBER = Family(
    "chamber",
    _chamber,
    {"p": PRESSURE, "s": STROKE, "free_stroke": STROKE},
    RODS,
    ("rate", "force", "power"),
    depends={"force": ("s", "free_stroke")},
)


@law
def _spring_brake(
    p_service: float, p_spring: float, s: float, z: float, free_stroke: float, spring_force: float,
    spring_rate: float, p_ambient: float, area: float, s_max: float, decline: float, return_preload: float,
    return_rate: float, brake_stiffness: float, stop_stiffness: float, friction_base: float, friction_share: float,
    damping: float, foot: float, piston_area: float, z_max: float, spring_friction: float, contact_stiffness: float,
    held: float,
) -> tuple[float, float, float, float, float]:  # fmt: skip
    """Stroke rate, spring-piston rate, force on the brake, power given off by the service and by the hold-off air."""
    s_rate, z_rate, force = spring_brake_rates(
        p_service, p_spring, p_ambient, s, z, area, s_max, decline, return_preload, return_rate, free_stroke,
        brake_stiffness, stop_stiffness, friction_base, friction_share, damping, piston_area, spring_force,
        spring_rate, z_max, spring_friction, contact_stiffness, foot,
    )  # fmt: skip
    if held > 0.0:
        z_rate = 0.0
    service = p_service * effective_area(s, area, s_max, decline) * s_rate
    return s_rate, z_rate, force, service, -p_spring * piston_area * z_rate


SPRING_BRAKE = Family(
    "spring_brake",
    _spring_brake,
    {
        "p_service": PRESSURE,
        "p_spring": PRESSURE,
        "s": STROKE,
        "z": STROKE,
        "free_stroke": STROKE,
        "spring_force": 1e4,
        "spring_rate": 1e5,
    },
    (*RODS, "piston_area", "z_max", "spring_friction", "contact_stiffness", "held"),
    ("s_rate", "z_rate", "force", "service_power", "spring_power"),
    depends={
        "s_rate": ("p_service", "s", "z", "free_stroke"),
        "z_rate": ("p_spring", "s", "z", "spring_force", "spring_rate"),
        "force": ("s", "free_stroke"),
        "service_power": ("p_service", "s", "z", "free_stroke"),
        "spring_power": ("p_spring", "s", "z", "spring_force", "spring_rate"),
    },
)
