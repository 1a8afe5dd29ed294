"""What is broken, leaking, blocked, parted, crossed or faulty in a run, from when to when, and where on the drawing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from pneusim.circuit.circuit import Circuit, Line
from pneusim.circuit.scenario import Step
from pneusim.results.done import steps_done
from pneusim.results.run import Event, Run
from pneusim.show.replay.course import along, split
from pneusim.show.schematic.layout import Layout
from pneusim.show.schematic.place import CELL
from pneusim.show.schematic.render import Point

APART = 8
"""Cells that units are drawn apart when they have parted."""

Mark = dict[str, Any]


def marks(run: Run, layout: Layout) -> list[Mark]:
    """What the drawing shows of a run's damage.

    Returns
    -------
    list of dict
        ``time`` and ``until`` [s] (None: to the end), ``kind`` (broken, leaking, blocked, parted, crossed, fault),
        ``element`` (id in the drawing), ``text``; ``where`` 0..1 along a line and ``at`` [x, y] in drawing units where
        there is one place; ``keeper``, the unit that keeps a parted hose, and ``keeps``, its ``start`` or
        ``end``; ``partner``, the line that it is crossed with.
        Of the kind ``apart`` are units that have left the first one: ``units``, moved ``by`` [x, y].
    """
    book = _Book(run.circuit, layout)
    for event, step in steps_done(run):
        if note := _NOTES.get(step.action):
            note(book, event, step)
    shown = [mark for mark in book.marks if mark["until"] is None or mark["time"] < mark["until"]]
    return sorted([*shown, *_apart(run.circuit, layout, shown)], key=lambda mark: float(mark["time"]))


@dataclass
class _Book:
    """Keeps the marks; those that are still open by kind and target."""

    circuit: Circuit
    layout: Layout
    marks: list[Mark] = field(default_factory=list)
    _open: dict[tuple[str, str], Mark] = field(default_factory=dict)

    def broken(self, event: Event, step: Step) -> None:
        self._begin("broken", step.target, event, **self._on_line(step.target, step.where))

    def blocked(self, event: Event, step: Step) -> None:
        self._begin("blocked", step.target, event, **self._on_line(step.target, 0.5))

    def leaking(self, event: Event, step: Step) -> None:
        if step.to <= 0.0:
            self._end(event.time, ("leaking", step.target))
        elif step.target in self.circuit.lines:
            self._begin("leaking", step.target, event, **self._on_line(step.target, step.where))
        else:
            self._begin("leaking", step.target, event, **self._on_port(step.target))

    def faulty(self, event: Event, step: Step) -> None:
        if step.to == 0.0:
            self._end(event.time, ("fault", step.target))
        else:
            self._begin("fault", step.target, event, **self._on_part(step.target.rsplit(".", 1)[0]))

    def mended(self, event: Event, step: Step) -> None:
        kinds = ("broken", "blocked", "leaking", "parted", "crossed", "fault")
        self._end(event.time, *((kind, step.target) for kind in kinds))

    def separated(self, event: Event, step: Step) -> None:
        for k, name in enumerate(step.targets):
            time = event.time + k * step.over
            self._uncross(name, event, time)
            self._part(name, event, time)

    def coupled(self, event: Event, step: Step) -> None:
        for name in step.targets:
            self._uncross(name, event, event.time)
            self._end(event.time, ("parted", name))

    def crossed(self, event: Event, step: Step) -> None:
        for name, other in (step.targets, step.targets[::-1]):
            self._uncross(name, event, event.time)
            self._end(event.time, ("parted", name))
            self._begin("crossed", name, event, partner=f"l-{other}", **_hose(self.circuit, name))

    def _uncross(self, name: str, event: Event, time: float) -> None:
        """What was crossed with it hangs open until something is done with it."""
        mark = self._open.get(("crossed", name))
        if mark is not None and mark["time"] < time:
            other = str(mark["partner"])[2:]
            self._end(time, ("crossed", name), ("crossed", other))
            self._part(other, event, time)

    def _part(self, name: str, event: Event, time: float) -> None:
        self._begin("parted", name, event, time, **_hose(self.circuit, name))

    def _begin(self, kind: str, target: str, event: Event, time: float | None = None, **more: Any) -> None:
        since = event.time if time is None else time
        self._end(since, (kind, target))
        mark = {"time": since, "until": None, "kind": kind, "text": event.text, **more}
        self.marks.append(mark)
        self._open[kind, target] = mark

    def _end(self, time: float, *keys: tuple[str, str]) -> None:
        for key in keys:
            mark = self._open.pop(key, None)
            if mark is not None:
                mark["until"] = time

    def _on_line(self, name: str, where: float) -> Mark:
        net = next((net for net in self.layout.sheet.nets if net.id == f"l-{name}"), None)
        at = {} if net is None else {"at": _place(split(along(self.layout, net), where)[0][-1])}
        return {"element": f"l-{name}", "where": where, **at}

    def _on_port(self, target: str) -> Mark:
        component, number = target.rsplit(".", 1)
        pin = self.layout.pins.get((component, number))
        if pin is None:
            return self._on_part(component)
        outside = (CELL * (2 * pin.stub[0] - pin.x), CELL * (2 * pin.stub[1] - pin.y))
        return self._on_part(component) | {"at": _place(outside)}

    def _on_part(self, component: str) -> Mark:
        box = self.layout.frame.boxes.get(component)
        at = {"at": _place((CELL * (box.x + box.w), CELL * box.y))} if box else {}
        return {"element": f"c-{component}", **at}


_NOTES: dict[str, Callable[[_Book, Event, Step], None]] = {
    "break": _Book.broken,
    "block": _Book.blocked,
    "leak": _Book.leaking,
    "fault": _Book.faulty,
    "mend": _Book.mended,
    "separate": _Book.separated,
    "couple": _Book.coupled,
    "cross": _Book.crossed,
}
"""What each action does to the marks; the others damage nothing."""


def _place(point: Point) -> list[float]:
    return [round(value, 1) for value in point]


def _hose(circuit: Circuit, name: str) -> Mark:
    """A coupling, and the unit that keeps its hose."""
    line = circuit.lines[name]
    start, end = (circuit.components[port.component].unit for port in (line.start, line.end))
    kept = start == (line.stays_with or "")
    return {"element": f"l-{name}", "keeper": start if kept else end, "keeps": "start" if kept else "end"}


# ---- units that leave


def _apart(circuit: Circuit, layout: Layout, parted: Iterable[Mark]) -> Iterator[Mark]:
    """Units behind couplings that have all parted, for as long as all of them are."""
    lost = [mark for mark in parted if mark["kind"] == "parted"]
    for seam, lines in _seams(circuit).items():
        spans = [[m for m in lost if m["element"] == f"l-{line.name}"] for line in lines]
        for time, until in _common(spans):
            units = _behind(circuit, seam)
            if units:
                yield {
                    "time": time, "until": until, "kind": "apart", "element": f"u-{units[0]}", "units": units,
                    "by": _away(layout, seam), "text": f"{' and '.join(units)} separated",
                }  # fmt: skip


def _seams(circuit: Circuit) -> dict[frozenset[str], list[Line]]:
    """Couplings by the two units that they join."""
    seams: dict[frozenset[str], list[Line]] = {}
    for line in circuit.couplings.values():
        pair = frozenset(circuit.components[port.component].unit for port in (line.start, line.end))
        seams.setdefault(pair, []).append(line)
    return {pair: lines for pair, lines in seams.items() if len(pair) == 2}


def _common(spans: list[list[Mark]]) -> Iterator[tuple[float, float | None]]:
    """Times during which there is a mark of each."""
    for start in sorted({float(mark["time"]) for marks in spans for mark in marks}):
        over = [[mark for mark in marks if _holds(mark, start)] for marks in spans]
        if all(over):
            ends = [float(mark["until"]) for marks in over for mark in marks if mark["until"] is not None]
            yield start, min(ends, default=None)


def _holds(mark: Mark, time: float) -> bool:
    return bool(mark["time"] <= time and (mark["until"] is None or time < mark["until"]))


def _behind(circuit: Circuit, seam: frozenset[str]) -> list[str]:
    """Units that nothing else joins to the first one, in order."""
    pairs = [pair for pair in _seams(circuit) if pair != seam]
    reached = {circuit.vehicles[0].name}
    for _ in circuit.vehicles:
        reached |= {name for pair in pairs if pair & reached for name in pair}
    return [vehicle.name for vehicle in circuit.vehicles if vehicle.name not in reached]


def _away(layout: Layout, seam: frozenset[str]) -> list[float]:
    """To the rear, or down where the parted units stand below each other."""
    together = any(seam <= set(deck) for deck in layout.frame.decks)
    return [float(CELL * APART), 0.0] if together else [0.0, float(CELL * APART)]
