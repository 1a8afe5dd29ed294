"""49 CFR 571.121 (FMVSS No. 121), air brake systems: vehicles are tested alone."""

from pathlib import Path

from pneusim.rules.limits import read_table
from pneusim.rules.regulation import Regulation
from pneusim.rules.us121 import (
    actuation,
    build_up,
    capacity,
    cut_in,
    differential,
    drag,
    parking_force,
    parking_time,
    release,
    retardation,
    supply_retention,
    warning,
)
from pneusim.rules.us121.kinds import KINDS

PROCEDURES = (
    build_up.PROCEDURE,
    cut_in.PROCEDURE,
    capacity.PROCEDURE,
    warning.PROCEDURE,
    actuation.PROCEDURE,
    release.PROCEDURE,
    differential.PROCEDURE,
    retardation.PROCEDURE,
    parking_force.PROCEDURE,
    parking_time.PROCEDURE,
    parking_force.EMERGENCY,
    supply_retention.PROCEDURE,
    drag.PROCEDURE,
)

REGULATION = Regulation("us121", read_table(Path(__file__).parent / "limits.yaml"), KINDS, PROCEDURES)
