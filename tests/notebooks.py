"""The notebooks of the documentation: `python -m tests.notebooks` runs them and stores what they show."""

from __future__ import annotations

import os
import tempfile
from copy import deepcopy
from pathlib import Path
from typing import Any

import nbformat
from nbclient import NotebookClient

FOLDER = Path(__file__).parents[1] / "docs" / "notebooks"
LONGEST = 300
"""A cell that takes longer than this hangs [s]."""


def notebooks() -> list[Path]:
    """All notebooks."""
    return sorted(FOLDER.glob("*.ipynb"))


def read(path: Path) -> Any:
    """A notebook as stored."""
    return nbformat.read(path, as_version=4)


def executed(path: Path) -> Any:
    """A notebook run anew in a folder of its own, without times and versions."""
    book = deepcopy(read(path))
    with tempfile.TemporaryDirectory() as folder:
        os.environ.setdefault("PYDEVD_DISABLE_FILE_VALIDATION", "1")
        client = NotebookClient(
            book, timeout=LONGEST, kernel_name="python3", record_timing=False, resources={"metadata": {"path": folder}}
        )
        client.execute()
    for cell in book.cells:
        if cell.cell_type == "code":
            cell.outputs = _joined(cell.outputs)
    book.metadata = {
        "kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"},
        "language_info": {"name": "python"},
    }
    return book


def _joined(outputs: list[Any]) -> list[Any]:
    """The outputs with what was printed in one piece: how it was cut depends on the machine."""
    joined: list[Any] = []
    for output in outputs:
        if joined and output.output_type == "stream" and joined[-1].get("name") == output.name:
            joined[-1].text += output.text
        else:
            joined.append(output)
    return joined


def shown(book: Any) -> list[tuple[str, Any]]:
    """What its cells show: texts as they are, of everything else the kinds."""
    found: list[tuple[str, Any]] = []
    for cell in book.cells:
        for output in cell.get("outputs", []):
            if output.output_type == "stream":
                found.append((output.name, output.text))
            elif output.output_type == "error":
                found.append(("error", output.evalue))
            else:
                found.append((output.data.get("text/plain", ""), sorted(output.data)))
    return found


def main() -> None:
    """Run all notebooks and store them."""
    for path in notebooks():
        nbformat.write(executed(path), path)


if __name__ == "__main__":
    main()
