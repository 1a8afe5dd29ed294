"""Which part types there are: every public module of this package that holds a part is one type.

Listing the types imports none of them; asking for a type imports that one module.
"""

from __future__ import annotations

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

import pneusim.parts
from pneusim.errors import UsageError
from pneusim.parts.base import Part

_INFRASTRUCTURE = frozenset({"base", "builder", "catalogue", "registry"})


@cache
def part_types() -> tuple[str, ...]:
    """Names of all part types, sorted.

    Examples
    --------
    >>> "relay_valve" in part_types()
    True
    """
    modules = (module.name for module in iter_modules(pneusim.parts.__path__))
    return tuple(sorted(name for name in modules if name[0] != "_" and name not in _INFRASTRUCTURE))


@cache
def part(name: str) -> type[Part]:
    """Class of a part type.

    Raises
    ------
    UsageError
        If there is no such type.
    TypeError
        If the type's module does not hold exactly one part, named like the module.

    Examples
    --------
    >>> part("check_valve").title
    'Check valve'
    """
    if name not in part_types():
        raise UsageError(f"there is no part type {name!r}; known types: {', '.join(part_types())}")
    module = import_module(f"pneusim.parts.{name}")
    found: list[type[Part]] = [item for item in vars(module).values() if _is_part_of(item, module.__name__)]
    if [item.type for item in found] != [name]:
        names = ", ".join(item.__name__ for item in found) or "none"
        raise TypeError(f"{module.__name__} must hold one part with type = {name!r}; it holds {names}")
    return found[0]


def _is_part_of(item: object, module: str) -> bool:
    return isinstance(item, type) and issubclass(item, Part) and item.__module__ == module
