"""Statistics: against published values and functions whose answer is known."""

import math

import numpy as np
import pytest
from scipy import stats

from pneusim.studies.sweep.parameter import Parameter, Spread
from pneusim.studies.sweep.plans import Plan, problem
from pneusim.studies.sweep.statistics import interval, rank_correlations, sobol_indices, summary


def cube(count, low=0.0, high=1.0):
    return [Parameter(f"x{k}", (f"x{k}",), "number", (0.0,), spreads=(Spread(low, high),)) for k in range(count)]


def values_of(function, parameters, plan):
    return [float(function(*row.values())) for row in plan.rows(parameters)]


def test_indices_of_the_ishigami_function():
    """Ishigami and Homma, Proc. ISUMA 1990, 398-403: sin x1 + a sin^2 x2 + b x3^4 sin x1 with a 7 and b 0.1.

    Closed forms: V = a^2/8 + b pi^4/5 + b^2 pi^8/18 + 1/2, V1 = (1 + b pi^4/5)^2/2, V2 = a^2/8, and
    VT1 = V1 + V13, VT3 = V13 = b^2 pi^8 (1/18 - 1/50).
    """
    a, b = 7.0, 0.1
    parameters = cube(3, -math.pi, math.pi)
    plan = Plan("indices", 4096, 1)
    values = values_of(
        lambda x, y, z: math.sin(x) + a * math.sin(y) ** 2 + b * z**4 * math.sin(x), parameters, plan
    )
    found = sobol_indices(problem(parameters), values)
    total = a * a / 8 + b * math.pi**4 / 5 + b * b * math.pi**8 / 18 + 0.5
    first = 0.5 * (1 + b * math.pi**4 / 5) ** 2, a * a / 8, 0.0
    joint = b * b * math.pi**8 * (1 / 18 - 1 / 50)
    for name, alone, together in zip(found, first, (joint, 0.0, joint)):
        assert found[name].first == pytest.approx(alone / total, abs=0.02)
        assert found[name].total == pytest.approx((alone + together) / total, abs=0.02)
        assert 0.0 < found[name].total_half_width < 0.1


def test_indices_of_the_g_function():
    """Sobol's g function (Saltelli and Sobol, Reliab. Eng. Syst. Saf. 50 (1995) 225-239): product of
    (|4 x - 2| + a)/(1 + a); V_i = 1/(3 (1 + a_i)^2), V = prod(1 + V_i) - 1."""
    a = np.array([0.0, 1.0, 9.0])
    parameters = cube(3)
    plan = Plan("indices", 4096, 2)
    values = values_of(lambda *x: np.prod((np.abs(4 * np.array(x) - 2) + a) / (1 + a)), parameters, plan)
    found = sobol_indices(problem(parameters), values)
    parts = 1.0 / (3.0 * (1.0 + a) ** 2)
    whole = np.prod(1.0 + parts) - 1.0
    for k, name in enumerate(found):
        others = np.prod(np.delete(1.0 + parts, k))
        assert found[name].first == pytest.approx(parts[k] / whole, abs=0.02)
        assert found[name].total == pytest.approx(parts[k] * others / whole, abs=0.02)


def test_indices_need_every_case():
    parameters = cube(2)
    values = values_of(lambda x, y: x + y, parameters, Plan("indices", 8))
    assert sobol_indices(problem(parameters), [None, *values[1:]]) == {}
    assert sobol_indices(problem(parameters), [1.0] * len(values)) == {}


def test_intervals_of_a_published_example():
    """Newcombe, Statist. Med. 17 (1998) 857-872, table I: 81 of 263, 15 of 148, 0 of 20, 1 of 29, at 95 %."""
    published = {
        (81, 263): ((0.2553, 0.3662), (0.2527, 0.3676)),
        (15, 148): ((0.0624, 0.1605), (0.0578, 0.1617)),
        (0, 20): ((0.0000, 0.1611), (0.0000, 0.1684)),
        (1, 29): ((0.0061, 0.1718), (0.0009, 0.1776)),
    }  # from memory, to be read against the paper
    for (kept, cases), (wilson, exact) in published.items():
        assert interval(kept, cases) == pytest.approx(wilson, abs=6e-5)
        assert interval(kept, cases, method="exact") == pytest.approx(exact, abs=6e-5)


@pytest.mark.parametrize("share", [0.02, 0.5, 0.9, 0.99])
def test_the_exact_interval_covers_at_least_what_it_says(share):
    """Coverage summed over all outcomes of 60 cases: at least 95 % for Clopper and Pearson, near it for Wilson."""
    coverage = {"exact": 0.0, "wilson": 0.0}
    for kept in range(61):
        for method in coverage:
            low, high = interval(kept, 60, 0.95, method)
            coverage[method] += stats.binom.pmf(kept, 60, share) * (low <= share <= high)
    assert coverage["exact"] >= 0.95
    assert coverage["wilson"] == pytest.approx(0.95, abs=0.035)


def test_of_one_column_it_is_spearmans():
    rng = np.random.default_rng(4)
    x, noise = rng.random(50), rng.random(50)
    y = x**3 + noise
    found = rank_correlations({"x": x.tolist(), "same": [1.0] * 50}, y.tolist())
    assert found.keys() == {"x"}
    assert found["x"].value == pytest.approx(stats.spearmanr(x, y).statistic)
    assert rank_correlations({"x": [1.0, 2.0]}, [1.0, 2.0]) == {}


def test_of_several_columns_it_is_that_of_the_inverse_correlation_matrix():
    """-P_ij/sqrt(P_ii P_jj) with the inverse P of the correlation matrix of all ranks: another way to the same."""
    rng = np.random.default_rng(5)
    x = rng.multivariate_normal([0, 0, 0], [[1, 0.8, 0], [0.8, 1, 0], [0, 0, 1]], 200)
    y = x[:, 0] - 0.4 * x[:, 1] + 0.1 * x[:, 2] + 0.3 * rng.standard_normal(200)
    found = rank_correlations({f"x{k}": x[:, k].tolist() for k in range(3)}, y.tolist())
    inverse = np.linalg.inv(np.corrcoef(stats.rankdata(np.column_stack([x, y]), axis=0).T))
    for k in range(3):
        expected = -inverse[k, 3] / math.sqrt(inverse[k, k] * inverse[3, 3])
        assert found[f"x{k}"].value == pytest.approx(expected, abs=1e-9)
    assert found["x1"].told
    assert found["x1"].value < 0.0 < stats.spearmanr(x[:, 1], y).statistic  # alone it has the sign of its companion


@pytest.mark.parametrize("weight", [0.0, 0.5, 3.0])
def test_intervals_of_rank_correlations_cover(weight):
    """Of 600 samples with normal columns; the truth is that of a sample of 200 000."""
    rng = np.random.default_rng(6)

    def drawn(count):
        x = rng.standard_normal((count, 3))
        y = weight * x[:, 0] + 2.0 * x[:, 1] + rng.standard_normal(count)
        return rank_correlations({f"x{k}": x[:, k].tolist() for k in range(3)}, y.tolist())["x0"]

    truth = drawn(200_000).value
    found = [drawn(60) for _ in range(600)]
    covered = sum(one.low <= truth <= one.high for one in found) / 600
    assert 0.92 < covered < 0.985


def test_a_summary_without_values():
    found = summary([None, None])
    assert (found.count, found.missing, found.mean, found.median) == (0, 2, None, None)
    assert summary([3.0]).deviation is None
