"""``pneusim fit``: parameters of a circuit from measured curves, by a fit file."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from pneusim.studies.fit.result import Fitted


@click.command("fit")
@click.argument("file", metavar="FILE")
@click.option("--measured", type=click.Path(path_type=Path), metavar="CSV",
              help="Measured curves, in place of the file that FILE names.")  # fmt: skip
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="DIR", help="Results go there [results/<fit>]."
)
@click.option("--on", "where", default="threads", show_default=True, metavar="WHERE",
              help="Where to compute: threads, serial, dask, or a Dask scheduler's tcp://...")  # fmt: skip
@click.option("--threads", type=click.IntRange(1), metavar="N", help="Number of threads [that of the processors].")
@click.option("--json", "as_json", is_flag=True, help="Print fit.json instead of tables.")
@click.option("--units", type=click.Choice(["si", "us"]), default="si", show_default=True, help="Units shown.")
def command(
    file: str, measured: Path | None, output: Path | None, where: str, threads: int | None, as_json: bool, units: str
) -> None:
    """Find the parameters with which a circuit follows measured curves best, and how sure they are.

    FILE is a fit file or the name of a shipped fit: circuit, scenario, measured columns, parameters with bounds.
    Prints values with intervals and what the data cannot tell; writes fit.json, residuals.csv, pictures, patch.yaml
    with the values as a variant, and the circuit with that variant to DIR.  After Ctrl-C the same command continues.
    Exit code 4 if no search came to an end.
    """
    from pneusim.cli.cases import watched
    from pneusim.cli.warmup import compile_engine
    from pneusim.results.store import check_writable
    from pneusim.studies.fit.file import FITS, load_fit
    from pneusim.studies.fit.fit import fit

    path = FITS.find(file)
    read = load_fit(path, measured)
    folder = output or Path("results") / path.stem
    check_writable(folder)
    compile_engine()
    with watched(shown=sys.stderr.isatty() and not as_json) as told:
        found = fit(read, on=where, threads=threads, folder=folder, progress=told)
    _tell(found, folder, as_json, units)


def _tell(found: Fitted, folder: Path, as_json: bool, units: str) -> None:
    from pneusim.show.figures.fit import save
    from pneusim.studies.fit.report import summary_bytes

    save(found, folder, units)
    if as_json:
        click.echo(summary_bytes(found), nl=False)  # UTF-8 whatever the terminal
        return
    from rich.console import Console
    from rich.text import Text

    from pneusim.show.tables.fit import tables

    console = Console(highlight=False)
    console.print(tables(found, units))
    console.print(Text(f"written to {folder}"))
