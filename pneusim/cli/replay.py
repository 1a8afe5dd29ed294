"""``pneusim replay``: results as a page that plays them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from pneusim.errors import UsageError

if TYPE_CHECKING:
    from pneusim.results.run import Run

ENDINGS = (".html", ".htm")


@click.command("replay")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.argument("other", metavar="[DIR2]", required=False, type=click.Path(path_type=Path))
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="FILE.html",
    help="The page [DIR/replay.html; with DIR2 DIR/replay-with-<its scenario>.html].",
)  # fmt: skip
@click.option("--units", type=click.Choice(["si", "us"]), default="si", show_default=True, help="Units shown.")
def command(folder: Path, other: Path | None, output: Path | None, units: str) -> None:
    """Make a page that plays a result, or two beside each other.

    DIR is the folder of one scenario that 'pneusim run' wrote.  The page is one file that opens in a browser and needs
    nothing else.  Two results may be of different circuits; the first step of both is laid on the same time.
    """
    from pneusim.results.stored import read_result
    from pneusim.show.replay.page import replay

    if output is not None and output.suffix not in ENDINGS:
        raise UsageError(f"{output}: a page is written as {' or '.join(ENDINGS)}; give the file one of these endings")
    run = read_result(folder)
    beside = None if other is None else read_result(other)
    page = replay(run, beside, units)
    click.echo(f"written to {page.save(output or folder / _file(beside))}")


def _file(beside: Run | None) -> str:
    from pneusim.results.store import folder_name

    return f"replay-with-{folder_name(beside.scenario.name, beside.variant)}.html" if beside else "replay.html"
