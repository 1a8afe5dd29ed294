"""Brake chamber and spring-brake actuator: areas, volumes, forces and the two rate laws.

The same effective area stands in force and in volume, so the work of the air is conserved by construction.
Gas and rod inertia are neglected; friction makes the stroke a state.
"""

from pneusim.physics.compiled import law
from pneusim.physics.valves import dead_zone_foot

KNEE = 0.8  #: share of the full stroke up to which the effective area is constant [-]
PRELOAD_FADE = 1e-4  #: stroke below zero over which the return preload fades into the stop [m], numerical


@law
def effective_area(s: float, area: float, s_max: float, decline: float) -> float:
    """Effective diaphragm area: constant to 0.8 s_max, then falling with the square of the stroke.

    Parameters
    ----------
    s : float
        Pushrod stroke [m].
    area : float
        Nominal area [m2].
    s_max : float
        Full stroke [m], positive.
    decline : float
        Share of the area lost at full stroke [-], 0 to 1.

    Returns
    -------
    float
        Area [m2]; beyond s_max it stays at (1 - decline) area.

    Notes
    -----
    "Consistent out to two inches", then falling quickly, for a type 30 with 2.5 in full stroke: Canadian
    provincial Air Brake Manual, p. 67. The shape of the fall is an assumption.

    Examples
    --------
    >>> round(effective_area(57.15e-3, 193.5e-4, 63.5e-3, 0.35) * 1e4, 1)
    176.6
    """
    t = _beyond_knee(s, s_max)
    return area * (1.0 - decline * t * t)


@law
def swept_volume(s: float, area: float, s_max: float, decline: float) -> float:
    """Volume swept from stroke 0: the integral of `effective_area`.

    Parameters
    ----------
    s, area, s_max, decline : float
        As for `effective_area`.

    Returns
    -------
    float
        Volume [m3]; negative for a negative stroke.

    Notes
    -----
    Closed form of the integral; source as for `effective_area`.

    Examples
    --------
    >>> round(swept_volume(50.8e-3, 193.5e-4, 63.5e-3, 0.35) * 1e6, 1)
    983.0
    """
    t = _beyond_knee(s, s_max)
    lost = (1.0 - KNEE) * s_max * t * t * t / 3.0
    if s > s_max:
        lost += s - s_max
    return area * (s - decline * lost)


@law
def _beyond_knee(s: float, s_max: float) -> float:
    """Place between the knee (0) and the full stroke (1)."""
    t = (s / s_max - KNEE) / (1.0 - KNEE)
    return min(max(t, 0.0), 1.0)


@law
def pushrod_force(s: float, free_stroke: float, brake_stiffness: float) -> float:
    """Force of the pushrod on the brake: elastic beyond the free stroke.

    Parameters
    ----------
    s : float
        Pushrod stroke [m].
    free_stroke : float
        Stroke at which the linings touch [m].
    brake_stiffness : float
        Stiffness of the brake at the pushrod [N/m].

    Returns
    -------
    float
        Force [N], never negative.

    Notes
    -----
    19 mm of slack give 44.5 mm of stroke at 552 kPa on a type 30, i.e. 420 N/mm: Saskatchewan Air Brake
    Manual.

    Examples
    --------
    >>> round(pushrod_force(34.8e-3, 14e-3, 500e3))
    10400
    """
    return brake_stiffness * max(s - free_stroke, 0.0)


@law
def _return_force(s: float, s_max: float, return_preload: float, return_rate: float, stop_stiffness: float) -> float:
    """Return spring and stops [N], positive against the stroke; the preload fades below stroke 0."""
    if s < 0.0:
        return stop_stiffness * s + return_preload * max(1.0 + s / PRELOAD_FADE, 0.0)
    force = return_preload + return_rate * s
    if s > s_max:
        force += stop_stiffness * (s - s_max)
    return force


@law
def chamber_rate(
    p_service: float,
    p_ambient: float,
    s: float,
    area: float,
    s_max: float,
    decline: float,
    return_preload: float,
    return_rate: float,
    free_stroke: float,
    brake_stiffness: float,
    stop_stiffness: float,
    friction_base: float,
    friction_share: float,
    damping: float,
    foot: float,
) -> tuple[float, float]:
    """Stroke rate and force on the brake of a brake chamber.

    Parameters
    ----------
    p_service, p_ambient : float
        Pressures [Pa absolute].
    s : float
        Pushrod stroke [m].
    area, s_max, decline : float
        As for `effective_area`.
    return_preload, return_rate : float
        Return spring at stroke 0 [N] and its rate [N/m].
    free_stroke, brake_stiffness : float
        As for `pushrod_force`.
    stop_stiffness : float
        Stiffness of both end stops [N/m]; 2 kN/mm by default.
    friction_base, friction_share : float
        Constant friction [N] and friction per force on the brake [-].
    damping : float
        Force per speed while sliding [N s/m], positive.
    foot : float
        Rounding of the friction [N], see `dead_zone_foot`.

    Returns
    -------
    tuple of float
        (ds/dt [m/s], force on the brake [N]).

    Notes
    -----
    Force balance without inertia; magnitudes are common practice, no source.

    Examples
    --------
    >>> rate, force = chamber_rate(689e3, 101325.0, 34.8e-3, 193.5e-4, 63.5e-3, 0.35, 387.0, 3e3,
    ...                            14e-3, 500e3, 2e6, 39.0, 0.06, 100.0, 20.0)
    >>> rate, round(force)
    (0.0, 10400)
    """
    shoe = pushrod_force(s, free_stroke, brake_stiffness)
    air = (p_service - p_ambient) * effective_area(s, area, s_max, decline)
    net = air - shoe - _return_force(s, s_max, return_preload, return_rate, stop_stiffness)
    return dead_zone_foot(net, friction_base + friction_share * shoe, foot) / damping, shoe


@law
def spring_brake_rates(
    p_service: float,
    p_spring: float,
    p_ambient: float,
    s: float,
    z: float,
    area: float,
    s_max: float,
    decline: float,
    return_preload: float,
    return_rate: float,
    free_stroke: float,
    brake_stiffness: float,
    stop_stiffness: float,
    friction_base: float,
    friction_share: float,
    damping: float,
    piston_area: float,
    spring_force_0: float,
    spring_rate: float,
    z_max: float,
    spring_friction: float,
    contact_stiffness: float,
    foot: float,
) -> tuple[float, float, float]:
    """Stroke rate, spring-piston rate and force on the brake of a spring-brake actuator.

    Parameters
    ----------
    p_service, p_spring, p_ambient : float
        Pressures of the service chamber, of the hold-off chamber and ambient [Pa absolute].
    s, z : float
        Pushrod stroke and spring-piston travel, 0 held off [m].
    area, s_max, decline, return_preload, return_rate, free_stroke, brake_stiffness, stop_stiffness, \
friction_base, friction_share, damping : float
        As for `chamber_rate`.
    piston_area : float
        Area of the spring piston under hold-off pressure [m2].
    spring_force_0, spring_rate : float
        Spring force at z = 0 [N] and its rate [N/m]; both 0: caged.
    z_max : float
        Full spring travel [m].
    spring_friction : float
        Friction of the spring piston [N].
    contact_stiffness : float
        Stiffness of the contact spring piston to pushrod [N/m]; it pushes, never pulls. 2 kN/mm by default.
    foot : float
        Rounding of the friction [N], see `dead_zone_foot`.

    Returns
    -------
    tuple of float
        (ds/dt, dz/dt [m/s], force on the brake [N]).

    Notes
    -----
    Force balances without inertia. Spring of 6.7 to 8.9 kN in common actuators: British Columbia manual
    "Driving Commercial Vehicles", p. 173; the other magnitudes are common practice, no source.

    Examples
    --------
    Held off at 690 kPa gauge, then the spring line vented:

    >>> fixed = (193.5e-4, 63.5e-3, 0.35, 387.0, 3e3, 14e-3, 500e3, 2e6, 39.0, 0.06, 100.0,
    ...          193.5e-4, 7600.0, 45e3, 57e-3, 150.0, 2e6, 20.0)
    >>> spring_brake_rates(101325.0, 791325.0, 101325.0, 0.0, -2.8e-3, *fixed)[1]
    0.0
    >>> spring_brake_rates(101325.0, 101325.0, 101325.0, 0.0, 0.0, *fixed)[1]
    74.5
    """
    push = contact_stiffness * max(z - s, 0.0)
    shoe = pushrod_force(s, free_stroke, brake_stiffness)
    air = (p_service - p_ambient) * effective_area(s, area, s_max, decline)
    net = air + push - shoe - _return_force(s, s_max, return_preload, return_rate, stop_stiffness)
    ds_dt = dead_zone_foot(net, friction_base + friction_share * shoe, foot) / damping
    spring = spring_force_0 - spring_rate * z - (p_spring - p_ambient) * piston_area - push
    spring -= stop_stiffness * (min(z, 0.0) + max(z - z_max, 0.0))
    dz_dt = dead_zone_foot(spring, spring_friction, foot) / damping
    return ds_dt, dz_dt, shoe
