"""Sweeps: a study file, its plan of cases, what is measured of each, and what the table of them tells."""
