"""Adhesion of a tyre: friction against slip, and the force of the road that it gives.

Slip is (V - v)/V: 0 where the tread, of speed v = r omega, rolls with the vehicle, 1 where it is locked.
"""

import math

from pneusim.physics.compiled import law

MEASURED_AT = 17.8  # speed for which friction figures hold, 40 mph [m/s]


@law
def capped(slip: float) -> float:
    """Size of a slip as the laws of friction see it: a wheel cannot slide by more than all of its speed.

    Parameters
    ----------
    slip : float
        Slip, either sign [-].

    Returns
    -------
    float
        |slip|, at most 1 [-].

    Notes
    -----
    A wheel that turns backwards, or a transient slip beyond 1, counts as locked.

    Examples
    --------
    >>> capped(-0.2), capped(3.0)
    (0.2, 1.0)
    """
    return min(abs(slip), 1.0)


@law
def fade(size: float, V: float, fading: float) -> float:
    """Factor by which friction changes with speed.

    Parameters
    ----------
    size : float
        Size of the slip [-], 0 to 1.
    V : float
        Speed [m/s], either sign.
    fading : float
        Loss with speed [s/m], not negative; about 0.006 on dry and 0.02 on wet roads.

    Returns
    -------
    float
        exp(-fading size (|V| - 17.8 m/s)) [-]; 1 at 17.8 m/s, for which friction figures hold, and at no slip.

    Notes
    -----
    Burckhardt's fourth coefficient, taken about the speed of the measurement (Burckhardt, Fahrwerktechnik:
    Radschlupf-Regelsysteme, form from memory).

    Examples
    --------
    A wheel that locks on a wet road at 30 km/h instead of 64:

    >>> round(fade(1.0, 30.0 / 3.6, 0.02), 3)
    1.208
    """
    return math.exp(-fading * size * (abs(V) - MEASURED_AT))


@law
def burckhardt(
    slip: float, k: float, V: float, c1: float, c2: float, c3: float, fading: float
) -> tuple[float, float]:
    """Friction by Burckhardt's law, and how steep its curve is where the carcass stands.

    Parameters
    ----------
    slip : float
        Slip of the tread, either sign [-]; beyond 1 it counts as 1.
    k : float
        Transient slip of the carcass [-].
    V : float
        Speed of the vehicle [m/s].
    c1, c2, c3 : float
        Coefficients [-]; c1 c2 > c3.
    fading : float
        Loss with speed, see `fade` [s/m].

    Returns
    -------
    tuple of float
        (friction with the sign of the slip, slope of the curve at k over its slope at no slip, 0 to 1) [-].

    Notes
    -----
    mu = [c1 (1 - exp(-c2 s)) - c3 s] exp(-fading s (V - 17.8)). Burckhardt, Fahrwerktechnik: Radschlupf-Regelsysteme,
    as in Kiencke and Nielsen, Automotive Control Systems (from memory, to be read against the books). Beyond the peak
    the slope counts as 0.

    Examples
    --------
    Dry asphalt, a car's tyre, at the peak of its curve and locked:

    >>> dry = 1.2801, 23.99, 0.52, 0.0
    >>> [round(burckhardt(s, s, 17.8, *dry)[0], 3) for s in (0.17, 1.0)]
    [1.17, 0.76]
    """
    size = capped(slip)
    friction = (c1 * (1.0 - math.exp(-c2 * size)) - c3 * size) * fade(size, V, fading)
    start = c1 * c2 - c3
    slope = max((c1 * c2 * math.exp(-c2 * capped(k)) - c3) / start, 0.0)
    return friction if slip >= 0.0 else -friction, slope


@law
def burckhardt_gradient(
    slip: float, k: float, V: float, c1: float, c2: float, c3: float, fading: float
) -> tuple[float, float, float, float, float]:
    """`burckhardt` and its derivatives.

    Parameters
    ----------
    slip, k, V, c1, c2, c3, fading : float
        As for `burckhardt`.

    Returns
    -------
    tuple of float
        (friction, slope, d friction/d slip, d friction/dV, d slope/dk).

    Notes
    -----
    Source: derivatives of the law in `burckhardt`, by hand; on a kink those of the side towards no slip, and of the
    falling slope.

    Examples
    --------
    >>> burckhardt_gradient(0.0, 0.0, 17.8, 0.5, 20.0, 0.0, 0.0)
    (0.0, 1.0, 10.0, -0.0, -20.0)
    """
    friction, slope = burckhardt(slip, k, V, c1, c2, c3, fading)
    size = capped(slip)
    rise = (c1 * c2 * math.exp(-c2 * size) - c3) * fade(size, V, fading)
    d_slip = rise - fading * (abs(V) - MEASURED_AT) * abs(friction) if abs(slip) <= 1.0 else 0.0
    d_speed = -fading * size * friction if V >= 0.0 else fading * size * friction
    bend = -c1 * c2 * c2 * math.exp(-c2 * capped(k)) / (c1 * c2 - c3)
    d_k = 0.0 if slope <= 0.0 or abs(k) > 1.0 else bend if k >= 0.0 else -bend
    return friction, slope, d_slip, d_speed, d_k


@law
def magic_angle(x: float, E: float) -> float:
    """Stretched slip of the magic formula, inside its arctangent.

    Parameters
    ----------
    x : float
        Stiffness factor times slip, B s [-].
    E : float
        Curvature factor [-], at most 1.

    Returns
    -------
    float
        x - E (x - atan x) [-].

    Notes
    -----
    Source: as for `magic`.

    Examples
    --------
    >>> round(magic_angle(2.0, 0.5), 4)
    1.5536
    """
    return x - E * (x - math.atan(x))


@law
def magic_slope(x: float, C: float, E: float) -> float:
    """Slope of the magic formula over its slope at no slip, from the stretched slip.

    Parameters
    ----------
    x : float
        Stiffness factor times slip, B s [-].
    C, E : float
        Shape and curvature factor [-].

    Returns
    -------
    float
        cos(C atan w) (1 - E + E/(1 + x^2))/(1 + w^2), w = x - E (x - atan x) [-]; negative beyond the peak.

    Notes
    -----
    Source: derivative of the law in `magic`, over B C D.

    Examples
    --------
    >>> magic_slope(0.0, 1.65, 0.5)
    1.0
    """
    w = magic_angle(x, E)
    return math.cos(C * math.atan(w)) * (1.0 - E + E / (1.0 + x * x)) / (1.0 + w * w)


@law
def magic(
    slip: float, k: float, V: float, B: float, C: float, D: float, E: float, fading: float
) -> tuple[float, float]:
    """Friction by the magic formula, and how steep its curve is where the carcass stands.

    Parameters
    ----------
    slip, k, V : float
        As for `burckhardt`.
    B, C, D, E : float
        Stiffness factor (for slips up to 1), shape factor, peak friction, curvature factor [-]; E at most 1.
    fading : float
        Loss with speed, see `fade` [s/m].

    Returns
    -------
    tuple of float
        (friction with the sign of the slip, slope of the curve at k over its slope at no slip, 0 to 1) [-].

    Notes
    -----
    mu = D sin(C atan(B s - E (B s - atan B s))) exp(-fading s (V - 17.8)). Bakker, Nyborg and Pacejka, SAE 870421, and
    Pacejka, Tyre and Vehicle Dynamics (from memory, to be read against the paper).

    Examples
    --------
    Locked: w = 6.903, C atan w = 2.354, its sine 0.708, times D:

    >>> round(magic(1.0, 0.0, 17.8, 15.0, 1.65, 0.8, 0.6, 0.0)[0], 3)
    0.567
    """
    size = capped(slip)
    friction = D * math.sin(C * math.atan(magic_angle(B * size, E))) * fade(size, V, fading)
    slope = max(magic_slope(B * capped(k), C, E), 0.0)
    return friction if slip >= 0.0 else -friction, slope


@law
def grip(load: float, friction: float, sensitivity: float, rated_load: float) -> float:
    """Force of the road on the vehicle at a wheel.

    Parameters
    ----------
    load : float
        Vertical load of the wheel [N]; a negative one counts as none.
    friction : float
        Friction at the rated load, with the sign of the slip [-].
    sensitivity : float
        Share of friction lost when the load doubles [-]; 0.08 by default.
    rated_load : float
        Load at which the friction holds [N], positive.

    Returns
    -------
    float
        -N mu [1 - sensitivity (N/N_rated - 1)] [N], forward positive; negative when braking.

    Notes
    -----
    Linear load sensitivity, common practice (Gillespie, Fundamentals of Vehicle Dynamics, tyres; from memory).

    Examples
    --------
    >>> round(grip(30e3, 0.5, 0.08, 30e3)), round(grip(15e3, 0.5, 0.08, 30e3))
    (-15000, -7800)
    """
    N = max(load, 0.0)
    return -N * friction * (1.0 - sensitivity * (N / rated_load - 1.0))


@law
def grip_gradient(
    load: float, friction: float, sensitivity: float, rated_load: float
) -> tuple[float, float, float]:
    """`grip` and its derivatives.

    Parameters
    ----------
    load, friction, sensitivity, rated_load : float
        As for `grip`.

    Returns
    -------
    tuple of float
        (force, d force/d load, d force/d friction).

    Notes
    -----
    Source: derivatives of the law in `grip`, by hand.

    Examples
    --------
    >>> grip_gradient(1000.0, 0.5, 0.0, 1000.0)
    (-500.0, -0.5, -1000.0)
    """
    N = max(load, 0.0)
    factor = 1.0 - sensitivity * (N / rated_load - 1.0)
    d_load = -friction * (factor - sensitivity * N / rated_load) if load > 0.0 else 0.0
    return -N * friction * factor, d_load, -N * factor
