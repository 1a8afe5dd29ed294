"""Internal-expanding drum brake with hinged shoes: moments, actuating force, gain, shoe factor.

The pressure on the lining is p = p_a sin(theta)/sin(theta_a), angles counted from the hinge, theta_a = 90 deg or
the end of the lining if that comes first.  Plain Python: nothing here runs inside a step.

All laws: Shigley, Mechanical Engineering Design, chapter on clutches and brakes, internal expanding rim brakes
(M_f, M_N, F and T of one shoe); the sum of two shoes by equal travel: Limpert, Brake Design and Safety, S-cam brakes
(from memory, to be read against the book).
"""

import math


def largest_pressure_angle(end: float) -> float:
    """Angle of the largest lining pressure.

    Parameters
    ----------
    end : float
        Angle from the hinge to the end of the lining [rad], 0 to pi.

    Returns
    -------
    float
        theta_a [rad].

    Examples
    --------
    >>> round(math.degrees(largest_pressure_angle(math.radians(126.0))), 6)
    90.0
    """
    return min(end, 0.5 * math.pi)


def shoe_torque(mu: float, pressure: float, width: float, radius: float, start: float, end: float) -> float:
    """Torque of one shoe on the drum.

    Parameters
    ----------
    mu : float
        Coefficient of friction [-].
    pressure : float
        Largest lining pressure p_a [Pa].
    width, radius : float
        Face width of the lining and radius of the drum [m].
    start, end : float
        Angles from the hinge to the ends of the lining [rad], 0 <= start < end <= pi.

    Returns
    -------
    float
        T = mu p_a b r^2 (cos theta_1 - cos theta_2)/sin theta_a [N m].

    Examples
    --------
    Example 16-2: 300 mm drum, 32 mm face, friction 0.32, 1.0 MPa, lining from 0 to 126 deg; the book has 366 N m:

    >>> round(shoe_torque(0.32, 1.0e6, 0.032, 0.15, 0.0, math.radians(126.0)), 1)
    365.8
    """
    return mu * pressure * width * radius**2 * (math.cos(start) - math.cos(end)) / _sine(end)


def friction_moment(
    mu: float, pressure: float, width: float, radius: float, hinge: float, start: float, end: float
) -> float:
    """Moment of the friction forces about the hinge.

    Parameters
    ----------
    mu, pressure, width, radius, start, end : float
        As for `shoe_torque`.
    hinge : float
        Distance a of the hinge from the centre of the drum [m].

    Returns
    -------
    float
        M_f = (mu p_a b r/sin theta_a)[r (cos theta_1 - cos theta_2) - (a/2)(sin^2 theta_2 - sin^2 theta_1)] [N m].

    Examples
    --------
    The same brake, hinge at 112 mm and 50 mm from the centre; the book has 304 N m:

    >>> round(friction_moment(0.32, 1.0e6, 0.032, 0.15, math.hypot(0.112, 0.050), 0.0, math.radians(126.0)), 1)
    304.2
    """
    arms = radius * (math.cos(start) - math.cos(end)) - 0.5 * hinge * (math.sin(end) ** 2 - math.sin(start) ** 2)
    return mu * pressure * width * radius / _sine(end) * arms


def normal_moment(pressure: float, width: float, radius: float, hinge: float, start: float, end: float) -> float:
    """Moment of the normal forces about the hinge.

    Parameters
    ----------
    pressure, width, radius, hinge, start, end : float
        As for `friction_moment`.

    Returns
    -------
    float
        M_N = (p_a b r a/sin theta_a)[(theta_2 - theta_1)/2 - (sin 2 theta_2 - sin 2 theta_1)/4] [N m].

    Examples
    --------
    The same brake; the book has 788 N m:

    >>> round(normal_moment(1.0e6, 0.032, 0.15, math.hypot(0.112, 0.050), 0.0, math.radians(126.0)), 1)
    787.3
    """
    lever = 0.5 * (end - start) - 0.25 * (math.sin(2.0 * end) - math.sin(2.0 * start))
    return pressure * width * radius * hinge / _sine(end) * lever


def actuating_force(normal: float, friction: float, arm: float, *, leading: bool) -> float:
    """Force at the tip of a shoe.

    Parameters
    ----------
    normal, friction : float
        Moments M_N and M_f about the hinge [N m].
    arm : float
        Distance c of the force from the hinge [m].
    leading : bool
        Whether friction helps the force (the drum runs from the tip of the shoe to its hinge).

    Returns
    -------
    float
        F = (M_N -+ M_f)/c [N]; not positive for a leading shoe that locks by itself.

    Examples
    --------
    The same brake, arm 212 mm; the book has 2.28 kN:

    >>> round(actuating_force(787.3, 304.2, 0.212, leading=True), -1)
    2280.0
    """
    return (normal - friction if leading else normal + friction) / arm


def shoe_gain(
    mu: float, radius: float, hinge: float, start: float, end: float, arm: float, *, leading: bool
) -> float:
    """Drag of one shoe on the drum over the force at its tip.

    Parameters
    ----------
    mu, radius, hinge, start, end, arm, leading
        As for the laws above; the width of the lining and its pressure cancel out.

    Returns
    -------
    float
        S = T/(r F) [-].

    Raises
    ------
    ValueError
        If a leading shoe locks by itself: M_f >= M_N.

    Examples
    --------
    >>> brake = 0.32, 0.15, math.hypot(0.112, 0.050), 0.0, math.radians(126.0), 0.212
    >>> [round(shoe_gain(*brake, leading=leading), 3) for leading in (True, False)]
    [1.07, 0.474]
    """
    normal = normal_moment(1.0, 1.0, radius, hinge, start, end)
    friction = friction_moment(mu, 1.0, 1.0, radius, hinge, start, end)
    force = actuating_force(normal, friction, arm, leading=leading)
    if force <= 0.0:
        raise ValueError(f"the leading shoe locks by itself at a friction of {mu:g}")
    return shoe_torque(mu, 1.0, 1.0, radius, start, end) / (radius * force)


def equal_travel_factor(leading: float, trailing: float) -> float:
    """Shoe factor C* of a leading and a trailing shoe that a cam moves by the same travel.

    Parameters
    ----------
    leading, trailing : float
        Gains of the two shoes [-], positive.

    Returns
    -------
    float
        C* = 4 S1 S2/(S1 + S2) [-]: drag of both shoes over the mean force at their tips.

    Notes
    -----
    Equal travel means equal wear and in the end equal drag D of both shoes, so the tip forces are D/S1 and D/S2.  With
    equal forces it would be S1 + S2.

    Examples
    --------
    >>> round(equal_travel_factor(1.070, 0.474), 3)
    1.314
    """
    return 4.0 * leading * trailing / (leading + trailing)


def _sine(end: float) -> float:
    return math.sin(largest_pressure_angle(end))
