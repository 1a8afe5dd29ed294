"""Surfaces told by shape or by measured points, turned into the coefficients of a friction law; peaks of laws.

Plain Python: nothing here runs inside a step.
"""

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq, least_squares, minimize_scalar, nnls

from pneusim.physics.adhesion import MEASURED_AT, magic_angle

Points = Sequence[tuple[float, float]]
NO_PEAK = 0.999  # a locked wheel that keeps this share of the peak: the curve only saturates
SATURATED = 0.99  # share of its friction that such a curve reaches at the slip given for its peak
_SLIPS = np.linspace(0.0, 1.0, 2001)
_SHAPES = np.linspace(1.001, 1.999, 500)
_RATES = np.geomspace(1.0, 1000.0, 200)


def peak(
    law: Callable[..., tuple[float, float]], numbers: Sequence[float], V: float = MEASURED_AT
) -> tuple[float, float]:
    """Peak of a friction law at a speed.

    Parameters
    ----------
    law : callable
        `burckhardt` or `magic`.
    numbers : sequence of float
        The law's coefficients and its fading.
    V : float
        Speed [m/s].

    Returns
    -------
    tuple of float
        (slip, friction) [-]; slip 1 where the curve rises to the end.

    Notes
    -----
    Source: numerical search, the largest of 2001 points and a bounded minimisation about it.

    Examples
    --------
    Dry asphalt by Burckhardt's coefficients; ln(c1 c2/c3)/c2 is 0.1700:

    >>> from pneusim.physics.adhesion import burckhardt
    >>> [round(x, 4) for x in peak(burckhardt, (1.2801, 23.99, 0.52, 0.0))]
    [0.17, 1.17]
    """

    def loss(slip: float) -> float:
        return -law(slip, 0.0, V, *numbers)[0]

    best = min(range(len(_SLIPS)), key=lambda i: loss(float(_SLIPS[i])))
    around = float(_SLIPS[max(best - 1, 0)]), float(_SLIPS[min(best + 1, len(_SLIPS) - 1)])
    found = minimize_scalar(loss, bounds=around, method="bounded", options={"xatol": 1e-9})
    slip = min((around[1], float(found.x)), key=loss)
    return slip, -loss(slip)


def burckhardt_of_shape(peak: float, peak_slip: float, locked: float) -> tuple[float, float, float]:
    """Coefficients of Burckhardt's law from the shape of the curve.

    Parameters
    ----------
    peak, peak_slip : float
        Peak friction and the slip at it [-], positive; the slip below 1.
    locked : float
        Friction of a locked wheel [-], positive and at most `peak`.

    Returns
    -------
    tuple of float
        (c1, c2, c3) [-].

    Raises
    ------
    ValueError
        If the figures are not those of a curve with a peak, or fall too steeply beyond it for this law.

    Notes
    -----
    With c3 = c1 c2 exp(-c2 s*): mu_peak = c1 [1 - exp(-c2 s*)(1 + c2 s*)], mu_locked = c1 [1 - exp(-c2) - c2
    exp(-c2 s*)]; their ratio gives c2. Source: conditions of the law in `burckhardt`. Where `locked` equals `peak` the
    curve only saturates: c3 = 0, and 99 % of the friction is there at `peak_slip`.

    Examples
    --------
    >>> [round(c, 2) for c in burckhardt_of_shape(1.17, 0.17, 0.76)]
    [1.28, 23.99, 0.52]
    """
    _check_shape(peak, peak_slip, locked)
    if locked >= NO_PEAK * peak:
        return peak, -math.log(1.0 - SATURATED) / peak_slip, 0.0

    def surplus(c2: float) -> float:
        fall = math.exp(-c2 * peak_slip)
        return (1.0 - math.exp(-c2) - c2 * fall) - locked / peak * (1.0 - fall * (1.0 + c2 * peak_slip))

    least, most = 1e-2, 100.0 / peak_slip
    if surplus(least) >= 0.0:
        raise ValueError(f"no curve of this law falls from {peak:g} at a slip of {peak_slip:g} to {locked:g}")
    c2 = float(brentq(surplus, least, most, xtol=1e-12))
    fall = math.exp(-c2 * peak_slip)
    c1 = peak / (1.0 - fall * (1.0 + c2 * peak_slip))
    return c1, c2, c1 * c2 * fall


def magic_of_shape(
    peak: float, peak_slip: float, locked: float, slope: float = 0.0
) -> tuple[float, float, float, float]:
    """Coefficients of the magic formula from the shape of the curve.

    Parameters
    ----------
    peak, peak_slip, locked : float
        As for `burckhardt_of_shape`.
    slope : float
        Slope of the curve at no slip [-]; 0: that of the law without curvature, E = 0.

    Returns
    -------
    tuple of float
        (B, C, D, E) [-].

    Raises
    ------
    ValueError
        If no curve of this law, with C between 1 and 2 and E at most 1, has the shape.

    Notes
    -----
    D = mu_peak, w(s*) = tan(pi/(2 C)), D sin(C atan w(1)) = mu_locked, B C D = slope; w = B s - E (B s - atan B s).
    Of several solutions that with the least C. Source: conditions of the law in `magic`. Where `locked` equals `peak`
    the curve only saturates: C = 1, E = 0, and without a slope 99 % of the friction is there at `peak_slip`.

    Examples
    --------
    >>> [round(x, 3) for x in magic_of_shape(0.8, 0.15, 0.55)]
    [9.671, 1.624, 0.8, 0.0]
    """
    _check_shape(peak, peak_slip, locked)
    if locked >= NO_PEAK * peak:
        return slope / peak or math.tan(math.asin(SATURATED)) / peak_slip, 1.0, peak, 0.0

    def factors(C: float) -> tuple[float, float]:
        angle = math.tan(0.5 * math.pi / C)
        if slope == 0.0:
            return angle / peak_slip, 0.0
        B = slope / (C * peak)
        x = B * peak_slip
        return B, (x - angle) / (x - math.atan(x))

    def surplus(C: float) -> float:
        B, E = factors(C)
        return math.sin(C * math.atan(magic_angle(B, E))) - locked / peak

    values = [surplus(float(C)) for C in _SHAPES]
    for before, after, first, second in zip(_SHAPES, _SHAPES[1:], values, values[1:]):
        if first * second <= 0.0:
            C = float(brentq(surplus, before, after, xtol=1e-13))
            B, E = factors(C)
            if E <= 1.0:
                return B, C, peak, E
    told = f" and rises at {slope:g} from no slip" if slope else ""
    raise ValueError(
        f"no magic formula has its peak of {peak:g} at a slip of {peak_slip:g}, {locked:g} when locked{told}"
    )


def fit_burckhardt(points: Points) -> tuple[float, float, float]:
    """Coefficients of Burckhardt's law that come nearest to measured points.

    Parameters
    ----------
    points : sequence of (slip, friction)
        At least three with slips above 0 [-].

    Returns
    -------
    tuple of float
        (c1, c2, c3) [-], c1 and c3 not negative.

    Raises
    ------
    ValueError
        If there are fewer than three points, or none has friction.

    Notes
    -----
    Least squares; c1 and c3 enter linearly and are eliminated, c2 is searched for between 1 and 1000 (variable
    projection, textbook).

    Examples
    --------
    >>> from pneusim.physics.adhesion import burckhardt
    >>> points = [(s, burckhardt(s, 0.0, 17.8, 0.8, 30.0, 0.3, 0.0)[0]) for s in (0.02, 0.1, 0.2, 0.6, 1.0)]
    >>> [round(c, 4) for c in fit_burckhardt(points)]
    [0.8, 30.0, 0.3]
    """
    slips, frictions = _arrays(points, 3)

    def linear(log_c2: float) -> tuple[NDArray[np.float64], float]:
        basis = np.stack([1.0 - np.exp(-math.exp(log_c2) * slips), -slips], axis=1)
        factors, misfit = nnls(basis, frictions)
        return factors, float(misfit)

    logs = np.log(_RATES)
    best = min(range(len(logs)), key=lambda i: linear(float(logs[i]))[1])
    around = float(logs[max(best - 1, 0)]), float(logs[min(best + 1, len(logs) - 1)])
    found = minimize_scalar(lambda x: linear(x)[1], bounds=around, method="bounded", options={"xatol": 1e-10})
    (c1, c3), _ = linear(float(found.x))
    return float(c1), math.exp(float(found.x)), float(c3)


def fit_magic(points: Points) -> tuple[float, float, float, float]:
    """Coefficients of the magic formula that come nearest to measured points.

    Parameters
    ----------
    points : sequence of (slip, friction)
        At least four with slips above 0 [-].

    Returns
    -------
    tuple of float
        (B, C, D, E) [-]; C between 1 and 2, E between -10 and 1.

    Raises
    ------
    ValueError
        If there are fewer than four points, or none has friction.

    Notes
    -----
    Least squares within bounds (trust-region reflective, scipy), the best of three starts.

    Examples
    --------
    >>> from pneusim.physics.adhesion import magic
    >>> points = [(s, magic(s, 0.0, 17.8, 14.0, 1.6, 0.8, 0.5, 0.0)[0]) for s in (0.01, 0.05, 0.1, 0.2, 0.5, 1.0)]
    >>> [round(c, 3) for c in fit_magic(points)]
    [14.0, 1.6, 0.8, 0.5]
    """
    slips, frictions = _arrays(points, 4)

    def misfit(numbers: NDArray[np.float64]) -> NDArray[np.float64]:
        B, C, D, E = numbers
        x = B * slips
        curve: NDArray[np.float64] = D * np.sin(C * np.arctan(x - E * (x - np.arctan(x)))) - frictions
        return curve

    height = float(frictions.max())
    top = max(float(slips[frictions.argmax()]), 0.02)
    bounds = [0.1, 1.0, 0.1 * height, -10.0], [1000.0, 2.0, 2.0 * height, 1.0]
    found = [
        least_squares(
            misfit, [math.tan(0.5 * math.pi / C) / top, C, height, 0.0], bounds=bounds,
            x_scale=[10.0, 1.0, height, 1.0], xtol=1e-14, ftol=1e-14, gtol=1e-14,
        )
        for C in (1.3, 1.6, 1.9)
    ]  # fmt: skip
    B, C, D, E = min(found, key=lambda fit: float(fit.cost)).x
    return float(B), float(C), float(D), float(E)


def magic_of_burckhardt(c1: float, c2: float, c3: float) -> tuple[float, float, float, float]:
    """Coefficients of the magic formula with the peak and the locked friction of a curve of Burckhardt's law.

    Parameters
    ----------
    c1, c2, c3 : float
        As for `burckhardt`.

    Returns
    -------
    tuple of float
        (B, C, D, E) [-]; E is 0, so that the curve rises more gently than the other.

    Raises
    ------
    ValueError
        If the curve has neither a peak below a slip of 1 nor saturates.

    Notes
    -----
    Peak at ln(c1 c2/c3)/c2; source: `burckhardt` and `magic_of_shape`.

    Examples
    --------
    Dry asphalt, peak 1.170 at 0.17, locked 0.760:

    >>> from pneusim.physics.adhesion import magic
    >>> numbers = (*magic_of_burckhardt(1.2801, 23.99, 0.52), 0.0)
    >>> [round(x, 3) for x in (*peak(magic, numbers), magic(1.0, 0.0, 17.8, *numbers)[0])]
    [0.17, 1.17, 0.76]
    """
    if c3 <= 0.0:
        return magic_of_shape(c1, -math.log(1.0 - SATURATED) / c2, c1)
    slip = math.log(c1 * c2 / c3) / c2
    locked = c1 * (1.0 - math.exp(-c2)) - c3
    return magic_of_shape(c1 * (1.0 - math.exp(-c2 * slip)) - c3 * slip, slip, locked)


def _check_shape(peak: float, peak_slip: float, locked: float) -> None:
    if not (0.0 < peak_slip < 1.0 and 0.0 < locked <= peak):
        raise ValueError(
            f"a peak of {peak:g} at a slip of {peak_slip:g} and {locked:g} when locked is no friction curve: "
            f"the slip lies between 0 and 1, the locked friction between 0 and the peak"
        )


def _arrays(points: Points, least: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Slips and frictions; a point without slip says nothing."""
    told = [(slip, friction) for slip, friction in points if slip > 0.0]
    if len(told) < least:
        raise ValueError(f"{len(told)} points with slip do not tell a curve; it needs at least {least}")
    slips, frictions = np.array(told).T
    if frictions.max() <= 0.0:
        raise ValueError("none of the points has any friction")
    return slips, frictions
