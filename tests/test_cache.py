"""Where the cache is, and that a file in it is there whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import pytest

from pneusim.cache import cache_folder, write_whole


def test_the_named_folder_is_used_and_made(tmp_path, monkeypatch):
    monkeypatch.setenv("PNEUSIM_CACHE", str(tmp_path / "cache"))
    assert cache_folder() == tmp_path / "cache"
    assert (tmp_path / "cache").is_dir()


def test_without_a_name_the_users_cache_is_used(tmp_path, monkeypatch):
    monkeypatch.delenv("PNEUSIM_CACHE", raising=False)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert cache_folder() == tmp_path / "pneusim"


def test_a_folder_that_cannot_be_written_is_replaced(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("PNEUSIM_CACHE", str(tmp_path / "file" / "cache"))
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    folder = cache_folder()
    assert folder.parent == tmp_path
    assert folder.name.startswith("pneusim-")
    assert folder.stat().st_mode & 0o077 == 0, "nobody else may put code there"


def test_a_user_without_a_home_gets_a_temporary_folder(tmp_path, monkeypatch):
    def homeless():
        raise RuntimeError("Could not determine home directory.")

    for name in ("PNEUSIM_CACHE", "XDG_CACHE_HOME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(Path, "home", homeless)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    assert cache_folder().parent == tmp_path


def test_a_temporary_folder_that_others_can_write_is_not_used(tmp_path, monkeypatch):
    monkeypatch.setenv("PNEUSIM_CACHE", str(tmp_path / "file" / "cache"))
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    open_to_all = cache_folder()
    open_to_all.chmod(0o777)
    other = cache_folder()
    assert other != open_to_all
    assert other.stat().st_mode & 0o077 == 0


def test_a_file_is_written_in_place_of_an_earlier_one(tmp_path):
    for content in (b"one", b"two"):
        write_whole(tmp_path / "it", content)
        assert [(path.name, path.read_bytes()) for path in tmp_path.iterdir()] == [("it", content)]


def test_when_writing_fails_the_earlier_file_stays_and_nothing_else(tmp_path, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    write_whole(tmp_path / "it", b"one")
    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(OSError, match="No space left"):
        write_whole(tmp_path / "it", b"two")
    assert [(path.name, path.read_bytes()) for path in tmp_path.iterdir()] == [("it", b"one")]
