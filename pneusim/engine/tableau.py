"""Coefficients of stiffly accurate Rosenbrock methods, in the variables that need no product with J.

With the Jacobian J and the time derivative f_t at the start of the step, the stages are, for i = 1..s,

    (I/(h gamma) - J) u_i = f(t + c_i h, y0 + sum_j a_ij u_j) + sum_j (C_ij/h) u_j + h d_i f_t

(Hairer and Wanner, Solving Ordinary Differential Equations II, section IV.7, implementation). Stiffly
accurate with an embedded method of one order less: the argument of the last stage is the embedded solution,
and ``y1 = that argument + u_s``, so that u_s itself is the error estimate.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Tableau:
    """A method of s stages.

    Attributes
    ----------
    name : str
    order : int
        Order of the solution; the embedded one has order - 1, so the error estimate grows with h**order.
    gamma : float
        Diagonal coefficient.
    a, C : float64 arrays (s, s)
        Strictly lower triangular.
    c, d : float64 arrays (s,)
        Times of the stages; weights of the time derivative.
    dense : float64 array (3, s)
        Dense output ``(1 - theta) y0 + theta (y1 + (1 - theta) (d1 + theta (d2 + theta d3)))``, with
        ``d_k = sum_j dense[k - 1, j] u_j``.
    """

    name: str
    order: int
    gamma: float
    a: FloatArray
    C: FloatArray
    c: FloatArray
    d: FloatArray
    dense: FloatArray

    @property
    def arrays(self) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray]:
        """The arrays in the order in which the integrator takes them."""
        return self.a, self.C, self.c, self.d, self.dense


def _padded(stages: int, *rows: list[float]) -> FloatArray:
    matrix = np.zeros((len(rows), stages))
    for i, row in enumerate(rows):
        matrix[i, : len(row)] = row
    return matrix


_BEFORE_EMBEDDED = [1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950]

RODAS4 = Tableau(
    name="Rodas4",
    order=4,
    gamma=0.25,
    a=_padded(
        6,
        [],
        [1.544],
        [0.9466785280815826, 0.2557011698983284],
        [3.314825187068521, 2.896124015972201, 0.9986419139977817],
        _BEFORE_EMBEDDED,
        [*_BEFORE_EMBEDDED, 1.0],
    ),
    C=_padded(
        6,
        [],
        [-5.6688],
        [-2.430093356833875, -0.2063599157091915],
        [-0.1073529058151375, -9.594562251023355, -20.47028614809616],
        [7.496443313967647, -10.24680431464352, -33.99990352819905, 11.70890893206160],
        [8.083246795921522, -7.981132988064893, -31.52159432874371, 16.31930543123136, -6.058818238834054],
    ),
    c=np.array([0.0, 0.386, 0.21, 0.63, 1.0, 1.0]),
    d=np.array([0.25, -0.1043, 0.1035, -0.0362, 0.0, 0.0]),
    dense=_padded(
        6,
        [10.12623508344586, -7.487995877610167, -34.80091861555747, -7.992771707568823, 1.025137723295662],
        [-0.6762803392801253, 6.087714651680015, 16.43084320892478, 24.76722511418386, -6.594389125716872],
        [],
    ),
)
"""Order 4, embedded order 3, six stages, L-stable, dense output of order 3.

Hairer and Wanner, Solving Ordinary Differential Equations II, 2nd ed., Springer 1996, section VI.4: method
RODAS, with the coefficients of its published program. Their correctness is tested through the order
conditions of section IV.7, not by comparing digits.
"""
