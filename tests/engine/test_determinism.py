"""Same input, same machine, same versions: the same bytes, one after another, side by side, and in another process."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from pneusim.reading import load
from pneusim.results.run import Run
from pneusim.simulate import run

CIRCUIT = Path(__file__).parents[2] / "circuits" / "one-axle.yaml"
SCENARIO = "line_break"


def fingerprint(result: Run) -> str:
    digest = hashlib.sha256()
    for name, channel in result.channels.items():
        digest.update(name.encode() + channel.times.tobytes() + channel.values.tobytes())
    for told in (result.events, result.measures, result.narrative, result.closure):
        digest.update(repr(told).encode())
    return digest.hexdigest()


def once() -> str:
    return fingerprint(run(load(CIRCUIT), SCENARIO))


def test_two_runs_are_equal_byte_for_byte():
    assert once() == once()


def test_runs_side_by_side_equal_runs_one_after_another():
    with ThreadPoolExecutor(2) as pool:
        found = {job.result() for job in [pool.submit(once) for _ in range(4)]}
    assert found == {once()}


def test_nothing_depends_on_the_order_of_sets():
    """Python orders sets of words anew in every process; the run must not see it."""
    found = {once()}
    for seed in ("1", "2"):
        told = subprocess.check_output(
            [sys.executable, "-c", f"from {__name__} import once; print(once())"],
            env=os.environ | {"PYTHONHASHSEED": seed}, cwd=CIRCUIT.parents[1], text=True,
        )  # fmt: skip
        found.add(told.strip())
    assert len(found) == 1
