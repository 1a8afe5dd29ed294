"""``pneusim draw``: the schematic of a circuit."""

from __future__ import annotations

from pathlib import Path

import click

from pneusim.errors import UsageError


@click.command("draw")
@click.argument("file", metavar="FILE")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="PICTURE",
    help="An .svg, or with the extra [pdf] a .png or .pdf [<file>.svg].",
)  # fmt: skip
@click.option("--unit", metavar="NAME", help="Draw this vehicle of a combination alone.")
@click.option("--write", is_flag=True, help="Store the places in FILE as pins, so that later edits move nothing else.")
def command(file: str, output: Path | None, unit: str | None, write: bool) -> None:
    """Draw the schematic of a circuit: the vehicle from above, its front at the left.

    Brakes stand at their axle and side, what the driver moves in the cab; 'pos: [station, row]' pins a part, the
    station in axle numbers from the front, the row from the centreline, to the right positive.  The same file gives the
    same picture.
    """
    from pneusim.reading import find_shipped, load
    from pneusim.show.schematic.picture import check_ending, draw
    from pneusim.show.schematic.pins import write_pins

    path = find_shipped(file)
    picture = output or Path(f"{path.stem}-{unit}.svg" if unit else f"{path.stem}.svg")
    check_ending(picture)
    if write and unit:
        raise UsageError("--write stores the places of the whole file; leave out --unit")
    if write and not Path(file).is_file():
        raise UsageError(f"{file!r} comes with pneusim and stays as it is; copy it, then --write the copy")
    circuit = load(path)
    drawing = draw(circuit, unit)
    click.echo(f"written to {drawing.save(picture)}")
    if write:
        new = write_pins(circuit, drawing.layout)
        click.echo(f"{path}: {new} {'place' if new == 1 else 'places'} stored")
