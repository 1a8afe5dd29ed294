"""Every fault code has a fixture file; the text a user sees is compared letter by letter."""

from __future__ import annotations

from pathlib import Path

import pytest

from pneusim.reading.codes import CODES
from tests.reading.reader import FOLDER, faults_in_words

FIXTURES = sorted(FOLDER.glob("*.yaml"))


@pytest.mark.parametrize("path", FIXTURES, ids=lambda path: path.stem)
def test_text_and_place_are_exactly_as_expected(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert faults_in_words(path, monkeypatch) == path.with_suffix(".expected").read_text()


@pytest.mark.parametrize("path", FIXTURES, ids=lambda path: path.stem)
def test_a_fixture_shows_the_code_it_is_named_after(path: Path) -> None:
    code = path.stem.split("_")[0]
    assert f": {code} " in path.with_suffix(".expected").read_text()


def test_every_code_has_a_fixture() -> None:
    assert {path.stem.split("_")[0] for path in FIXTURES} == set(CODES)


def test_every_expected_text_has_a_fixture() -> None:
    assert {path.stem for path in FOLDER.glob("*.expected")} == {path.stem for path in FIXTURES}


def test_no_code_is_that_of_a_warning() -> None:
    assert [code for code in CODES if code[0] == "W"] == []
