"""``pneusim sweep``: many cases of one scenario, by a study file."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pneusim.errors import ExpectationNotMet, RunFailed

if TYPE_CHECKING:
    from pneusim.studies.sweep.result import Sweep


@click.command("sweep")
@click.argument("study", metavar="STUDY")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="DIR", help="Results go there [results/<study>]."
)
@click.option("--on", "where", default="threads", show_default=True, metavar="WHERE",
              help="Where to compute: threads, serial, dask, or a Dask scheduler's tcp://...")  # fmt: skip
@click.option("--threads", type=click.IntRange(1), metavar="N", help="Number of threads [that of the processors].")
@click.option("--parquet", is_flag=True, help="Write table.parquet too.")
@click.option("--json", "as_json", is_flag=True, help="Print summary.json instead of tables.")
@click.option("--units", type=click.Choice(["si", "us"]), default="si", show_default=True, help="Units shown.")
@click.pass_context
def command(
    ctx: click.Context, study: str, output: Path | None, where: str, threads: int | None, parquet: bool, as_json: bool,
    units: str,
) -> None:  # fmt: skip
    """Run all cases of a study: parameters varied by a plan, measured, held to limits.

    STUDY is a study file or the name of a shipped study.  Prints tables; writes table.csv, summary.json and pictures to
    DIR, and every case below DIR/cases as it finishes: after Ctrl-C or a crash the same command continues.  Exit code 4
    if a case failed, 5 if a limit was missed.
    """
    from pneusim.cli.cases import watched
    from pneusim.cli.warmup import compile_engine
    from pneusim.results.store import check_writable
    from pneusim.studies.sweep.file import STUDIES, load_study
    from pneusim.studies.sweep.report import check_parquet
    from pneusim.studies.sweep.sweep import sweep

    path = STUDIES.find(study)
    read = load_study(path)
    folder = output or Path("results") / path.stem
    if parquet:
        check_parquet()
    check_writable(folder)
    compile_engine()
    with watched(shown=sys.stderr.isatty() and not as_json) as told:
        found = sweep(read, on=where, threads=threads, folder=folder, progress=told)
    _tell(found, folder, as_json, parquet, units)
    ctx.exit(_exit_code(found))


def _tell(found: Sweep, folder: Path, as_json: bool, parquet: bool, units: str) -> None:
    from pneusim.show.figures.sweep_pictures import save
    from pneusim.studies.sweep.report import summary_bytes, write_parquet

    if parquet:
        write_parquet(found, folder)
    save(found, folder, units)
    if as_json:
        click.echo(summary_bytes(found), nl=False)  # UTF-8 whatever the terminal
        return
    from rich.console import Console
    from rich.text import Text

    from pneusim.show.tables.sweep import tables

    console = Console(highlight=False)
    console.print(tables(found, units))
    console.print(Text(f"written to {folder}"))


def _exit_code(found: Sweep) -> int:
    """The gravest outcome counts: a failed case, then a missed limit."""
    if found.failed:
        return RunFailed.exit_code
    missed = found.study.limits and not all(found.kept_all(outcome) for outcome in found.outcomes)
    return ExpectationNotMet.exit_code if missed else 0
