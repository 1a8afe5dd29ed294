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
    "--beside", type=click.Path(path_type=Path), metavar="DIR", multiple=True,
    help="A second result in the same figure, dashed; for distance several.",
)
@click.option("--at", type=float, metavar="TIME", help="Show this moment [s]: of friction, ellipse, side_force.")
@click.option(
    "--band", type=click.Path(path_type=Path), metavar="FILE",
    help="Corners of a band for braking_ratio, one a line: pressure, lowest, highest ratio (100 kPa, 4 %, 15 %).",
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
    beside: tuple[Path, ...],
    at: float | None,
    band: Path | None,
    start: float | None,
    end: float | None,
    output: Path | None,
    units: str,
) -> None:
    """Draw curves of a result: DIR is the folder of a scenario that 'pneusim run' wrote.

    Without CHANNEL the overview; else names of channels as in channels.json, or of a group: reservoirs, controls,
    chambers, forces, strokes, flows, and on a road speeds, slips, loads, hitches, heat. Pictures that are not over
    time: friction, ellipse, side_force (with --at), distance (--beside as often as you like), utilisation,
    braking_ratio (--band).
    """
    from pneusim.results.stored import read_result
    from pneusim.show.figures.corners import corners
    from pneusim.show.figures.plots import plot

    run = read_result(folder)
    path = output or Path(f"{run.scenario.name}.png")
    if path.suffix not in FORMATS:
        raise UsageError(f"{path}: a figure is written as {', '.join(FORMATS)}; give the file one of these endings")
    others = [read_result(one) for one in beside]
    figure = plot(
        run, *what, against=against, beside=others, units=units, start=start, end=end, at=at,
        band=corners(band) if band else (),
    )  # fmt: skip
    figure.save(path)
    click.echo(f"written to {path}")
