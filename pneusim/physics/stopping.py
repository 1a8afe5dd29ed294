"""Closed forms of stopping, of coming off and of rolling away.

Plain Python: nothing here runs inside a step.  All follow from Newton's second law; wheels that turn add their inertia
over radius squared to the mass.
"""

import math

from pneusim.quantities import STANDARD_GRAVITY


def stopping_distance(v: float, dead: float, rise: float, a: float) -> float:
    """Distance of a stop whose deceleration comes after a dead time and grows evenly to its full value.

    Parameters
    ----------
    v : float
        Speed at the start [m/s].
    dead, rise : float
        Time until the deceleration begins, and time in which it grows [s], not negative.
    a : float
        Full deceleration [m/s2], positive.

    Returns
    -------
    float
        Distance from the first movement of the control [m].

    Raises
    ------
    ValueError
        If the vehicle stands before the deceleration is full.

    Notes
    -----
    s = v (t1 + t2/2) - a t2^2/24 + v^2/(2 a), exact for the ramp. Limpert, Brake Design and Safety, stopping distance
    (form from memory).

    Examples
    --------
    60 km/h, 0.36 s dead, 0.36 s rise, 5 m/s2:

    >>> round(stopping_distance(60.0 / 3.6, 0.36, 0.36, 5.0), 2)
    36.75
    """
    if v < 0.5 * a * rise:
        raise ValueError(f"from {v:g} m/s the vehicle stands before its brakes have come up to {a:g} m/s2")
    return v * (dead + 0.5 * rise) - a * rise**2 / 24.0 + v**2 / (2.0 * a)


def needed_deceleration(distance: float, v: float, dead: float, rise: float) -> float:
    """Full deceleration that a stop within a distance needs.

    Parameters
    ----------
    distance : float
        Distance from the first movement of the control [m].
    v, dead, rise : float
        As for `stopping_distance`.

    Returns
    -------
    float
        a [m/s2].

    Raises
    ------
    ValueError
        If the distance is used up before the brakes have come up.

    Notes
    -----
    Positive root of a^2 t2^2/24 + a (s - v (t1 + t2/2)) - v^2/2 = 0. Source: as for `stopping_distance`.

    Examples
    --------
    60 mph in 310 ft, 0.1 s dead, 0.35 s rise:

    >>> round(needed_deceleration(310 * 0.3048, 60 * 0.44704, 0.10, 0.35), 2)
    4.13
    """
    left = distance - v * (dead + 0.5 * rise)
    if left <= 0.0:
        raise ValueError(f"{distance:g} m are gone before brakes with this lag have come up from {v:g} m/s")
    a = v**2 / (left + math.sqrt(left**2 + rise**2 * v**2 / 12.0))
    stopping_distance(v, dead, rise, a)
    return a


def locked_distance(v: float, friction: float, slope: float = 0.0) -> float:
    """Distance of a stop on locked wheels.

    Parameters
    ----------
    v : float
        Speed at the start [m/s].
    friction : float
        Friction of locked wheels [-], positive.
    slope : float
        Angle of the road, downhill positive [rad].

    Returns
    -------
    float
        Distance [m]; infinite where the vehicle slides on.

    Notes
    -----
    v^2/(2 g (mu cos theta - sin theta)). Source: Coulomb friction, any mechanics text.

    Examples
    --------
    Ice, 40 km/h, level and 6 % down:

    >>> round(locked_distance(40.0 / 3.6, 0.05), 1), locked_distance(40.0 / 3.6, 0.05, math.atan(0.06))
    (125.9, inf)
    """
    a = STANDARD_GRAVITY * (friction * math.cos(slope) - math.sin(slope))
    return v**2 / (2.0 * a) if a > 0.0 else math.inf


def separated_distance(v: float, dead: float, tau: float, start: float, balance: float, a: float) -> float:
    """Distance of a trailer that comes off and is stopped by its spring brakes.

    Parameters
    ----------
    v : float
        Speed as it comes off [m/s].
    dead : float
        Time until the hold-off pressure begins to fall [s].
    tau : float
        Time constant of its fall [s].
    start, balance : float
        Hold-off pressure at the start, and that at which springs begin to brake [Pa gauge], start > balance.
    a : float
        Deceleration by the full springs [m/s2], positive.

    Returns
    -------
    float
        Distance [m]; good while v/a is several tau, else too long.

    Notes
    -----
    The springs give 1 - p/p_balance of their force and p falls as exp(-t/tau): s = v (t_d + tau ln(p0/p_b) + tau) +
    v^2/(2 a) - a tau^2/2, but for a term of exp(-v/(a tau)). Derived here.

    Examples
    --------
    80 km/h, springs that act below 345 kPa, 2.73 m/s2:

    >>> round(separated_distance(80.0 / 3.6, 0.15, 0.30, 689e3, 345e3, 2.73), 1)
    104.9
    """
    return v * (dead + tau * math.log(start / balance) + tau) + v**2 / (2.0 * a) - 0.5 * a * tau**2


def nose_braking(brakes: float, friction: float, share: float, height_over_base: float) -> float:
    """Braking rate of a semitrailer that has come off and skids on its nose.

    Parameters
    ----------
    brakes : float
        Force of its brakes over its weight [-].
    friction : float
        Friction of the nose on the road [-].
    share : float
        Share of its weight that the nose carries at rest [-].
    height_over_base : float
        Height of its centre of mass over the distance from nose to axles [-].

    Returns
    -------
    float
        Deceleration over g [-].

    Raises
    ------
    ValueError
        If the nose digs in: friction times height over base is 1 or more.

    Notes
    -----
    z = (f_b + mu c)/(1 - mu h/L): braking loads the nose, which brakes more. Source: statics, derived here.

    Examples
    --------
    >>> round(nose_braking(0.33, 0.4, 0.35, 0.26), 3)
    0.525
    """
    held = 1.0 - friction * height_over_base
    if held <= 0.0:
        raise ValueError(f"with a friction of {friction:g} the nose digs in: no braking rate is in balance")
    return (brakes + friction * share) / held


def roll_away_time(force: float, loss: float, demand: float, mass: float, speed: float) -> float:
    """Time after which a parked vehicle whose brakes give way has reached a speed.

    Parameters
    ----------
    force : float
        Force that its brakes can hold at the start [N].
    loss : float
        How much of it goes in a second [N/s], positive.
    demand : float
        Force of the slope [N]; at most `force`.
    mass : float
        Mass with what its turning wheels add [kg].
    speed : float
        Speed by which it counts as rolling [m/s].

    Returns
    -------
    float
        Time [s], while the force falls evenly and is not yet gone.

    Raises
    ------
    ValueError
        If the brakes do not hold at the start.

    Notes
    -----
    t = (F - F_demand)/F' + sqrt(2 V m/F'). Source: Newton's second law with a force that grows from nothing.

    Examples
    --------
    >>> roll_away_time(60e3, 1e3, 40e3, 20e3, 0.1)
    22.0
    """
    if force < demand:
        raise ValueError(f"brakes that hold {force:g} N do not hold {demand:g} N at the start")
    return (force - demand) / loss + math.sqrt(2.0 * speed * mass / loss)
