"""Published and closed-form figures of pipe flow, from the line laws alone; own second method as verification."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from pneusim.physics.air import pressure_from_energy
from pneusim.physics.constants import KAPPA, R
from pneusim.physics.friction import static_density
from tests.physics.staggered import Line
from tests.reference_figures import figure, figures

PA = 101325.0
ISOTHERMAL = 2e4  # film coefficient that holds the wall temperature within a few kelvin [W/(m2 K)]
STATIC_INLET = -1.0  # entrance coefficient that makes the left pressure the static one in the pipe


def named(prefix):
    return [pytest.param(f, id=name) for name, f in figures().items() if name.startswith(prefix)]


def line_of(f, cells, **changes):
    """The line of a figure between its two pressures."""
    inlet = "inlet" if "inlet" in f.inputs else "supply"
    settings = {
        "friction_factor": f["friction_factor"] if "friction_factor" in f.inputs else 0.0,
        "film": 0.0 if f.inputs.get("heat") == "adiabatic" else ISOTHERMAL,
        "loss_k": STATIC_INLET if inlet == "inlet" else f["loss_k"],
        "T": f["temperature"],
        "roughness": f["roughness"] if "roughness" in f.inputs else 0.0,
        **changes,
    }
    back = settings.pop("back", None)
    return Line(f["length"], f["bore"], cells, f.absolute(inlet), back or f.absolute("back"), **settings)


def settled(line, seconds):
    y = line.run(line.rest(line.p_right), seconds).y[:, -1]
    return y, y[2 * line.cells :].mean()


@pytest.mark.parametrize("f", named("fanno_"))
def test_adiabatic_flow_with_friction(f):
    f.check(line_of(f, 8).steady_flow(4.0))


def test_isothermal_flow_with_friction():
    f = figure("isothermal_duct_12m")
    f.check(line_of(f, 16).steady_flow(4.0))


def test_duct_of_cengel_and_cimbala():
    mass_flow, mach = figure("cengel_12_17_mass_flow"), figure("cengel_12_17_exit_mach")
    f = mass_flow
    area = math.pi / 4 * f["bore"] ** 2
    w = f["inlet"] / (R * f["temperature"]) * f["velocity"] * area
    mass_flow.check(w)
    # static inlet state as given: its total temperature is that of the reservoir behind it
    total = f["temperature"] + f["velocity"] ** 2 / (2 * 3.5 * R)

    def surplus(back):
        line = line_of(f, 16, back=back, T=total, film=0.0)
        return line.steady_flow(4.0) - w

    back = brentq(surplus, 0.8e5, 1.6e5, xtol=200.0)
    rho = static_density(w / area, back, total)
    mach.check(w / (area * rho) / math.sqrt(KAPPA * back / rho))


def test_pipe_of_massey_with_friction_and_a_reservoir():
    line = line_of(figure("massey_11_6_mass_flow"), 32)
    y, w = settled(line, 5.0)
    figure("massey_11_6_mass_flow").check(w)
    f = figure("massey_11_6_pressure_at_12m")
    places = line.length / line.cells * np.arange(1, line.cells)
    f.check(np.interp(f["place"], places, line.nodes(y)[:, 0]))


def test_isothermal_pipe_of_massey():
    line = line_of(figure("massey_11_7_mass_flow"), 16)
    y, w = settled(line, 30.0)
    figure("massey_11_7_mass_flow").check(w)
    figure("massey_11_7_halfway_pressure").check(line.nodes(y)[line.cells // 2 - 1, 0])


def test_air_line_of_crane():
    f = figure("crane_7_16_pressure_drop")

    def surplus(drop):
        return line_of(f, 8, back=f.absolute("inlet") - drop).steady_flow(8.0) - f["mass_flow"]

    f.check(brentq(surplus, 5e3, 60e3, xtol=50.0))


def test_subsonic_discharge_of_crane():
    f = figure("crane_7_22_mass_flow")
    f.check(line_of(f, 16).steady_flow(1.0))


def test_laminar_lag_of_a_closed_tube():
    f = figure("laminar_ramp_lag")
    seconds = 5.0
    line = Line(f["length"], f["bore"], 8, PA + f["pressure_rate"] * seconds, PA, film=ISOTHERMAL, right_volume=0.0,
                loss_k=0.0, ramp=seconds)  # fmt: skip
    run = line.run(line.rest(PA), seconds, max_step=0.01)
    far = line.end_pressure(run.y)
    near = PA + f["pressure_rate"] * run.t
    mean = 0.5 * (far + near)
    f.check(np.interp(f["mean_pressure"], mean, near - far))


@pytest.mark.parametrize("f", [p for p in named("line_") if "break" not in p.id])
def test_filling_a_line_with_cells_of_one_metre(f):
    """Verification by a second method of our own, not validation."""
    line = Line(f["length"], f["bore"], max(2, math.ceil(f["length"])), PA + f["supply"], PA, loss_k=f["loss_k"],
                roughness=f["roughness"], right_volume=f["volume"], right_conductance=f["wall"],
                ramp=f["ramp"])  # fmt: skip
    run = line.run(line.rest(PA), 1.3 * f.expected, max_step=f["ramp"] / 100 or math.inf)
    level = PA + (f["level"] * f["supply"] if f["level"] < 1.0 else f["level"])
    f.check(np.interp(level, line.end_pressure(run.y), run.t))


def test_flow_out_of_a_break():
    """Verification by a second method of our own, not validation."""
    f = figure("line_break_flow")
    line = Line(f["length"], f["bore"], 8, PA + f["supply"], PA, roughness=f["roughness"], right_end=2.0)
    f.check(line.steady_flow(3.0))


@pytest.mark.parametrize("f", named("line_break_venting"))
def test_venting_through_a_break(f):
    """Verification by a second method of our own, not validation."""
    line = Line(f["length"], f["bore"], 8, PA, PA, left_end=2.0, loss_k=f["loss_k"], roughness=f["roughness"],
                right_volume=f["volume"], right_conductance=f["wall"])  # fmt: skip
    charged = line.with_(p_left=PA + f["start"]).rest(PA + f["start"])
    run = line.run(charged, 1.3 * f.expected)
    f.check(np.interp(-PA - f["level"], -line.end_pressure(run.y), run.t))


def test_the_bench_reads_its_end_pressure_as_the_law_does():
    line = Line(3.0, 9e-3, 4, PA, PA, right_volume=0.8e-3)
    y = line.rest(3e5)
    assert line.end_pressure(y) == pytest.approx(pressure_from_energy(y[7], line.numbers[13]), rel=1e-14)
