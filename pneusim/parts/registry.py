"""Which part types there are: every public module of a package of parts is one type, named like the module.

Listing the types imports none of them; asking for a type imports that one module.
"""

from __future__ import annotations

from functools import cache
from importlib import import_module, resources
from pkgutil import iter_modules

from pneusim.errors import UsageError
from pneusim.parts import catalogue
from pneusim.parts.base import Part

_INFRASTRUCTURE = frozenset({"base", "builder", "catalogue", "registry"})
_packages = ["pneusim.parts"]


def add_parts(package: str) -> tuple[str, ...]:
    """Add the parts of another package; it is laid out like ``pneusim.parts``, defaults in its folder ``catalogue``.

    Parameters
    ----------
    package : str
        Name of the package, as in ``import``.

    Returns
    -------
    tuple of str
        The part types that it brings.

    Raises
    ------
    UsageError
        If there is no such package, a module of it is no part, or a type is there already.
    """
    if package in _packages:
        return _types_in(package)
    folder = None
    try:
        folder = resources.files(package).joinpath("catalogue")
        brought, taken = _types_in(package), part_types()
        if twice := sorted(set(brought) & set(taken)):
            raise TypeError(f"{', '.join(twice)}: there already")
        catalogue.FOLDERS.append(folder)
        for name in brought:
            _load(package, name)
    except (ImportError, AttributeError, KeyError, TypeError) as error:
        catalogue.FOLDERS[:] = [kept for kept in catalogue.FOLDERS if kept != folder]
        raise UsageError(f"{package!r} cannot be added as a package of parts: {error}") from None
    _packages.append(package)
    part_types.cache_clear()
    return brought


def _types_in(package: str) -> tuple[str, ...]:
    modules = (module.name for module in iter_modules(import_module(package).__path__))
    return tuple(sorted(name for name in modules if name[0] != "_" and name not in _INFRASTRUCTURE))


@cache
def part_types() -> tuple[str, ...]:
    """Names of all part types, sorted.

    Examples
    --------
    >>> "relay_valve" in part_types()
    True
    """
    return tuple(sorted(name for package in _packages for name in _types_in(package)))


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
    return _load(next(package for package in _packages if name in _types_in(package)), name)


def _load(package: str, name: str) -> type[Part]:
    module = import_module(f"{package}.{name}")
    found: list[type[Part]] = [item for item in vars(module).values() if _is_part_of(item, module.__name__)]
    if [item.type for item in found] != [name]:
        names = ", ".join(item.__name__ for item in found) or "none"
        raise TypeError(f"{module.__name__} must hold one part with type = {name!r}; it holds {names}")
    return found[0]


def _is_part_of(item: object, module: str) -> bool:
    return isinstance(item, type) and issubclass(item, Part) and item.__module__ == module
