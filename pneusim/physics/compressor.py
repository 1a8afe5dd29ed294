"""Delivery of a reciprocating compressor."""

from pneusim.physics.compiled import law
from pneusim.physics.constants import R

#: exponent of the gas left in the clearance volume while it expands again [-], common practice, no source
REEXPANSION = 1.3


@law
def delivery(
    p_delivery: float,
    p_ambient: float,
    T_ambient: float,
    displacement: float,
    speed_rev_per_s: float,
    eta0: float,
    clearance: float,
) -> float:
    """Mass flow delivered while loaded.

    Parameters
    ----------
    p_delivery, p_ambient : float
        Delivery and suction pressure [Pa absolute], positive.
    T_ambient : float
        Suction temperature [K].
    displacement : float
        Swept volume per revolution [m3].
    speed_rev_per_s : float
        Speed [1/s].
    eta0 : float
        Volumetric efficiency at pressure ratio 1 [-].
    clearance : float
        Clearance volume over swept volume [-].

    Returns
    -------
    float
        Mass flow [kg/s], never negative.

    Notes
    -----
    Clearance law of the ideal reciprocating compressor, eta = eta0 (1 - k ((p/p_amb)^(1/n) - 1)), as in
    thermodynamics texts (e.g. Balmer, Modern Engineering Thermodynamics, reciprocating compressors); n 1.3.

    Examples
    --------
    0.36 L/rev at 2200 rpm against 8 bar gauge:

    >>> q = delivery(901325.0, 101325.0, 293.15, 0.36e-3, 2200 / 60, 0.85, 0.045)
    >>> round(q * 1e3, 2)
    10.85
    """
    expansion: float = (p_delivery / p_ambient) ** (1.0 / REEXPANSION)
    filling = eta0 * (1.0 - clearance * (expansion - 1.0))
    return max(filling, 0.0) * displacement * speed_rev_per_s * p_ambient / (R * T_ambient)
