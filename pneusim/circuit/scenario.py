"""What happens over time: steps, measures and expectations of a scenario, as plain data (SI, gauge)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from pneusim.circuit.road import Road
from pneusim.errors import Place

_NOWHERE = Place("", 0, 0)


@dataclass(frozen=True)
class Trigger:
    """``when``: a channel passes a level; ``direction`` +1 rises above, -1 falls below."""

    channel: str
    level: float
    direction: int


@dataclass(frozen=True)
class Step:
    """One thing that happens.

    ``action`` is one of set, fault, break, leak, block, separate, cross, couple, mend, ask, note; the
    fields it uses:

    ======== ======================================================================================
    set      target ``component.input``; to (SI); over [s]
    fault    target ``component.fault``; to (SI number: 0/1 or the fault's own unit)
    break    target line; where 0..1 from the line's start
    leak     target line or port ``component.port``; hole diameter [m] in ``to``; where 0..1
    block    target line
    separate targets (coupling names); over = ``apart_by`` [s]
    cross    targets (two coupling names)
    couple   targets (coupling names)
    mend     target: anything broken, leaking, blocked, or a ``component.fault``
    ask      text; with choices: choices, answer (index from 0), explanation
    note     text
    ======== ======================================================================================

    Exactly one of ``at`` [s] and ``when`` is given.  ``repeat`` has been unrolled by the reader.
    """

    action: str
    at: float | None = None
    when: Trigger | None = None
    target: str = ""
    targets: tuple[str, ...] = ()
    to: float = 0.0
    over: float = 0.0
    where: float = 0.5
    text: str = ""
    choices: tuple[str, ...] = ()
    answer: int | None = None
    explanation: str = ""
    place: Place = _NOWHERE


@dataclass(frozen=True)
class Measure:
    """A measure asked for by the file.

    ``kind`` is ``time`` (from ``since`` to ``reach``), ``max``, ``min`` or ``value_at``.  ``since`` is an input
    (``foot.travel``: its first movement) or a Trigger.  ``reach`` is a channel or ``all_brakes``.  ``level`` is in
    the channel's SI unit, or a fraction of the asymptotic value when ``relative``.  ``falling`` is True for
    ``falls_to``.  ``channel`` and ``at`` [s] serve max, min and value_at.  ``title`` is what people call it.
    """

    name: str
    kind: str = "time"
    since: str | Trigger | None = None
    reach: str | None = None
    level: float = 0.0
    relative: bool = False
    falling: bool = False
    channel: str | None = None
    at: float | None = None
    title: str = ""
    place: Place = _NOWHERE


@dataclass(frozen=True)
class Expectation:
    """What a reviewer expects: ``low <= measure <= high`` [SI]; None = open on that side.

    ``source`` tells where the limit is from: a clause, a practice, a thought.
    """

    measure: str
    low: float | None = None
    high: float | None = None
    source: str = ""
    place: Place = _NOWHERE


@dataclass(frozen=True)
class Scenario:
    """A scenario: how long it lasts [s], how it begins, what happens, what is measured and expected.

    ``begin`` maps ``component.input``, ``component.latch``, ``component.pressure`` and any parameter to SI values.
    ``road`` is None where only the circuit is looked at.
    """

    name: str
    title: str = ""
    lasts: float = 10.0
    begin: Mapping[str, Any] = field(default_factory=dict)
    steps: tuple[Step, ...] = ()
    measures: tuple[Measure, ...] = ()
    expectations: tuple[Expectation, ...] = ()
    place: Place = _NOWHERE
    road: Road | None = None

    @property
    def words(self) -> str:
        """What people call it: its title, or its name."""
        return self.title or self.name
