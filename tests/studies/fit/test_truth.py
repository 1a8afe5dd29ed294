"""Known truths come out: closed forms, synthetic noise, intervals that cover; and what no data can tell is said."""

from __future__ import annotations

import numpy as np
import pytest

from pneusim.physics.constants import KAPPA, RHO0, T0, R
from pneusim.quantities import STANDARD_ATMOSPHERE as PA
from pneusim.studies.fit.fit import fit
from pneusim.studies.fit.patch import patch
from tests.studies.fit.small import C_AND_B, NOISE, TIMES, csv, problem, truth

C = "c: {of: hole.conductance, from: 0.5 dm3/(s bar), to: 10 dm3/(s bar), start: 1 dm3/(s bar)}"


def choked(heat: str) -> np.ndarray:
    """Absolute pressure of a tank that discharges choked: 2 L, 2 dm3/(s bar), from 6 bar gauge [Pa].

    q = C p rho0 sqrt(T0/T) (ISO 6358-1:2013, the choked branch, from memory, to be read against the official text)
    into V dp/dt = -R T0 q (isothermal) or p V^kappa constant (adiabatic), exact.
    """
    tau = 2e-3 / (2e-8 * RHO0 * R * T0)
    p1 = 6e5 + PA
    if heat == "isothermal":
        return p1 * np.exp(-TIMES / tau)
    return p1 * (1.0 + 0.5 * (KAPPA - 1.0) * TIMES / tau) ** (-2.0 * KAPPA / (KAPPA - 1.0))


@pytest.mark.parametrize("heat", ["isothermal", "adiabatic"])
def test_conductance_from_the_closed_form_of_the_choked_discharge(tmp_path, heat):
    p = choked(heat)
    rows = p > PA / 0.3  # choked as long as p_ambient/p <= b
    assert rows.sum() > 25
    found = fit(problem(tmp_path, csv((p - PA)[rows], TIMES[rows]), C, heat=heat), on="serial")
    assert found["c"].value == pytest.approx(2e-8, rel=1e-5)


@pytest.mark.parametrize("heat", ["isothermal", "adiabatic"])
def test_the_wrong_heat_is_seen_in_the_residuals(tmp_path, heat):
    """An adiabatic tank that is taken as isothermal, or the other way: the residuals drift, and are not noise."""
    p = choked(heat)
    rows = p > PA / 0.3
    values = (p - PA)[rows] + np.random.default_rng(1).normal(0.0, 100.0, rows.sum())
    other = {"isothermal": "adiabatic", "adiabatic": "isothermal"}[heat]
    found = fit(problem(tmp_path, csv(values, TIMES[rows]), C, noise=", noise: 0.1 kPa", heat=other), on="serial")
    assert any("times the noise given" in told for told in found.warnings)
    assert any("hang together" in told for told in found.warnings)


def test_without_noise_the_truth_comes_out(tmp_path):
    found = fit(problem(tmp_path, csv(truth()), starts=3), on="serial")
    assert found["c"].value == pytest.approx(2e-8, rel=2e-5)
    assert found["b"].value == pytest.approx(0.3, abs=2e-4)
    assert all(end.converged for end in found.ends)


def test_intervals_cover_the_truth_as_often_as_they_say(tmp_path):
    """40 fits of two parameters at 80 %: 64 of 80 intervals are expected; 50 is 3.9 deviations from that."""
    clean, covered, deviations = truth(), 0, []
    for seed in range(40):
        noisy = clean + np.random.default_rng(seed).normal(0.0, NOISE, len(clean))
        text = csv(noisy)
        one = problem(tmp_path, text)
        found = fit(type(one)(**{**vars(one), "confidence": 0.8}), on="serial")
        for name, true in (("c", 2e-8), ("b", 0.3)):
            estimate = found[name]
            covered += estimate.low <= true <= estimate.high
            deviations.append((estimate.value - true) / estimate.deviation)
    assert 50 <= covered <= 77
    assert 0.75 < np.std(deviations) < 1.25
    assert abs(np.mean(deviations)) < 0.45


def test_pressure_and_clock_cannot_be_told_apart_while_the_tank_empties(tmp_path):
    """Of an isothermal choked discharge a later clock and a higher pressure are the same curve."""
    parameters = f"{C_AND_B}\n  tank.pressure: {{from: 5 bar, to: 8 bar}}"
    noisy = truth() + np.random.default_rng(1).normal(0.0, NOISE, len(TIMES))
    found = fit(problem(tmp_path, csv(noisy, TIMES + 0.2), parameters, offset="{from: -0.1 s, to: 0.2 s}"), on="serial")
    assert found["tank.pressure"].low is None
    assert found["offset"].deviation is None
    assert found["c"].low < 2e-8 < found["c"].high
    assert found.warnings[0].startswith("the data cannot tell tank.pressure and offset apart")


def test_volume_and_conductance_together_are_only_their_quotient(tmp_path):
    parameters = f"{C}\n  tank.volume: {{from: 1 L, to: 5 L, start: 3 L}}"
    noisy = truth() + np.random.default_rng(1).normal(0.0, NOISE, len(TIMES))
    found = fit(problem(tmp_path, csv(noisy), parameters), on="serial")
    assert found["c"].value / found["tank.volume"].value == pytest.approx(1e-5, rel=0.02)
    assert "the data cannot tell c and tank.volume apart" in found.warnings[0]


def test_what_does_not_count_is_told(tmp_path):
    """A drain that stays shut may be as wide as it likes."""
    found = fit(problem(tmp_path, csv(truth()), "tank.drain_conductance: {from: 1 mm2, to: 20 mm2}"), on="serial")
    assert found["tank.drain_conductance"].low is None
    assert "say nothing about tank.drain_conductance" in found.warnings[0]


def test_a_bound_that_is_too_near_is_told(tmp_path):
    parameters = "c: {of: hole.conductance, from: 2.5 dm3/(s bar), to: 5 dm3/(s bar), start: 3 dm3/(s bar)}"
    found = fit(problem(tmp_path, csv(truth()), parameters), on="serial")
    assert any(told.startswith("c lies on its lower bound, 2.5 dm3/(s bar)") for told in found.warnings)
    assert (found["c"].bound, found["c"].low) == ("lower", None)
    assert "# beware: c lies on its lower bound" in patch(found)
    assert "# on its lower bound" in patch(found)


NEARLY = "c: {of: hole.conductance, from: 0.5 dm3/(s bar), to: 10 dm3/(s bar), start: 2.1 dm3/(s bar)}"


@pytest.mark.parametrize(("text", "told"), [
    (csv(truth()).replace("[kPa]", "[bar]"), "p is 10"),
    (csv(truth() + PA), "p lies about one atmosphere above what the circuit shows with the start values: is it right "
                        "without 'abs'?"),
    (csv(truth()).replace("[kPa]", "[kPa abs]"), "p lies about one atmosphere below"),
])  # fmt: skip
def test_a_unit_that_cannot_be_is_told_first(tmp_path, text, told):
    assert fit(problem(tmp_path, text, NEARLY), on="serial").warnings[0].startswith(told)


def test_a_unit_that_can_be_is_not_told(tmp_path):
    found = fit(problem(tmp_path, csv(truth()), NEARLY), on="serial")
    assert not any("start values" in told for told in found.warnings)


def test_clocks_that_differ(tmp_path):
    """The cock of the rig opens at 1 s of the run: the kink tells the offset."""
    noisy = truth(TIMES) + np.random.default_rng(3).normal(0.0, NOISE, len(TIMES))
    found = fit(problem(tmp_path, csv(noisy, TIMES + 0.15), offset="{from: 0 s, to: 0.17 s}"), on="serial")
    assert found["offset"].low < 0.15 < found["offset"].high
    assert found["offset"].deviation < 2e-3


def test_starts_far_away_come_to_the_same_end(tmp_path):
    found = fit(problem(tmp_path, csv(truth()), starts=4), on="threads", threads=2)
    assert len(found.ends) == 4
    assert found.ends[-1].cost < 1e-2  # in squares of a hundredth of the range
