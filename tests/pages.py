"""Tables on the pages of `docs/` that the program itself fills: `python -m tests.pages` writes them anew, and with them
what the README shows.

A table stands between `<!-- table: name -->` and `<!-- end -->`.  Tests hold every page to what stands here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from pathlib import Path

import click

from pneusim.cli import COMMANDS
from pneusim.cli import main as main_command
from pneusim.lints.registry import all_lints
from pneusim.parts.base import FaultSpec, InputSpec, PortSpec
from pneusim.parts.registry import part, part_types
from pneusim.quantities import DIMENSIONS, express
from pneusim.reading import load, shipped_lessons
from pneusim.reading.codes import CODES
from pneusim.reading.targets import LINE_CHANNELS
from pneusim.reading.vehicles import PRACTICES
from pneusim.rules.limits import SOURCES
from pneusim.rules.regulation import Regulation, regulation, regulations
from tests import figures_page, played_pages, readme_page

DOCS = Path(__file__).parents[1] / "docs"
_TABLE = re.compile(r"(<!-- table: (\w+) -->\n).*?(<!-- end -->)", re.DOTALL)
_GROUPS = {
    "Y": "The text is not YAML of this format",
    "F": "Files that are named",
    "S": "Keys and kinds of values",
    "U": "Quantities",
    "N": "Names",
    "P": "Parts and their parameters",
    "C": "Ports, lines, joints, couplings",
    "V": "Vehicles and axles",
    "R": "The road: surfaces, and what vehicles need to roll",
    "T": "Steps and what they act on",
    "M": "Measures and expectations",
    "W": "Warnings: the rules of the trade",
    "Z": "About the list itself",
}


def filled(text: str) -> str:
    """The text of a page with its tables as they should be."""
    return _TABLE.sub(lambda found: f"{found[1]}\n{TABLES[found[2]]()}\n\n{found[3]}", text)


def tables_of(text: str) -> list[str]:
    """Names of the tables on a page."""
    return [found[2] for found in _TABLE.finditer(text)]


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table in Markdown."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(cells) + " |" for cells in lines)


def units() -> str:
    """Dimensions and their units."""
    rows = [
        (dimension.words.removeprefix("a ").removeprefix("an "), ", ".join(dimension.units), dimension.si, dimension.us)
        for name, dimension in DIMENSIONS.items()
        if dimension.units and name not in ("pressure_difference", "mass_flow")
    ]
    return table(("dimension", "units", "shown with `--units si`", "shown with `--units us`"), rows)


def parts() -> str:
    """All part types."""
    rows = []
    for name in part_types():
        kind = part(name)
        rows.append(
            (
                f"`{name}`: {(kind.__doc__ or '').splitlines()[0]}",
                _or_none(_port(spec) for spec in kind.ports),
                _or_none(_input(spec) for spec in kind.inputs),
                _or_none(_fault(spec) for spec in kind.faults),
                _or_none(f"`{spec.name}`" for spec in kind.channels),
            )
        )
    rows.append(("lines, couplings", "-", "-", "-", ", ".join(f"`{spec.name}`" for spec in LINE_CHANNELS)))
    return table(("type", "ports", "inputs", "faults", "channels"), rows)


def _port(spec: PortSpec) -> str:
    if spec.number == "*":
        return f"any number ({spec.name})" if spec.many else spec.name
    number = f"{spec.number}1, {spec.number}2, ..." if spec.many else spec.number
    mark = "°" if spec.optional or spec.exhaust else ""
    return f"{number} {spec.name}{mark}"


def _input(spec: InputSpec) -> str:
    low, high = (express(value, spec.dimension) for value in (spec.low, spec.high))
    return f"`{spec.name}` " + (" or ".join(spec.choices) if spec.choices else f"{low} to {high}")


def _fault(spec: FaultSpec) -> str:
    return f"`{spec.name}`" + ("" if spec.dimension == "flag" else f" {express(spec.default, spec.dimension)}")


def _or_none(words: Iterable[str]) -> str:
    return ", ".join(words) or "-"


def codes() -> str:
    """Fault codes in their groups."""
    groups = [
        f"### {letter}: {title}\n\n" + (_warnings() if letter == "W" else _faults(letter))
        for letter, title in _GROUPS.items()
    ]
    return "\n\n".join(groups)


def _faults(letter: str) -> str:
    return table(("code", "meaning"), [(code, words) for code, words in CODES.items() if code[0] == letter])


def _warnings() -> str:
    """The rules of the trade, for whom they are, and where they stand."""
    rows = [
        (rule.code, rule.words, ", ".join(rule.kinds) or "all", *(rule.sources.get(name, "-") for name in PRACTICES))
        for rule in all_lints()
    ]
    return table(("code", "meaning", "kinds of vehicle", "source with `practice: un13`", "with `practice: us`"), rows)


def commands() -> str:
    """What every command says of itself."""
    settings = main_command.context_settings | {"terminal_width": 100}
    context = click.Context(main_command, info_name="pneusim", **settings)
    told = []
    for name in COMMANDS:
        command = main_command.get_command(context, name)
        assert command is not None
        inner = click.Context(command, parent=context, info_name=name, **settings)
        told.append(f"## {name}\n\n```text\n{command.get_help(inner).rstrip()}\n```")
    return "\n\n".join(told)


def lessons() -> str:
    """The shipped lessons with their scenarios."""
    told = {name: load(name) for name in shipped_lessons()}
    rows = [
        (f"`{name}`: {circuit.title.removeprefix('Lesson: ')}", f"`{scenario.name}`: {scenario.title}")
        for name, circuit in told.items()
        for scenario in circuit.scenarios.values()
    ]
    return table(("lesson", "scenario"), rows)


def procedures() -> str:
    """What is run for every regulation, and the figures it is held to."""
    return "\n\n".join(_regulation(regulation(name)) for name in regulations())


def _regulation(known: Regulation) -> str:
    run = [(f"`{p.name}`", p.clause, p.title, ", ".join(p.kinds) or "all") for p in known.procedures]
    held = [
        (limit.clause, limit.words, limit.told(), SOURCES[limit.source] + (f": {limit.note}" if limit.note else ""))
        for limit in known.table
    ]
    beyond = [(found.clause, found.words, found.why) for found in known.table.beyond]
    parts = [
        f"## {known.title}",
        f"`--regulation {known.name}`, for: {', '.join(known.kinds)}.",
        table(("procedure", "clause", "what is tested", "kinds of vehicle"), run),
        f"### Figures of {known.name}",
        table(("clause", "what", "figure", "where it is from"), held),
    ]
    if beyond:
        parts += [f"### Not judged of {known.name}", table(("clause", "what", "why"), beyond)]
    return "\n\n".join(parts)


TABLES = {
    "commands": commands,
    "lessons": lessons,
    "procedures": procedures,
    "units": units,
    "parts": parts,
    "codes": codes,
    "figures": figures_page.rendered,
    "figure_counts": figures_page.counts,
}


def written() -> list[Path]:
    """All pages under version control: those of the parts are made when the site is built."""
    return sorted(path for path in DOCS.rglob("*.md") if path.relative_to(DOCS).parts[0] not in ("parts", "_build"))


def main() -> None:
    """Write all pages anew; the checked figures are computed anew for that."""
    figures_page.compute()
    for path in written():
        text = path.read_text(encoding="utf-8")
        path.write_text(filled(text), encoding="utf-8")
    readme_page.write()
    played_pages.write()


if __name__ == "__main__":
    main()
