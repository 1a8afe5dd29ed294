"""Openings of valves: ramps, dead zones, graded valves, shuttles and protection valves.

Pressures here are compared with each other or with settings; any common reference serves unless a law says
gauge. Widths are physical (the pressure difference that opens a seat fully), settings are common practice.
"""

from pneusim.physics.compiled import law


@law
def ramp(x: float) -> float:
    """Step from 0 to 1 over 0 <= x <= 1 with zero slope at both ends.

    Parameters
    ----------
    x : float
        Argument [-].

    Returns
    -------
    float
        x^2 (3 - 2 x), 0 below, 1 above [-].

    Notes
    -----
    Source: cubic Hermite step, textbook.

    Examples
    --------
    >>> ramp(0.25)
    0.15625
    """
    if x <= 0.0:
        return 0.0
    if x >= 1.0:
        return 1.0
    return x * x * (3.0 - 2.0 * x)


@law
def ramp_slope(x: float) -> float:
    """Derivative of `ramp`.

    Parameters
    ----------
    x : float
        Argument [-].

    Returns
    -------
    float
        6 x (1 - x), 0 outside [-].

    Notes
    -----
    Source: derivative of `ramp`.

    Examples
    --------
    >>> ramp_slope(0.5)
    1.5
    """
    if x <= 0.0 or x >= 1.0:
        return 0.0
    return 6.0 * x * (1.0 - x)


@law
def dead_zone(force: float, half_width: float) -> float:
    """What is left of a force after dry friction has taken its share.

    Parameters
    ----------
    force : float
        Driving force or pressure difference, either sign [N or Pa].
    half_width : float
        Friction or half band, not negative [same unit].

    Returns
    -------
    float
        0 inside the band, else the excess with the sign of the force [same unit].

    Notes
    -----
    Coulomb friction without inertia, textbook.

    Examples
    --------
    >>> dead_zone(-150.0, 100.0)
    -50.0
    """
    if force > half_width:
        return force - half_width
    if force < -half_width:
        return force + half_width
    return 0.0


@law
def dead_zone_foot(force: float, half_width: float, foot: float) -> float:
    """`dead_zone` whose kink is rounded over a foot centred on the edge of the band.

    Parameters
    ----------
    force : float
        Driving force, either sign [N].
    half_width : float
        Friction, not negative [N].
    foot : float
        Width of the rounding [N]; the friction is the limit, so the law never jumps at zero force.

    Returns
    -------
    float
        Excess force [N]; equal to `dead_zone` above half_width + foot/2. Motion starts at half_width
        - foot/2.

    Notes
    -----
    A numerical device: an implicit solver would sit on the sharp kink all through a slow leak.

    Examples
    --------
    >>> dead_zone_foot(100.0, 100.0, 20.0), dead_zone_foot(-150.0, 100.0, 20.0)
    (2.5, -50.0)
    """
    width = min(foot, half_width)
    if width <= 0.0:
        return dead_zone(force, half_width)
    excess = abs(force) - half_width + 0.5 * width
    if excess <= 0.0:
        return 0.0
    value = excess * excess / (2.0 * width) if excess < width else excess - 0.5 * width
    return value if force > 0.0 else -value


@law
def follower_openings(target: float, feedback: float, half_band: float, width: float) -> tuple[float, float]:
    """Inlet and exhaust opening of a graded valve without spool lag.

    Parameters
    ----------
    target, feedback : float
        Pressure asked for and pressure delivered [Pa, same reference].
    half_band : float
        Half of the hysteresis band [Pa], not negative.
    width : float
        Pressure error beyond the band that opens a seat fully [Pa], positive.

    Returns
    -------
    tuple of float
        (inlet, exhaust) [-]; at most one of them is above 0.

    Notes
    -----
    The dead zone is the lap position; the delivered pressure is the memory of the hysteresis. Common
    practice, no source.

    Examples
    --------
    >>> follower_openings(300e3, 280e3, 5e3, 30e3)
    (0.5, 0.0)
    """
    x = dead_zone(target - feedback, half_band) / width
    return ramp(x), ramp(-x)


@law
def play_rate(x: float, pressure: float, opens: float, closes: float, width: float, tau: float) -> float:
    """Rate of a two-position spool that opens at one pressure and closes at a lower one.

    Parameters
    ----------
    x : float
        Spool position, 0 shut to 1 open [-].
    pressure, opens, closes : float
        Sensed pressure and the two settings, opens > closes [Pa, same reference].
    width : float
        Pressure range of each movement, above its setting [Pa], positive.
    tau : float
        Time constant [s], positive.

    Returns
    -------
    float
        dx/dt [1/s]; 0 anywhere between the two branches.

    Notes
    -----
    Play (backlash) operator with a lag, textbook hysteresis model.

    Examples
    --------
    >>> play_rate(1.0, 190e3, 276e3, 207e3, 40e3, 0.01)
    -100.0
    """
    low = ramp((pressure - opens) / width)
    high = ramp((pressure - closes) / width)
    if x < low:
        return (low - x) / tau
    if x > high:
        return (high - x) / tau
    return 0.0


@law
def exclusive_double_check(p_a: float, p_b: float, p_m: float, width: float) -> tuple[float, float]:
    """Openings of the two seats of a double check valve with inlets A, B and outlet M.

    Parameters
    ----------
    p_a, p_b, p_m : float
        Pressures [Pa, same reference].
    width : float
        Pressure difference that opens a seat fully [Pa], positive; 3 kPa by default.

    Returns
    -------
    tuple of float
        (o_a, o_b) [-]; together never above one seat, and never a passage from one inlet to the other.

    Notes
    -----
    f = feeding, g = return flow while neither feeds: o_a = f_a (1 - f_b/2) + x_a g, o_b = f_b (1 - f_a/2) + x_b g,
    g = ramp((p_m - p_a)/w) ramp((p_m - p_b)/w). The shuttle lies on the seat of the lower inlet, so air returns
    to the higher one: x_a = ramp((1 + (p_a - p_b)/w)/2) and likewise x_b, which is 1 - x_a. Common practice, no
    source.

    Examples
    --------
    >>> exclusive_double_check(800e3, 200e3, 790e3, 3e3)
    (1.0, 0.0)
    >>> exclusive_double_check(780e3, 200e3, 790e3, 3e3)
    (1.0, 0.0)
    """
    feed_a, feed_b, return_a, return_b = double_check_openings(p_a, p_b, p_m, width)
    return feed_a + return_a, feed_b + return_b


@law
def double_check_openings(
    p_a: float, p_b: float, p_m: float, width: float
) -> tuple[float, float, float, float]:
    """Openings of the two seats of a double check valve, told apart: feeding, and letting air return.

    Parameters
    ----------
    p_a, p_b, p_m, width : float
        As for `exclusive_double_check`, the law at rest.

    Returns
    -------
    tuple of float
        (feeding through A, through B, return through A, through B) [-].

    Notes
    -----
    The shuttle takes its time to let air return: followed at once, it flutters between two lines that drain
    alike. Common practice, no source.

    Examples
    --------
    >>> double_check_openings(790e3, 790e3, 800e3, 3e3)
    (0.0, 0.0, 0.5, 0.5)
    """
    feeds_a = ramp((p_a - p_m) / width)
    feeds_b = ramp((p_b - p_m) / width)
    returns = ramp((p_m - p_a) / width) * ramp((p_m - p_b) / width)
    side = 0.5 * (p_a - p_b) / width
    return (
        feeds_a * (1.0 - 0.5 * feeds_b),
        feeds_b * (1.0 - 0.5 * feeds_a),
        returns * ramp(0.5 + side),
        returns * ramp(0.5 - side),
    )


@law
def area_ratio_opening(
    pg_up: float, pg_down: float, opens: float, closes: float, width: float, one_way_width: float
) -> float:
    """Opening of a protection valve: seat area on the upstream side, the rest under downstream pressure.

    Parameters
    ----------
    pg_up, pg_down : float
        Pressures up- and downstream [Pa gauge]: the spring acts against ambient.
    opens, closes : float
        Opening pressure with the circuit empty, closing pressure with it full [Pa gauge], opens >= closes.
    width : float
        Pressure range from shut to fully open [Pa], positive.
    one_way_width : float
        0: flow may return; else the pressure difference that opens the built-in check fully [Pa].

    Returns
    -------
    float
        Opening [-].

    Notes
    -----
    o = ramp((a p_up + (1 - a) p_down - closes)/width), a = closes/opens. Statics of the piston; common
    practice, no source. Secured pressure after a total loss downstream: `opens`, not `closes`.

    Examples
    --------
    >>> area_ratio_opening(690e3, 0.0, 690e3, 590e3, 20e3, 0.0)
    0.0
    >>> area_ratio_opening(640e3, 640e3, 690e3, 590e3, 20e3, 0.0)
    1.0
    """
    share = closes / opens
    opening = ramp((share * pg_up + (1.0 - share) * pg_down - closes) / width)
    if one_way_width > 0.0:
        opening *= ramp((pg_up - pg_down) / one_way_width)
    return opening
