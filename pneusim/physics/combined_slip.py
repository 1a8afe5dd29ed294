"""Side force and braking force of a tyre at once, and what camber adds.

Plain Python: nothing here runs inside a step.
"""

import math
from collections.abc import Callable

SIDE_SHARE = 0.30  # slope of side force over that of braking force, at no slip
CAMBER_SHARE = 0.05  # slope with camber over the slope of braking force
NONE = 1e-12


def combined_force(
    load: float,
    slip: float,
    angle: float,
    friction: Callable[[float], float],
    *,
    camber: float = 0.0,
    side_share: float = SIDE_SHARE,
    camber_share: float = CAMBER_SHARE,
) -> tuple[float, float]:
    """Force of the road on a tyre that slips along and across its plane.

    Parameters
    ----------
    load : float
        Vertical load [N].
    slip : float
        Braking slip [-], 0 rolling, 1 locked: the tread runs at (1 - slip) of the velocity along the wheel's plane.
    angle : float
        Slip angle, from the wheel's plane to its velocity [rad].
    friction : callable
        Friction against the size of the slip, 0 to 1 [-].
    camber : float
        Camber [rad], with the sign of the slip angle that pushes the same way.
    side_share, camber_share : float
        Slopes of side force with slip angle and with camber, over that of braking force with slip [-].

    Returns
    -------
    tuple of float
        (along, across) [N] in the wheel's frame, positive with the velocity; so both are negative.

    Notes
    -----
    s_L = -slip cos(angle), s_S = k [sin(angle) + (k_c/k_y) camber (1 - |slip|)], k = k_y + (1 - k_y)|slip|; both forces
    follow the direction of the slip, F = N mu(|s|) s/|s|. Similarity form with an isotropic locked tyre (Pacejka, Tyre
    and Vehicle Dynamics, combined slip; from memory). k goes to 1 with the slip, so a locked wheel pushes exactly
    against its velocity: it neither steers nor feels camber. 0.30 is a cornering stiffness of 0.1 of the load for each
    degree (from memory), 0.05 an estimate.

    Examples
    --------
    A truck tyre on a dry road at a slip angle of 5 deg: rolling, braked, locked [kN]:

    >>> def dry(s): return 0.896 * (1.0 - math.exp(-23.99 * s)) - 0.364 * s
    >>> five = math.radians(5.0)
    >>> [round(-combined_force(30e3, slip, five, dry)[1] / 1e3, 1) for slip in (0.0, 0.1, 1.0)]
    [12.2, 7.3, 1.4]
    """
    along = -slip * math.cos(angle)
    share = side_share + (1.0 - side_share) * abs(slip)
    across = share * (math.sin(angle) + camber_share / side_share * camber * (1.0 - abs(slip)))
    size = math.hypot(along, across)
    if size < NONE:
        return 0.0, 0.0
    force = load * friction(min(size, 1.0)) / size
    return force * along, -force * across
