"""Published procedures run on a circuit: a folder a regulation, a file a procedure, test rigs as circuit files."""

from pneusim.rules.finding import CAUTIONS, Finding, Report
from pneusim.rules.judging import judge
from pneusim.rules.regulation import regulation, regulations

__all__ = ["CAUTIONS", "Finding", "Report", "judge", "regulation", "regulations"]
