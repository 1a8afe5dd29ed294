"""Circuits that come with the package are found by name, a path as given counts first."""

from __future__ import annotations

from pathlib import Path

import pytest

from pneusim.errors import InvalidFile, UsageError
from pneusim.reading import find_shipped, load, read, shipped, shipped_circuits, shipped_lessons


def test_by_name_with_and_without_ending() -> None:
    assert find_shipped("one-axle") == find_shipped("one-axle.yaml")
    assert load(find_shipped("one-axle")).name == "one-axle"


def test_a_file_that_exists_counts_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "one-axle.yaml").write_text("pneusim: 1\n")
    monkeypatch.chdir(tmp_path)
    assert find_shipped("one-axle.yaml") == Path("one-axle.yaml")


def test_python_loads_them_by_name_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert load("one-axle").name == "one-axle"
    (tmp_path / "one-axle").write_text("a file of that name counts first")
    with pytest.raises(InvalidFile):
        load("one-axle")


def test_a_folder_tells_its_files(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match=r"is a folder; name a file$"):
        find_shipped(tmp_path)
    (tmp_path / "rig.yaml").write_text("pneusim: 1\n")
    with pytest.raises(UsageError, match=r"name a file such as .*rig\.yaml"):
        find_shipped(tmp_path)


def test_lessons_are_named_with_their_folder() -> None:
    assert "lessons/separation" in shipped_lessons()
    assert not set(shipped_lessons()) & set(shipped_circuits())
    for name in ("lessons/separation", "lessons/separation.yaml"):
        assert find_shipped(name) == shipped_lessons()["lessons/separation"]
    assert load("lessons/separation").name == "separation"


@pytest.mark.parametrize("name", ["separation", "lessons/separaton", "lesson/separation.yaml"])
def test_a_wrong_name_of_a_lesson_tells_the_right_one(name: str) -> None:
    with pytest.raises(UsageError, match="'lessons/separation' is meant"):
        find_shipped(name)


def test_a_name_that_is_near_none_tells_all() -> None:
    with pytest.raises(UsageError) as caught:
        find_shipped("lessons/xyz")
    assert all(name in str(caught.value) for name in (*shipped_circuits(), *shipped_lessons()))


def test_a_combination_names_shipped_vehicles(tmp_path: Path) -> None:
    """So that a lesson can be copied anywhere and changed; a file that lies there counts first."""
    file = tmp_path / "mine.yaml"
    file.write_text("pneusim: 1\nvehicles:\n  tractor: {circuit: tractor-6x4}\n")
    assert load(file).vehicles[0].name == "tractor"
    (tmp_path / "tractor-6x4").write_text("pneusim: 1\n")
    assert any(fault.code == "S09" for fault in read(file)[1])


@pytest.mark.parametrize("name", ["one-axel", "folder/one-axle.yaml", ""])
def test_a_name_that_is_neither_is_refused(name: str) -> None:
    with pytest.raises(UsageError, match="one-axle"):
        find_shipped(name)


def test_the_folder_inside_an_installed_package_counts_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = tmp_path / "pneusim"
    (package / "shipped_circuits").mkdir(parents=True)
    (package / "shipped_circuits" / "rig.yaml").write_text("pneusim: 1\n")
    monkeypatch.setattr(shipped.resources, "files", lambda _: package)
    assert list(shipped_circuits()) == ["rig"]
    assert find_shipped("rig") == package / "shipped_circuits" / "rig.yaml"
