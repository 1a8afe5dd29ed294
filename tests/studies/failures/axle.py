"""One drive axle, the smallest shipped circuit with all that fails, run through the drive cycle once for all tests."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from pathlib import Path

from pneusim.circuit.circuit import Circuit
from pneusim.reading import load
from pneusim.studies.executor import Serial
from pneusim.studies.failures.cycle import drive_cycle
from pneusim.studies.failures.failure import Failure
from pneusim.studies.failures.single import single_failures
from pneusim.studies.failures.study import Study, study

CIRCUITS = Path(__file__).parents[3] / "circuits"


@cache
def circuit(name: str = "one-axle") -> Circuit:
    """A shipped circuit."""
    return load(CIRCUITS / f"{name}.yaml")


@cache
def single(name: str = "one-axle") -> dict[str, Failure]:
    """Its single failures by id."""
    return {failure.id: failure for failure in single_failures(circuit(name))[0]}


def of(ids: Sequence[str], name: str = "one-axle") -> Study:
    """The study of some of its failures."""
    failures = [single(name)[i] for i in ids]
    return study(circuit(name), drive_cycle(circuit(name)), failures, executor=Serial())


@cache
def whole() -> Study:
    """The study of all failures of the axle."""
    return study(circuit(), drive_cycle(circuit()), executor=Serial())
