"""Puts a report together."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from importlib import resources
from itertools import count

from pneusim.circuit.circuit import Circuit
from pneusim.errors import UsageError
from pneusim.results.run import CAUTION, Run
from pneusim.results.stored import circuit_as_json
from pneusim.results.units import check_units
from pneusim.show.markup import Html, Section, facts, figure, html, table, tag
from pneusim.show.paper.document import Document
from pneusim.show.paper.inline import drawn
from pneusim.show.paper.report.circuit_part import circuit_section
from pneusim.show.paper.report.closing import sources_section, validity_section
from pneusim.show.paper.report.margins import judged, nearest
from pneusim.show.paper.report.run_part import run_section
from pneusim.show.schematic.picture import draw


def report(run: Run, *others: Run, units: str = "si") -> Document:
    """Write a report of one run or several, for an engineer's file.

    The circuit with all figures given and all defaults used, its schematic, and of every run what was done, what
    happened, the measures against their limits with the margins, events, figures, and facts of the computation; sources
    and limits of validity.

    Parameters
    ----------
    run, *others : Run
        Runs of one circuit or of several; circuits that are the same stand in it once.
    units : {"si", "us"}

    Returns
    -------
    Document
        With ``html``, and ``save`` for .html and .pdf.

    Raises
    ------
    UsageError
        If the unit system is unknown.
    """
    check_units(units)
    runs = [run, *others]
    circuits = _circuits(runs)
    sections, style = [], ""
    numbers = count(1)
    for k, (title, circuit) in enumerate(circuits.items(), 1):
        picture, style = _schematic(circuit, f"circuit{k}", numbers)
        sections.append(circuit_section(circuit, title, picture, units))
    sections += [run_section(one, _run_title(one, circuits), k, numbers, units) for k, one in enumerate(runs, 1)]
    sections += [sources_section(runs), validity_section(runs)]
    title = f"{' and '.join(dict.fromkeys(one.circuit.title for one in runs))}: report"
    told = (_body(k, section) for k, section in enumerate(sections, 1))
    main = tag("main", _results(runs, circuits, units), _signatures(), _contents(sections), *told)
    body = html(_head(title, runs, circuits), main, tag("footer", CAUTION))
    sheet = resources.files("pneusim.show.paper").joinpath("report.css").read_text(encoding="utf-8")
    return Document("report", title, body, sheet.replace('"CAUTION"', json.dumps(CAUTION)), style)


def _circuits(runs: Sequence[Run]) -> dict[str, Circuit]:
    """Circuits that differ, by the titles of their sections; a variant that changes figures is one of its own."""
    found: dict[str, Circuit] = {}
    for run in runs:
        if all(_parts_of(run.circuit) != _parts_of(other) for other in found.values()):
            title = f"Circuit: {run.circuit.title}" + (f", variant {run.variant}" if run.variant else "")
            found[title if title not in found else f"{title} ({len(found) + 1})"] = run.circuit
    return found


def _parts_of(circuit: Circuit) -> object:
    return circuit.title, circuit.components, circuit.lines, circuit.joints, circuit.ambient, circuit.heat


def _schematic(circuit: Circuit, prefix: str, numbers: Iterator[int]) -> tuple[Html, str]:
    """The schematic with its caption, and its style sheet."""
    try:
        picture, style = drawn(draw(circuit).svg, prefix)
    except UsageError:
        return Html(), ""  # a line that cannot be drawn: the tables tell the circuit
    caption = f"Figure {next(numbers)}. Schematic of {circuit.title}, from above, the front at the left."
    return figure(picture, caption), style


def _run_title(run: Run, circuits: dict[str, Circuit]) -> str:
    of = f" ({run.circuit.title})" if len({circuit.title for circuit in circuits.values()}) > 1 else ""
    return f"{run.title}{of}"


def _head(title: str, runs: Sequence[Run], circuits: dict[str, Circuit]) -> Html:
    from pneusim import __version__

    prints = [
        (f"fingerprint of {name[0].lower()}{name[1:]}", hashlib.sha256(_plain(circuit, runs)).hexdigest()[:16])
        for name, circuit in circuits.items()
    ]
    about = facts([("computed with", f"pneusim {__version__}"), *prints])
    caution = tag("aside", tag("b", "Caution."), f" {CAUTION}", class_="caution")
    return html(tag("header", tag("h1", title), about), caution)


def _results(runs: Sequence[Run], circuits: dict[str, Circuit], units: str) -> Html:
    verdicts = [(_run_title(run, circuits), *_verdict(run, units)) for run in runs]
    return table(("run", "limits met", "nearest to its limit, or missed"), verdicts, "Results", "results")


def _plain(circuit: Circuit, runs: Sequence[Run]) -> bytes:
    return circuit_as_json(circuit, next(run.scenario for run in runs if run.circuit is circuit))


def _verdict(run: Run, units: str) -> tuple[tuple[str, str], str]:
    """How many limits are met, and what is to be looked at first."""
    if run.status != "ok":
        return ("run failed", "missed"), run.message
    found = judged(run, units)
    missed = [one for one in found if not one.met]
    if missed:
        told = "; ".join(f"{one.words} {one.value}, {one.limit}" for one in missed)
        return (f"{len(found) - len(missed)} of {len(found)}, NOT ALL MET", "missed"), told
    near = nearest(run)
    closest = next((f"{one.words} {one.value}, {one.limit}" for one in found if near and one.name == near.name), "")
    return (f"{len(found)} of {len(found)}" if found else "none set", "met"), closest


def _signatures() -> Html:
    empty = [tag("td")] * 3
    rows = [tag("tr", tag("th", word, scope="row"), *empty) for word in ("prepared", "checked", "approved")]
    heads = [tag("th", word, scope="col") for word in ("name", "date", "signature")]
    head = tag("thead", tag("tr", tag("td"), *heads))
    return tag("table", tag("caption", "Document no."), head, tag("tbody", *rows), class_="signatures")


def _contents(sections: Sequence[Section]) -> Html:
    items = []
    for k, section in enumerate(sections, 1):
        parts = [
            tag("li", tag("a", f"{k}.{j} {part.title}", href=f"#s{k}-{j}")) for j, part in enumerate(section.parts, 1)
        ]
        inner = tag("ol", *parts) if parts else ""
        items.append(tag("li", tag("a", f"{k} {section.title}", href=f"#s{k}"), inner))
    return tag("nav", tag("h2", "Contents"), tag("ol", *items), aria_label="Contents")


def _body(k: int, section: Section) -> Html:
    parts = [
        tag("section", tag("h3", f"{k}.{j} {part.title}", id=f"s{k}-{j}"), part.body, class_=part.kind)
        for j, part in enumerate(section.parts, 1)
    ]
    return tag("section", tag("h2", f"{k} {section.title}", id=f"s{k}"), section.body, *parts, class_=section.kind)
