"""Samples of a replay page: how small they get, and how long packing and unpacking take."""

from __future__ import annotations

import json
import subprocess
import tempfile
from pathlib import Path

from pneusim.show.replay.pack import packed
from tests.benchmarks.measure import Target, cpu_seconds, show
from tests.show.replay.rippled import rippled
from tests.tools import LACKS, node

SIZE, PACKED, UNPACKED = 1.0, 2.0, 0.3
"""Aims: size [MB], CPU time of packing, time of unpacking [s]."""

ROOT = Path(__file__).parents[2]

DECODE = """
import {readFileSync} from "node:fs";
import {decode} from "codec";
const samples = JSON.parse(readFileSync(process.argv[1], "utf8"));
const took = [];
for (let k = 0; k < 5; k++) {
    const begin = performance.now();
    await decode(samples);
    took.push(performance.now() - begin);
}
process.stdout.write(JSON.stringify(Math.min(...took) / 1000));
"""


def main() -> bool:
    """Measure 20 s of 150 channels at 1 ms."""
    samples, channels = rippled()
    document = packed(samples, channels)
    size = (len(document["times"]) + len(document["values"])) / 1e6
    seconds = cpu_seconds(lambda: packed(samples, channels))
    targets = [
        Target("size [MB]", size, SIZE, least=False),
        Target("packed [s]", seconds, PACKED, least=False),
    ]
    told = LACKS["node"]()
    if not told:
        taken = _unpacked(document)
        targets.append(Target("unpacked [s]", taken, UNPACKED, least=False))
        told = f"{taken:.3f}"
    row = [len(channels), len(samples.times), f"{size:.2f}", f"{seconds:.2f}", told]
    columns = ["channels", "samples", "size [MB]", "packed [CPU s]", "unpacked [s]"]
    return show("samples of a page", columns, [row], targets)


def _unpacked(document: dict[str, object]) -> float:
    """Least time of some repeats [s]."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "samples.json"
        file.write_text(json.dumps(document))
        register = (ROOT / "tests" / "web" / "register.js").as_uri()
        call = [str(node()), "--import", register, "--input-type=module", "--eval", DECODE, str(file)]
        done = subprocess.run(call, cwd=ROOT, capture_output=True, text=True, check=True)
    return float(json.loads(done.stdout))
