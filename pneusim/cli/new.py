"""``pneusim new``: a starter circuit."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

import click

from pneusim.errors import UsageError

NAME = "circuit.yaml"


@click.command("new")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
def command(folder: Path) -> None:
    """Write a starter circuit, with comments, into DIR.

    It runs as it stands; an existing file is never overwritten.
    """
    file = folder / NAME
    text = resources.files("pneusim.cli").joinpath("starter.yaml").read_text(encoding="utf-8")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with file.open("x", encoding="utf-8") as stream:
            stream.write(text)
    except FileExistsError:
        in_the_way = file if file.exists() else folder
        raise UsageError(f"{in_the_way} exists already and is left as it is; name another folder") from None
    except OSError as error:
        raise UsageError(f"{file} cannot be written ({error.strerror}); name another folder") from None
    click.echo(f"wrote {file}\nrun it with: pneusim run {file}")
