"""Figures of runs on a road: over time, against slip, against distance."""
