"""``pneusim run``: the main job."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pneusim.errors import ExpectationNotMet, RunFailed, UsageError

if TYPE_CHECKING:
    from pneusim.circuit.circuit import Circuit
    from pneusim.results.run import Run
    from pneusim.show.replay.page import Page

PAGE = "replay.html"


@click.command("run")
@click.argument("file", metavar="FILE")
@click.argument("scenarios", nargs=-1, metavar="[SCENARIO]...")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="DIR", help="Results go there [results/<file>]."
)
@click.option("--variant", metavar="NAME", help="Run this variant of the circuit.")
@click.option("--json", "as_json", is_flag=True, help="Print summary.json instead of tables and sentences.")
@click.option("--units", type=click.Choice(["si", "us"]), default="si", show_default=True, help="Units shown.")
@click.option("--error-bar", is_flag=True, help="Give every measure its numerical error, by a second, finer run.")
@click.option(
    "--band", is_flag=True, help="On a road: say how far every measure moves at initial speeds 0.01 m/s away."
)
@click.option(
    "--engine",
    type=click.Choice(["rodas4", "radau"]),
    default="rodas4",
    show_default=True,
    help="radau is the slow, independent cross-check.",
)
@click.pass_context
def command(
    ctx: click.Context,
    file: str,
    scenarios: tuple[str, ...],
    output: Path | None,
    variant: str | None,
    as_json: bool,
    units: str,
    error_bar: bool,
    band: bool,
    engine: str,
) -> None:
    """Run scenarios of a circuit: all of them, or those named.

    Prints what happened in sentences and tables, and writes everything to DIR/<scenario>/: summary.json, channels.npz,
    events.csv, measures.csv, plots, and replay.html, a page that plays the run in a browser.
    """
    from pneusim.cli.warmup import compile_engine
    from pneusim.reading import find_shipped, load
    from pneusim.results.store import check_writable

    path = find_shipped(file)
    circuit = load(path)
    chosen = chosen_scenarios(circuit, file, scenarios, variant)
    folder = output or Path("results") / path.stem
    check_writable(folder)
    compile_engine()
    runs = []
    for name in chosen:
        run = finished_run(
            circuit, name, variant=variant, engine=engine, error_bar=error_bar, band=band, quiet=as_json
        )
        place = _store(run, folder, units)
        runs.append(run)
        if not as_json:
            _show(run, place, units)
        if run.status != "ok":
            click.echo(f"{name}: {run.message}", err=True)
    if as_json:
        _print_json(runs)
    ctx.exit(_exit_code(runs))


def chosen_scenarios(circuit: Circuit, file: str, scenarios: Sequence[str], variant: str | None) -> list[str]:
    """Names of the scenarios to run, once each; unknown names are told before anything runs."""
    if not circuit.scenarios:
        raise UsageError(f"{file} has no scenarios; add a section 'scenarios' or 'scenarios_from'")
    for name in scenarios:
        _known("scenario", name, list(circuit.scenarios), file)
    if variant is not None:
        _known("variant", variant, list(circuit.variants), file)
    return list(dict.fromkeys(scenarios)) or list(circuit.scenarios)


def _known(noun: str, name: str, known: Sequence[str], file: str) -> None:
    if name not in known:
        near = get_close_matches(name, known, n=1)
        hint = f"{near[0]!r} is meant?" if near else f"there are: {', '.join(known) or 'none'}"
        raise UsageError(f"{file} has no {noun} {name!r}; {hint}")


def finished_run(
    circuit: Circuit,
    name: str,
    *,
    variant: str | None,
    engine: str = "rodas4",
    error_bar: bool = False,
    band: bool = False,
    quiet: bool = False,
) -> Run:
    """One run, finished, with its meter; a failed one has what there is."""
    from pneusim.cli.meter import Meter
    from pneusim.studies.finished import finished

    with Meter(name, shown=sys.stderr.isatty() and not quiet) as meter:
        return finished(
            circuit, name, variant=variant, engine=engine, error_bar=error_bar, band=band, progress=meter.told
        )


def _store(run: Run, folder: Path, units: str) -> Path:
    from pneusim.results.store import store
    from pneusim.show.figures.plots import save
    from pneusim.show.written import NotWritten

    def draw(run: Run, into: Path) -> None:
        save(run, into, units)
        if page := _replay(run, units):
            page.save(into / PAGE)

    try:
        return store(run, folder, draw)
    except (NotWritten, OSError) as error:
        why = error.why if isinstance(error, NotWritten) else error.strerror or error
        told = f"{folder}: the result of {run.scenario.name} cannot be written ({why})"
        raise UsageError(f"{told}; an earlier one stays as it was; make room, or name another folder with -o") from None


def _replay(run: Run, units: str) -> Page | None:
    """The page that plays the run; one that failed at once has nothing to play, and not every circuit can be drawn."""
    from pneusim.show.replay.page import replay

    if not run.span[0] < run.span[1]:
        return None
    try:
        return replay(run, units=units)
    except UsageError as error:
        click.echo(f"{run.scenario.name}: there is no {PAGE}: {error}", err=True)
        return None


def _show(run: Run, place: Path, units: str) -> None:
    """Title, story and tables."""
    from rich.console import Console
    from rich.padding import Padding
    from rich.text import Text

    from pneusim.results.narrative import tell
    from pneusim.results.run import CAUTION
    from pneusim.results.validity import ROLLING
    from pneusim.show.tables.run import tables

    console = Console(highlight=False)
    variant = f", variant {run.variant}" if run.variant else ""
    title = f"{run.circuit.title}: {run.scenario.title or run.scenario.name}{variant}"
    console.print(Text(title, style="bold underline"))
    for sentence in tell(run, units) if run.channels else ():
        console.print(Padding(Text(sentence), (0, 0, 0, 2), expand=False))
    if run.channels:
        console.print(tables(run, units))
    console.print(Text(f"written to {place}"))
    if (place / PAGE).is_file():
        console.print(Text(f"open {place / PAGE} in a browser to watch it"), soft_wrap=True)
    if run.scenario.road:
        ends = "; ".join(limit.short for limit in ROLLING if limit.short)
        console.print(Text(f"Limits on a road: {ends}.", style="dim"))
    console.print(Text(CAUTION, style="dim"))
    console.print()


def _print_json(runs: Sequence[Run]) -> None:
    from pneusim.results.files import summary

    told = [summary(run) for run in runs]
    text = json.dumps(told[0] if len(told) == 1 else told, indent=2, ensure_ascii=False)
    click.echo(text.encode())  # UTF-8 whatever the terminal


def _exit_code(runs: Sequence[Run]) -> int:
    """The gravest outcome counts: a failed run, then a missed expectation."""
    if any(run.status != "ok" for run in runs):
        return RunFailed.exit_code
    if any(result.met is False for run in runs for result in run.measures):
        return ExpectationNotMet.exit_code
    return 0
