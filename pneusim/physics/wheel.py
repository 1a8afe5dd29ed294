"""A braked wheel: the brake's torque as dry friction that holds, and what turns the wheel."""

from pneusim.physics.compiled import law


@law
def stick(wanted: float, limit: float) -> float:
    """Dry friction: what would bring to rest, as far as it goes.

    Parameters
    ----------
    wanted : float
        Force or torque that would hold or bring to rest [N or N m], either sign.
    limit : float
        Largest that friction can give [same unit], not negative.

    Returns
    -------
    float
        `wanted` between -limit and +limit [same unit].

    Notes
    -----
    Coulomb friction in proximal form: exact rest without an event (Moreau's time stepping and the augmented Lagrangian
    form of contact mechanics, from memory).

    Examples
    --------
    >>> stick(5.0, 3.0), stick(-2.0, 3.0)
    (3.0, -2.0)
    """
    return min(max(wanted, -limit), limit)


@law
def stick_gradient(wanted: float, limit: float) -> tuple[float, float, float]:
    """`stick` and its derivatives.

    Parameters
    ----------
    wanted, limit : float
        As for `stick`.

    Returns
    -------
    tuple of float
        (friction, d/d wanted, d/d limit).

    Notes
    -----
    Source: derivatives of the law in `stick`; on a kink those of what slides.

    Examples
    --------
    >>> stick_gradient(-5.0, 3.0)
    (-3.0, 0.0, -1.0)
    """
    if wanted >= limit:
        return limit, 0.0, 1.0
    if wanted <= -limit:
        return -limit, 0.0, -1.0
    return wanted, 1.0, 0.0


@law
def wheel_brake(
    force: float, v: float, capacity: float, load: float, radius: float, inertia: float, tau: float, rolling: float
) -> tuple[float, float]:
    """Torque of a brake on its wheel, and how the speed of the tread changes.

    Parameters
    ----------
    force : float
        Force of the road on the vehicle at this wheel, forward positive [N].
    v : float
        Speed of the tread, radius times turning [m/s].
    capacity : float
        Largest torque of the brake, not negative [N m].
    load : float
        Vertical load [N]; a negative one counts as none.
    radius : float
        Rolling radius [m], positive.
    inertia : float
        Moment of inertia of the wheel and what turns with it [kg m2], positive.
    tau : float
        Time within which a held wheel comes to rest [s], positive; 2 ms by default.
    rolling : float
        Moment of rolling over load times radius [-]; about 0.007.

    Returns
    -------
    tuple of float
        (torque against the turning [N m], dv/dt [m/s2]).

    Notes
    -----
    T = clip(-r F + J v/(r tau), +-(T_capacity + f N r)), dv/dt = r (-r F - T)/J. Inside the band dv/dt = -v/tau, so the
    wheel comes to rest and the torque to that which holds it; outside it is Coulomb's. Rolling is dry friction too and
    shares the law. Momentum of a wheel: any vehicle dynamics text, e.g. Gillespie (from memory).

    Examples
    --------
    A turning wheel slides in its brake, a standing one is held:

    >>> wheel_brake(-10e3, 15.0, 6e3, 30e3, 0.5, 13.0, 2e-3, 0.0)
    (6000.0, -38.46153846153846)
    >>> wheel_brake(-10e3, 0.0, 6e3, 30e3, 0.5, 13.0, 2e-3, 0.0)
    (5000.0, 0.0)
    """
    limit = capacity + rolling * max(load, 0.0) * radius
    torque = stick(-radius * force + inertia * v / (radius * tau), limit)
    return torque, radius * (-radius * force - torque) / inertia


@law
def wheel_brake_gradient(
    force: float, v: float, capacity: float, load: float, radius: float, inertia: float, tau: float, rolling: float
) -> tuple[float, float, float, float, float, float, float, float, float, float]:
    """`wheel_brake` and its derivatives.

    Parameters
    ----------
    force, v, capacity, load, radius, inertia, tau, rolling : float
        As for `wheel_brake`.

    Returns
    -------
    tuple of float
        (torque, dv/dt, then the derivatives of each to force, v, capacity, load).

    Notes
    -----
    Source: derivatives of the law in `wheel_brake`, by hand.

    Examples
    --------
    >>> wheel_brake_gradient(0.0, 10.0, 2.0, 0.0, 1.0, 4.0, 0.5, 0.0)
    (2.0, -0.5, -0.0, 0.0, 1.0, 0.0, -0.25, -0.0, -0.25, -0.0)
    """
    limit = capacity + rolling * max(load, 0.0) * radius
    torque, d_wanted, d_limit = stick_gradient(-radius * force + inertia * v / (radius * tau), limit)
    T_force = -radius * d_wanted
    T_v = inertia / (radius * tau) * d_wanted
    T_load = d_limit * rolling * radius if load > 0.0 else 0.0
    arm = radius / inertia
    return (
        torque, arm * (-radius * force - torque), T_force, T_v, d_limit, T_load,
        arm * (-radius - T_force), -arm * T_v, -arm * d_limit, -arm * T_load,
    )  # fmt: skip
