"""Lines: inner nodes and faces of staggered cells, and the fault states of a node."""

from __future__ import annotations

from pneusim.engine.families.family import MASS_FLOW, PRESSURE, TEMPERATURE, Family
from pneusim.physics.compiled import law
from pneusim.physics.lines import line_face, line_node


@law
def _node(
    mass: float, energy: float, flow_left: float, flow_right: float, cell_volume: float, area: float, open_: float,
    p_ambient: float, T_ambient: float,
) -> tuple[float, float, float]:  # fmt: skip
    """State of an inner node; an opened node is the atmosphere."""
    if open_ > 0.0:
        return p_ambient, T_ambient, 0.0
    return line_node(mass, energy, flow_left, flow_right, cell_volume, area)


LINE_NODE = Family(
    "line_node",
    _node,
    {"mass": 1e-3, "energy": 200.0, "flow_left": MASS_FLOW, "flow_right": MASS_FLOW},
    ("cell_volume", "area", "open", "p_ambient", "T_ambient"),
    ("p", "T", "u"),
    depends={"u": ("mass", "flow_left", "flow_right")},
)

_FACE = {
    "p_l": PRESSURE, "T_l": TEMPERATURE, "u_l": 300.0, "p_r": PRESSURE, "T_r": TEMPERATURE, "u_r": 300.0,
    "w_left": MASS_FLOW, "w": MASS_FLOW, "w_right": MASS_FLOW,
}  # fmt: skip

LINE_FACE = Family(
    "line_face",
    line_face,
    _FACE,
    (
        "area", "bore", "cell_length", "relative_roughness", "loss_k", "friction_factor", "left_end", "right_end",
        "fitting_k", "film", "T_wall",
    ),  # fmt: skip
    ("acceleration", "enthalpy", "heat_left", "heat_right"),
    depends={"enthalpy": ("T_l", "u_l", "T_r", "u_r", "w")},
)
