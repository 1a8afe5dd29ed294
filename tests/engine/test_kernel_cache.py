"""Where compiled kernels are kept, and what makes a new one."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from pneusim.engine import kernel
from pneusim.engine.families import FAMILIES


@pytest.fixture
def cache(tmp_path, monkeypatch) -> Path:
    monkeypatch.setenv("PNEUSIM_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


@pytest.fixture
def package(tmp_path, monkeypatch) -> Path:
    """A copy of the package that the kernel takes for its own, to be edited."""
    home = Path(kernel.__file__).parents[1]
    copy = tmp_path / "pneusim"
    shutil.copytree(home, copy, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(kernel, "__file__", str(copy / "engine" / "kernel.py"))
    return copy


def test_the_kernel_is_written_into_the_cache_folder(cache):
    path = kernel.kernel_path()
    assert path.parent == cache
    assert path.read_text() == kernel.source()
    assert not kernel.is_compiled()


def test_the_same_laws_keep_their_kernel_and_leave_nothing_behind(cache, package):
    first = kernel.kernel_path()
    stamp = first.stat().st_mtime_ns
    assert kernel.kernel_path() == first
    assert first.stat().st_mtime_ns == stamp
    assert [path.name for path in cache.iterdir()] == [first.name]


@pytest.mark.parametrize(
    "edited",
    ["physics/flow.py", "physics/constants.py", "physics/friction.py", "engine/families/restriction.py",
     "engine/kernel.py"],
)  # fmt: skip
def test_an_edited_law_makes_a_new_kernel(cache, package, edited):
    """numba does not notice an edit in a law that a cached function calls: the file's name must."""
    before = kernel.kernel_path()
    with (package / edited).open("a") as file:
        file.write("\nEDITED = True\n")
    assert kernel.kernel_path() != before


def test_what_holds_no_law_keeps_the_kernel(cache, package):
    before = kernel.kernel_path()
    with (package / "engine" / "settle.py").open("a") as file:
        file.write("\nEDITED = True\n")
    assert kernel.kernel_path() == before


@pytest.mark.parametrize("package_name", ["numba", "numpy"])
def test_another_version_makes_a_new_kernel(cache, monkeypatch, package_name):
    before = kernel.kernel_path()
    version = kernel.version
    monkeypatch.setattr(kernel, "version", lambda name: "0.0" if name == package_name else version(name))
    assert kernel.kernel_path() != before


def test_every_family_has_its_place_in_the_kernel():
    text = kernel.source()
    for rank, family in enumerate(FAMILIES):
        assert text.count(f"family == {rank}:  # {family.name}") == 2, "once for values, once for gradients"
        assert f"law_{family.name}(" in text
        assert f"grad_{family.name}(" in text
