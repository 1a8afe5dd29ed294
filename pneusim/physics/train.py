"""Units of a road train: air drag, acceleration of a chain, friction of what skids, loads on two supports."""

from pneusim.physics.compiled import law
from pneusim.physics.wheel import stick, stick_gradient


@law
def air_drag(V: float, factor: float) -> float:
    """Force of the air on a vehicle.

    Parameters
    ----------
    V : float
        Speed [m/s], either sign.
    factor : float
        Half the density of air times drag area [kg/m]; 3.6 for 6 m2.

    Returns
    -------
    float
        -factor V |V| [N], against the speed.

    Notes
    -----
    Source: any fluid mechanics text.

    Examples
    --------
    >>> air_drag(20.0, 3.6)
    -1440.0
    """
    return -factor * V * abs(V)


@law
def air_drag_gradient(V: float, factor: float) -> tuple[float, float]:
    """`air_drag` and its derivative.

    Parameters
    ----------
    V, factor : float
        As for `air_drag`.

    Returns
    -------
    tuple of float
        (force, d force/dV).

    Notes
    -----
    Source: derivative of the law in `air_drag`.

    Examples
    --------
    >>> air_drag_gradient(20.0, 3.6)
    (-1440.0, -144.0)
    """
    return -factor * V * abs(V), -2.0 * factor * abs(V)


@law
def pull(force_sum: float, mass_sum: float, a_front: float, hitched: float) -> float:
    """Acceleration of a unit that is hitched to the one in front or heads a chain of its own.

    Parameters
    ----------
    force_sum : float
        Sum of the forces along the road on the unit and all that hangs on it [N].
    mass_sum : float
        Mass of the same [kg], positive.
    a_front : float
        Acceleration of the unit in front [m/s2].
    hitched : float
        1 while it is hitched to that, 0 else.

    Returns
    -------
    float
        hitched a_front + (1 - hitched) force_sum/mass_sum [m/s2].

    Notes
    -----
    Source: Newton's second law for a chain of stiff links.

    Examples
    --------
    >>> pull(-40e3, 10e3, -1.0, 0.0), pull(-40e3, 10e3, -1.0, 1.0)
    (-4.0, -1.0)
    """
    return hitched * a_front + (1.0 - hitched) * force_sum / mass_sum


@law
def pull_gradient(
    force_sum: float, mass_sum: float, a_front: float, hitched: float
) -> tuple[float, float, float, float, float]:
    """`pull` and its derivatives.

    Parameters
    ----------
    force_sum, mass_sum, a_front, hitched : float
        As for `pull`.

    Returns
    -------
    tuple of float
        (acceleration, its derivatives to force_sum, mass_sum, a_front, hitched).

    Notes
    -----
    Source: derivatives of the law in `pull`.

    Examples
    --------
    >>> pull_gradient(-8.0, 2.0, -1.0, 0.0)
    (-4.0, 0.5, 2.0, 0.0, 3.0)
    """
    free = (1.0 - hitched) / mass_sum
    alone = force_sum / mass_sum
    return hitched * a_front + (1.0 - hitched) * alone, free, -free * alone, hitched, a_front - alone


@law
def skid(
    other_force: float, V: float, load: float, free: float, mass: float, friction: float, tau: float
) -> float:
    """Friction of a part that skids on the road, such as the nose of a semitrailer that has come off.

    Parameters
    ----------
    other_force : float
        Sum of all other forces along the road on what moves with it [N].
    V : float
        Speed [m/s].
    load : float
        Vertical load of the part [N]; a negative one counts as none.
    free : float
        1 while it lies on the road, 0 else.
    mass : float
        Mass of all that moves with it [kg].
    friction : float
        Friction of the part on the road [-], not negative.
    tau : float
        Time within which it comes to rest [s], positive; 2 ms by default.

    Returns
    -------
    float
        -free clip(other_force + mass V/tau, +-friction load) [N], forward positive.

    Notes
    -----
    Source: as for `stick`, so that what skids comes to exact rest.

    Examples
    --------
    >>> skid(-3e4, 20.0, 1e5, 1.0, 3e4, 0.4, 2e-3)
    -40000.0
    >>> skid(-3e4, 0.0, 1e5, 1.0, 3e4, 0.4, 2e-3)
    30000.0
    """
    return -free * stick(other_force + mass * V / tau, friction * max(load, 0.0))


@law
def skid_gradient(
    other_force: float, V: float, load: float, free: float, mass: float, friction: float, tau: float
) -> tuple[float, float, float, float, float, float]:
    """`skid` and its derivatives.

    Parameters
    ----------
    other_force, V, load, free, mass, friction, tau : float
        As for `skid`.

    Returns
    -------
    tuple of float
        (force, its derivatives to other_force, V, load, free, mass).

    Notes
    -----
    Source: derivatives of the law in `skid`, by hand.

    Examples
    --------
    >>> skid_gradient(0.0, 20.0, 1000.0, 1.0, 100.0, 0.5, 2e-3)
    (-500.0, -0.0, -0.0, -0.5, -500.0, -0.0)
    """
    held, d_wanted, d_limit = stick_gradient(other_force + mass * V / tau, friction * max(load, 0.0))
    d_load = d_limit * friction if load > 0.0 else 0.0
    inside = -free * d_wanted
    return -free * held, inside, inside * mass / tau, -free * d_load, -held, inside * V / tau


@law
def supports(
    a: float, hitch_force: float, rear_hitch_force: float, rear_load: float, weight: float, mass: float,
    slope_force: float, x1: float, x2: float, xg: float, height: float, front_height: float, rear_height: float,
    rear_at: float,
) -> tuple[float, float]:  # fmt: skip
    """Loads on the two supports of a unit.

    Places are rearward from the unit's datum, heights from the ground [m].

    Parameters
    ----------
    a : float
        Acceleration [m/s2]; negative while braking.
    hitch_force : float
        Pull at the front hitch, forward positive [N].
    rear_hitch_force : float
        Pull that the unit exerts on the one behind, forward positive on that [N].
    rear_load : float
        Vertical load from the unit behind [N].
    weight : float
        Weight across the road, m g cos(theta) [N].
    mass : float
        Mass [kg].
    slope_force : float
        Weight along the road, m g sin(theta), downhill positive [N].
    x1, x2 : float
        Places of the front and the rear support.
    xg, height : float
        Place and height of the centre of mass.
    front_height, rear_height : float
        Heights of the two hitches.
    rear_at : float
        Place of the rear hitch.

    Returns
    -------
    tuple of float
        (front, rear) [N]; one that would lift carries nothing and leaves all to the other.

    Notes
    -----
    N1 = [W (x2 - xg) + (W_s - m a) h + H hf - H_r hr + V_r (x2 - x_r)]/(x2 - x1), N2 = W + V_r - N1. Moments about the
    rear support, any statics text; for vehicles Gillespie, Fundamentals of Vehicle Dynamics, loads on axles (from
    memory).

    Examples
    --------
    A 16 t truck, wheelbase 5 m, its centre 3.2 m behind the front axle and 1.2 m high, braked at half its weight:

    >>> W = 16e3 * 9.81
    >>> [round(N) for N in supports(-4.905, 0.0, 0.0, 0.0, W, 16e3, 0.0, 0.0, 5.0, 3.2, 1.2, 0.0, 0.0, 0.0)]
    [75341, 81619]
    """
    moment = weight * (x2 - xg) + (slope_force - mass * a) * height + hitch_force * front_height
    moment += rear_load * (x2 - rear_at) - rear_hitch_force * rear_height
    all_of_it = weight + rear_load
    front = moment / (x2 - x1)
    if front < 0.0:
        return 0.0, all_of_it
    if front > all_of_it:
        return all_of_it, 0.0
    return front, all_of_it - front


@law
def supports_gradient(
    a: float, hitch_force: float, rear_hitch_force: float, rear_load: float, weight: float, mass: float,
    slope_force: float, x1: float, x2: float, xg: float, height: float, front_height: float, rear_height: float,
    rear_at: float,
) -> tuple[float, float, float, float, float, float, float, float, float, float]:  # fmt: skip
    """`supports` and its derivatives.

    Parameters
    ----------
    a, hitch_force, rear_hitch_force, rear_load, weight, mass, slope_force, x1, x2, xg, height, front_height, \
rear_height, rear_at : float
        As for `supports`.

    Returns
    -------
    tuple of float
        (front, rear, then the derivatives of each to a, hitch_force, rear_hitch_force, rear_load).

    Notes
    -----
    Source: derivatives of the law in `supports`, by hand.

    Examples
    --------
    >>> supports_gradient(0.0, 0.0, 0.0, 0.0, 8.0, 1.0, 0.0, 0.0, 4.0, 2.0, 1.0, 1.0, 2.0, 4.0)
    (4.0, 4.0, -0.25, 0.25, -0.5, 0.0, 0.25, -0.25, 0.5, 1.0)
    """
    front, rear = supports(
        a, hitch_force, rear_hitch_force, rear_load, weight, mass, slope_force, x1, x2, xg, height, front_height,
        rear_height, rear_at,
    )  # fmt: skip
    if front <= 0.0:
        return front, rear, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0
    if rear <= 0.0:
        return front, rear, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0
    base = x2 - x1
    d_a, d_front, d_rear = -mass * height / base, front_height / base, -rear_height / base
    d_load = (x2 - rear_at) / base
    return front, rear, d_a, d_front, d_rear, d_load, -d_a, -d_front, -d_rear, 1.0 - d_load
