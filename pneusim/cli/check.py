"""``pneusim check``: read files and tell every fault at once."""

from __future__ import annotations

import click

from pneusim.errors import InvalidFile


@click.command("check")
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.pass_context
def command(ctx: click.Context, files: tuple[str, ...]) -> None:
    """Read circuit files and tell every fault at once, with line and column.

    Warnings are told too; only errors make the exit code 3.
    """
    from pneusim.reading import find_shipped, read

    broken = False
    for name in files:
        _, faults = read(find_shipped(name))
        errors = sum(fault.severity == "error" for fault in faults)
        broken = broken or errors > 0
        for fault in faults:
            click.echo(str(fault) if fault.severity == "error" else f"warning: {fault}")
        click.echo(f"{name}: {_verdict(errors, len(faults) - errors)}")
    if broken:
        ctx.exit(InvalidFile.exit_code)


def _verdict(errors: int, warnings: int) -> str:
    """``no faults``, ``2 faults, 1 warning``."""
    words = _count(errors, "fault") if errors else "no faults"
    return f"{words}, {_count(warnings, 'warning')}" if warnings else words


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
