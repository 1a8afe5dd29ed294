"""The notebooks of the documentation still show what is stored in them; every number in them is a regression value."""

from __future__ import annotations

import json
import re
from base64 import b64decode
from pathlib import Path

import pytest

pytest.importorskip("nbclient", exc_type=ImportError)
pytest.importorskip("ipykernel", exc_type=ImportError)

from tests.notebooks import executed, notebooks, read, shown

LARGEST = 100_000
"""A stored picture is smaller [bytes]."""


@pytest.mark.parametrize("path", notebooks(), ids=lambda path: path.stem)
def test_a_notebook_shows_again_what_it_shows(path: Path) -> None:
    assert shown(executed(path)) == shown(read(path)), "store the notebooks anew with: python -m tests.notebooks"


@pytest.mark.parametrize("path", notebooks(), ids=lambda path: path.stem)
def test_a_stored_notebook_is_small_and_knows_no_machine(path: Path) -> None:
    book = read(path)
    assert all(cell.outputs is not None and cell.execution_count for cell in book.cells if cell.cell_type == "code")
    pictures = [
        output.data["image/png"]
        for cell in book.cells
        for output in cell.get("outputs", [])
        if "image/png" in output.get("data", {})
    ]
    assert len(pictures) > 3
    assert max(len(b64decode(picture)) for picture in pictures) < LARGEST
    text = path.read_text(encoding="utf-8")
    assert str(Path(__file__).parents[1]) not in text
    assert not re.search(r"/(home|tmp|root)/|[A-Z]:\\\\|iopub", text)
    assert set(json.loads(text)["metadata"]) == {"kernelspec", "language_info"}


def test_what_is_printed_is_compared(tmp_path: Path) -> None:
    path = notebooks()[0]
    other = path.read_text(encoding="utf-8").replace("1.23 s", "1.24 s")
    (tmp_path / path.name).write_text(other, encoding="utf-8")
    assert shown(read(tmp_path / path.name)) != shown(read(path))
