"""The rising part of a slow application: samples from the start of a run to where something is highest."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


def rising(over: Array, *others: Array) -> tuple[Array, ...]:
    """What rises, and others at the same samples, up to its highest value; steps back are left out.

    Parameters
    ----------
    over : ndarray, shape (n,)
        What rises, but for noise.
    others : ndarray, shape (n,)

    Returns
    -------
    tuple of ndarray, shape (m,)
        ``over``, strictly rising, then the others.

    Examples
    --------
    >>> rising(np.array([0.0, 2.0, 1.0, 3.0, 0.5]), np.array([5.0, 6.0, 7.0, 8.0, 9.0]))
    (array([0., 2., 3.]), array([5., 6., 8.]))
    """
    reached = np.maximum.accumulate(over)
    new = np.concatenate(([True], reached[1:] > reached[:-1]))
    return tuple(values[new] for values in (over, *others))
