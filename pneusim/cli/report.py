"""``pneusim report``: results for an engineer's file."""

from __future__ import annotations

from pathlib import Path

import click


@click.command("report")
@click.argument("folders", nargs=-1, required=True, metavar="DIR...", type=click.Path(path_type=Path))
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="FILE", help="An .html or .pdf [DIR/report.html]."
)
@click.option("--units", type=click.Choice(["si", "us"]), default="si", show_default=True, help="Units shown.")
def command(folders: tuple[Path, ...], output: Path | None, units: str) -> None:
    """Write a report of one result or several: DIR is the folder of a scenario that 'pneusim run' wrote.

    The report holds the circuit with every figure given and every default used, its schematic, what was done and what
    happened, measures against limits with their margins, figures, sources and limits of validity.  An .html stands
    alone; a .pdf needs weasyprint.
    """
    from pneusim.errors import UsageError
    from pneusim.results.stored import read_result
    from pneusim.show.paper.document import check_ending
    from pneusim.show.paper.report import report

    path = output or folders[0] / "report.html"
    check_ending(path, "report")
    named = [folder.resolve() for folder in folders]
    twice = next((folder for k, folder in enumerate(folders) if folder.resolve() in named[:k]), None)
    if twice is not None:
        raise UsageError(f"{twice} is named twice; name every result once")
    first, *others = (read_result(folder) for folder in folders)
    click.echo(f"written to {report(first, *others, units=units).save(path)}")
