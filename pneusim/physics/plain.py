"""Closed forms in plain Python: usable without numba; `flow` compiles those the kernel needs too."""

import math

from pneusim.physics.constants import CHOKED_FLUX, OPEN_END_CD, RHO0, T0, R


def hole_conductance(diameter: float, cd: float) -> float:
    """Sonic conductance of a round hole.

    Parameters
    ----------
    diameter : float
        Hole diameter [m], positive.
    cd : float
        Discharge coefficient [-], 0 to 1.

    Returns
    -------
    float
        Sonic conductance C [m3/(s Pa)]; the critical ratio that belongs to it is 0.528.

    Notes
    -----
    C = 0.68473 cd (pi/4) d^2 / (rho0 sqrt(R T0)): the choked ideal-nozzle flow of any gas-dynamics text
    written with the conductance of ISO 6358-1:2013.

    Examples
    --------
    A 4 mm hole, in dm3/(s bar); 1 mm2 of effective area is worth 0.199:

    >>> round(hole_conductance(4e-3, 0.8) * 1e8, 3)
    2.003
    """
    return CHOKED_FLUX * cd * 0.25 * math.pi * diameter * diameter / (RHO0 * math.sqrt(R * T0))


def open_end_conductance(bore: float) -> float:
    """Sonic conductance of an open tube end: the bore as a hole with cd 0.82.

    Parameters
    ----------
    bore : float
        Inner diameter [m], positive.

    Returns
    -------
    float
        Sonic conductance [m3/(s Pa)].

    Notes
    -----
    0.82 is the limit L -> 0 of `tube_conductance`. For a coupling or a port, never for a broken line: a line
    breaks with the resistance of its own length.

    Examples
    --------
    >>> round(open_end_conductance(9.5e-3) * 1e8, 1)
    11.6
    """
    return hole_conductance(bore, OPEN_END_CD)


def tube_conductance(bore: float, length: float) -> tuple[float, float]:
    """Sonic conductance and critical ratio of a straight smooth tube, entrance and exit included.

    Parameters
    ----------
    bore : float
        Inner diameter [m], 2 to 15 mm.
    length : float
        Tube length [m], 0.3 to 20 m.

    Returns
    -------
    tuple of float
        C [m3/(s Pa)] and b [-].

    Notes
    -----
    C = 0.029 d^2 / sqrt(L/d^1.25 + 510), b = 474 C/d^2. Eckersten's empirical form, as given in Beater,
    Pneumatic Drives, Springer 2007 (from memory, to be read against the book).

    Examples
    --------
    >>> c, b = tube_conductance(10e-3, 10.0)
    >>> round(c * 1e8, 2), round(b, 2)
    (4.79, 0.23)
    """
    conductance = 0.029 * bore * bore / math.sqrt(length / bore**1.25 + 510.0)
    return conductance, 474.0 * conductance / (bore * bore)


def series(c1: float, b1: float, c2: float, b2: float) -> tuple[float, float]:
    """Conductance and critical ratio of two restrictions in series, older rule.

    Parameters
    ----------
    c1, c2 : float
        Sonic conductances [m3/(s Pa)], positive.
    b1, b2 : float
        Critical ratios [-], 0 to 0.6.

    Returns
    -------
    tuple of float
        C [m3/(s Pa)] and b [-] of the pair.

    Notes
    -----
    1/C^3 = 1/C1^3 + 1/C2^3, b = 1 - C^2 ((1 - b1)/C1^2 + (1 - b2)/C2^2). A shortcut: up to 5 % from the exact
    solution when choked, under 1 % at small pressure differences, and blind to the order of the two.
    Source: the rule in use before ISO 6358-3:2014 (from memory, to be read against the official text).

    Examples
    --------
    >>> c, b = series(5e-8, 0.3, 5e-8, 0.3)
    >>> round(c * 1e8, 3), round(b, 3)
    (3.969, 0.118)
    """
    conductance = (c1**-3.0 + c2**-3.0) ** (-1.0 / 3.0)
    shares = (1.0 - b1) / (c1 * c1) + (1.0 - b2) / (c2 * c2)
    return conductance, 1.0 - conductance * conductance * shares


def feed_ratio_limit(p_trip: float, p_supply: float, p_ambient: float) -> float:
    """Largest C_feed / C_out at which a valve that senses its own delivery still trips on a lost line.

    Parameters
    ----------
    p_trip, p_supply : float
        Trip pressure and supply pressure [Pa gauge].
    p_ambient : float
        Ambient pressure [Pa absolute].

    Returns
    -------
    float
        The limit [-]; the valve trips when C_feed / C_out lies below it.

    Notes
    -----
    Both restrictions choked: C_feed p_supply = C_out p_delivery in absolute pressures.

    Examples
    --------
    >>> round(feed_ratio_limit(207e3, 827e3, 101325.0), 3)
    0.332
    """
    return (p_trip + p_ambient) / (p_supply + p_ambient)


def spring_balance_pressure(travel: float, piston_area: float, spring_force_0: float, spring_rate: float) -> float:
    """Hold-off pressure that balances the parking spring at a given travel, friction aside.

    Parameters
    ----------
    travel : float
        Spring-piston travel z from held off [m].
    piston_area : float
        Area of the spring piston [m2], positive.
    spring_force_0 : float
        Spring force at travel 0 [N].
    spring_rate : float
        Spring rate [N/m].

    Returns
    -------
    float
        Pressure [Pa gauge].

    Examples
    --------
    >>> round(spring_balance_pressure(0.0, 193.5e-4, 7600.0, 45e3) / 1e3)
    393
    """
    return (spring_force_0 - spring_rate * travel) / piston_area


def hold_off_pressure(piston_area: float, spring_force_0: float, spring_friction: float) -> float:
    """Pressure above which the parking spring is fully held off (reached while rising).

    Parameters
    ----------
    piston_area : float
        Area of the spring piston [m2], positive.
    spring_force_0 : float
        Spring force at travel 0 [N].
    spring_friction : float
        Friction of the spring piston [N].

    Returns
    -------
    float
        Pressure [Pa gauge].

    Examples
    --------
    >>> round(hold_off_pressure(193.5e-4, 7600.0, 150.0) / 1e3)
    401
    """
    return (spring_force_0 + spring_friction) / piston_area
