"""The browser files by themselves: their pure functions under node, their types, and what the package brings along."""

from __future__ import annotations

import json
import os
import re
import subprocess
from pathlib import Path

import pytest

from tests.tools import TYPESCRIPT, node

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
FILES = sorted((ROOT / "pneusim" / "show" / "web").glob("*.js"))
TESTS = sorted(HERE.glob("*.test.js"))


def told(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    """What node says; it writes no colours."""
    program = node()
    assert program is not None
    environment = {**os.environ, "NO_COLOR": "1"}
    return subprocess.run(
        [program, *map(str, arguments)], cwd=ROOT, env=environment, capture_output=True, text=True, check=False
    )


@pytest.mark.needs("node")
@pytest.mark.parametrize("path", TESTS, ids=lambda path: path.name)
def test_functions_under_node(path: Path) -> None:
    done = told("--import", (HERE / "register.js").as_uri(), "--test", "--test-reporter=tap", path)
    assert done.returncode == 0, done.stdout + done.stderr
    passed = re.search(r"^# pass (\d+)$", done.stdout, re.MULTILINE)
    assert passed is not None, done.stdout
    assert int(passed[1]) > 0
    assert re.search(r"^# (skipped|todo) [1-9]", done.stdout, re.MULTILINE) is None, done.stdout


@pytest.mark.needs("node", "typescript")
def test_types() -> None:
    done = told(TYPESCRIPT, "-p", HERE)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("path", [*FILES, *TESTS], ids=lambda path: path.name)
def test_every_file_asks_for_its_types_to_be_checked(path: Path) -> None:
    assert path.read_text(encoding="utf-8").startswith("// @ts-check\n")


def test_the_lock_file_names_every_package_by_its_content_and_no_place_to_get_it_from() -> None:
    text = (HERE / "package-lock.json").read_text(encoding="utf-8")
    packages = {name: entry for name, entry in json.loads(text)["packages"].items() if name}
    assert set(packages) == {"node_modules/axe-core", "node_modules/typescript"}
    assert all(entry["integrity"].startswith("sha512-") for entry in packages.values())
    assert "resolved" not in text
    assert "://" not in text
