"""``pneusim failures``: what every single failure does."""

from __future__ import annotations

import sys
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pneusim.errors import RunFailed, UsageError

if TYPE_CHECKING:
    from pneusim.circuit.circuit import Circuit
    from pneusim.circuit.road import Road
    from pneusim.studies.executor import Executor
    from pneusim.studies.failures.cycle import Cycle
    from pneusim.studies.failures.failure import Failure
    from pneusim.studies.failures.study import Study


class Kinds(click.Option):
    """An option whose help names the kinds that there are, looked up when it is asked for."""

    def get_help_record(self, ctx: click.Context) -> tuple[str, str] | None:
        """The option and its help line."""
        from pneusim.studies.failures.failure import KINDS

        self.help = f"Run this kind alone (may be repeated): {', '.join(KINDS)}."
        return super().get_help_record(ctx)


@click.command("failures")
@click.argument("file", metavar="FILE")
@click.option("--only", multiple=True, metavar="KIND", cls=Kinds)
@click.option("--show", metavar="ID", help="Tell all about one failure, events and story; nothing else is run.")
@click.option("--pairs", is_flag=True, help="Run pairs of failures too: those that may matter by the circuit's graph.")
@click.option("--cycle", metavar="SCENARIO", help="Run this scenario of the file in place of the drive cycle.")
@click.option("--at", metavar="TIME", help="When the failure happens in that scenario [0 s].")
@click.option("--wait", metavar="TIME", help="How long the driver of the drive cycle drives on before he brakes [6 s].")
@click.option("--speed", metavar="SPEED", help="Drive the cycle on a road at this speed: stopping distances are told.")
@click.option("--surface", metavar="NAME", help="The road's surface: dry, wet, snow, ... [dry].")
@click.option("--variant", metavar="NAME", help="Take this variant of the circuit.")
@click.option("--on", "where", default="threads", show_default=True, metavar="WHERE",
              help="Where to compute: threads, serial, dask, or a Dask scheduler's tcp://...")  # fmt: skip
@click.option("--threads", type=click.IntRange(1), metavar="N", help="Number of threads [that of the processors].")
@click.option("--all", "whole", is_flag=True, help="Name every failure of a group.")
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="DIR",
              help="The report goes to DIR/failures [results/<file>].")  # fmt: skip
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of tables: summary.json, or one failure.")
@click.option("--units", type=click.Choice(["si", "us"]), default="si", show_default=True, help="Units shown.")
@click.pass_context
def command(
    ctx: click.Context, file: str, only: tuple[str, ...], show: str | None, pairs: bool, cycle: str | None,
    at: str | None, wait: str | None, speed: str | None, surface: str | None, variant: str | None, where: str,
    threads: int | None, whole: bool, output: Path | None, as_json: bool, units: str,
) -> None:  # fmt: skip
    """Run every single failure of a circuit through a drive cycle and tell what it does.

    Lines break, leak and freeze, valves stick, couplings part, reservoirs, springs and diaphragms are lost; each is run
    and judged against the intact vehicle.  Prints groups of failures with the same consequence, worst first; writes
    table.csv, summary.json, matrix.png and .svg, and the events and the story of every failure to DIR/failures; the
    report of a part (--only) or of another cycle to a folder in it.  What is there and has not changed is not computed
    again.  Exit code 4 if a case failed.
    """
    from pneusim.reading import find_shipped, load
    from pneusim.results.store import folder_name
    from pneusim.simulate.runner import varied
    from pneusim.studies.executor import executor_for
    from pneusim.studies.failures.failure import KINDS

    path = find_shipped(file)
    circuit = varied(load(path), variant)
    for kind in only:
        _known("kind of failure", kind, list(KINDS))
    driven = _cycle(circuit, cycle, at, wait, _road(speed, surface))
    failures = _failures(circuit, only, show, pairs)
    folder = (output or Path("results") / path.stem) / folder_name("failures", variant)
    executor = executor_for(where, threads)
    found = _run(circuit, variant, driven, failures, folder, executor, quiet=as_json)
    asked = {"cycle": cycle, "at": at, "wait": wait, "speed": speed, "surface": surface}
    _tell(found, folder / _part(only, asked), show, as_json, whole, units)
    ctx.exit(RunFailed.exit_code if any(row.outcome.status != "ok" for row in found.rows) else 0)


def _part(only: tuple[str, ...], asked: dict[str, str | None]) -> str:
    """Where the report of a part, or of another cycle, lies: it does not take the place of the whole one."""
    named = {**asked, "only": "-".join(dict.fromkeys(only))}
    return ",".join(f"{name}-{_plain(value)}" for name, value in named.items() if value)


def _plain(text: str) -> str:
    """A text as part of the name of a folder."""
    return "".join(text.split()).replace("/", "_per_")


def _road(speed: str | None, surface: str | None) -> Road | None:
    from pneusim.circuit.surfaces import plain_road

    if speed is None:
        if surface is not None:
            raise UsageError("--surface is for a cycle on a road: say how fast it is driven (--speed)")
        return None
    metres = _quantity("--speed", speed, "speed", 1.0, 60.0)
    return plain_road(surface or "dry", metres)


def _cycle(circuit: Circuit, scenario: str | None, at: str | None, wait: str | None, road: Road | None) -> Cycle:
    from pneusim.studies.failures.cycle import WAIT, cycle_of, drive_cycle

    if scenario is None:
        if at is not None:
            raise UsageError("--at is for a scenario of the file (--cycle SCENARIO); in the drive cycle use --wait")
        return drive_cycle(circuit, WAIT if wait is None else _time("--wait", wait), road)
    if wait is not None:
        raise UsageError("--wait is for the drive cycle; with --cycle say when the failure happens (--at)")
    if road is not None:
        raise UsageError("--speed is for the drive cycle; a scenario of the file says itself what 'road:' it is on")
    return cycle_of(circuit, scenario, None if at is None else _time("--at", at))


def _time(option: str, text: str) -> float:
    return _quantity(option, text, "time", 0.0, 3600.0)


def _quantity(option: str, text: str, dimension: str, low: float, high: float) -> float:
    from pneusim.quantities import QuantityError, express, parse

    try:
        value = parse(text, dimension)
    except QuantityError as error:
        raise UsageError(f"{option}: {error}") from None
    if not low <= value <= high:
        raise UsageError(f"{option} is {text} (allowed: {express(low, dimension)} to {express(high, dimension)})")
    return value


def _failures(circuit: Circuit, only: tuple[str, ...], show: str | None, pairs: bool) -> list[Failure] | None:
    """The failures asked for; None for all single ones."""
    from pneusim.studies.failures.pairs import pairs_of
    from pneusim.studies.failures.single import single_failures

    if not (only or show or pairs):
        return None
    found, _ = single_failures(circuit)
    if pairs:
        found = [*found, *pairs_of(circuit, found)]
    if show is None:
        return [failure for failure in found if not only or failure.kind in only]
    named = {failure.id: failure for failure in found}
    own = [failure.id for failure in found if show in failure.targets]
    if own and show not in named:
        raise UsageError(f"{show!r} fails in more than one way; name one of: {', '.join(own)}")
    _known("failure", show, list(named))
    return [named[show]]


def _known(noun: str, name: str, known: list[str]) -> None:
    if name not in known:
        near = get_close_matches(name, known, n=3)
        few = len(known) <= 20
        there = f"there are: {', '.join(known)}" if few else "table.csv of a run without --show lists them"
        raise UsageError(f"there is no {noun} {name!r}; {'nearest: ' + ', '.join(near) if near else there}")


def _run(
    circuit: Circuit, variant: str | None, cycle: Cycle, failures: list[Failure] | None, folder: Path,
    executor: Executor, quiet: bool,
) -> Study:  # fmt: skip
    from pneusim.cli.cases import watched
    from pneusim.cli.warmup import compile_engine
    from pneusim.results.store import check_writable
    from pneusim.studies.failures.study import study
    from pneusim.studies.store import Store

    check_writable(folder)
    store = Store(folder / "cases")
    compile_engine()
    with watched(shown=sys.stderr.isatty() and not quiet) as told:
        return study(circuit, cycle, failures, variant=variant or "", executor=executor, store=store, progress=told)


def _tell(study: Study, folder: Path, show: str | None, as_json: bool, whole: bool, units: str) -> None:
    """Write the report, unless a single failure was asked for, and print what was asked for."""
    from pneusim.results.plain import as_json as json_text
    from pneusim.show.figures.failure_matrix import save
    from pneusim.studies.failures.report import shown, summary, write

    if show is None:
        write(study, folder)
        save(study, folder)
    if as_json:
        content = summary(study) if show is None else shown(study[show], study)
        click.echo(json_text(content), nl=False)  # UTF-8 whatever the terminal
    else:
        _print(study, folder, show, whole, units)


def _print(study: Study, folder: Path, show: str | None, whole: bool, units: str) -> None:
    from rich.console import Console
    from rich.text import Text

    from pneusim.show.tables.failures import one, tables

    console = Console(highlight=False)
    if show is not None:
        console.print(one(study[show], study, units))
        return
    console.print(tables(study, units, whole=whole))
    console.print(Text(f"written to {folder}"))
