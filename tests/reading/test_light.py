"""Reading and checking a file costs no heavy import."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

CIRCUITS = Path(__file__).parents[2] / "circuits"
HEAVY = ("numpy", "networkx", "scipy", "matplotlib", "numba", "pandas", "rich", "pneusim.engine", "pneusim.simulate")


def test_reading_a_circuit_imports_nothing_heavy() -> None:
    program = (
        "import json, sys\n"
        "from pneusim.reading import read\n"
        f"circuit, faults = read({str(CIRCUITS / 'one-axle.yaml')!r})\n"
        "assert circuit is not None, faults\n"
        "print(json.dumps(sorted(sys.modules)))\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    loaded = json.loads(done.stdout)
    assert [name for name in HEAVY if name in loaded] == []
    assert "pneusim.parts.compressor" not in loaded  # only the part types in the file are imported
    assert "pneusim.parts.relay_valve" in loaded
