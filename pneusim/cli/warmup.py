"""``pneusim warmup``: compile the engine ahead of the first run."""

from __future__ import annotations

import click

ANNOUNCEMENT = "compiling the engine once for this installation, about 15 s"


@click.command("warmup")
def command() -> None:
    """Compile the engine for this installation ahead of the first run."""
    if not compile_engine():
        click.echo("the engine is compiled already")


def compile_engine() -> bool:
    """Compile the engine if that has not been done, and say so; return whether it was necessary."""
    from pneusim.simulate import needs_warmup, warmup

    if not needs_warmup():
        return False
    click.echo(ANNOUNCEMENT, err=True)
    warmup()
    return True
