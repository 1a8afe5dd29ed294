"""UN Regulation No. 13: every vehicle is tested alone."""

from pathlib import Path

from pneusim.rules.limits import read_table
from pneusim.rules.regulation import Regulation
from pneusim.rules.un13 import (
    braking_begins,
    braking_force,
    control_line,
    coupling_pressure,
    coupling_response,
    filling,
    parking,
    response,
    spring_cycles,
    spring_level,
    spring_supply,
    spring_warning,
    storage,
    storage_trailer,
    supply_line,
    trailer_response,
)
from pneusim.rules.un13.kinds import KINDS

PROCEDURES = (
    response.PROCEDURE,
    coupling_response.PROCEDURE,
    trailer_response.PROCEDURE,
    storage.PROCEDURE,
    storage.FOUR_PLUS_ONE,
    storage_trailer.PROCEDURE,
    filling.PROCEDURE,
    spring_supply.PROCEDURE,
    spring_cycles.PROCEDURE,
    spring_level.PROCEDURE,
    spring_warning.PROCEDURE,
    control_line.PROCEDURE,
    supply_line.PROCEDURE,
    coupling_pressure.PROCEDURE,
    braking_begins.PROCEDURE,
    braking_force.SERVICE,
    braking_force.AUTOMATIC,
    parking.PROCEDURE,
)

REGULATION = Regulation("un13", read_table(Path(__file__).parent / "limits.yaml"), KINDS, PROCEDURES)
