"""``pneusim check``: read files, tell every fault at once, and hold what can be read against the trade's rules."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pneusim.errors import Fault, InvalidFile

if TYPE_CHECKING:
    from pneusim.circuit.circuit import Circuit


@click.command("check")
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.pass_context
def command(ctx: click.Context, files: tuple[str, ...]) -> None:
    """Read circuit files and tell every fault at once, with line and column.

    A circuit without faults is held against the rules of the trade for its kind of vehicle and its practice; what it
    does not keep are warnings, each with its source.  Only faults make the exit code 3.
    """
    from pneusim.reading import find_shipped, read

    broken = False
    for name in files:
        circuit, faults = read(find_shipped(name))
        broken = broken or bool(faults)
        warnings = _warnings(circuit) if circuit else []
        for fault in faults:
            click.echo(str(fault))
        for warning in warnings:
            click.echo(f"warning: {warning}")
        click.echo(f"{name}: {_verdict(len(faults), len(warnings))}")
    if broken:
        ctx.exit(InvalidFile.exit_code)


def _warnings(circuit: Circuit) -> list[Fault]:
    """What the rules of the trade have against a circuit, with excerpts of its files."""
    from pneusim.lints.registry import lint
    from pneusim.reading.faults import excerpt

    found = lint(circuit)
    files = {fault.place.file for fault in found if fault.place.line}
    lines = {file: Path(file).read_text(encoding="utf-8").splitlines() for file in files}
    return [replace(fault, excerpt=excerpt(lines.get(fault.place.file, []), fault.place)) for fault in found]


def _verdict(errors: int, warnings: int) -> str:
    """``no faults``, ``2 faults``, ``no faults, 1 warning``."""
    words = _count(errors, "fault") if errors else "no faults"
    return f"{words}, {_count(warnings, 'warning')}" if warnings else words


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
