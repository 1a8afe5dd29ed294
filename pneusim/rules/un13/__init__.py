"""UN Regulation No. 13: every vehicle is tested alone."""

from pathlib import Path

from pneusim.rules.limits import read_table
from pneusim.rules.regulation import Regulation, discovered
from pneusim.rules.un13.kinds import KINDS

REGULATION = Regulation("un13", read_table(Path(__file__).parent / "limits.yaml"), KINDS, discovered(__name__))
