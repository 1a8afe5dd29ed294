"""Wall friction and wall heat of pipe flow, and the static state of a moving gas."""

import math

from pneusim.physics.compiled import law
from pneusim.physics.constants import CP, KAPPA, MU, PRANDTL, R

LAMINAR = 64.0  #: friction factor times Reynolds number in laminar flow [-]
LAMINAR_LIMIT = 1000.0  #: Reynolds number below which Churchill's formula is 64/Re to 1e-13 of it [-]
TURBULENT_LIMIT = 2e4  #: above it all but the turbulent term of the formula is below 1e-12 of it [-]
RECOVERY = 0.45 / CP  #: turbulent recovery factor 0.9 over 2 cp [K s2/m2]
NUSSELT_FLOOR = 3.66  #: laminar, constant wall temperature [-]

_SONIC = 0.5 * KAPPA * (KAPPA + 1.0)
_TOTAL = 2.0 * R * R / CP
_CHILTON: float = PRANDTL ** (-2.0 / 3.0)
#: film coefficient times bore, per unit of friction number [W/(m K)]
_FILM_SHARE = 0.125 * CP * MU * _CHILTON
_FILM_FLOOR = NUSSELT_FLOOR * MU * CP / PRANDTL


@law
def churchill(reynolds: float, relative_roughness: float) -> float:
    """Darcy friction factor in laminar, transitional and turbulent flow.

    Parameters
    ----------
    reynolds : float
        Reynolds number |G| d / mu [-], positive.
    relative_roughness : float
        Wall roughness over bore [-], 0 to 0.05.

    Returns
    -------
    float
        Darcy friction factor [-].

    Notes
    -----
    f = 8 ((8/Re)^12 + (A + B)^-1.5)^(1/12), A = (2.457 ln 1/((7/Re)^0.9 + 0.27 e/d))^16, B = (37530/Re)^16.
    Source: Churchill, Friction-factor equation spans all fluid-flow regimes, Chem. Eng. 84 (1977) 91.

    Examples
    --------
    >>> round(churchill(1e5, 1.5e-6 / 9e-3), 5)
    0.01883
    """
    if reynolds < LAMINAR_LIMIT:
        return LAMINAR / reynolds
    log_term = -math.log(math.exp(0.9 * math.log(7.0 / reynolds)) + 0.27 * relative_roughness)
    if reynolds > TURBULENT_LIMIT:
        return 8.0 / (2.457 * log_term) ** 2
    s = _power16(2.457 * log_term) + _power16(37530.0 / reynolds)
    return 8.0 * math.exp(math.log(_power12(8.0 / reynolds) + 1.0 / (s * math.sqrt(s))) / 12.0)


@law
def churchill_gradient(reynolds: float, relative_roughness: float) -> tuple[float, float]:
    """Friction factor of `churchill` and its derivative to the Reynolds number.

    Parameters
    ----------
    reynolds, relative_roughness : float
        As for `churchill`.

    Returns
    -------
    tuple of float
        (f, df/dRe).

    Notes
    -----
    Source: derivative of the formula in `churchill`, by hand.

    Examples
    --------
    >>> churchill_gradient(100.0, 0.0)
    (0.64, -0.0064)
    """
    if reynolds < LAMINAR_LIMIT:
        f = LAMINAR / reynolds
        return f, -f / reynolds
    smooth = math.exp(0.9 * math.log(7.0 / reynolds))
    inner = smooth + 0.27 * relative_roughness
    log_term = -math.log(inner)
    if reynolds > TURBULENT_LIMIT:
        f = 8.0 / (2.457 * log_term) ** 2
        return f, -1.8 * f * smooth / (inner * log_term * reynolds)
    a = _power16(2.457 * log_term)
    b = _power16(37530.0 / reynolds)
    s = a + b
    turbulent = 1.0 / (s * math.sqrt(s))
    laminar = _power12(8.0 / reynolds)
    total = laminar + turbulent
    f = 8.0 * math.exp(math.log(total) / 12.0)
    # Re ds/dRe, then Re d(total)/dRe
    ds = 16.0 * (a * 0.9 * smooth / (inner * log_term) - b)
    dtotal = -12.0 * laminar - 1.5 * turbulent / s * ds
    return f, f * dtotal / (12.0 * total * reynolds)


@law
def _power12(x: float) -> float:
    """x^12."""
    square = x * x
    fourth = square * square
    return fourth * fourth * fourth


@law
def _power16(x: float) -> float:
    """x^16."""
    square = x * x
    fourth = square * square
    eighth = fourth * fourth
    return eighth * eighth


@law
def friction_number(reynolds: float, relative_roughness: float, friction_factor: float) -> float:
    """Friction factor times Reynolds number: finite (64) at rest, where the factor itself is not.

    Parameters
    ----------
    reynolds : float
        Reynolds number [-], not negative.
    relative_roughness : float
        Wall roughness over bore [-].
    friction_factor : float
        0: Churchill; else a fixed Darcy friction factor [-].

    Returns
    -------
    float
        f Re [-].

    Notes
    -----
    Source: `churchill`; Darcy-Weisbach loss f rho u^2/(2 d) = (f Re) mu u/(2 d^2).

    Examples
    --------
    >>> friction_number(0.0, 1e-4, 0.0)
    64.0
    """
    if friction_factor > 0.0:
        return friction_factor * reynolds
    if reynolds < LAMINAR_LIMIT:
        return LAMINAR
    return reynolds * churchill(reynolds, relative_roughness)


@law
def friction_number_gradient(reynolds: float, relative_roughness: float, friction_factor: float) -> tuple[float, float]:
    """`friction_number` and its derivative to the Reynolds number.

    Parameters
    ----------
    reynolds, relative_roughness, friction_factor : float
        As for `friction_number`.

    Returns
    -------
    tuple of float
        (f Re, d(f Re)/dRe).

    Notes
    -----
    Source: derivative of `friction_number`, by hand.

    Examples
    --------
    >>> friction_number_gradient(2e5, 1e-4, 0.02)
    (4000.0, 0.02)
    """
    if friction_factor > 0.0:
        return friction_factor * reynolds, friction_factor
    if reynolds < LAMINAR_LIMIT:
        return LAMINAR, 0.0
    f, slope = churchill_gradient(reynolds, relative_roughness)
    return f * reynolds, f + reynolds * slope


@law
def film_of_number(number: float, bore: float) -> float:
    """Film coefficient from the friction number f Re.

    Parameters
    ----------
    number : float
        Friction number f Re [-], not negative.
    bore : float
        Inner diameter [m].

    Returns
    -------
    float
        Film coefficient [W/(m2 K)], continuous, with a kink where the floor ends.

    Notes
    -----
    Source: as for `colburn_film`.

    Examples
    --------
    >>> round(film_of_number(0.0, 9e-3), 2)
    10.47
    """
    return max(_FILM_FLOOR, _FILM_SHARE * number) / bore


@law
def film_of_number_slope(number: float, bore: float) -> float:
    """Derivative of `film_of_number` to the friction number.

    Parameters
    ----------
    number, bore : float
        As for `film_of_number`.

    Returns
    -------
    float
        Slope [W/(m2 K)]; 0 on the floor.

    Notes
    -----
    Source: derivative of `film_of_number`, by hand.

    Examples
    --------
    >>> film_of_number_slope(0.0, 9e-3)
    0.0
    """
    return _FILM_SHARE / bore if _FILM_SHARE * number > _FILM_FLOOR else 0.0


@law
def colburn_film(mass_flux: float, friction: float, bore: float) -> float:
    """Film coefficient at the wall of a pipe, by the analogy of friction and heat.

    Parameters
    ----------
    mass_flux : float
        Mass flux G = rho u, either sign [kg/(s m2)].
    friction : float
        Darcy friction factor [-], not negative.
    bore : float
        Inner diameter [m].

    Returns
    -------
    float
        Film coefficient [W/(m2 K)], to act on the recovery temperature T + 0.9 u^2/(2 cp).

    Notes
    -----
    h = (f/8) |G| cp Pr^(-2/3), not below Nu = 3.66. Chilton-Colburn analogy, e.g. Incropera and DeWitt,
    Fundamentals of Heat and Mass Transfer, internal flow (from memory, to be read against the book). It holds
    for turbulent flow; with the laminar f = 64/Re it gives Nu = 7.1, twice the developed laminar value.

    Examples
    --------
    >>> round(colburn_film(500.0, 0.018, 9e-3))
    1420
    """
    return film_of_number(friction * abs(mass_flux) * bore / MU, bore)


@law
def static_density(mass_flux: float, p: float, T_total: float) -> float:
    """Density of a stream known by mass flux, static pressure and total temperature.

    Parameters
    ----------
    mass_flux : float
        Mass flux, either sign [kg/(s m2)].
    p : float
        Static pressure [Pa absolute], positive.
    T_total : float
        Total temperature T + u^2/(2 cp) [K], positive.

    Returns
    -------
    float
        Density [kg/m3]; p/(R T_total) at rest.

    Notes
    -----
    Root of p = rho R (T_total - (G/rho)^2/(2 cp)); source: energy equation of perfect-gas flow, any
    gas-dynamics text.

    Examples
    --------
    >>> round(static_density(1000.0, 4e5, 293.15), 4)
    5.0872
    """
    root = math.sqrt(p * p + _TOTAL * mass_flux * mass_flux * T_total)
    return (p + root) / (2.0 * R * T_total)


@law
def static_density_gradient(mass_flux: float, p: float, T_total: float) -> tuple[float, float, float, float]:
    """Density of `static_density` and its partial derivatives.

    Parameters
    ----------
    mass_flux, p, T_total : float
        As for `static_density`.

    Returns
    -------
    tuple of float
        (rho, d/d mass_flux, d/dp, d/dT_total).

    Notes
    -----
    Source: derivatives of the law in `static_density`, by hand.

    Examples
    --------
    >>> static_density_gradient(0.0, 287050.0, 500.0)[:3]
    (2.0, 0.0, 6.967427277477791e-06)
    """
    root = math.sqrt(p * p + _TOTAL * mass_flux * mass_flux * T_total)
    share = 1.0 / (2.0 * R * T_total)
    rho = (p + root) * share
    slope_flux = _TOTAL * mass_flux / (2.0 * R * root)
    slope_T = 0.5 * _TOTAL * mass_flux * mass_flux / root * share - rho / T_total
    return rho, slope_flux, (1.0 + p / root) * share, slope_T


@law
def sonic_end_pressure(mass_flux: float, T_total: float) -> float:
    """Static pressure at which a stream is sonic: the least pressure inside an open end.

    Parameters
    ----------
    mass_flux : float
        Mass flux, either sign [kg/(s m2)].
    T_total : float
        Total temperature [K], positive.

    Returns
    -------
    float
        Pressure [Pa absolute].

    Notes
    -----
    p* = |G| sqrt(R T_total/(kappa (kappa + 1)/2)): Mach 1 of Fanno and isentropic flow, any gas-dynamics
    text.

    Examples
    --------
    >>> round(sonic_end_pressure(2124.41, 293.15) / 900e3, 4)
    0.5283
    """
    return abs(mass_flux) * math.sqrt(R * T_total / _SONIC)
