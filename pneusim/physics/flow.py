"""Flow through a restriction after ISO 6358, with a laminar core near zero pressure difference."""

import math

from pneusim.physics import plain
from pneusim.physics.compiled import law
from pneusim.physics.constants import OPEN_END_CD, RHO0, T0

hole_conductance = law(plain.hole_conductance)
tube_conductance = law(plain.tube_conductance)
series = law(plain.series)


@law
def open_end_conductance(bore: float) -> float:
    """Sonic conductance of an open tube end, `plain.open_end_conductance` compiled.

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
    Source: limit L -> 0 of `tube_conductance`.

    Examples
    --------
    >>> round(open_end_conductance(9.5e-3) * 1e8, 1)
    11.6
    """
    return hole_conductance(bore, OPEN_END_CD)


@law
def iso6358(
    p_a: float,
    T_a: float,
    p_b: float,
    T_b: float,
    conductance: float,
    critical_ratio: float,
    dp_laminar: float,
) -> float:
    """Signed mass flow from a to b.

    Parameters
    ----------
    p_a, p_b : float
        Stagnation pressures [Pa absolute], positive.
    T_a, T_b : float
        Stagnation temperatures [K], positive.
    conductance : float
        Sonic conductance C, already multiplied by the opening [m3/(s Pa)], not negative.
    critical_ratio : float
        Critical back-pressure ratio b [-], 0 to below 1.
    dp_laminar : float
        Pressure difference below which the flow becomes linear [Pa], positive; 20 Pa by default.

    Returns
    -------
    float
        Mass flow [kg/s], positive from a to b.

    Notes
    -----
    Choked (r = p2/p1 <= b): q = C p1 rho0 sqrt(T0/T1). Subsonic: times phi = X sqrt((1 + eps)/(X + eps)) with
    X = 1 - ((r - b)/(1 - b))^2 and eps = 2 dp_laminar/(p1 (1 - b)), which is the ellipse of ISO 6358:1989
    (m = 0.5 in ISO 6358-1:2013) when dp_laminar -> 0. phi is 1 at X = 1 and linear in the pressure difference
    far below dp_laminar.

    Examples
    --------
    >>> round(iso6358(900e3, 293.15, 101325.0, 293.15, 1e-8, 0.3, 20.0), 6)
    0.010665
    """
    if p_a >= p_b:
        p1, T1, p2, sign = p_a, T_a, p_b, 1.0
    else:
        p1, T1, p2, sign = p_b, T_b, p_a, -1.0
    choked = sign * conductance * p1 * RHO0 * math.sqrt(T0 / T1)
    r = p2 / p1
    if r <= critical_ratio:
        return choked
    z = (r - critical_ratio) / (1.0 - critical_ratio)
    x = 1.0 - z * z
    eps = 2.0 * dp_laminar / (p1 * (1.0 - critical_ratio))
    return choked * x * math.sqrt((1.0 + eps) / (x + eps))


@law
def iso6358_gradient(
    p_a: float,
    T_a: float,
    p_b: float,
    T_b: float,
    conductance: float,
    critical_ratio: float,
    dp_laminar: float,
) -> tuple[float, float, float, float, float, float]:
    """Mass flow of `iso6358` and its partial derivatives.

    Parameters
    ----------
    p_a, T_a, p_b, T_b, conductance, critical_ratio, dp_laminar : float
        As for `iso6358`.

    Returns
    -------
    tuple of float
        (q, dq/dp_a, dq/dT_a, dq/dp_b, dq/dT_b, dq/dC). At p_a = p_b the one-sided values for p_a >= p_b.

    Notes
    -----
    Source: derivatives of the law in `iso6358`, by hand.

    Examples
    --------
    >>> round(iso6358_gradient(900e3, 293.15, 101325.0, 293.15, 1e-8, 0.3, 20.0)[1] * 1e8, 3)
    1.185
    """
    if p_a >= p_b:
        p1, T1, p2, sign = p_a, T_a, p_b, 1.0
    else:
        p1, T1, p2, sign = p_b, T_b, p_a, -1.0
    flux = sign * RHO0 * math.sqrt(T0 / T1)
    phi, slope_1, slope_2 = _subsonic_factor(p1, p2, critical_ratio, dp_laminar)
    dq_dC = flux * p1 * phi
    q = conductance * dq_dC
    dq_d1 = conductance * flux * (phi + p1 * slope_1)
    dq_d2 = conductance * flux * p1 * slope_2
    dq_dT1 = -0.5 * q / T1
    if sign > 0.0:
        return q, dq_d1, dq_dT1, dq_d2, 0.0, dq_dC
    return q, dq_d2, 0.0, dq_d1, dq_dT1, dq_dC


@law
def _subsonic_factor(p1: float, p2: float, b: float, dp_laminar: float) -> tuple[float, float, float]:
    """The factor phi [-] of `iso6358` with its derivatives to p1 and p2 [1/Pa]."""
    r = p2 / p1
    if r <= b:
        return 1.0, 0.0, 0.0
    span = p1 * (1.0 - b)
    z = (r - b) / (1.0 - b)
    x = 1.0 - z * z
    eps = 2.0 * dp_laminar / span
    root = math.sqrt((1.0 + eps) / (x + eps))
    phi = x * root
    dphi_dx = root * (1.0 - 0.5 * x / (x + eps))
    dphi_deps = 0.5 * phi * (1.0 / (1.0 + eps) - 1.0 / (x + eps))
    dx_d2 = -2.0 * z / span
    return phi, -dphi_dx * dx_d2 * r - dphi_deps * eps / p1, dphi_dx * dx_d2
