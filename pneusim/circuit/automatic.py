"""The measures that every run makes without being asked: the last word of their names, and their dimension."""

from __future__ import annotations

AUTOMATIC = {
    "time_to_10": "time",
    "time_to_75": "time",
    "time_to_414": "time",
    "release_time": "time",
    "lag_10": "time",
    "lag_75": "time",
    "begins": "time",
    "touches": "time",
    "force_90": "time",
    "force_10": "time",
    "lets_go": "time",
    "asymptotic_pressure": "pressure",
    "highest_pressure": "pressure",
    "lowest": "pressure",
    "highest_force": "force",
    "final_force": "force",
    "kept": "fraction",
    "highest_braking_ratio": "fraction",
    "parking_force": "force",
    "parking_ratio": "fraction",
    "grade_held": "fraction",
}
"""Beside these, every trip and warning of a part is a measure of time: ``park.tripped``."""
