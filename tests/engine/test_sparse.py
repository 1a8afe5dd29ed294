"""Sparse LU with a fixed pattern, against dense and pivoted sparse solvers."""

from __future__ import annotations

import time

import numpy as np
import pytest
import scipy.sparse.linalg
from numpy.typing import NDArray

from pneusim.engine import sparse

FloatArray = NDArray[np.float64]


def random_entries(
    n: int, seed: int, per_row: int = 3
) -> tuple[NDArray[np.int64], NDArray[np.int64], FloatArray]:
    """Random unsymmetric entries; the shift is to make the diagonal dominant."""
    rng = np.random.default_rng(seed)
    rows, cols = np.repeat(np.arange(n), per_row), rng.integers(0, n, n * per_row)
    keys = np.unique(rows * n + cols)
    return keys // n, keys % n, rng.normal(size=len(keys))


def dense_of(
    n: int, rows: NDArray[np.int64], cols: NDArray[np.int64], data: FloatArray, shift: float
) -> FloatArray:
    matrix = shift * np.eye(n)
    np.add.at(matrix, (rows, cols), data)
    return matrix


def solve_with(
    symbolic: sparse.Symbolic,
    rows: NDArray[np.int64],
    cols: NDArray[np.int64],
    data: FloatArray,
    shift: float,
    b: FloatArray,
) -> FloatArray:
    matrix, values = np.zeros(symbolic.nnz), np.zeros(symbolic.nnz)
    np.add.at(matrix, symbolic.positions(rows, cols), data)
    pivots, x, work = np.zeros(symbolic.n), np.zeros(symbolic.n), np.zeros(symbolic.n)
    sparse.factor(matrix, shift, symbolic.arrays, values, pivots)
    sparse.solve(values, pivots, symbolic.arrays, b, x, work)
    return x


@pytest.mark.parametrize("n", [1, 2, 10, 80, 237])
@pytest.mark.parametrize("seed", range(5))
def test_solution_agrees_with_numpy(n: int, seed: int) -> None:
    rows, cols, data = random_entries(n, seed)
    b = np.random.default_rng(seed + 100).normal(size=n)
    x = solve_with(sparse.analyse(n, rows, cols), rows, cols, data, 20.0, b)
    np.testing.assert_allclose(
        x, np.linalg.solve(dense_of(n, rows, cols, data, 20.0), b), rtol=1e-11, atol=1e-13
    )


@pytest.mark.parametrize("shift", [1e-3, 1.0, 1e7])
def test_stiff_exchange_is_solved_as_well_as_with_pivoting(shift: float) -> None:
    """Backward error on a chain whose rates span nine decades, against SuperLU with pivoting."""
    n = 300
    rate = 10.0 ** np.random.default_rng(3).uniform(-3, 6, n - 1)
    i = np.arange(n - 1)
    rows, cols = np.concatenate([i, i, i + 1, i + 1]), np.concatenate([i, i + 1, i, i + 1])
    data = np.concatenate([rate, -rate, -rate, rate])
    b = np.random.default_rng(4).normal(size=n)
    matrix = dense_of(n, rows, cols, data, shift)

    def backward_error(x: FloatArray) -> float:
        return float(np.max(np.abs(matrix @ x - b) / (np.abs(matrix) @ np.abs(x) + np.abs(b))))

    pivoted = scipy.sparse.linalg.spsolve(scipy.sparse.csc_matrix(matrix), b)
    ours = solve_with(sparse.analyse(n, rows, cols), rows, cols, data, shift, b)
    assert backward_error(ours) <= max(4e-15, 10 * backward_error(pivoted))


def tridiagonal(n: int) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    i = np.arange(n - 1)
    return np.concatenate([i, i + 1]), np.concatenate([i + 1, i])


def test_dense_rows_of_accumulators_cause_no_fill() -> None:
    n = 50
    rows, cols = tridiagonal(n)
    everyone = np.arange(n)
    rows = np.concatenate([rows, np.full(n, n), np.full(n, n + 1)])
    cols = np.concatenate([cols, everyone, everyone])
    symbolic = sparse.analyse(n + 2, rows, cols)
    assert symbolic.nnz == len(rows) + n + 2
    assert len(symbolic.targets) == n - 1, "the dense rows must cost no arithmetic"
    data = np.random.default_rng(0).normal(size=len(rows))
    b = np.ones(n + 2)
    x = solve_with(symbolic, rows, cols, data, 9.0, b)
    np.testing.assert_allclose(x, np.linalg.solve(dense_of(n + 2, rows, cols, data, 9.0), b), rtol=1e-12)


@pytest.mark.parametrize("hub", [0, 17, 39])
def test_arrow_matrix_fills_nothing_when_its_hub_is_last(hub: int) -> None:
    n = 40
    spokes = np.array([i for i in range(n) if i != hub])
    rows, cols = np.concatenate([spokes, np.full(n - 1, hub)]), np.concatenate([np.full(n - 1, hub), spokes])
    symbolic = sparse.analyse(n, rows, cols, last=[hub])
    assert symbolic.perm[-1] == hub
    assert symbolic.nnz == 3 * n - 2
    data = np.random.default_rng(hub).normal(size=len(rows))
    b = np.arange(1.0, n + 1)
    x = solve_with(symbolic, rows, cols, data, 12.0, b)
    np.testing.assert_allclose(x, np.linalg.solve(dense_of(n, rows, cols, data, 12.0), b), rtol=1e-12)


@pytest.mark.parametrize("seed", range(5))
def test_pattern_holds_every_entry_and_all_fill(seed: int) -> None:
    """The dense factors in elimination order are zero outside the pattern."""
    n = 40
    rows, cols, data = random_entries(n, seed)
    symbolic = sparse.analyse(n, rows, cols, last=[5])
    assert sorted(symbolic.perm) == list(range(n))
    matrix = dense_of(n, rows, cols, data, 20.0)[np.ix_(symbolic.perm, symbolic.perm)]
    for k in range(n):
        matrix[k + 1 :, k] /= matrix[k, k]
        matrix[k + 1 :, k + 1 :] -= np.outer(matrix[k + 1 :, k], matrix[k, k + 1 :])
    inside = np.zeros((n, n), bool)
    inside[np.repeat(np.arange(n), np.diff(symbolic.ptr)), symbolic.col] = True
    assert np.all(matrix[~inside] == 0.0)


def test_chain_keeps_its_entries() -> None:
    assert sparse.analyse(100, *tridiagonal(100)).nnz == 298


def test_position_outside_the_pattern_is_refused() -> None:
    symbolic = sparse.analyse(4, *tridiagonal(4))
    with pytest.raises(KeyError, match=r"entry \(0, 3\)"):
        symbolic.positions([0, 0], [1, 3])


def test_positions_keep_the_shape_and_name_the_entry() -> None:
    n = 9
    rows, cols, _ = random_entries(n, 2)
    symbolic = sparse.analyse(n, rows, cols)
    found = symbolic.positions(rows.reshape(1, -1), cols.reshape(1, -1))
    assert found.shape == (1, len(rows))
    row_of = np.repeat(np.arange(n), np.diff(symbolic.ptr))
    np.testing.assert_array_equal(symbolic.perm[row_of[found[0]]], rows)
    np.testing.assert_array_equal(symbolic.perm[symbolic.col[found[0]]], cols)


def test_singular_matrix_gives_values_that_are_not_finite() -> None:
    symbolic = sparse.analyse(2, [0], [1])
    x = solve_with(symbolic, np.array([0]), np.array([1]), np.array([1.0]), 0.0, np.ones(2))
    assert not np.all(np.isfinite(x))


def test_large_network_is_analysed_in_a_fraction_of_a_second() -> None:
    """2000 states of line cells (five-point coupling of mass, energy and flow) with two accumulators."""
    n = 2000
    base = 3 * np.arange(n // 3 - 2)
    i, j = np.meshgrid(np.arange(5), np.arange(5))
    rows = (base[:, None] + i.ravel()).ravel()
    cols = (base[:, None] + j.ravel()).ravel()
    rows, cols = (
        np.append(rows, np.repeat([n - 2, n - 1], n - 2)),
        np.append(cols, np.tile(np.arange(n - 2), 2)),
    )
    start = time.process_time()
    symbolic = sparse.analyse(n, rows, cols)
    assert time.process_time() - start < 0.5
    assert symbolic.nnz < 1.6 * len(np.unique(rows * n + cols))
