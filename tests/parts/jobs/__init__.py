"""What the example of every part must show: a module a family of parts, each with a table ``JOBS``.

``JOBS`` maps (part type, scenario of its example) to a function that looks at the run.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from pkgutil import iter_modules

from pneusim.results.run import Run

Job = Callable[[Run], bool]


def all_jobs() -> dict[tuple[str, str], Job]:
    """The tables of all modules together."""
    found: dict[tuple[str, str], Job] = {}
    for module in iter_modules(__path__):
        if module.name != "looks":
            jobs = import_module(f"{__name__}.{module.name}").JOBS
            assert not found.keys() & jobs.keys(), module.name
            found |= jobs
    return found
