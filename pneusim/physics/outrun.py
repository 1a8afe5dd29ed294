"""What keeps the gas of a line subsonic, and its cells from running dry: a loss that ordinary flow never meets."""

from pneusim.physics.compiled import law
from pneusim.physics.constants import CP

BEGINS, FULL = 0.2, 0.4  #: of the square of the limit speed, u^2/(2 cp T_total) [-]
HEADS = 6.0  #: velocity heads lost at full effect [-]


@law
def outrun_loss(mass_flux: float, rho: float, T_total: float) -> tuple[float, float, float, float]:
    """Pressure lost where more leaves an inner node than its air could carry, with derivatives.

    Parameters
    ----------
    mass_flux : float
        Mass flux out of the node, either sign [kg/(s m2)].
    rho : float
        Density of the node [kg/m3], positive.
    T_total : float
        Total temperature of the node [K], positive.

    Returns
    -------
    tuple of float
        (loss with the sign of the flux [Pa], d/d mass_flux, d/d rho, d/d T_total).

    Notes
    -----
    loss = K ramp(x) |G| G/(2 rho), x from 0 to 1 as (G/rho)^2/(2 cp T_total) goes from 0.2 to 0.4 (Mach 1.1 to
    1.8). A numerical device: gas in a duct of constant area does not pass the speed of sound by friction
    (Fanno), but the staggered momentum balance has a supersonic branch too. Behind a sudden full-bore step of
    many bar into a short, wide, empty line it is taken; a node then either passes the wrong flow or drives out
    more mass than enters and runs dry. K = 6 slows the flux faster than the density falls, so the density stays
    positive. Lines of 1 m and more, filled from 8 bar at once, do not meet it.

    Examples
    --------
    >>> outrun_loss(400.0, 1.2, 293.15), round(outrun_loss(500.0, 0.5, 293.15)[0])
    ((0.0, 0.0, 0.0, 0.0), 1500000)
    """
    speed = mass_flux / rho
    share = speed * speed / (2.0 * CP * T_total)
    x = (share - BEGINS) / (FULL - BEGINS)
    if not x > 0.0:
        return 0.0, 0.0, 0.0, 0.0
    ramp, slope = 1.0, 0.0
    if x < 1.0:
        ramp, slope = x * x * (3.0 - 2.0 * x), 6.0 * x * (1.0 - x)
    head = 0.5 * HEADS * abs(speed) * mass_flux
    growth = slope * share / (FULL - BEGINS)  # d ramp/d ln share
    return (
        ramp * head,
        2.0 * (ramp + growth) * head / mass_flux,
        -(ramp + 2.0 * growth) * head / rho,
        -growth * head / T_total,
    )
