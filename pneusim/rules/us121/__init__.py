"""49 CFR 571.121 (FMVSS No. 121), air brake systems: vehicles are tested alone."""

from pathlib import Path

from pneusim.rules.limits import read_table
from pneusim.rules.regulation import Regulation, discovered
from pneusim.rules.us121.kinds import KINDS

REGULATION = Regulation("us121", read_table(Path(__file__).parent / "limits.yaml"), KINDS, discovered(__name__))
