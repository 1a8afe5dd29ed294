"""``pneusim parts``: the reference of all parts."""

from __future__ import annotations

from difflib import get_close_matches

import click

from pneusim.errors import UsageError


@click.command("parts")
@click.argument("type_name", required=False, metavar="[TYPE]")
def command(type_name: str | None) -> None:
    """List all parts, or tell all about one TYPE: ports, parameters, inputs, faults, events, an example."""
    from pneusim.parts.registry import part, part_types
    from pneusim.show.tables.reference import listing, reference

    if type_name is None:
        click.echo(listing([part(name) for name in part_types()]))
        return
    if type_name not in part_types():
        near = get_close_matches(type_name, part_types(), n=1)
        hint = f"{near[0]!r} is meant?" if near else "'pneusim parts' lists them"
        raise UsageError(f"there is no part type {type_name!r}; {hint}")
    click.echo(reference(part(type_name)))
