"""Lines: inner nodes, walls and faces of staggered cells, and the fault states of a node."""

from __future__ import annotations

from pneusim.engine.families.family import MASS_FLOW, PRESSURE, TEMPERATURE, Family
from pneusim.physics.compiled import law
from pneusim.physics.line_gradients import (
    line_face_gradient,
    line_heat_gradient,
    line_node_gradient,
    line_wall_gradient,
)
from pneusim.physics.lines import line_face, line_heat, line_node, line_wall


@law
def _node(
    mass: float, energy: float, flow_left: float, flow_right: float, cell_volume: float, area: float, open_: float,
    p_ambient: float, T_ambient: float,
) -> tuple[float, float, float]:  # fmt: skip
    """State of an inner node; an opened node is the atmosphere."""
    if open_ > 0.0:
        return p_ambient, T_ambient, 0.0
    return line_node(mass, energy, flow_left, flow_right, cell_volume, area)


@law
def _node_gradient(
    mass: float, energy: float, flow_left: float, flow_right: float, cell_volume: float, area: float, open_: float,
    p_ambient: float, T_ambient: float,
) -> tuple[
    float, float, float, float, float, float, float, float, float, float, float, float, float, float
]:  # fmt: skip
    if open_ > 0.0:
        return p_ambient, T_ambient, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
    p, T, u, p_m, p_E, p_w, T_m, T_E, T_w, u_m, u_w = line_node_gradient(
        mass, energy, flow_left, flow_right, cell_volume, area
    )
    return p, T, u, p_m, p_E, p_w, p_w, T_m, T_E, T_w, T_w, u_m, u_w, u_w


LINE_NODE = Family(
    "line_node",
    _node,
    {"mass": 1e-3, "energy": 200.0, "flow_left": MASS_FLOW, "flow_right": MASS_FLOW},
    ("cell_volume", "area", "open", "p_ambient", "T_ambient"),
    ("p", "T", "u"),
    gradient=_node_gradient,
    depends={"u": ("mass", "flow_left", "flow_right")},
)

LINE_WALL = Family(
    "line_wall",
    line_wall,
    {"w": MASS_FLOW},
    ("area", "bore", "cell_length", "relative_roughness", "friction_factor", "film"),
    ("number", "conductance"),
    gradient=line_wall_gradient,
)

LINE_FACE = Family(
    "line_face",
    line_face,
    {
        "p_l": PRESSURE, "T_l": TEMPERATURE, "u_l": 300.0, "p_r": PRESSURE, "T_r": TEMPERATURE, "u_r": 300.0,
        "w_left": MASS_FLOW, "w": MASS_FLOW, "w_right": MASS_FLOW, "number": 1e3,
    },
    ("area", "bore", "cell_length", "loss_k", "left_end", "right_end", "fitting_k"),
    ("acceleration", "enthalpy"),
    gradient=line_face_gradient,
    depends={"enthalpy": ("T_l", "u_l", "T_r", "u_r", "w")},
)  # fmt: skip

LINE_HEAT = Family(
    "line_heat",
    line_heat,
    {"T": TEMPERATURE, "u": 300.0, "conductance_left": 10.0, "conductance_right": 10.0},
    ("halves_left", "halves_right", "T_wall"),
    ("heat",),
    gradient=line_heat_gradient,
)
