"""``pneusim.handout``: a scenario on paper for a class: what is given, questions, a table to fill in, the solution."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from importlib import resources

from pneusim.circuit.scenario import Step
from pneusim.errors import UsageError
from pneusim.results.done import steps_done
from pneusim.results.measures.brakes import Brake, brakes
from pneusim.results.measures.reservoirs import reservoirs
from pneusim.results.narrative import tell
from pneusim.results.outcome import BOTH, DRAG, RELEASED, SERVICE, SPRING, stand
from pneusim.results.restate import restate, rounded
from pneusim.results.run import CAUTION, Event, Run
from pneusim.results.units import check_units
from pneusim.results.words import amount, places, span, title
from pneusim.show.figures.plots import plot
from pneusim.show.markup import Html, html, listing, tag, text
from pneusim.show.paper.document import Document
from pneusim.show.paper.inline import drawn, plotted
from pneusim.show.schematic.picture import draw

ROOM, LINE, LEAST = 163.0, 5.0, 60.0
"""Height of a page for text and schematic, of a line of the text, and the least of a schematic [mm]."""

LETTERS = 52
"""Letters in a line of half a page's width."""

WORDS = ("ask", "note")
"""Kinds of event that only say something."""

TOGETHER = 0.5
"""Acts this near to each other count as one [s]."""

MOST_ACTS = 7
"""Columns of the table; of more acts the first ones and the last have theirs."""

NARROW = 5
"""Columns that the table has room for beside the questions."""

BEFORE = 1e-3
"""So long before an act the state before it is read [s]."""

_HEADS = {"situation": "Situation", "prediction": "Prediction", "solution": "Solution", "curves": "Solution, curves"}

_STATES = {RELEASED: "off", SERVICE: "air", SPRING: "springs", DRAG: "springs in part", BOTH: "air and springs"}


@dataclass(frozen=True)
class _Act:
    """What is done at a time, in words."""

    time: float
    words: str


@dataclass(frozen=True)
class _Column:
    """A time at which the table is read, and its head."""

    head: str
    time: float


def handout(run: Run, units: str = "si") -> Document:
    """Make the handout of a run, for A4 paper.

    The first sheet is for the class: the situation and the schematic, then the scenario's questions with their choices
    and a table of brakes and reservoirs to fill in.  The second is the solution: answers with explanations, the story,
    the table as the run fills it, and the curves.

    Parameters
    ----------
    run : Run
    units : {"si", "us"}

    Returns
    -------
    Document
        With ``html``, and ``save`` for .html and .pdf.

    Raises
    ------
    UsageError
        If the run has nothing to show, or the unit system is unknown.
    """
    check_units(units)
    if run.status != "ok" or not run.channels:
        raise UsageError(f"a handout wants a run that reached its end: {run.message}")
    acts, questions = _acts(run), _questions(run, units)
    columns = _columns(run, acts)
    picture, style = drawn(draw(run.circuit).svg, "schematic")
    wide = " wide" if len(columns) > NARROW else ""
    empty, filled = (_table(run, columns, units, filled=filled) for filled in (False, True))
    main = tag(
        "main",
        _sheet(run, "situation", _situation(run, acts, units, picture)),
        _sheet(run, f"prediction{wide}", _asked(questions), empty),
        _sheet(run, f"solution{wide}", _answered(questions), filled, _told(run, units)),
        *(_sheet(run, "curves", curves) for curves in _curves(run, units)),
    )
    body = html(main, tag("footer", CAUTION))
    sheet = resources.files("pneusim.show.paper").joinpath("handout.css").read_text(encoding="utf-8")
    return Document("handout", f"{run.circuit.title}: {run.title}", body, sheet, style)


def _sheet(run: Run, kind: str, *parts: Html) -> Html:
    """One side of paper, or more."""
    side = kind.split()[0]
    signed = side in ("situation", "prediction")
    sign = tag("p", "Name ", tag("span"), " Date ", tag("span"), class_="sign") if signed else ""
    head = tag("header", tag("p", run.circuit.title, class_="of"), sign, tag("h1", f"{_HEADS[side]}: {run.title}"))
    return tag("section", head, *parts, class_=kind)


# ---- the situation


def _acts(run: Run) -> list[_Act]:
    """What the scenario does, acts of nearly one time together."""
    groups: list[list[Event]] = []
    for event in run.events:
        if event.category != "step" or event.kind in WORDS:
            continue
        if groups and event.time - groups[-1][0].time <= TOGETHER:
            groups[-1].append(event)
        else:
            groups.append([event])
    return [_Act(group[0].time, "; ".join(event.text for event in group)) for group in groups]


def _situation(run: Run, acts: Sequence[_Act], units: str, picture: Html) -> Html:
    """The lesson, what is so at the start, what is done, and the schematic in the room that they leave."""
    notes = [event.text for event in run.events if event.kind == "note" and event.time <= run.span[0]]
    about = restate(" ".join([run.circuit.about.strip(), *(_sentence(note) for note in notes)]), units)
    items = [restate(f"{act.time:.2f} s: {act.words}", units) for act in acts]
    done = tag("div", tag("p", "What is done:"), listing(items, "ol"), class_="acts") if items else ""
    lines = max(_lines(about), 1 + sum(map(_lines, items)) if items else 0)
    height = max(LEAST, ROOM - LINE * lines)
    drawn_in = Html(picture.replace("<svg ", f'<svg height="{height:.0f}mm" ', 1))
    return html(tag("div", tag("p", about, class_="about"), done, class_="given"), drawn_in)


def _lines(words: str) -> int:
    """Lines that a text takes in half a page's width, at most."""
    return -(-len(words) // LETTERS)


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:].rstrip(".") + "."


# ---- questions


def _questions(run: Run, units: str) -> list[Step]:
    """The questions in the order in which they come; those that never came last."""
    asked = [step for _, step in steps_done(run) if step.action == "ask"]
    never = [step for step in run.scenario.steps if step.action == "ask"]
    for step in asked:
        never.remove(step)
    return [_restated(step, units) for step in (*asked, *never)]


def _restated(step: Step, units: str) -> Step:
    return replace(
        step,
        text=restate(step.text, units),
        choices=tuple(restate(choice, units) for choice in step.choices),
        explanation=restate(step.explanation, units),
    )


def _asked(questions: Sequence[Step]) -> Html:
    room = tag("p", class_="line")
    items = []
    for step in questions:
        choices = [tag("li", tag("span", class_="box"), choice) for choice in step.choices]
        answer = tag("ul", *choices, class_="choices") if choices else room
        items.append(html(text(step.text), answer, tag("p", "because", class_="line")))
    return tag("div", tag("h2", "Questions"), listing(items, "ol"), class_="questions") if items else Html()


def _answered(questions: Sequence[Step]) -> Html:
    items = []
    for step in questions:
        right = "" if step.answer is None else tag("p", step.choices[step.answer], class_="right")
        reason = text(step.explanation) if step.explanation else ""
        items.append(html(tag("p", step.text, class_="again"), right, reason))
    return tag("div", tag("h2", "Answers"), listing(items, "ol"), class_="answers") if items else Html()


# ---- the table


def _columns(run: Run, acts: Sequence[_Act]) -> list[_Column]:
    """Before the first act, and after each of them: just before the next, the last at the end of the run."""
    first, last = run.span
    if not acts:
        return [_Column("at the start", first), _Column("at the end", last)]
    ends = [*((act.time, act.time - BEFORE) for act in acts[1:]), (last, last)]
    after = [
        _Column(html(f"after {k} ", tag("small", f"at {told:.4g} s")), time) for k, (told, time) in enumerate(ends, 1)
    ]
    shown = after if len(after) <= MOST_ACTS else [*after[: MOST_ACTS - 1], after[-1]]
    return [_Column("before 1", max(first, acts[0].time - BEFORE)), *shown]


def _table(run: Run, columns: Sequence[_Column], units: str, *, filled: bool) -> Html:
    """Brakes and reservoirs; empty cells, or what the run has there."""
    rows = [
        *((places(run, [brake.name for brake in group]), [_state(group, column.time, units) for column in columns])
          for group in _groups(run)),
        *((title(run, part), [_pressure(run, part.name, column.time, units) for column in columns])
          for part in reservoirs(run)),
    ]  # fmt: skip
    if not rows:
        return Html()
    heads = tag("thead", tag("tr", tag("td"), *(tag("th", column.head, scope="col") for column in columns)))
    body = tag("tbody", *(_row(name, cells if filled else [""] * len(cells)) for name, cells in rows))
    task = tag("p", _FILLED if filled else _EMPTY, class_="task")
    return tag("div", tag("h2", "Brakes and reservoirs"), task, tag("table", heads, body), class_="states")


_EMPTY = (
    "Of each brake: off, or on by air, springs, or both? Of each reservoir: full, or about how much is left? "
    "1, 2, ... are what is done."
)
_FILLED = "By what each brake is on, with the force at a pushrod; the pressure in each reservoir."


def _row(name: str, cells: Sequence[str]) -> Html:
    return tag("tr", tag("th", name, scope="row"), *(tag("td", cell) for cell in cells))


def _groups(run: Run) -> Iterator[list[Brake]]:
    """Brakes of one unit that are built alike, axle by axle; a row cannot tell by itself what they will do."""
    groups: dict[object, list[Brake]] = {}
    for brake in brakes(run):
        part = brake.component
        groups.setdefault((part.unit, part.type, part.parameters.get("size"), part.axle is None), []).append(brake)
    yield from groups.values()


def _state(group: Sequence[Brake], time: float, units: str) -> str:
    """By what brakes are on: ``springs 5.3 kN``; different states one after the other."""
    forces: dict[str, list[float]] = {}
    for brake in group:
        found = stand(brake, time)
        forces.setdefault(found.state, []).append(found.force)
    told = [f"{_STATES[state]} {_span(found, units)}".strip() if state != RELEASED else _STATES[state]
            for state, found in forces.items()]  # fmt: skip
    return ", ".join(told)


def _span(forces: Sequence[float], units: str) -> str:
    """A force, or the range of several, in two digits."""
    return span([rounded(force, "force", units) for force in forces], "force", units)


def _pressure(run: Run, name: str, time: float, units: str) -> str:
    """A reservoir's pressure, to 1 kPa."""
    return amount(round(run[f"{name}.pressure"](time), -3), "pressure", units)


# ---- what happened


def _told(run: Run, units: str) -> Html:
    return tag("div", tag("h2", "What happened"), listing(tell(run, units)), class_="story")


def _curves(run: Run, units: str) -> Iterator[Html]:
    """The figures, two panels a page, without the limits that prove the answers."""
    bare = replace(
        run,
        scenario=replace(run.scenario, expectations=()),
        measures=tuple(measure for measure in run.measures if not measure.limit),
    )
    for names in (("chambers", "forces"), ("reservoirs", "controls")):
        with suppress(UsageError):  # nothing of the kind in this circuit
            yield plotted(plot(bare, *names, units=units), names[0], f"Curves over time: {' and '.join(names)}")
