"""The faults of a file, collected in one pass, each with its excerpt."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from difflib import get_close_matches

from pneusim.errors import Fault, InvalidFile, Place
from pneusim.reading.codes import CODES

MOST_FAULTS = 50  #: faults shown of one file
_MOST_KEPT = 1000  #: faults kept of one file; what comes behind is only counted
_WIDTH = 100  #: characters of a line shown in an excerpt
_LONGEST_WORD = 60  #: characters of a word that may be misspelt
_LONGEST_TEXT = 1000  #: characters of a message


class Faults:
    """Collects faults; a fault of the same code at the same place counts once."""

    def __init__(self) -> None:
        self._found: dict[tuple[Place, str], Fault] = {}
        self._lines: dict[str, list[str]] = {}
        self._unread: set[Place] = set()
        self._not_kept = 0

    def source(self, file: str, text: str) -> None:
        """Remember the text of a file for excerpts."""
        self._lines[file] = text.splitlines()

    def report(self, code: str, place: Place, path: str, problem: str, fix: str) -> None:
        """Add a fault.

        Where the text itself could not be read (codes Y), what follows from it at the same place is not told.
        """
        assert code in CODES, code
        if place in self._unread:
            return
        if code.startswith("Y"):
            self._unread.add(place)
        if len(self._found) >= _MOST_KEPT:
            self._not_kept += 1
            return
        fault = Fault(place, code, _clean(path), _clean(problem), _clean(fix))
        self._found.setdefault((place, code), fault)

    def found_in(self, file: str, sections: Collection[str], but: str) -> bool:
        """Whether there are faults in some sections of a file, those whose code begins with ``but`` aside."""
        return any(
            fault.place.file == file and fault.path.partition(".")[0] in sections and not fault.code.startswith(but)
            for fault in self._found.values()
        )

    @property
    def many(self) -> bool:
        """Whether there are more faults than are shown, so that advice on further ones is lost labour."""
        return len(self._found) > 2 * MOST_FAULTS

    @property
    def errors(self) -> int:
        """Number of faults."""
        return len(self._found)

    def all(self) -> list[Fault]:
        """All faults by place, at most `MOST_FAULTS` and one that counts the rest."""
        found = sorted(self._found.values(), key=lambda fault: (fault.place, fault.code))
        shown = [self._with_excerpt(fault) for fault in found[:MOST_FAULTS]]
        rest = len(found) - len(shown) + self._not_kept
        if rest:
            problem = f"{rest} more faults are not shown"
            shown.append(Fault(shown[-1].place, "Z01", "file", problem, "mend the ones above first"))
        return shown

    def raise_errors(self) -> None:
        """Raise all faults if there are any.

        Raises
        ------
        InvalidFile
        """
        if self.errors:
            raise InvalidFile(self.all())

    def _with_excerpt(self, fault: Fault) -> Fault:
        return replace(fault, excerpt=excerpt(self._lines.get(fault.place.file, []), fault.place))


def excerpt(lines: Sequence[str], place: Place) -> str:
    """The line of a place with a caret under its column, "" for a place outside the text.

    Examples
    --------
    >>> print(excerpt(["pneusim: 1", "tank: 30"], Place("file.yaml", 2, 7)))
       2 | tank: 30
         |       ^
    """
    if not 1 <= place.line <= len(lines):
        return ""
    line, column = lines[place.line - 1], place.column
    start = max(0, column - _WIDTH // 2) if len(line) > _WIDTH else 0
    shown = _clean(line[start : start + _WIDTH])
    number = f"{place.line:>4}"
    return f"{number} | {shown}\n{' ' * len(number)} | {' ' * (column - 1 - start)}^"


def _clean(text: str) -> str:
    """Text without control characters, which could write over a terminal, and of a length that can be read."""
    if len(text) > _LONGEST_TEXT:
        text = f"{text[:_LONGEST_TEXT]} ..."
    return text if text.isprintable() else "".join(char if char.isprintable() else " " for char in text)


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that a misspelt one most likely means, None if none is near.

    Examples
    --------
    >>> nearest("presure", ["volume", "pressure"])
    'pressure'
    """
    if len(word) > _LONGEST_WORD:
        return None
    found = get_close_matches(word, list(known), n=1, cutoff=0.7)
    return found[0] if found else None


def meant(word: str, known: Sequence[str]) -> str:
    """Fix for an unknown word: the one meant, or the known ones."""
    near = nearest(word, known)
    if near:
        return f"write {near!r}"
    return f"use one of {listed(known)}" if known else "leave it out"


def listed(words: Iterable[str], most: int = 12) -> str:
    """``a, b, c``; of a long list the first ones and how many more.

    Examples
    --------
    >>> listed(["a", "b", "c"], most=2)
    'a, b and 1 more'
    """
    words = list(words)
    if len(words) <= most:
        return ", ".join(words) or "none"
    return f"{', '.join(words[:most])} and {len(words) - most} more"
