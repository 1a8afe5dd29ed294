"""The tree of errors: each knows its exit code and says what is wrong, where, and what to do.

::

    PneusimError (70)
      UsageError (2)           the command or call itself is wrong
      InvalidFile (3)          a circuit or scenario file has faults: all of them at once
      RunFailed (4)            a run did not settle, did not converge, or does not conserve mass or energy
      ExpectationNotMet (5)    a measure missed what the scenario expects
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Place:
    """A place in a file: line and column count from 1; line 0 means "nowhere in a file"."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True)
class Fault:
    """One fault of a file.

    Attributes
    ----------
    place : Place
    code : str
        Stable code such as ``U01``; the catalogue is in ``pneusim.reading.codes``.
    path : str
        Path in the document, e.g. ``components.front.pressure``.
    problem : str
        What is wrong, with the value seen and the values allowed.
    fix : str
        What to do.
    excerpt : str
        The line of the file with a caret under the place, "" if there is none.
    severity : str
        ``error`` or ``warning``.
    """

    place: Place
    code: str
    path: str
    problem: str
    fix: str
    excerpt: str = ""
    severity: str = "error"

    def __str__(self) -> str:
        text = f"{self.place}: {self.code} {self.path}: {self.problem}. Fix: {self.fix}"
        return f"{text}\n{self.excerpt}" if self.excerpt else text


class PneusimError(Exception):
    """Base of all errors of this package."""

    exit_code = 70


class UsageError(PneusimError):
    """The command line or the Python call is wrong."""

    exit_code = 2


class InvalidFile(PneusimError):
    """A file has faults; ``faults`` holds all of them, sorted by place."""

    exit_code = 3

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(sorted(faults, key=lambda fault: (fault.place, fault.code)))
        super().__init__("\n".join(str(fault) for fault in self.faults))


class RunFailed(PneusimError):
    """A run failed; ``partial`` holds what had been computed (a ``Run`` with status "failed") or None."""

    exit_code = 4

    def __init__(self, message: str, partial: object | None = None) -> None:
        super().__init__(message)
        self.partial = partial


class ExpectationNotMet(PneusimError):
    """A measure missed what the scenario expects."""

    exit_code = 5
