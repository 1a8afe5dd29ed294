"""The replay page: how large it is, how long it takes to write and to open, and how smoothly it plays."""

from __future__ import annotations

import tempfile
import time
from pathlib import Path

from pneusim import reading, simulate
from pneusim.results.run import Run
from pneusim.show.replay.page import replay
from tests.benchmarks.measure import Target, show
from tests.browser.player import Player
from tests.browser.watched import Watched, launched
from tests.tools import LACKS

CIRCUIT, FIRST, SECOND = "tractor-semitrailer", "trailer_separates", "supply_line_breaks"
SIZE, READY, FRAMES = 1.5, 1.5, 30.0
"""Aims: size [MB], time until it is ready [s], frames per second."""

PLAYS = 2.0
"""Frames are counted so long [s]."""

COUNT = """lasts => new Promise(done => {
    const begin = performance.now(), gaps = [];
    let last = begin;
    const frame = now => {
        gaps.push(now - last);
        last = now;
        if (now - begin < 1000 * lasts) requestAnimationFrame(frame);
        else done([gaps.length, (now - begin) / 1000, gaps.sort((a, b) => a - b)[Math.floor(0.95 * gaps.length)]]);
    };
    requestAnimationFrame(frame);
})"""


def main() -> bool:
    """Measure a page of one run and of two, alone and side by side; without a browser only what needs none."""
    circuit = reading.load(reading.find_shipped(CIRCUIT))
    first, second = (simulate.run(circuit, scenario) for scenario in (FIRST, SECOND))
    rows: list[list[object]] = []
    targets: list[Target] = []
    for words, runs, fragment in (
        ("one run", (first,), ""),
        ("two, one shown", (first, second), ""),
        ("two side by side", (first, second), "show=side"),
    ):
        row, met = _measured(words, runs, fragment)
        rows.append(row)
        targets += met
    if reason := LACKS["browser"]():
        print(f"not opened: {reason}")
    columns = ["page", "size [MB]", "written [s]", "ready [s]", "frames/s", "95 % of frames within [ms]"]
    return show(f"replay of {CIRCUIT}, {first.span[1]:.0f} s, at speed 4", columns, rows, targets)


def _measured(words: str, runs: tuple[Run, ...], fragment: str) -> tuple[list[object], list[Target]]:
    begin = time.perf_counter()
    page = replay(*runs)
    took, size = time.perf_counter() - begin, len(page.html) / 1e6
    row: list[object] = [words, f"{size:.2f}", f"{took:.2f}"]
    targets = [Target(f"{words}: size [MB]", size, SIZE * len(runs), least=False)]
    if not LACKS["browser"]():
        with tempfile.TemporaryDirectory() as folder:
            ready, frames, slow = _played(page.save(Path(folder) / "page.html"), fragment)
        row += [f"{ready:.2f}", f"{frames:.0f}", f"{slow:.0f}"]
        targets += [
            Target(f"{words}: ready [s]", ready, READY, least=False),
            Target(f"{words}: frames per second", frames, FRAMES),
        ]
    return row, targets


def _played(path: Path, fragment: str) -> tuple[float, float, float]:
    """Time until the page is ready [s], frames per second, and what 95 % of the gaps between frames are within [ms]."""
    with launched() as browser:
        watched = Watched(browser)
        begin = time.perf_counter()
        player = Player(watched.open(path, fragment))
        ready = time.perf_counter() - begin
        player.toggle("Stop at every event").uncheck()
        player.choice("Speed").select_option(label="4")
        player.button("Play").click()
        count, lasted, slow = player.page.evaluate(COUNT, PLAYS)
        watched.close()
    return ready, count / lasted, slow
