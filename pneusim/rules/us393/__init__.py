"""49 CFR Part 393 and driver's manual checks: the vehicle or combination in service, as it stands."""

from pathlib import Path

from pneusim.rules.limits import read_table
from pneusim.rules.regulation import Regulation, discovered
from pneusim.rules.subject import whole
from pneusim.rules.us393.service import KINDS

REGULATION = Regulation(
    "us393", read_table(Path(__file__).parent / "limits.yaml"), KINDS, discovered(__name__), whole
)
