"""The package as it is installed: a wheel from this checkout holds all it needs, and importing it costs nothing."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Folder with the content of a wheel built from the checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "--no-build-isolation", "-w", folder, ROOT]
    subprocess.run(command, check=True, capture_output=True)
    (wheel,) = folder.glob("*.whl")
    zipfile.ZipFile(wheel).extractall(folder / "site")
    return folder / "site"


def python(code: str, site: Path, *options: str) -> str:
    """What a program prints that finds pneusim in a folder, away from the checkout."""
    code = f"import sys; sys.path.insert(0, {str(site)!r})\n{code}"
    command = [sys.executable, *options, "-c", code]
    return subprocess.run(command, check=True, capture_output=True, text=True, cwd=site).stdout


def test_a_wheel_holds_every_file_of_the_package(installed: Path) -> None:
    wanted = [path for path in (ROOT / "pneusim").rglob("*") if path.suffix in (".py", ".yaml")]
    assert len(wanted) > 100
    assert [str(path) for path in wanted if not (installed / path.relative_to(ROOT)).is_file()] == []


def test_shipped_circuits_are_found_and_read_from_a_wheel(installed: Path) -> None:
    names = sorted(path.stem for path in (ROOT / "circuits").glob("*.yaml"))
    names += sorted(f"lessons/{path.stem}" for path in (ROOT / "circuits" / "lessons").glob("*.yaml"))
    code = (
        "import pneusim\nfrom pneusim.reading import find_shipped, load, shipped_circuits, shipped_lessons\n"
        "names = [*shipped_circuits(), *shipped_lessons()]\nprint(pneusim.__file__)\nprint(*names)\n"
        "print(all(load(find_shipped(name)).scenarios for name in names))"
    )
    place, found, readable = python(code, installed).splitlines()
    assert Path(place).is_relative_to(installed)
    assert found.split() == names
    assert readable == "True"


def test_the_starter_circuit_comes_from_a_wheel_too(installed: Path, tmp_path: Path) -> None:
    target = tmp_path / "mine"
    code = f"from pneusim.cli import main; main(['new', {str(target)!r}])"
    assert "pneusim run" in python(code, installed)
    assert (target / "circuit.yaml").is_file()


def test_the_version_stands_in_one_place() -> None:
    assert re.fullmatch(r"\d+\.\d+\.\d+", PROJECT["version"])
    pattern = re.compile(rf"(?<![\d.]){re.escape(PROJECT['version'])}(?![\d.])")
    files = [*(ROOT / "pneusim").rglob("*.py"), *(ROOT / "docs").glob("*.md"), ROOT / "README.md"]
    assert [path.name for path in files if pattern.search(path.read_text(encoding="utf-8"))] == []


def test_importing_is_light_and_without_warnings(installed: Path) -> None:
    code = "import pneusim; print(*sorted(name.partition('.')[0] for name in sys.modules))"
    loaded = set(python(code, installed, "-Werror").split())
    assert "pneusim" in loaded
    heavy = {"numba", "numpy", "scipy", "matplotlib", "pydantic", "networkx", "yaml", "click", "rich"}
    assert not heavy & loaded


def test_what_is_imported_is_declared() -> None:
    """Every module of other people's that the package or its tests import is installed by what pyproject names."""
    names = {"pyyaml": "yaml", "pillow": "PIL", "import-linter": "importlinter", "types-pyyaml": "yaml"}
    declared = {
        names.get(name, name)
        for requirement in [*PROJECT["dependencies"], *PROJECT["optional-dependencies"]["dev"]]
        for name in [re.match(r"[\w-]+", requirement)[0].lower()]
    }
    used = {module for path in [*(ROOT / "pneusim").rglob("*.py"), *(ROOT / "tests").rglob("*.py")]
            for module in _imports(path)}  # fmt: skip
    assert used - sys.stdlib_module_names - {"pneusim", "tests"} - declared == set()


def _imports(path: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            found.add(node.module.partition(".")[0])
    return found
