"""``pneusim schema``: the JSON Schema of the circuit file."""

from __future__ import annotations

import json

import click


@click.command("schema")
def command() -> None:
    """Print the JSON Schema of the circuit file, for editors."""
    from pneusim.reading.schema import json_schema

    click.echo(json.dumps(json_schema(), indent=2, ensure_ascii=False).encode())  # UTF-8 whatever the terminal
