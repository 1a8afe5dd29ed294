"""A distributed line: the laws of one inner node and of one face of its staggered cells.

A line of N cells (cell length dx = length/N) has N faces, each with the mass flow as state, and N - 1 inner
nodes, each with mass and total energy of one cell. Half a cell belongs to each of the two end nodes, which
are volumes of the circuit. Balances of a node: dm/dt = w_left - w_right and dE/dt = H_left - H_right + Q, with
H the enthalpy flows of `line_face` and Q the `line_heat`. Wall heat never acts on an end node: the half of a
face that lies at an end gives its heat to the face's inner node.

Source: one-dimensional Euler equations with friction and wall heat (any gas-dynamics text) on a staggered
grid with upwind momentum flux, as used for gas pipe networks by Gyrya and Zlotnik, An explicit
staggered-grid method for numerical simulation of large-scale natural gas pipeline networks, Appl. Math.
Model. 65 (2019), doi 10.1016/j.apm.2018.07.051.
"""

from pneusim.physics.compiled import law
from pneusim.physics.constants import CP, CV, MU, R
from pneusim.physics.friction import (
    RECOVERY,
    film_of_number,
    friction_number,
    sonic_end_pressure,
    static_density,
)
from pneusim.physics.line_gradients import (
    line_face_gradient,
    line_heat_gradient,
    line_node_gradient,
    line_wall_gradient,
)
from pneusim.physics.outrun import outrun_loss

__all__ = [
    "line_face", "line_face_gradient", "line_heat", "line_heat_gradient", "line_node", "line_node_gradient",
    "line_wall", "line_wall_gradient",
]  # fmt: skip


@law
def line_node(
    mass: float, energy: float, flow_left: float, flow_right: float, cell_volume: float, area: float
) -> tuple[float, float, float]:
    """State of an inner node.

    Parameters
    ----------
    mass, energy : float
        Mass [kg] and total energy, internal plus kinetic [J], of the cell, positive.
    flow_left, flow_right : float
        Mass flows of its two faces, positive to the right [kg/s].
    cell_volume : float
        Volume of a cell, area times cell length [m3].
    area : float
        Flow area of all parallel lines together [m2].

    Returns
    -------
    tuple of float
        Static pressure [Pa absolute], static temperature [K], velocity [m/s]. Not clipped: an impossible
        state gives negative or nan values.

    Examples
    --------
    >>> p, T, u = line_node(6e-4, 130.0, 0.03, 0.03, 6.4e-5, 6.4e-5)
    >>> round(p), round(T, 2), round(u, 2)
    (807812, 300.18, 50.0)
    """
    u = 0.5 * (flow_left + flow_right) * cell_volume / (area * mass)
    T = (energy / mass - 0.5 * u * u) / CV
    return mass * R * T / cell_volume, T, u


@law
def line_wall(
    w: float,
    area: float,
    bore: float,
    cell_length: float,
    relative_roughness: float,
    friction_factor: float,
    film: float,
) -> tuple[float, float]:
    """What the wall does along one face: friction, and the conductance of either half of its surface.

    Parameters
    ----------
    w : float
        Mass flow of the face, either sign [kg/s].
    area : float
        Flow area of all n parallel lines together, n (pi/4) bore^2 [m2].
    bore : float
        Inner diameter of each of them [m], 2 to 15 mm.
    cell_length : float
        Length of the cell [m].
    relative_roughness : float
        Wall roughness over bore [-].
    friction_factor : float
        0: Churchill; else a fixed Darcy friction factor [-].
    film : float
        Below 0: Colburn; else a fixed film coefficient [W/(m2 K)], 0 adiabatic.

    Returns
    -------
    tuple of float
        (friction factor times Reynolds number [-], conductance of half the surface [W/K]).

    Notes
    -----
    Source: `friction.friction_number` and `friction.colburn_film`; n pi bore cell_length/2 = 2 area
    cell_length/bore.

    Examples
    --------
    >>> number, conductance = line_wall(0.02, 6.362e-5, 9e-3, 1.0, 1.667e-4, 0.0, -1.0)
    >>> round(number), round(conductance, 2)
    (2725, 12.29)
    """
    number = friction_number(abs(w) / area * bore / MU, relative_roughness, friction_factor)
    coefficient = film_of_number(number, bore) if film < 0.0 else film
    return number, coefficient * 2.0 * area * cell_length / bore


@law
def line_heat(
    T: float,
    u: float,
    conductance_left: float,
    conductance_right: float,
    halves_left: float,
    halves_right: float,
    T_wall: float,
) -> float:
    """Wall heat into an inner node.

    Parameters
    ----------
    T, u : float
        Temperature [K] and velocity [m/s] of the node.
    conductance_left, conductance_right : float
        Conductances of `line_wall` of the faces on either side [W/K].
    halves_left, halves_right : float
        Halves of those faces whose heat is the node's: 1, or 2 beside an end, or 0.
    T_wall : float
        Wall temperature [K].

    Returns
    -------
    float
        Heat [W].

    Notes
    -----
    The wall acts on the recovery temperature T + 0.9 u^2/(2 cp); source as for `friction.colburn_film`.

    Examples
    --------
    >>> round(line_heat(290.0, 33.0, 11.0, 11.0, 1.0, 1.0, 293.15), 2)
    58.57
    """
    conductance = halves_left * conductance_left + halves_right * conductance_right
    return conductance * (T_wall - T - RECOVERY * u * u)


@law
def line_face(
    p_l: float,
    T_l: float,
    u_l: float,
    p_r: float,
    T_r: float,
    u_r: float,
    w_left: float,
    w: float,
    w_right: float,
    number: float,
    area: float,
    bore: float,
    cell_length: float,
    loss_k: float,
    left_end: float,
    right_end: float,
    fitting_k: float,
) -> tuple[float, float]:
    """Acceleration and energy flow of one face.

    Parameters
    ----------
    p_l, T_l, u_l : float
        Pressure [Pa absolute], temperature [K] and velocity [m/s] of the node on the left; the velocity of an
        end node is taken as 0.
    p_r, T_r, u_r : float
        The same on the right.
    w_left, w, w_right : float
        Mass flows of the face on the left, of this face and of the face on the right, positive to the right
        [kg/s]. Beyond an end node any number serves.
    number : float
        Friction factor times Reynolds number of this face, from `line_wall` [-].
    area, bore, cell_length : float
        As for `line_wall`.
    loss_k : float
        Loss coefficient of the entrance, where gas enters from an end node marked 1 [-]; 0.5 sharp-edged.
    left_end, right_end : float
        0: inner node; 1: end node of the line (entrance with Bernoulli and loss_k, jet at the exit, choke
        rule); 2: open end made by a break (the same without entrance loss).
    fitting_k : float
        Loss coefficient of bends and fittings along this face, both directions [-].

    Returns
    -------
    tuple of float
        (dw/dt [kg/s2], enthalpy flow to the right [W]).

    Notes
    -----
    dw/dt = (A/dx) (P_l - P_r - (F_r - F_l) - loss). Momentum flux F = G^2/rho, upwind at inner nodes, (1 - K)
    G^2/(2 rho) where gas enters (Bernoulli), full jet where it leaves. At an end where gas leaves, P is not
    below the sonic pressure, so the end chokes. loss = f dx G|G|/(2 d rho) with the static density of the
    upstream total temperature; above Mach 1.1 `outrun_loss` of the node upstream adds to it.

    Examples
    --------
    A 1 m cell of 9 mm bore, 20 g/s, 0.3 bar apart:

    >>> number, _ = line_wall(0.02, 6.362e-5, 9e-3, 1.0, 1.667e-4, 0.0, -1.0)
    >>> rates = line_face(8.0e5, 290.0, 33.0, 7.7e5, 289.0, 34.0, 0.02, 0.02, 0.02, number, 6.362e-5, 9e-3,
    ...                   1.0, 0.5, 0.0, 0.0, 0.0)
    >>> [round(x, 3) for x in rates]
    [1.236, 5838.005]
    """
    G = w / area
    if left_end > 0.0:
        u_l = 0.0
    if right_end > 0.0:
        u_r = 0.0
    T_total = T_l + 0.5 * u_l * u_l / CP if w >= 0.0 else T_r + 0.5 * u_r * u_r / CP
    P_l, rho_l = _side_state(p_l, T_l, G, T_total, left_end > 0.0 and w < 0.0)
    P_r, rho_r = _side_state(p_r, T_r, G, T_total, right_end > 0.0 and w > 0.0)
    if left_end > 0.0:
        flux_l = _end_flux(G, w > 0.0, rho_l, rho_r, loss_k if left_end < 1.5 else 0.0)
    else:
        flux_l = _node_flux(w_left / area, G, rho_l)
    if right_end > 0.0:
        flux_r = _end_flux(G, w < 0.0, rho_r, rho_l, loss_k if right_end < 1.5 else 0.0)
    else:
        flux_r = _node_flux(G, w_right / area, rho_r)
    rho = static_density(G, 0.5 * (P_l + P_r), T_total)
    loss = (0.5 * MU * cell_length / (bore * bore) * number + 0.5 * fitting_k * abs(G)) * G / rho
    if w >= 0.0 and left_end == 0.0:
        loss += outrun_loss(G, rho_l, T_total)[0]
    elif w < 0.0 and right_end == 0.0:
        loss += outrun_loss(G, rho_r, T_total)[0]
    dw_dt = area / cell_length * (P_l - P_r - (flux_r - flux_l) - loss)
    return dw_dt, w * CP * T_total


@law
def _side_state(p: float, T: float, G: float, T_total: float, leaves: bool) -> tuple[float, float]:
    """Pressure [Pa] and density [kg/m3] at one side of a face; choke rule where gas leaves the line."""
    if leaves:
        P = max(p, sonic_end_pressure(G, T_total))
        return P, static_density(G, P, T_total)
    return p, p / (R * T)


@law
def _node_flux(G_left: float, G_right: float, rho: float) -> float:
    """Upwind momentum flux through an inner node [Pa], from the mass fluxes of its two faces."""
    G = G_left if G_left + G_right > 0.0 else G_right
    return G * G / rho


@law
def _end_flux(G: float, enters: bool, rho_end: float, rho_inner: float, loss_k: float) -> float:
    """Momentum flux at an end [Pa]: Bernoulli and a loss where gas enters, full jet where it leaves."""
    if enters:
        return 0.5 * (1.0 - loss_k) * G * G / rho_inner
    return G * G / rho_end
