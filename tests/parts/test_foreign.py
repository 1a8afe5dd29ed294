"""Parts of a package outside pneusim: read, held to the contract, run; what cannot be added is refused.

They are added in a process of its own, so that no other test sees them.
"""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from pneusim.errors import UsageError
from pneusim.parts.catalogue import FOLDERS
from pneusim.parts.registry import add_parts, part_types

SCRIPT = """
import pneusim as ps
from pneusim.parts.catalogue import FOLDERS
from pneusim.parts.registry import part
from pneusim.reading import load_text
from pneusim.reading.schema import json_schema
assert ps.add_parts("tests.parts.foreign") == ("needle_valve",)
assert ps.add_parts("tests.parts.foreign") == ("needle_valve",)
result = ps.run(load_text(part("needle_valve").example), "open")
print(result.status, round(result["vessel.pressure"](10.0) / 1e5, 2), "needle_valve" in str(json_schema()))
print([source for source in result.sources if "needle_valve.conductance" in source])
"""


def script(text: str) -> str:
    own = {name: value for name, value in os.environ.items() if name != "PYTEST_ADDOPTS"}  # one process adds the parts
    done = subprocess.run([sys.executable, "-c", text], capture_output=True, text=True, check=True, env=own)
    return done.stdout


def test_a_part_of_another_package_runs():
    told, sources = script(SCRIPT).splitlines()
    assert told == "ok 8.0 True"
    assert "assumption" in sources


def test_it_is_held_to_the_same_contract():
    held = ["-q", "-k", "needle_valve", "-p", "no:cacheprovider", "tests/parts/test_contract.py"]
    text = f"import pytest, pneusim; pneusim.add_parts('tests.parts.foreign'); raise SystemExit(pytest.main({held}))"
    assert " passed" in script(text)


@pytest.mark.parametrize(
    ("package", "said"),
    [("no.such.package", "No module named"), ("json", "must hold one part"), ("math", "cannot be added")],
)
def test_what_is_no_package_of_parts_is_refused(package, said):
    before, folders = part_types(), list(FOLDERS)
    with pytest.raises(UsageError, match=said):
        add_parts(package)
    assert (part_types(), FOLDERS) == (before, folders)
