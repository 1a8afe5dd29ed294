"""Flow through pipes with friction, at rest in time, run by the engine as distributed lines.

Sources of the figures: `shared/references/pipes.yaml`, each with title, edition and page.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pytest
from scipy.optimize import brentq

from pneusim.engine.lines import AssembledLine
from pneusim.engine.machine import Machine
from pneusim.physics.constants import CP, KAPPA, R
from pneusim.physics.friction import sonic_end_pressure, static_density
from tests.engine.bench import ATMOSPHERE, Bench
from tests.reference_figures import Figure, figure, figures

ISOTHERMAL_FILM = 2e4  # holds the wall temperature within a few kelvin [W/(m2 K)]
FOOT_PER_MINUTE = 0.3048 / 60.0  # [m/s]
STATIC_INLET = -1.0  # entrance coefficient that makes the pressure of the source the static one in the pipe


@dataclass(frozen=True)
class Flow:
    """A line in steady flow."""

    machine: Machine
    line: AssembledLine
    mass_flow: float

    def pressure_at(self, place: float) -> float:
        """Absolute static pressure [Pa] at a distance from the inlet [m]."""
        spec, cells = self.line.spec, self.line.cells
        places = spec.length / (len(cells) + 1) * np.arange(1, len(cells) + 1)
        return float(np.interp(place, places, [self.machine.read(cell.p) for cell in cells]))


def steady(f: Figure, cells: int, seconds: float, *, back: float | None = None, T: float | None = None) -> Flow:
    """The pipe of a figure between its two pressures until the flow is the same everywhere."""
    static_inlet = "inlet" in f.inputs
    bench = Bench(back or f.absolute("back"), T or f["temperature"])
    source, _ = bench.source("source", f.absolute("inlet" if static_inlet else "supply") - bench.p_ambient)
    given = f.inputs
    line = bench.line(
        "pipe", source, ATMOSPHERE, f["length"], f["bore"], cells=cells,
        friction_factor=f["friction_factor"] if "friction_factor" in given else 0.0,
        roughness=f["roughness"] if "roughness" in given else 0.0,
        film=ISOTHERMAL_FILM if given.get("heat") == "isothermal" else 0.0,
    )  # fmt: skip
    machine = bench.machine()
    machine.set_field(line.faces[0], "loss_k", STATIC_INLET if static_inlet else f["loss_k"])
    bench.run(seconds, machine, rtol=1e-6)
    flows = np.array([machine.get_state(w) for w in line.flows])
    assert np.ptp(flows) < 1e-5 * flows.mean()
    return Flow(machine, line, float(flows.mean()))


@pytest.mark.parametrize("name", [name for name in figures() if name.startswith("fanno_")])
def test_adiabatic_flow_with_friction(name):
    f = figure(name)
    f.check(steady(f, 8, 4.0).mass_flow)


def test_isothermal_flow_with_friction():
    f = figure("isothermal_duct_12m")
    f.check(steady(f, 16, 4.0).mass_flow)


def test_duct_of_cengel_and_cimbala():
    """The back pressure is sought that draws the mass flow of the inlet state; it gives the exit Mach number."""
    f = figure("cengel_12_17_mass_flow")
    area = math.pi / 4.0 * f["bore"] ** 2
    wanted = f["inlet"] / (R * f["temperature"]) * f["velocity"] * area
    f.check(wanted)
    total = f["temperature"] + f["velocity"] ** 2 / (2.0 * CP)
    back = brentq(
        lambda p: steady(f, 32, 4.0, back=p, T=total).mass_flow - wanted, 0.8e5, 1.6e5, xtol=200.0
    )  # fmt: skip
    rho = static_density(wanted / area, back, total)
    figure("cengel_12_17_exit_mach").check(wanted / (area * rho) / math.sqrt(KAPPA * back / rho))


@pytest.mark.parametrize("name", ["duct_mach_01", "duct_mach_02", "duct_mach_03"])
def test_entry_mach_number_of_a_duct_that_chokes(name: str):
    """The mass flow of the run, as the Mach number that carries it from the supply's stagnation state."""
    f = figure(name)
    flux = steady(f, 16, 8.0).mass_flow / (math.pi / 4.0 * f["bore"] ** 2)
    share = flux / (f.absolute("supply") * math.sqrt(KAPPA / (R * f["temperature"])))
    f.check(brentq(lambda m: m * (1.0 + 0.5 * (KAPPA - 1.0) * m * m) ** -3.0 - share, 1e-3, 1.0))


def test_pressure_along_a_duct_that_chokes():
    f = figure("duct_mach_02_profile")
    f.check(steady(f, 32, 4.0).pressure_at(f["place"]) / f.absolute("supply"))


def test_exit_pressure_of_the_smooth_duct_of_cengel_and_cimbala():
    f = figure("cengel_12_16_exit_pressure")
    flux = steady(f, 32, 3.0).mass_flow / (math.pi / 4.0 * f["bore"] ** 2)
    f.check(sonic_end_pressure(flux, f["temperature"]))


def test_tube_of_fox_and_mcdonald():
    f, tap = figure("fox_12_7_mass_flow"), figure("fox_12_7_second_tap")
    flow = steady(f, 32, 4.0)
    f.check(flow.mass_flow)
    tap.check(flow.pressure_at(tap["place"]))


def test_pipe_of_massey_with_friction_and_a_reservoir():
    flow = steady(figure("massey_11_6_mass_flow"), 32, 5.0)
    figure("massey_11_6_mass_flow").check(flow.mass_flow)
    f = figure("massey_11_6_pressure_at_12m")
    f.check(flow.pressure_at(f["place"]))


def test_isothermal_pipe_of_massey():
    flow = steady(figure("massey_11_7_mass_flow"), 16, 30.0)
    figure("massey_11_7_mass_flow").check(flow.mass_flow)
    f = figure("massey_11_7_halfway_pressure")
    f.check(flow.pressure_at(f["place"]))


def test_air_line_of_crane():
    f = figure("crane_7_16_pressure_drop")
    inlet = f.absolute("inlet")
    drop = brentq(lambda drop: steady(f, 16, 8.0, back=inlet - drop).mass_flow - f["mass_flow"], 5e3, 60e3, xtol=50.0)
    f.check(drop)
    flux = f["mass_flow"] / (math.pi / 4.0 * f["bore"] ** 2)
    for place, pressure in (("inlet", inlet), ("outlet", inlet - drop)):
        velocity = flux / static_density(flux, pressure, f["temperature"])
        figure(f"crane_7_16_{place}_velocity").check(velocity / FOOT_PER_MINUTE)


def test_subsonic_discharge_of_crane():
    f = figure("crane_7_22_mass_flow")
    f.check(steady(f, 16, 2.0).mass_flow)


def test_laminar_lag_of_a_closed_tube():
    """dp = 16 mu (L/d)^2 (dp/dt)/p between the two ends of a tube whose pressure rises steadily."""
    f = figure("laminar_ramp_lag")
    bench = Bench()
    source, pressure = bench.source("near", 0.0)
    far = bench.volume("far", 0.0)
    bench.line("tube", source, far, f["length"], f["bore"], cells=8, film=ISOTHERMAL_FILM)
    machine = bench.machine()
    machine.move(pressure, 0.0, f["pressure_rate"])
    run = bench.run(5.0, machine, rtol=1e-6, tolerance=0.1)
    mean = bench.p_ambient + 0.5 * (run["near"] + run["far"])
    f.check(np.interp(f["mean_pressure"], mean, run["near"] - run["far"]))
