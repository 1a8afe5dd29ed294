"""What a procedure found: a value held against a limit, or the reason why it could not be judged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pneusim.results.run import CAUTION, Channel
from pneusim.rules.limits import Limit

MET, MISSED, NOT_JUDGED = "met", "missed", "not_judged"
VERDICTS = {MET: "met", MISSED: "missed", NOT_JUDGED: "not judged"}

NO_CERTIFICATE = (
    "This is a computation, not a certificate: only tests on the vehicle, by those who are entitled to make them, show "
    "that it complies. Read every limit against the official text."
)
CAUTIONS = (NO_CERTIFICATE, CAUTION)
"""What every output of a report says."""


class NotJudged(Exception):
    """A procedure cannot be run on this vehicle; the text says why, as a clause without a full stop."""


class NotAddressed(NotJudged):
    """A procedure is not for this vehicle: that is told only if it is asked for by its name."""


@dataclass(frozen=True)
class Mark:
    """A limit in a picture: a time after time zero [s], a level [SI], or both; ``words`` name it."""

    words: str
    time: float | None = None
    level: float | None = None


@dataclass(frozen=True)
class Picture:
    """Curves of a timed test and the limits drawn in.

    ``curves`` hold absolute times; ``zero`` is time zero of the test [s], ``span`` what is shown around it [s].  The
    level of a mark is in the dimension of the curves, which all have the same.  ``along`` is ``time``,
    ``distance`` or ``braking rate``: then what else is a time [s] is a way [m], or a rate [-].
    ``upward`` is what the curves show, in words, where their dimension does not tell.
    """

    name: str
    title: str
    curves: tuple[Channel, ...]
    zero: float
    span: tuple[float, float]
    marks: tuple[Mark, ...] = ()
    along: str = "time"
    upward: str = ""


@dataclass(frozen=True)
class Finding:
    """One demand held against one value.

    Attributes
    ----------
    clause, what : str
        Where the demand stands, and what was measured on which part.
    verdict : str
        ``met``, ``missed`` or ``not_judged``.
    value : float or None
        Measured [SI]; None if it was not judged, or if what the limit waits for never came (that is missed).
    limit : Limit or None
        None where nothing could be judged, or the demand has no figure.
    why : str
        Why it was not judged or was missed, or a remark on how it was.
    picture : str
        Name of the picture that shows it, "" for none.
    failed : bool
        Whether a run behind it failed.
    procedure, unit : str
        Filled in by the report.
    """

    clause: str
    what: str
    verdict: str
    value: float | None = None
    limit: Limit | None = None
    why: str = ""
    picture: str = ""
    failed: bool = False
    procedure: str = ""
    unit: str = ""

    @property
    def margin(self) -> float | None:
        """How far inside the limit the value is [SI]; negative outside."""
        if self.value is None or self.limit is None:
            return None
        return self.limit.value - self.value if self.limit.sense == "at_most" else self.value - self.limit.value


def held_against(limit: Limit, value: float | None, what: str, why: str = "", picture: str = "") -> Finding:
    """Hold a value against a limit; no value is a miss, and ``why`` says what did not come.

    Examples
    --------
    >>> limit = Limit("build_up", "S5.1.1", "pump up", "at_most", 25.0, "time", "memory")
    >>> finding = held_against(limit, 20.0, "all reservoirs")
    >>> finding.verdict, finding.margin
    ('met', 5.0)
    """
    inside = value is not None and (value <= limit.value if limit.sense == "at_most" else value >= limit.value)
    return Finding(limit.clause, what, MET if inside else MISSED, value, limit, why, picture)


def not_judged(clause: str, what: str, why: str) -> Finding:
    """What could not be judged, and why."""
    return Finding(clause, what, NOT_JUDGED, why=why)


@dataclass(frozen=True)
class Report:
    """A regulation's procedures run on the vehicles of a circuit.

    Attributes
    ----------
    regulation, title : str
        ``us121`` and what it is called.
    circuit, source : str
        Title and file of the circuit.
    findings : tuple of Finding
    pictures : tuple of (unit, Picture)
    notes : tuple of str
        What holds for the whole report.
    """

    regulation: str
    title: str
    circuit: str
    source: str
    findings: tuple[Finding, ...]
    pictures: tuple[tuple[str, Picture], ...] = ()
    notes: tuple[str, ...] = ()

    def count(self, verdict: str) -> int:
        """How many findings have a verdict."""
        return sum(finding.verdict == verdict for finding in self.findings)

    @property
    def missed(self) -> bool:
        """Whether any limit was missed."""
        return self.count(MISSED) > 0

    @property
    def failed(self) -> bool:
        """Whether any run failed."""
        return any(finding.failed for finding in self.findings)

    def of(self, picture: str, unit: str = "") -> tuple[Finding, ...]:
        """The findings that a picture shows."""
        return tuple(f for f in self.findings if f.picture == picture and f.unit == unit and picture)

    def __repr__(self) -> str:
        """One line: what was judged, and how it came out."""
        counts = ", ".join(f"{self.count(verdict)} {words}" for verdict, words in VERDICTS.items())
        return f"<Report {self.regulation} of {self.circuit!r}: {counts}>"


def signed(findings: Sequence[Finding], procedure: str, unit: str) -> tuple[Finding, ...]:
    """The findings with procedure and unit filled in."""
    return tuple(replace(finding, procedure=procedure, unit=unit) for finding in findings)
