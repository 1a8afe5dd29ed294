"""Sparse LU with a fixed pattern: symbolic work in Python once per pattern, numeric work in compiled loops.

The matrices are ``shift * I - J`` with a positive shift, where J is the Jacobian of a network of exchanging
compartments. They are factorised without pivoting, on a pattern found in advance.

References
----------
Duff, Erisman and Reid, Direct Methods for Sparse Matrices, 2nd ed., Oxford University Press 2017.
"""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numba import njit, types
from numpy.typing import ArrayLike, NDArray

IntArray = NDArray[np.int64]
FloatArray = NDArray[np.float64]

_at = np.uint64  # an unsigned index spares the compiled code the test for counting from the end
_ints = types.int64[::1]
_floats = types.float64[::1]
_tuple: Any = types.Tuple
LU_TYPES = _tuple((_ints,) * 5)
FACTOR_TYPE = types.void(_floats, types.float64, LU_TYPES, _floats, _floats)
SOLVE_TYPE = types.void(_floats, _floats, LU_TYPES, _floats, _floats, _floats)


@dataclass(frozen=True)
class Symbolic:
    """Elimination order and fill pattern of a square sparse matrix of size n.

    Attributes
    ----------
    perm : int64 array (n,)
        Row and column ``perm[i]`` of the matrix is eliminated i-th.
    ptr : int64 array (n + 1,)
        Row i of the factors occupies positions ``ptr[i]`` to ``ptr[i + 1] - 1``.
    col : int64 array (nnz,)
        Column of each position, in elimination order, ascending in a row.
    diag : int64 array (n,)
        Position of each diagonal entry; L lies before it in its row, U behind it.
    targets : int64 array
        Position changed by each multiply-subtract of the factorisation, in the order in which they happen.
    """

    perm: IntArray
    ptr: IntArray
    col: IntArray
    diag: IntArray
    targets: IntArray

    @property
    def n(self) -> int:
        """Size of the matrix."""
        return len(self.perm)

    @property
    def nnz(self) -> int:
        """Number of entries of the factors, fill and diagonal included."""
        return len(self.col)

    @property
    def arrays(self) -> tuple[IntArray, IntArray, IntArray, IntArray, IntArray]:
        """The arrays in the order in which `factor` and `solve` take them."""
        return self.perm, self.ptr, self.col, self.diag, self.targets

    def positions(self, rows: ArrayLike, cols: ArrayLike) -> IntArray:
        """Positions of matrix entries in the array of values.

        Parameters
        ----------
        rows, cols : int arrays of equal shape
            Entries of the matrix in its own (not the elimination) numbering.

        Returns
        -------
        int64 array of the same shape

        Raises
        ------
        KeyError
            If an entry lies outside the pattern of the factors.
        """
        place = np.empty(self.n, np.int64)
        place[self.perm] = np.arange(self.n)
        keys = np.repeat(np.arange(self.n), np.diff(self.ptr)) * self.n + self.col
        wanted = place[np.asarray(rows, np.int64)] * self.n + place[np.asarray(cols, np.int64)]
        found = np.minimum(np.searchsorted(keys, wanted), self.nnz - 1)
        outside = keys[found] != wanted
        if np.any(outside):
            entry = np.asarray(rows)[outside].flat[0], np.asarray(cols)[outside].flat[0]
            raise KeyError(f"entry ({entry[0]}, {entry[1]}) is outside the pattern")
        return found.astype(np.int64)


def analyse(n: int, rows: ArrayLike, cols: ArrayLike, last: Sequence[int] = ()) -> Symbolic:
    """Order a sparse pattern and find the fill of its LU factors.

    Columns that are empty but for the diagonal (accumulators, on which nothing depends) are eliminated first:
    they cause no fill and no arithmetic in the factorisation, however dense their rows are. The others follow
    by minimum degree. Diagonal entries are added.

    Parameters
    ----------
    n : int
        Size of the matrix, at least 1.
    rows, cols : int arrays (k,)
        Entries, in any order; repeats are allowed.
    last : sequence of int
        States with dense rows *and* columns, kept out of the ordering and eliminated at the end.

    Returns
    -------
    Symbolic

    Examples
    --------
    >>> chain = analyse(3, [0, 1, 1, 2], [1, 0, 2, 1])
    >>> chain.nnz                                       # tridiagonal: no fill
    7
    >>> chain.positions([0, 1], [0, 0]).tolist()
    [0, 4]
    """
    off_diagonal = [set[int]() for _ in range(n)]
    for r, c in zip(np.asarray(rows).tolist(), np.asarray(cols).tolist(), strict=True):
        if r != c:
            off_diagonal[r].add(c)
    first = _column_singletons(off_diagonal)
    held = set(first)
    tail = [i for i in last if i not in held]
    held.update(tail)
    perm = first + _minimum_degree(off_diagonal, held) + tail
    place = [0] * n
    for i, state in enumerate(perm):
        place[state] = i
    structure = [{i} | {place[c] for c in off_diagonal[state]} for i, state in enumerate(perm)]
    _fill(structure)
    return _assemble(perm, structure)


def _column_singletons(off_diagonal: list[set[int]]) -> list[int]:
    """States whose columns hold nothing but the diagonal once the rows of the states before them are gone."""
    below = [0] * len(off_diagonal)
    for row in off_diagonal:
        for c in row:
            below[c] += 1
    order = [c for c, count in enumerate(below) if count == 0]
    for state in order:  # grows while it is walked
        for c in off_diagonal[state]:
            below[c] -= 1
            if below[c] == 0:
                order.append(c)
    return order


def _minimum_degree(off_diagonal: list[set[int]], held: Iterable[int]) -> list[int]:
    """Minimum degree order of the graph of A + A' without the held states.

    Among equals the one whose degree has stood longest goes first: this walks in turn along all branches of a
    network instead of down one of them, so that neighbouring rows of the factors do not wait for each other.
    """
    held = set(held)
    near: dict[int, set[int]] = {i: set() for i in range(len(off_diagonal)) if i not in held}
    for r, row in enumerate(off_diagonal):
        if r in near:
            for c in row - held:
                near[r].add(c)
                near[c].add(r)
    queue = [(len(neighbours), i, i) for i, neighbours in near.items()]
    heapq.heapify(queue)
    tick = itertools.count(len(off_diagonal))
    order = []
    while queue:
        degree, _, i = heapq.heappop(queue)
        if i not in near or degree != len(near[i]):
            continue  # an outdated entry of the queue
        order.append(i)
        clique = near.pop(i)
        for a in clique:
            near[a] |= clique
            near[a] -= {a, i}
            heapq.heappush(queue, (len(near[a]), next(tick), a))
    return order


def _fill(structure: list[set[int]]) -> None:
    """Add the fill: row i takes over the U part of every row k that is eliminated from it."""
    upper: list[list[int]] = []
    for i, row in enumerate(structure):
        queue = [k for k in row if k < i]
        heapq.heapify(queue)
        while queue:
            for j in upper[heapq.heappop(queue)]:
                if j not in row:
                    row.add(j)
                    if j < i:
                        heapq.heappush(queue, j)
        upper.append([j for j in row if j > i])


def _assemble(perm: list[int], structure: list[set[int]]) -> Symbolic:
    ptr, col, diag, targets = [0], list[int](), list[int](), list[int]()
    for i, row in enumerate(structure):
        start = len(col)
        col += sorted(row)
        ptr.append(len(col))
        position = {j: start + k for k, j in enumerate(col[start:])}
        diag.append(position[i])
        for k in col[start : diag[i]]:
            targets += [position[j] for j in col[diag[k] + 1 : ptr[k + 1]]]
    return Symbolic(*(np.array(a, np.int64) for a in (perm, ptr, col, diag, targets)))


@njit(FACTOR_TYPE, cache=True, nogil=True, error_model="numpy")
def factor(
    matrix: FloatArray, shift: float, lu: tuple[IntArray, ...], values: FloatArray, pivots: FloatArray
) -> None:
    """LU factors of ``matrix + shift * I`` without pivoting.

    Parameters
    ----------
    matrix : float64 array (at least nnz,)
        Values at the positions of the pattern, zero where there is fill; left as it is.
    shift : float
        Added to the diagonal.
    lu : tuple
        `Symbolic.arrays`.
    values : float64 array (nnz,)
        Receives L (unit diagonal, not stored) and U. A zero pivot leaves values that are not finite.
    pivots : float64 array (n,)
        Receives the reciprocals of the diagonal of U.
    """
    _, ptr, col, diag, targets = lu
    for a in range(values.size):
        values[a] = matrix[a]
    q = 0
    for i in range(diag.size):
        values[diag[i]] += shift
        for a in range(ptr[i], diag[i]):
            k = _at(col[_at(a)])
            multiplier = values[_at(a)] * pivots[k]
            values[_at(a)] = multiplier
            for b in range(diag[k] + 1, ptr[k + 1]):
                values[_at(targets[_at(q)])] -= multiplier * values[_at(b)]
                q += 1
        pivots[i] = 1.0 / values[diag[i]]


@njit(SOLVE_TYPE, cache=True, nogil=True, error_model="numpy")
def solve(
    values: FloatArray,
    pivots: FloatArray,
    lu: tuple[IntArray, ...],
    b: FloatArray,
    x: FloatArray,
    work: FloatArray,
) -> None:
    """Solve with the factors of `factor`.

    Parameters
    ----------
    values, pivots, lu
        As left by `factor`.
    b : float64 array (n,)
        Right-hand side.
    x : float64 array (n,)
        Receives the solution; may be `b`.
    work : float64 array (n,)
        Scratch.
    """
    perm, ptr, col, diag, _ = lu
    n = diag.size
    for i in range(n):
        s = b[_at(perm[i])]
        for a in range(ptr[i], diag[i]):
            s -= values[_at(a)] * work[_at(col[_at(a)])]
        work[i] = s
    for i in range(n - 1, -1, -1):
        s = work[i]
        for a in range(diag[i] + 1, ptr[i + 1]):
            s -= values[_at(a)] * work[_at(col[_at(a)])]
        work[i] = s * pivots[i]
        x[_at(perm[i])] = work[i]
