"""``pneusim compare``: two circuits or two results beside each other."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pneusim.errors import RunFailed, UsageError

if TYPE_CHECKING:
    from pneusim.cli.meter import Meter
    from pneusim.results.comparison.comparison import Comparison


@click.command("compare")
@click.argument("first", metavar="A")
@click.argument("second", metavar="[B]", required=False)
@click.option("--scenario", "scenarios", multiple=True, metavar="NAME", help="Compare this scenario; may be repeated.")
@click.option("--variant-a", metavar="NAME", help="Take this variant of A.")
@click.option("--variant-b", metavar="NAME", help="Take this variant of B.")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="DIR", help="Files go there [results/compare-<A>-<B>]."
)
@click.option("--all", "everything", is_flag=True, help="Print everything, not only what differs.")
@click.option("--json", "as_json", is_flag=True, help="Print comparison.json instead of tables.")
@click.option("--units", type=click.Choice(["si", "us"]), default="si", show_default=True, help="Units shown.")
@click.option("--error-bar", is_flag=True, help="Run circuits twice; differences above the numerical error count.")
@click.pass_context
def command(
    ctx: click.Context, first: str, second: str | None, scenarios: tuple[str, ...], variant_a: str | None,
    variant_b: str | None, output: Path | None, everything: bool, as_json: bool, units: str, error_bar: bool,
) -> None:  # fmt: skip
    """Compare two circuits or two results: what differs, and where they part.

    A and B are each the folder of a result, a folder of several (those of the same scenario are compared), or a
    circuit, whose scenarios are run: all that both have, or those named.  Without B, A is compared with a variant of
    itself.

    Prints the differences of the descriptions, the first event at which the runs part, limits met in one and missed in
    the other, and the measures that differ; writes tables, figures of both and a page that plays both to DIR.  A
    difference is no error: the exit code is 0, or 4 if a run failed.
    """
    from pneusim.cli.warmup import compile_engine
    from pneusim.studies.compare import compare

    if second is None and variant_a == variant_b:
        raise UsageError(f"{first} is to be compared with itself: name B, or a variant with --variant-a or --variant-b")
    other = first if second is None else second
    if any(not Path(name).is_dir() for name in (first, other)):
        compile_engine()
    with ExitStack() as stack:
        progress = _meters(stack, shown=sys.stderr.isatty() and not as_json)
        found = compare(
            first, other, *scenarios, variant_a=variant_a, variant_b=variant_b, error_bar=error_bar, progress=progress
        )
    _tell(found, output or Path("results") / f"compare-{found.a}-{found.b}", everything, as_json, units)
    ctx.exit(RunFailed.exit_code if any(r.status != "ok" for one in found.scenarios for r in (one.a, one.b)) else 0)


def _meters(stack: ExitStack, shown: bool) -> Callable[[str, float], None]:
    """A bar for every run, one after the other."""
    from pneusim.cli.meter import Meter

    running: dict[str, Meter] = {}

    def told(name: str, share: float) -> None:
        if name not in running:
            stack.pop_all().close()
            running.clear()
            running[name] = stack.enter_context(Meter(name, shown))
        running[name].told(share)

    return told


def _tell(found: Comparison, folder: Path, everything: bool, as_json: bool, units: str) -> None:
    from pneusim.results.comparison.report import summary_bytes
    from pneusim.show.comparison import save

    missing = save(found, folder, units)
    for sentence in missing:
        click.echo(sentence, err=True)
    if as_json:
        click.echo(summary_bytes(found), nl=False)  # UTF-8 whatever the terminal
        return
    from rich.console import Console
    from rich.text import Text

    from pneusim.show.tables.comparison import tables

    console = Console(highlight=False)
    console.print(tables(found, units, everything=everything))
    console.print(Text(f"written to {folder}"))
