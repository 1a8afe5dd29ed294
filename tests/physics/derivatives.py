"""Central differences and branch walks shared by the tests of the laws."""

import numpy as np


def central(law, x, scales, step=1e-5):
    """Central-difference Jacobian of `law(*x)`, rows outputs, columns inputs, multiplied by the scales."""
    columns = []
    for i, scale in enumerate(scales):
        up, down = x.copy(), x.copy()
        up[i] += step * scale
        down[i] -= step * scale
        difference = np.atleast_1d(law(*up)) - np.atleast_1d(law(*down))
        columns.append(difference * scale / (up[i] - down[i]))
    return np.array(columns).T


def crosses(x, scales, thresholds, step=1e-5):
    """Whether a central step would cross one of the kinks listed as functions of x that vanish there."""

    def near(kink):
        slopes = central(lambda *y: kink(np.array(y)), x, scales)
        return abs(kink(x)) <= 4.0 * step * np.abs(slopes).sum()

    return any(near(kink) for kink in thresholds)


def assert_continuous(law, start, end, points=4001, refinement=16):
    """On a straight walk the largest step of every output shrinks with refinement; a jump would stay.

    A square-root foot shrinks by sqrt(refinement), a smooth law by the refinement itself.
    """
    coarse, fine = (_largest_steps(law, start, end, n) for n in (points, refinement * (points - 1) + 1))
    assert (fine <= 0.3 * coarse).all(), (coarse, fine)


def _largest_steps(law, start, end, points):
    start, end = np.array(start, float), np.array(end, float)
    values = np.array([np.atleast_1d(law(*(start + t * (end - start)))) for t in np.linspace(0.0, 1.0, points)])
    assert np.isfinite(values).all()
    return np.abs(np.diff(values, axis=0)).max(axis=0)
