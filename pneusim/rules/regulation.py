"""A regulation: its figures, which vehicles it addresses, and its procedures."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from importlib import import_module
from pkgutil import iter_modules

from pneusim.circuit.circuit import Circuit
from pneusim.errors import UsageError
from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding
from pneusim.rules.limits import Table
from pneusim.rules.subject import Subject, alone

HOMES = ("us121", "un13", "us393")
"""Folders of regulations in this package; each has ``REGULATION``, and counts once it has procedures."""


@dataclass(frozen=True)
class Procedure:
    """A test procedure.

    Attributes
    ----------
    name : str
        For ``--only``.
    title, clause : str
    judge : callable
        Yields findings; what it cannot judge it yields as such, or raises `NotJudged`.
    kinds : tuple of str
        Kinds of vehicle that it is for; empty for all that the regulation addresses.
    order : int
        Place in the report, among those of the regulation.
    """

    name: str
    title: str
    clause: str
    judge: Callable[[Bench], Iterable[Finding]]
    kinds: tuple[str, ...] = ()
    order: int = 0


@dataclass(frozen=True)
class Regulation:
    """``subjects`` picks what is tested: every vehicle alone, or the combination."""

    name: str
    table: Table
    kinds: tuple[str, ...]
    procedures: tuple[Procedure, ...]
    subjects: Callable[[Circuit, tuple[str, ...]], list[Subject]] = alone
    notes: tuple[str, ...] = field(default=())

    @property
    def title(self) -> str:
        """What it is called."""
        return self.table.title

    def procedure(self, name: str) -> Procedure:
        """A procedure by its name.

        Raises
        ------
        UsageError
            If there is none of that name.
        """
        for procedure in self.procedures:
            if procedure.name == name:
                return procedure
        known = ", ".join(procedure.name for procedure in self.procedures)
        raise UsageError(f"{self.name} has no procedure {name!r} (there are: {known})")

    def subjects_of(self, circuit: Circuit) -> list[Subject]:
        """What of a circuit is tested.

        Raises
        ------
        UsageError
            If there is nothing that the regulation addresses.
        """
        found = self.subjects(circuit, self.kinds)
        if not found:
            kinds = ", ".join(dict.fromkeys(vehicle.kind for vehicle in circuit.vehicles)) or "none"
            place = next((str(v.place) for v in circuit.vehicles if v.place.line), circuit.source or circuit.title)
            raise UsageError(
                f"{place}: {self.title} addresses no vehicle of this circuit (kind: {kinds}; allowed: "
                f"{', '.join(self.kinds)}). Fix: write what the vehicle is, such as 'vehicle: {{kind: truck}}'"
            )
        return found


def discovered(package: str) -> tuple[Procedure, ...]:
    """The procedures of a regulation's folder: every ``PROCEDURE``, or tuple ``PROCEDURES``, of its modules."""
    names = [module.name for module in iter_modules(import_module(package).__path__)]
    modules = [import_module(f"{package}.{name}") for name in names]
    found: list[Procedure] = [module.PROCEDURE for module in modules if hasattr(module, "PROCEDURE")]
    found += [procedure for module in modules for procedure in getattr(module, "PROCEDURES", ())]
    return tuple(sorted(found, key=lambda procedure: procedure.order))


def regulations() -> tuple[str, ...]:
    """Names of the regulations that have procedures."""
    return tuple(name for name in HOMES if _home(name).procedures)


def regulation(name: str) -> Regulation:
    """A regulation by its name.

    Raises
    ------
    UsageError
        If there is none of that name.
    """
    known = regulations()
    if name not in known:
        raise UsageError(f"regulation {name!r} is unknown (there are: {', '.join(known)})")
    return _home(name)


def _home(name: str) -> Regulation:
    found: Regulation = import_module(f"pneusim.rules.{name}").REGULATION
    return found
