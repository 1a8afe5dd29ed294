"""Plans and distributions, against scipy and closed forms."""

import numpy as np
import pytest
from scipy import stats

from pneusim.studies.sweep.parameter import Parameter, Spread
from pneusim.studies.sweep.plans import Plan, at, axes

A = Parameter("a", ("x.a",), "number", (1.0,), spreads=(Spread(0.0, 2.0),))
B = Parameter("b", ("x.b", "y.b"), "number", (5.0, 5.0), values=(4, 5, 6))


def test_a_grid_is_every_combination():
    rows = list(Plan("grid").rows([A, B]))
    assert Plan("grid").size([A, B]) == len(rows) == 9
    assert rows[0] == {"x.a": 0.0, "x.b": 4, "y.b": 4}
    assert rows[-1] == {"x.a": 2.0, "x.b": 6, "y.b": 6}
    assert {row["x.a"] for row in rows} == {0.0, 1.0, 2.0}


def test_a_list_takes_values_side_by_side():
    other = Parameter("c", ("z.c",), "word", (None,), values=("p", "q", "r"))
    single = Parameter("d", ("z.d",), "number", (1.0,), values=(7,))
    rows = list(Plan("list").rows([B, other, single]))
    assert [(row["x.b"], row["z.c"], row["z.d"]) for row in rows] == [(4, "p", 7), (5, "q", 7), (6, "r", 7)]


def test_a_latin_hypercube_has_one_case_in_every_row():
    found = np.sort([row["x.a"] for row in Plan("latin_hypercube", 20, 3).rows([A, B])])
    assert np.array_equal(np.floor(found * 10.0), np.arange(20))


def test_sobol_points_are_those_of_scipy():
    expected = stats.qmc.Sobol(2, seed=5).random(16)
    assert np.array_equal(Plan("sobol", 16, 5).shares([A, B]), expected)


def test_a_seed_gives_the_same_cases_and_another_one_others():
    rows = [[row["x.a"] for row in Plan("latin_hypercube", 10, seed).rows([A])] for seed in (1, 1, 2)]
    assert rows[0] == rows[1] != rows[2]


def test_indices_take_a_base_times_the_axes_and_two():
    assert Plan("indices", 8).size([A, B]) == len(Plan("indices", 8).shares([A, B])) == 32


SPREADS = [Spread(2.0, 5.0), Spread(2.0, 5.0, "normal", 3.0, 0.7), Spread(0.0, 1.0, "normal", 2.0, 1.0)]


@pytest.mark.parametrize("spread", SPREADS)
def test_quantiles_are_those_of_the_distribution(spread):
    """Kolmogorov and Smirnov's test of the quantiles of even shares against scipy's distribution function."""
    shares = (np.arange(500) + 0.5) / 500
    values = np.array([spread.quantile(share) for share in shares])
    if spread.kind == "uniform":
        known = stats.uniform(spread.low, spread.high - spread.low)
    else:
        low, high = ((end - spread.mean) / spread.sigma for end in (spread.low, spread.high))
        known = stats.truncnorm(low, high, spread.mean, spread.sigma)
    assert stats.kstest(values, known.cdf).statistic < 2e-3
    assert values.min() >= spread.low
    assert values.max() <= spread.high
    assert spread.quantile(0.0) == pytest.approx(spread.low)
    assert spread.quantile(1.0) == pytest.approx(spread.high)


@pytest.mark.parametrize("correlation", [0.0, 0.6, 0.9])
def test_paths_are_correlated_as_asked(correlation):
    """Pearson's correlation of the normal scores is the one asked for; each path alone keeps its distribution."""
    spread = Spread(-4.0, 4.0, "normal", 0.0, 1.0)
    both = Parameter("a", ("x", "y"), "number", (0.0, 0.0), spreads=(spread, spread), correlation=correlation)
    assert axes([both]) == ["x", "y"]
    found = np.array([[row["x"], row["y"]] for row in Plan("sobol", 2048, 1).rows([both])])
    assert np.corrcoef(found.T)[0, 1] == pytest.approx(correlation, abs=0.01)
    assert stats.kstest(found[:, 1], stats.norm.cdf).statistic < 0.01


def test_what_moves_together_is_one_axis():
    spreads = (Spread(0.0, 1.0), Spread(10.0, 20.0))
    both = Parameter("a", ("x", "y"), "number", (0.5, 15.0), spreads=spreads)
    assert axes([both]) == ["a"]
    assert at([both], [0.25]) == {"x": 0.25, "y": 12.5}
