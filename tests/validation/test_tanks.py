"""Tanks that fill and empty through one restriction, run by the engine, against closed forms and textbooks.

Sources of the figures: `shared/references/tanks.yaml`, each with title, edition and page.
"""

from __future__ import annotations

import numpy as np
import pytest

from pneusim.physics.constants import KAPPA, RHO0, T0, R
from pneusim.physics.plain import hole_conductance
from tests.engine.bench import ADIABATIC, ATMOSPHERE, ISOTHERMAL, PA, Bench, Trace
from tests.reference_figures import Figure, figure, figures

SHARP = 1e-7  # tolerance at which the integrator's own error does not matter
HOLE_RATIO = 0.528


def named(prefix: str) -> list:
    return [pytest.param(f, id=name) for name, f in figures().items() if name.startswith(prefix)]


def film(f: Figure) -> float:
    return {"isothermal": ISOTHERMAL, "adiabatic": ADIABATIC}[f["heat"]]


def gauge(f: Figure, name: str, bench: Bench) -> float:
    return f.absolute(name) - bench.p_ambient


def charge(f: Figure) -> Trace:
    bench = Bench()
    supply, _ = bench.source("supply", gauge(f, "supply", bench))
    tank = bench.volume("tank", f["volume"], gauge(f, "start", bench), film(f))
    bench.valve("valve", supply, tank, f["conductance"], f["critical_ratio"])
    bench.passes("end", bench.watch["tank"], gauge(f, "end", bench), 1.0)
    return bench.run(1.5 * f.expected, rtol=SHARP)


def discharge(f: Figure) -> Trace:
    bench = Bench(p_ambient=f.absolute("back"))
    tank = bench.volume("tank", f["volume"], gauge(f, "start", bench), film(f))
    bench.valve("valve", tank, ATMOSPHERE, f["conductance"], f["critical_ratio"])
    bench.passes("end", bench.watch["tank"], gauge(f, "end", bench), -1.0)
    return bench.run(1.5 * f.expected, rtol=SHARP)


@pytest.mark.parametrize("f", named("tank_isothermal_charge") + named("tank_adiabatic_charge"))
def test_time_to_charge(f):
    f.check(charge(f).when("end"))


@pytest.mark.parametrize(
    "f",
    [p for kind in ("discharge", "choked") for heat in ("isothermal", "adiabatic")
     for p in named(f"tank_{heat}_{kind}")],
)  # fmt: skip
def test_time_to_discharge(f):
    f.check(discharge(f).when("end"))


@pytest.mark.parametrize("f", named("vessel_"))
def test_vessel_that_empties_through_a_hole(f):
    bench = Bench(f["back"])
    vessel = bench.volume("vessel", f["volume"], gauge(f, "start", bench), film(f))
    bench.valve("hole", vessel, ATMOSPHERE, hole_conductance(f["hole"], f["cd"]), HOLE_RATIO)
    bench.passes("end", bench.watch["vessel"], gauge(f, "end", bench), -1.0)
    f.check(bench.run(1.5 * f.expected, rtol=SHARP).when("end"))


def test_pressure_follows_the_isothermal_charge_all_the_way():
    """r = p/p_s: choked r = r1 + t/tau, then t = tau (1 - b) asin((r - b)/(1 - b)); agrees to 1e-4 of the supply.

    The run's own constants count: tau = V/(C rho0 R T0).  The laminar core bends the last 1 %.
    """
    f = figure("tank_isothermal_charge_b03")
    run = charge(f)
    supply, b = f.absolute("supply"), f["critical_ratio"]
    tau = f["volume"] / (f["conductance"] * RHO0 * R * T0)
    r1 = f.absolute("start") / supply
    choked = tau * (b - r1)
    angle = np.clip((run.times - choked) / (tau * (1.0 - b)), 0.0, np.pi / 2)
    exact = np.where(run.times < choked, r1 + run.times / tau, b + (1.0 - b) * np.sin(angle))
    p = (run["tank"] + PA) / supply
    below = exact < 0.99
    assert below.sum() > 30
    assert np.abs(p - exact)[below].max() < 1e-4


def test_pressure_and_temperature_follow_the_adiabatic_discharge():
    """p = p1 (1 + (kappa - 1) t/(2 tau))^(-2 kappa/(kappa - 1)), T = T0 (p/p1)^((kappa - 1)/kappa)."""
    f = figure("tank_adiabatic_choked_discharge")
    run = discharge(f)
    tau = f["volume"] / (f["conductance"] * RHO0 * R * T0)
    p1, back = f.absolute("start"), f.absolute("back")
    choked = run["tank"] + back > back / f["critical_ratio"]
    x = 1.0 + 0.5 * (KAPPA - 1.0) * run.times / tau
    exact = p1 * x ** (-2.0 * KAPPA / (KAPPA - 1.0))
    assert choked.sum() > 30
    assert np.abs((run["tank"] + back) / exact - 1.0)[choked].max() < 1e-4
    assert np.abs(run["tank.T"] / (T0 / x**2) - 1.0)[choked].max() < 1e-4


def test_an_empty_adiabatic_tank_warms_to_kappa_times_the_line():
    """Any start: U = U1 + (m - m1) cp Ts; what 20 Pa of air at first are worth is taken off by that balance."""
    f = figure("tank_adiabatic_fill_temperature")
    bench = Bench(T_ambient=f["supply_temperature"])
    supply, _ = bench.source("supply", 8e5)
    remains = 20.0
    tank = bench.volume("tank", 1e-3, remains - bench.p_ambient, ADIABATIC)
    bench.valve("valve", supply, tank, 2e-8)
    run = bench.run(5.0, rtol=SHARP)
    end = run["tank"][-1] + bench.p_ambient
    f.check(run["tank.T"][-1] * (1.0 + remains / end * (KAPPA - 1.0)))


def test_deflating_tyre_of_balmer():
    time, pressure = figure("balmer_16_8_unchoke_time"), figure("balmer_16_8_unchoke_pressure")
    bench = Bench(time["back"], time["temperature"])
    tyre = bench.volume("tyre", time["volume"], gauge(time, "start", bench), ISOTHERMAL)
    conductance = hole_conductance(time["hole"], time["cd"])
    bench.valve("hole", tyre, ATMOSPHERE, conductance, HOLE_RATIO)
    # Choked flow is proportional to the pressure; watch the flow fall behind that by a millionth.
    share = (1.0 - 1e-6) * conductance * RHO0 * (T0 / time["temperature"]) ** 0.5
    behind = bench.a.affine(-share * bench.p_ambient, (1.0, bench.watch["hole"]), (-share, bench.watch["tyre"]))
    bench.passes("unchoked", behind, 0.0, -1.0)
    run = bench.run(1.5 * time.expected, rtol=SHARP)
    time.check(run.when("unchoked"))
    pressure.check(run.at("tyre", run.when("unchoked")))


def test_tank_of_fox_and_mcdonald_at_opening():
    """The tank heats in proportion to the choked flow; the flow that heats it by 0.05 K/s is the answer."""
    f = figure("fox_4_17_filling_rate")
    seconds = 0.01

    def opening(conductance: float) -> tuple[float, float]:
        bench = Bench(f["ambient"], f["temperature"])
        line, _ = bench.source("line", 2e6 - f["ambient"])
        tank = bench.volume("tank", f["volume"], f["pressure"], ADIABATIC)
        bench.valve("valve", line, tank, conductance)
        run = bench.run(seconds, rtol=SHARP)
        return run["valve"][0], (run["tank.T"][-1] - run["tank.T"][0]) / seconds

    _, trial = opening(1e-10)
    flow, heating = opening(1e-10 * f["temperature_rate"] / trial)
    assert heating == pytest.approx(f["temperature_rate"], rel=1e-4)
    f.check(flow)
