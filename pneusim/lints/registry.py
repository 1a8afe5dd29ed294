"""Which lints there are: every public module of this package that holds a ``LINT`` is one; and how they are run."""

from __future__ import annotations

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

import pneusim.lints
from pneusim.circuit.circuit import Circuit
from pneusim.errors import Fault
from pneusim.lints.base import Lint
from pneusim.lints.unit import units

_INFRASTRUCTURE = frozenset({"base", "network", "passages", "registry", "unit"})


@cache
def all_lints() -> tuple[Lint, ...]:
    """All lints by code.

    Examples
    --------
    >>> all_lints()[0].code
    'W01'
    """
    modules = [module.name for module in iter_modules(pneusim.lints.__path__) if module.name not in _INFRASTRUCTURE]
    found: list[Lint] = [import_module(f"pneusim.lints.{name}").LINT for name in modules]
    return tuple(sorted(found, key=lambda lint: lint.code))


def lint(circuit: Circuit) -> list[Fault]:
    """Hold a circuit against the trade's rules.

    The circuit counts as the file writes it, without variants. What a vehicle's ``practice`` and ``kind`` are decides
    which rules it is held against.

    Returns
    -------
    list of Fault
        Warnings by place; each names its source.

    Examples
    --------
    >>> from pneusim.circuit.circuit import Circuit
    >>> lint(Circuit("nothing", {}, {}))
    []
    """
    found = [
        Fault(seen.place, rule.code, seen.path, f"{seen.problem} ({rule.sources[unit.vehicle.practice]})", seen.fix,
              severity="warning")
        for unit in units(circuit)
        for rule in all_lints()
        if rule.applies(unit)
        for seen in rule.find(unit)
    ]  # fmt: skip
    return sorted(found, key=lambda fault: (fault.place, fault.code))
