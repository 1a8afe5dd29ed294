"""Hashes of the shipped circuits' drawings: ``python -m tests.show.schematic.golden`` writes them anew.

A hash changes when a picture does: look at it before writing.
"""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

FILE = Path(__file__).with_suffix(".json")


def of(svg: str) -> str:
    """Hash of a drawing."""
    return hashlib.sha256(svg.encode("utf-8")).hexdigest()


def read() -> dict[str, str]:
    """Hashes by circuit."""
    return json.loads(FILE.read_text(encoding="utf-8"))


def main() -> None:
    """Write the hashes of today's drawings."""
    from tests.show.schematic.drawn import NAMES, drawing

    hashes = {name: of(drawing(name).svg) for name in NAMES}
    FILE.write_text(json.dumps(hashes, indent=2) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
