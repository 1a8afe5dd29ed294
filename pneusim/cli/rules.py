"""``pneusim rules``: published test procedures run on a circuit."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pneusim.errors import ExpectationNotMet, RunFailed

if TYPE_CHECKING:
    from pneusim.circuit.circuit import Circuit
    from pneusim.rules import Report


class Named(click.Option):
    """An option whose help names the regulations that there are, looked up when it is asked for."""

    def get_help_record(self, ctx: click.Context) -> tuple[str, str] | None:
        """The option and its help line."""
        from pneusim.rules import regulation, regulations

        self.help = "; ".join(f"{name}: {regulation(name).title}" for name in regulations()) + "."
        return super().get_help_record(ctx)


@click.command("rules")
@click.argument("file", metavar="FILE")
@click.option("--regulation", required=True, metavar="NAME", cls=Named)
@click.option("--only", metavar="PROCEDURE", help="Run this procedure alone.")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="DIR",
    help="The report goes to DIR/rules-<NAME> [results/<file>].",
)  # fmt: skip
@click.option("--json", "as_json", is_flag=True, help="Print report.json instead of tables.")
@click.option("--units", type=click.Choice(["si", "us"]), default="si", show_default=True, help="Units shown.")
@click.pass_context
def command(
    ctx: click.Context, file: str, regulation: str, only: str | None, output: Path | None, as_json: bool, units: str
) -> None:
    """Run the published test procedures of a regulation on a circuit.

    Prints every clause with its limit, the value computed, the margin and the verdict, where the limit is from, and
    what could not be judged; writes report.json, report.csv and a picture of every timed test to DIR/rules-<NAME>.
    Not a certificate.  Exit code 5 if a limit is missed.
    """
    from pneusim.cli.warmup import compile_engine
    from pneusim.reading import find_shipped, load
    from pneusim.results.store import check_writable
    from pneusim.rules import regulation as known
    from pneusim.rules.files import report_as_json, store
    from pneusim.show.figures.rule_pictures import save

    path = find_shipped(file)
    circuit = load(path)
    chosen = known(regulation)
    chosen.subjects_of(circuit)  # what is wrong with the call is told before anything runs
    if only is not None:
        chosen.procedure(only)
    folder = output or Path("results") / path.stem
    check_writable(folder)
    compile_engine()
    report = _judged(circuit, regulation, only, quiet=as_json)
    place = store(report, folder, lambda found, into: save(found, into, units))
    if as_json:
        click.echo(report_as_json(report).encode(), nl=False)  # UTF-8 whatever the terminal
    else:
        _show(report, place, units)
    ctx.exit(_exit_code(report))


def _judged(circuit: Circuit, regulation: str, only: str | None, quiet: bool) -> Report:
    from pneusim.cli.meter import Meter
    from pneusim.rules import judge

    with Meter(regulation, shown=sys.stderr.isatty() and not quiet) as meter:
        return judge(circuit, regulation, only=only, progress=lambda _, share: meter.told(share))


def _show(report: Report, place: Path, units: str) -> None:
    from rich.console import Console
    from rich.text import Text

    from pneusim.show.tables.rules import tables

    console = Console(highlight=False)
    console.print(tables(report, units))
    console.print(Text(f"written to {place}"))


def _exit_code(report: Report) -> int:
    """The gravest outcome counts: a failed run, then a missed limit."""
    if report.failed:
        return RunFailed.exit_code
    return ExpectationNotMet.exit_code if report.missed else 0
