"""``pneusim plot``: figures of a result."""

from __future__ import annotations

from pathlib import Path

import click

from pneusim.errors import UsageError

FORMATS = (".png", ".svg", ".pdf")


@click.command("plot")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.argument("what", nargs=-1, metavar="[CHANNEL]...")
@click.option("--against", metavar="CHANNEL", help="Draw against this channel in place of time.")
@click.option(
    "--beside", type=click.Path(path_type=Path), metavar="DIR", help="A second result in the same figure, dashed."
)
@click.option("--from", "start", type=float, metavar="TIME", help="Begin at this time [s].")
@click.option("--to", "end", type=float, metavar="TIME", help="End at this time [s].")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="FILE", help="A .png, .svg or .pdf [<scenario>.png]."
)
@click.option("--units", type=click.Choice(["si", "us"]), default="si", show_default=True, help="Units shown.")
def command(
    folder: Path,
    what: tuple[str, ...],
    against: str | None,
    beside: Path | None,
    start: float | None,
    end: float | None,
    output: Path | None,
    units: str,
) -> None:
    """Draw curves of a result: DIR is the folder of a scenario that 'pneusim run' wrote.

    Without CHANNEL the overview; else names of channels as in channels.json, or of a group: reservoirs, controls,
    chambers, forces, strokes, flows.
    """
    from pneusim.results.stored import read_result
    from pneusim.show.figures.plots import plot

    run = read_result(folder)
    path = output or Path(f"{run.scenario.name}.png")
    if path.suffix not in FORMATS:
        raise UsageError(f"{path}: a figure is written as {', '.join(FORMATS)}; give the file one of these endings")
    other = read_result(beside) if beside is not None else None
    figure = plot(run, *what, against=against, beside=other, units=units, start=start, end=end)
    figure.save(path)
    click.echo(f"written to {path}")
