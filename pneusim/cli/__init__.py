"""The command line: one file per command, loaded when it is called."""

from __future__ import annotations

import io
import os
import sys
from difflib import get_close_matches
from importlib import import_module

import click

from pneusim.errors import PneusimError, UsageError

COMMANDS = {
    "check": "Read circuit files and tell every fault at once.",
    "run": "Run scenarios of a circuit: measures, events, the story, plots, a page that plays it.",
    "replay": "Make a page that plays a result, or two beside each other.",
    "compare": "Compare two circuits or two results: what differs, and where they part.",
    "rules": "Run a regulation's published test procedures: limits, values, margins, verdicts.",
    "plot": "Draw curves of a result.",
    "report": "Write a report of results for the file, HTML or PDF.",
    "failures": "Run every single failure through a drive cycle: what still brakes, worst first.",
    "sweep": "Run all cases of a study: parameters varied by a plan, measured, held to limits.",
    "fit": "Find the parameters with which a circuit follows measured curves best, and how sure they are.",
    "handout": "Make handouts of scenarios for a class: questions, and the solution.",
    "draw": "Draw the schematic of a circuit.",
    "parts": "What parts there are, and all about one of them.",
    "new": "Write a starter circuit into a folder.",
    "schema": "Print the JSON Schema of the circuit file, for editors.",
    "warmup": "Compile the engine for this installation ahead of the first run.",
}
"""Name and help line of every command; its code is the module of that name in this package."""

INTERNAL = 70
"""Exit code of an error that is ours."""

TRACEBACK = "PNEUSIM_TRACEBACK"
"""With this environment variable set, an error that is ours shows its traceback."""


class Commands(click.Group):
    """The group of commands; errors of the user become their text and exit code, never a traceback."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All commands, in the order in which people meet them."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Load one command."""
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = import_module(f"pneusim.cli.{cmd_name}").command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without loading them."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Tell the near command when one is misspelt."""
        if args[0] not in COMMANDS and not args[0].startswith("-"):
            near = get_close_matches(args[0], COMMANDS, n=1)
            hint = f"{near[0]!r} is meant?" if near else f"there are: {', '.join(COMMANDS)}"
            raise click.UsageError(f"there is no command {args[0]!r}; {hint}", ctx)
        return super().resolve_command(ctx, args)

    def invoke(self, ctx: click.Context) -> object:
        """Run a command; what goes wrong is told in its own words."""
        _never_stumble_over_letters()
        try:
            return super().invoke(ctx)
        except PneusimError as error:
            click.echo(str(error), err=True)
            ctx.exit(error.exit_code)
        except (click.ClickException, click.exceptions.Exit, click.Abort, BrokenPipeError):
            raise
        except OSError as error:
            click.echo(f"{error.filename or 'a file'}: {error.strerror or error}", err=True)
            ctx.exit(UsageError.exit_code)
        except Exception as error:
            if os.environ.get(TRACEBACK):
                raise
            click.echo(
                f"internal error: {type(error).__name__}: {error}. This is a fault of pneusim, not of your file; "
                f"please report it with the file and the output that {TRACEBACK}=1 gives.",
                err=True,
            )
            ctx.exit(INTERNAL)


def _never_stumble_over_letters() -> None:
    """A terminal that lacks a letter of a label shows a question mark in its place."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="pneusim", prog_name="pneusim")
def main() -> None:
    """Compute what a heavy vehicle's air-brake circuit does.

    FILE is a circuit file or the name of a shipped circuit.  Exit codes: 0 ok, 2 wrong usage, 3 invalid file, 4 the run
    failed, 5 an expectation or a limit was not met, 70 internal error.
    """
