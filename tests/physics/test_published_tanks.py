"""Published and closed-form figures of tanks, restrictions, chambers and rigs, from the laws alone."""

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from pneusim.physics.air import choked_mass_flux
from pneusim.physics.chamber import chamber_rate, effective_area, pushrod_force, spring_brake_rates
from pneusim.physics.constants import CP, CV, KAPPA, RHO0, T0, R
from pneusim.physics.flow import hole_conductance, iso6358, iso6358_gradient, tube_conductance
from tests.reference_figures import figure, figures

LAMINAR = 20.0
PA = 101325.0


def named(prefix):
    return [pytest.param(f, id=name) for name, f in figures().items() if name.startswith(prefix)]


def time_between(p_start, p_end, rate, kinks=()):
    """Time from one pressure to another, given dp/dt as a function of pressure [s]."""
    points = [p for p in kinks if min(p_start, p_end) < p < max(p_start, p_end)]
    return quad(lambda p: 1.0 / rate(p), p_start, p_end, points=points or None, epsrel=1e-10)[0]


@pytest.mark.parametrize("f", [p for n in ("charge", "discharge") for h in ("isothermal", "adiabatic")
                               for p in named(f"tank_{h}_{n}")] + named("tank_isothermal_choked")
                         + named("tank_adiabatic_choked"))  # fmt: skip
def test_filling_and_emptying_a_tank(f):
    volume, c, b = f["volume"], f["conductance"], f["critical_ratio"]
    start, end = f.absolute("start"), f.absolute("end")
    adiabatic = f["heat"] == "adiabatic"
    if "supply" in f.inputs:
        supply = f.absolute("supply")

        def rate(p):
            q = iso6358(supply, T0, p, T0, c, b, LAMINAR)
            return (KAPPA if adiabatic else 1.0) * R * T0 * q / volume

        f.check(time_between(start, end, rate, [b * supply]))
        return
    back = f.absolute("back")

    def fall(p):
        T = T0 * (p / start) ** ((KAPPA - 1.0) / KAPPA) if adiabatic else T0
        return -(KAPPA if adiabatic else 1.0) * R * T * iso6358(p, T, back, T0, c, b, LAMINAR) / volume

    f.check(time_between(start, end, fall, [back / b]))


def test_an_empty_adiabatic_tank_fills_to_kappa_times_the_line_temperature():
    f = figure("tank_adiabatic_fill_temperature")
    energy_per_mass = CP * f["supply_temperature"]
    f.check(energy_per_mass / CV)


def test_tyre_deflation():
    f = figure("balmer_16_8_unchoke_time")
    c, T = hole_conductance(f["hole"], f["cd"]), f["temperature"]

    def fall(p):
        return -R * T * iso6358(p, T, f["back"], T, c, 0.528, LAMINAR) / f["volume"]

    pressures = np.linspace(f["back"], f["start"], 100001)
    unchoked = next(p for p in pressures if iso6358_gradient(p, T, f["back"], T, c, 0.528, LAMINAR)[3] == 0.0)
    figure("balmer_16_8_unchoke_pressure").check(unchoked - f["back"])
    f.check(time_between(f["start"], unchoked, fall))


def test_tank_filling_at_opening():
    f = figure("fox_4_17_filling_rate")
    mass = (f["pressure"] + f["ambient"]) * f["volume"] / (R * f["temperature"])
    # d(m cv T)/dt = q cp T with line and tank at one temperature: q (cp - cv) T = m cv dT/dt
    f.check(mass * CV * f["temperature_rate"] / ((CP - CV) * f["temperature"]))


def test_repeated_applications_of_rigid_chambers():
    f = figure("depletion_12_to_1")
    p = f["start"] + PA
    for _ in range(f["applications"]):
        p = (p * f["reservoir"] + PA * f["chamber"]) / (f["reservoir"] + f["chamber"])
    f.check(p - PA)


@pytest.mark.parametrize("f", named("series_"))
def test_two_restrictions_in_series_solved_for_the_middle_pressure(f):
    p1 = 8e5
    p2 = max(f["ratio"] * p1, 1e3)

    def surplus(p):
        entering = iso6358(p1, T0, p, T0, f["first"], f["first_b"], 1e-3)
        return entering - iso6358(p, T0, p2, T0, f["second"], f["second_b"], 1e-3)

    middle = brentq(surplus, p2, p1, xtol=1e-3)
    f.check(iso6358(p1, T0, middle, T0, f["first"], f["first_b"], 1e-3) / (p1 * RHO0))


def test_two_restrictions_side_by_side():
    f = figure("parallel_choked")
    flows = sum(iso6358(8e5, T0, 1e5, T0, f[k], f[f"{k}_b"], LAMINAR) for k in ("first", "second"))
    f.check(flows / (8e5 * RHO0))


@pytest.mark.parametrize("f", named("tube_"))
def test_tube_formula(f):
    f.check(tube_conductance(f["bore"], f["length"])[0])


def test_rule_of_thumb_between_area_and_conductance():
    f = figure("conductance_per_area")
    f.check(hole_conductance(2.0 * math.sqrt(f["area"] / math.pi), 1.0))


def test_reference_density_follows_from_the_reference_state():
    f = figure("iso6358_reference_density")
    f.check(f["pressure"] / (f["R"] * f["temperature"]))
    f.check(RHO0)


def test_force_of_a_type_30_chamber():
    f = figure("chamber_30_force_100_psi")
    f.check(f["pressure"] * effective_area(f["stroke"], f["area"], 63.5e-3, 0.35))


def test_force_is_constant_up_to_two_inches():
    f = figure("chamber_30_constant_stroke")
    strokes = [1e-5 * i for i in range(6350)]
    f.check(max(s for s in strokes if effective_area(s, 1.0, f["full_stroke"], 0.35) == 1.0))


def test_elastic_stroke_of_a_type_30_brake():
    f = figure("chamber_30_elastic_stroke")

    def rate(s):
        return chamber_rate(f["pressure"] + PA, PA, s, f["area"], 63.5e-3, 0.35, 387.0, 3e3, f["free_stroke"],
                            f["stiffness"], 2e6, 39.0, 0.0, 100.0, 0.0)[0]  # fmt: skip

    resting = [s for s in (1e-5 * i for i in range(6000)) if rate(s) == 0.0]
    f.check(0.5 * (resting[0] + resting[-1]))
    assert pushrod_force(resting[0], f["free_stroke"], f["stiffness"]) > 9e3


def test_spring_and_service_force_compound_on_one_pushrod():
    """As the manual adds them: no friction, no return spring, a spring that keeps its force."""
    f = figure("spring_brake_compounded")
    fixed = (f["area"], 63.5e-3, 0.35, 0.0, 0.0, 14e-3, 1500e3, 2e6, 0.0, 0.0, 100.0,
             f["area"], f["spring"], 0.0, 64e-3, 0.0, 2e6, 0.0)  # fmt: skip
    rates = solve_ivp(lambda _, x: spring_brake_rates(f["pressure"] + PA, PA, PA, *x, *fixed)[:2], (0.0, 5.0),
                      [0.0, 0.0], method="LSODA", rtol=1e-8, atol=1e-10)  # fmt: skip
    f.check(spring_brake_rates(f["pressure"] + PA, PA, PA, *rates.y[:, -1], *fixed)[2])


def lumped_times(levels, volume, source, supply, area, film):
    """Times at which a volume fed from a source volume through an ideal nozzle passes gauge levels [s]."""
    diameter = math.sqrt(4.0 * area / math.pi)
    c = hole_conductance(diameter, 1.0)

    def rates(_, y):
        (m, U, ms, Us) = y
        T, Ts = U / (m * CV), Us / (ms * CV)
        q = iso6358(0.4 * Us / source, Ts, 0.4 * U / volume, T, c, 0.528, LAMINAR)
        h = q * CP * Ts
        return [q, h + film * (T0 - T), -q, -h]

    def passes(level):
        event = lambda _, y: 0.4 * y[1] / volume - PA - level  # noqa: E731
        event.terminal = level == max(levels)
        return event

    y0 = [PA * volume / (R * T0), PA * volume / 0.4, (supply + PA) * source / (R * T0), (supply + PA) * source / 0.4]
    run = solve_ivp(rates, (0.0, 5.0), y0, rtol=1e-8, atol=1e-10, events=[passes(level) for level in levels])
    return [times[0] for times in run.t_events]


@pytest.mark.parametrize(("film_per_area", "low", "high"), [(0.0, 8.2e-6, 8.7e-6), (50.0, 9.2e-6, 9.6e-6)])
def test_one_nozzle_meets_both_windows_of_the_un13_simulator(film_per_area, low, high):
    """Times from memory: a consistency check of the two windows and the volumes, not a validation."""
    small, large = figure("un13_simulator_385"), figure("un13_simulator_1155")

    def seconds(f, area, pipe=True):
        volume = f["volume"] + (f["pipe"] if pipe else 0.0)
        wall = 4 * f["pipe"] / 13e-3 + 1.5 * math.pi * (4 * f["volume"] / math.pi) ** (2 / 3)
        first, last = lumped_times((f["from"], f["to"]), volume, f["source"], f["supply"], area, film_per_area * wall)
        return last - first

    def meets(f, area, pipe=True):
        return abs(seconds(f, area, pipe) - f.expected) <= f.margin

    area = brentq(lambda a: seconds(small, a) - 0.193, 5e-6, 14e-6, xtol=1e-9)
    assert low < area < high
    assert meets(small, area)
    assert meets(large, area)
    # without the rig's own pipe no area meets both
    area = brentq(lambda a: seconds(small, a, pipe=False) - 0.193, 2e-6, 14e-6, xtol=1e-9)
    assert not meets(large, area, pipe=False)


def test_one_conductance_meets_both_times_of_the_former_us_rig():
    """Times from memory: a consistency check, not a validation."""
    fill, empty = figure("us121_old_rig_apply"), figure("us121_old_rig_release")
    c = 5.3e-8
    area = c / hole_conductance(math.sqrt(4.0 / math.pi), 1.0)
    fill.check(lumped_times((fill["end"],), fill["volume"], fill["source"], fill["supply"], area, 0.0)[0])
    start = empty.absolute("start")

    def fall(p):
        T = T0 * (p / start) ** (0.4 / 1.4)
        return -1.4 * R * T * iso6358(p, T, PA, T0, c, 0.528, LAMINAR) / empty["volume"]

    empty.check(time_between(start, empty.absolute("end"), fall))


@pytest.mark.parametrize("f", named("perry_"))
def test_remembered_orifice_coefficient_lies_below_an_ideal_nozzle(f):
    """From memory: only that hole_conductance with this coefficient passes so much of the ideal flow."""
    hole = 4e-3
    q = iso6358(8e5, T0, f["ratio"] * 8e5, T0, hole_conductance(hole, f.value), 0.528, LAMINAR)
    ideal = iso6358(8e5, T0, f["ratio"] * 8e5, T0, hole_conductance(hole, 1.0), 0.528, LAMINAR)
    f.check(q / ideal)
    assert q < math.pi / 4 * hole**2 * choked_mass_flux(8e5, T0)
