"""``pneusim handout``: scenarios on paper for a class."""

from __future__ import annotations

from pathlib import Path

import click

from pneusim.errors import RunFailed, UsageError


@click.command("handout")
@click.argument("file", metavar="FILE")
@click.argument("scenario", required=False, metavar="[SCENARIO]")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="PAPER",
    help="An .html, or with the extra [pdf] a .pdf [<file>-<scenario>.html].",
)  # fmt: skip
@click.option("--variant", metavar="NAME", help="Run this variant of the circuit.")
@click.option("--units", type=click.Choice(["si", "us"]), default="si", show_default=True, help="Units shown.")
def command(file: str, scenario: str | None, output: Path | None, variant: str | None, units: str) -> None:
    """Make the handout of a scenario for A4 paper, or one of each scenario.

    The first sheet is for the class: the situation and the schematic, on its back the scenario's questions with boxes
    to tick and a table of brakes and reservoirs to fill in.  What follows is the solution: answers with explanations,
    the table as the run fills it, the story and the curves.
    """
    from pneusim.cli.run import chosen_scenarios, finished_run
    from pneusim.cli.warmup import compile_engine
    from pneusim.reading import find_shipped, load
    from pneusim.show.paper.document import check_ending
    from pneusim.show.paper.handout import handout

    path = find_shipped(file)
    circuit = load(path)
    chosen = chosen_scenarios(circuit, file, [scenario] if scenario else [], variant)
    if output is not None and len(chosen) > 1:
        raise UsageError(f"{file} has {len(chosen)} scenarios, and -o names one paper: name the scenario as well")
    papers = [output or Path(f"{path.stem}-{name}.html") for name in chosen]
    for paper in papers:
        check_ending(paper, "handout")
    compile_engine()
    for name, paper in zip(chosen, papers):
        run = finished_run(circuit, name, variant=variant)
        if run.status != "ok":
            raise RunFailed(f"{name}: {run.message}", run)
        click.echo(f"written to {handout(run, units).save(paper)}")
