"""49 CFR Part 393."""

from pathlib import Path

from pneusim.rules.limits import read_table
from pneusim.rules.regulation import Procedure, Regulation

PROCEDURES: tuple[Procedure, ...] = ()

REGULATION = Regulation("us393", read_table(Path(__file__).parent / "limits.yaml"), (), PROCEDURES)
