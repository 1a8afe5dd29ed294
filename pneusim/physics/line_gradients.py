"""Analytic derivatives of the laws in `lines`: the Jacobian columns of nodes and faces.

Source: the laws of `lines`, differentiated by hand; the tests compare them with central differences.
"""

from pneusim.physics.compiled import law
from pneusim.physics.constants import CP, CV, MU, R
from pneusim.physics.friction import (
    RECOVERY,
    film_of_number,
    film_of_number_slope,
    friction_number_gradient,
    sonic_end_pressure,
    static_density_gradient,
)
from pneusim.physics.outrun import outrun_loss


@law
def line_node_gradient(
    mass: float, energy: float, flow_left: float, flow_right: float, cell_volume: float, area: float
) -> tuple[float, float, float, float, float, float, float, float, float, float, float]:
    """State of `lines.line_node` and its partial derivatives.

    Parameters
    ----------
    mass, energy, flow_left, flow_right, cell_volume, area : float
        As for `lines.line_node`.

    Returns
    -------
    tuple of float
        (p, T, u, dp/dm, dp/dE, dp/dw, dT/dm, dT/dE, dT/dw, du/dm, du/dw); d/dw is the derivative to either of
        the two flows, and du/dE is 0.

    Examples
    --------
    >>> round(line_node_gradient(6e-4, 130.0, 0.0, 0.0, 6.4e-5, 6.4e-5)[10], 3)
    833.333
    """
    du_dw = 0.5 * cell_volume / (area * mass)
    u = (flow_left + flow_right) * du_dw
    specific = energy / mass
    T = (specific - 0.5 * u * u) / CV
    dT_dm = (u * u - specific) / (mass * CV)
    dT_dE = 1.0 / (mass * CV)
    dT_dw = -u * du_dw / CV
    share = R / cell_volume
    return (
        mass * share * T, T, u,
        share * (T + mass * dT_dm), share / CV, mass * share * dT_dw,
        dT_dm, dT_dE, dT_dw,
        -u / mass, du_dw,
    )  # fmt: skip


@law
def line_wall_gradient(
    w: float,
    area: float,
    bore: float,
    cell_length: float,
    relative_roughness: float,
    friction_factor: float,
    film: float,
) -> tuple[float, float, float, float]:
    """Friction and conductance of `lines.line_wall` and their derivatives to the flow.

    Parameters
    ----------
    w, area, bore, cell_length, relative_roughness, friction_factor, film : float
        As for `lines.line_wall`.

    Returns
    -------
    tuple of float
        (number, conductance, d number/dw, d conductance/dw); at w = 0 the one-sided derivatives of w > 0.

    Examples
    --------
    >>> line_wall_gradient(0.0, 6.362e-5, 9e-3, 1.0, 1.667e-4, 0.0, -1.0)[2:]
    (0.0, 0.0)
    """
    share = bore / (MU * area)
    number, slope = friction_number_gradient(abs(w) * share, relative_roughness, friction_factor)
    slope *= share if w >= 0.0 else -share
    surface = 2.0 * area * cell_length / bore
    if film >= 0.0:
        return number, surface * film, slope, 0.0
    conductance = surface * film_of_number(number, bore)
    return number, conductance, slope, surface * film_of_number_slope(number, bore) * slope


@law
def line_heat_gradient(
    T: float,
    u: float,
    conductance_left: float,
    conductance_right: float,
    halves_left: float,
    halves_right: float,
    T_wall: float,
) -> tuple[float, float, float, float, float]:
    """Wall heat of `lines.line_heat` and its partial derivatives.

    Parameters
    ----------
    T, u, conductance_left, conductance_right, halves_left, halves_right, T_wall : float
        As for `lines.line_heat`.

    Returns
    -------
    tuple of float
        (Q, dQ/dT, dQ/du, dQ/d conductance_left, dQ/d conductance_right).

    Examples
    --------
    >>> line_heat_gradient(290.0, 0.0, 11.0, 11.0, 1.0, 1.0, 293.0)
    (66.0, -22.0, -0.0, 3.0, 3.0)
    """
    conductance = halves_left * conductance_left + halves_right * conductance_right
    gap = T_wall - T - RECOVERY * u * u
    slope_u = -2.0 * RECOVERY * conductance * u
    return conductance * gap, -conductance, slope_u, halves_left * gap, halves_right * gap


@law
def line_face_gradient(
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
) -> tuple[
    float, float,
    float, float, float, float, float, float, float, float, float, float,
    float, float, float, float, float,
]:  # fmt: skip
    """Rates of `lines.line_face` and their partial derivatives.

    Parameters
    ----------
    p_l, T_l, u_l, p_r, T_r, u_r, w_left, w, w_right, number, area, bore, cell_length, loss_k, left_end, \
right_end, fitting_k : float
        As for `lines.line_face`.

    Returns
    -------
    tuple of 17 float
        [0:2] dw/dt, enthalpy flow;
        [2:12] derivatives of dw/dt to p_l, T_l, u_l, p_r, T_r, u_r, w_left, w, w_right, number;
        [12:17] of the enthalpy flow to T_l, u_l, T_r, u_r, w.
        All others are 0. Derivatives to the velocity of an end node are 0.

    Examples
    --------
    >>> values = line_face_gradient(8.0e5, 290.0, 33.0, 7.7e5, 289.0, 34.0, 0.02, 0.02, 0.02, 2725.0, 6.362e-5,
    ...                             9e-3, 1.0, 0.5, 0.0, 0.0, 0.0)
    >>> [round(x, 3) for x in values[:2]]
    [1.236, 5838.005]
    """
    at_left, at_right = left_end > 0.0, right_end > 0.0
    if at_left:
        u_l = 0.0
    if at_right:
        u_r = 0.0
    forward = w >= 0.0
    T_up, u_up = (T_l, u_l) if forward else (T_r, u_r)
    T_total = T_up + 0.5 * u_up * u_up / CP
    G = w / area

    P_l, P_l_p, P_l_G, P_l_T, rho_l, rho_l_p, rho_l_t, rho_l_G, rho_l_T = _side_gradient(
        p_l, T_l, G, T_total, at_left and w < 0.0
    )
    P_r, P_r_p, P_r_G, P_r_T, rho_r, rho_r_p, rho_r_t, rho_r_G, rho_r_T = _side_gradient(
        p_r, T_r, G, T_total, at_right and w > 0.0
    )
    # net momentum flux F_r - F_l and its slopes to rho_l, rho_r, G_left, G, G_right
    net, net_l, net_r, net_G, net_left, net_right = 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
    if at_left and w > 0.0:
        half = 0.5 * (1.0 - (loss_k if left_end < 1.5 else 0.0)) * G / rho_r
        net, net_G, net_r = net - half * G, net_G - 2.0 * half, net_r + half * G / rho_r
    else:
        other = G if at_left else w_left / area
        own = at_left or other + G <= 0.0
        a = G if own else other
        flux = a * a / rho_l
        net, net_l = net - flux, net_l + flux / rho_l
        if own:
            net_G -= 2.0 * a / rho_l
        else:
            net_left -= 2.0 * a / rho_l
    if at_right and w < 0.0:
        half = 0.5 * (1.0 - (loss_k if right_end < 1.5 else 0.0)) * G / rho_l
        net, net_G, net_l = net + half * G, net_G + 2.0 * half, net_l - half * G / rho_l
    else:
        other = G if at_right else w_right / area
        own = at_right or G + other > 0.0
        a = G if own else other
        flux = a * a / rho_r
        net, net_r = net + flux, net_r - flux / rho_r
        if own:
            net_G += 2.0 * a / rho_r
        else:
            net_right += 2.0 * a / rho_r

    outrun_T = 0.0
    if forward and not at_left:
        outrun, outrun_G, outrun_rho, outrun_T = outrun_loss(G, rho_l, T_total)
        net, net_G, net_l = net + outrun, net_G + outrun_G, net_l + outrun_rho
    elif not forward and not at_right:
        outrun, outrun_G, outrun_rho, outrun_T = outrun_loss(G, rho_r, T_total)
        net, net_G, net_r = net + outrun, net_G + outrun_G, net_r + outrun_rho

    rho, rho_G, rho_p, rho_T = static_density_gradient(G, 0.5 * (P_l + P_r), T_total)
    share = 0.5 * MU * cell_length / (bore * bore)
    loss = (share * number + 0.5 * fitting_k * abs(G)) * G / rho
    loss_G = (share * number + fitting_k * abs(G) - loss * rho_G) / rho
    loss_P = -0.5 * loss * rho_p / rho
    loss_T = -loss * rho_T / rho

    scale = area / cell_length
    on_l, on_r = 1.0 - loss_P, -1.0 - loss_P
    d_G = on_l * P_l_G + on_r * P_r_G - net_l * rho_l_G - net_r * rho_r_G - net_G - loss_G
    d_T = scale * (on_l * P_l_T + on_r * P_r_T - net_l * rho_l_T - net_r * rho_r_T - loss_T - outrun_T)
    w_T_l, w_T_r = -scale * net_l * rho_l_t, -scale * net_r * rho_r_t
    w_u_l, w_u_r = 0.0, 0.0
    enthalpy = CP * T_total
    h_T_l, h_u_l, h_T_r, h_u_r = 0.0, 0.0, 0.0, 0.0
    if forward:
        w_T_l, w_u_l = w_T_l + d_T, d_T * u_l / CP
        h_T_l, h_u_l = w * CP, w * u_l
    else:
        w_T_r, w_u_r = w_T_r + d_T, d_T * u_r / CP
        h_T_r, h_u_r = w * CP, w * u_r
    return (
        scale * (P_l - P_r - net - loss), w * enthalpy,
        scale * (on_l * P_l_p - net_l * rho_l_p), w_T_l, w_u_l,
        scale * (on_r * P_r_p - net_r * rho_r_p), w_T_r, w_u_r,
        -net_left / cell_length, d_G / cell_length, -net_right / cell_length, -scale * share * G / rho,
        h_T_l, h_u_l, h_T_r, h_u_r, enthalpy,
    )  # fmt: skip


@law
def _side_gradient(
    p: float, T: float, G: float, T_total: float, leaves: bool
) -> tuple[float, float, float, float, float, float, float, float, float]:
    """(P, dP/dp, dP/dG, dP/dT_total, rho, drho/dp, drho/dT, drho/dG, drho/dT_total) at one side of a face."""
    if not leaves:
        rho = p / (R * T)
        return p, 1.0, 0.0, 0.0, rho, 1.0 / (R * T), -rho / T, 0.0, 0.0
    sonic = sonic_end_pressure(G, T_total)
    if sonic > p:
        P, P_p, P_G, P_T = sonic, 0.0, sonic / G, 0.5 * sonic / T_total
    else:
        P, P_p, P_G, P_T = p, 1.0, 0.0, 0.0
    rho, rho_G, rho_P, rho_T = static_density_gradient(G, P, T_total)
    return P, P_p, P_G, P_T, rho, rho_P * P_p, 0.0, rho_G + rho_P * P_G, rho_T + rho_P * P_T
