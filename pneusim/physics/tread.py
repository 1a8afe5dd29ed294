"""Tread of a tyre: its slip while the carcass gives way, and how the carcass follows the wheel."""

from pneusim.physics.compiled import law

CREEPING = 2.0  # speed below which the tread is damped more [m/s]


@law
def tread_slip(V: float, v: float, k: float, damping: float, resting: float) -> float:
    """Slip of the tread: that of the carcass and a damping, more of it where the vehicle comes to rest.

    Parameters
    ----------
    V, v : float
        Speed of the vehicle and speed of the tread, radius times turning [m/s].
    k : float
        Transient slip of the carcass [-].
    damping, resting : float
        Slip for each metre per second of sliding, at any speed and at rest besides [s/m]; 0.001 and 0.06 by default.

    Returns
    -------
    float
        s = k + (V - v)[damping + resting max(0, 1 - |V|/2)] [-].

    Notes
    -----
    After the damped relaxation of Pacejka, Tyre and Vehicle Dynamics, for standstill (from memory): without it a
    vehicle on standing wheels swings almost undamped. It stands for the losses of carcass and suspension, which end the
    jerk of a stop within one or two swings; its size is an assumption, and stopping distances do not depend on it.

    Examples
    --------
    >>> round(tread_slip(0.0, -0.5, 0.01, 0.001, 0.06), 4), tread_slip(20.0, 19.0, 0.05, 0.001, 0.06)
    (0.0405, 0.051000000000000004)
    """
    return k + (V - v) * (damping + resting * max(0.0, 1.0 - abs(V) / CREEPING))


@law
def tread_slip_gradient(
    V: float, v: float, k: float, damping: float, resting: float
) -> tuple[float, float, float, float]:
    """`tread_slip` and its derivatives.

    Parameters
    ----------
    V, v, k, damping, resting : float
        As for `tread_slip`.

    Returns
    -------
    tuple of float
        (s, ds/dV, ds/dv, ds/dk).

    Notes
    -----
    Source: derivatives of the law in `tread_slip`, by hand.

    Examples
    --------
    >>> tread_slip_gradient(10.0, 8.0, 0.125, 0.5, 0.25)
    (1.125, 0.5, -0.5, 1.0)
    """
    share, bend = damping, 0.0
    if abs(V) < CREEPING:
        share += resting * (1.0 - abs(V) / CREEPING)
        bend = -resting / CREEPING if V >= 0.0 else resting / CREEPING
    return k + (V - v) * share, share + (V - v) * bend, -share, 1.0


@law
def creep_rate(V: float, v: float, k: float, slope: float, s0: float, s_min: float) -> float:
    """Rate of the transient slip of the carcass.

    Parameters
    ----------
    V, v : float
        Speed of the vehicle and of the tread [m/s].
    k : float
        Transient slip [-].
    slope : float
        Slope of the slip curve at k over that at no slip [-], 0 to 1.
    s0, s_min : float
        Relaxation length at no slip, and of a tyre that slides [m], positive.

    Returns
    -------
    float
        dk/dt = [(V - v) - |V| k]/sigma, sigma = s_min + (s0 - s_min) slope [1/s]; at rest k tends to (V - v)/V.

    Notes
    -----
    Relaxation of a tyre by a carcass spring in series with the contact, so that the length falls with the slope of
    the slip curve: Pacejka, Tyre and Vehicle Dynamics, transient tyre behaviour (from memory, to be read against the
    book). At standstill k is a spring and holds the vehicle.

    Examples
    --------
    >>> creep_rate(20.0, 19.0, 0.0, 1.0, 0.3, 0.02), creep_rate(20.0, 18.0, 0.1, 0.5, 0.3, 0.02)
    (3.3333333333333335, 0.0)
    """
    return (V - v - abs(V) * k) / (s_min + (s0 - s_min) * slope)


@law
def creep_rate_gradient(
    V: float, v: float, k: float, slope: float, s0: float, s_min: float
) -> tuple[float, float, float, float, float]:
    """`creep_rate` and its derivatives.

    Parameters
    ----------
    V, v, k, slope, s0, s_min : float
        As for `creep_rate`.

    Returns
    -------
    tuple of float
        (dk/dt, its derivatives to V, v, k, slope).

    Notes
    -----
    Source: derivatives of the law in `creep_rate`, by hand.

    Examples
    --------
    >>> creep_rate_gradient(2.0, 1.0, 0.0, 1.0, 0.5, 0.02)
    (2.0, 2.0, -2.0, -4.0, -1.92)
    """
    length = s_min + (s0 - s_min) * slope
    rate = (V - v - abs(V) * k) / length
    d_speed = (1.0 - k if V >= 0.0 else 1.0 + k) / length
    return rate, d_speed, -1.0 / length, -abs(V) / length, -rate * (s0 - s_min) / length
