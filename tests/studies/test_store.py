"""Outcomes on disk."""

import errno
import os

import pytest

from pneusim.errors import UsageError
from pneusim.studies.outcome import Outcome
from pneusim.studies.store import Store

OUTCOME = Outcome(
    "ab", "first", "ok", "", {"half": 0.5, "none": None}, ({"time": 0.1, "kind": "set"},), ("It ran.",), {"n": [1, 2]}
)


def test_an_outcome_comes_back_without_its_name(tmp_path):
    store = Store(tmp_path / "cases")
    store.put(OUTCOME)
    found = store.get("ab")
    assert found is not None
    assert found.name == ""
    assert found.to_bytes() == OUTCOME.to_bytes()
    assert store.keys() == {"ab"}
    assert store.get("cd") is None


def test_what_is_no_number_has_no_value():
    assert Outcome(measures={"x": float("nan")}).to_bytes() == Outcome(measures={"x": None}).to_bytes()


@pytest.mark.parametrize("damage", [b"", b"{", b"[]", b'{"key": "ab"}', b'{"key": "ab", "status": 1', b"\xff\xfe"])
def test_a_damaged_file_is_no_outcome(tmp_path, damage):
    store = Store(tmp_path)
    (tmp_path / "ab.json").write_bytes(damage)
    assert store.get("ab") is None


def test_an_outcome_under_another_key_is_none(tmp_path):
    (tmp_path / "cd.json").write_bytes(OUTCOME.to_bytes())
    assert Store(tmp_path).get("cd") is None


def test_a_full_disk_is_a_sentence_and_leaves_nothing_behind(tmp_path, monkeypatch):
    store = Store(tmp_path)
    store.put(OUTCOME)

    def full(part, target):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(UsageError, match=r"No space left on device.*is kept.*make room"):
        store.put(Outcome("cd"))
    assert [file.name for file in tmp_path.iterdir()] == ["ab.json"]


def test_others_may_read_what_the_user_lets_them(tmp_path):
    mask = os.umask(0o027)
    try:
        Store(tmp_path).put(OUTCOME)
        assert (tmp_path / "ab.json").stat().st_mode & 0o777 == 0o640
    finally:
        os.umask(mask)


def test_a_part_that_vanishes_while_one_clears_up_does_no_harm(tmp_path, monkeypatch):
    (tmp_path / ".x.part").write_bytes(b"half")
    monkeypatch.setattr("pneusim.studies.store._ABANDONED", -1.0)

    def gone(self):
        raise FileNotFoundError(errno.ENOENT, "No such file or directory", str(self))

    monkeypatch.setattr("pathlib.Path.unlink", gone)
    Store(tmp_path)


def test_what_a_killed_study_left_is_removed_when_it_is_old(tmp_path, monkeypatch):
    (tmp_path / ".x.part").write_bytes(b"half")
    Store(tmp_path)
    assert (tmp_path / ".x.part").exists()
    monkeypatch.setattr("pneusim.studies.store._ABANDONED", -1.0)
    Store(tmp_path)
    assert not (tmp_path / ".x.part").exists()
