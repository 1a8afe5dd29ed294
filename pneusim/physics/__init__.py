"""Scalar physical laws in SI units, compiled by numba; import the modules, not the package."""
