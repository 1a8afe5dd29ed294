"""What the README and the page of results show of real runs; `python -m tests.pages` writes it anew.

A block of output names its command behind the word ``text``.  Its sentences are found again in what the command prints
today by their words, whatever their numbers.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from textwrap import fill

ROOT = Path(__file__).parents[1]
README, RESULTS = ROOT / "README.md", ROOT / "docs" / "results.md"
PICTURE = ROOT / "docs" / "pictures" / "trailer-separates.png"
WATCHED = ROOT / "docs" / "pictures" / "replay.png"
_BLOCK = re.compile(r"(```text (pneusim [^\n]*)\n)(.*?)(```)", re.DOTALL)
_QUOTE = re.compile(r"(```sh\n(pneusim [^\n]*)\n```\n\n)((?:> .*\n)+)")
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
DOTS = "..."


def shown() -> list[tuple[str, str]]:
    """Command and output of every block of the README, and of the story on the page of results."""
    blocks = [(found[2], found[3]) for found in _BLOCK.finditer(README.read_text(encoding="utf-8"))]
    quotes = [(found[2], _unquoted(found[3])) for found in _QUOTE.finditer(RESULTS.read_text(encoding="utf-8"))]
    return blocks + quotes


def sentences(text: str) -> list[str]:
    """A printed text in sentences: each ends at the end of a line, a title has a line of its own."""
    found: list[str] = []
    begun = False
    for line in text.splitlines():
        words = " ".join(line.split())
        if begun:
            found[-1] += f" {words}"
        elif words:
            found.append(words)
        begun = bool(words) and line.startswith(" ") and not words.endswith((".", DOTS))
    return found


@cache
def printed(command: str) -> str:
    """What a command prints in a window of 100 columns, in a folder that holds the starter circuit."""
    with tempfile.TemporaryDirectory() as folder:
        for line in ("pneusim new my-truck", command):
            args = [sys.executable, "-m", *line.split()]
            environment = {**os.environ, "COLUMNS": "100", "PYTHONPATH": str(ROOT)}
            done = subprocess.run(args, cwd=folder, env=environment, capture_output=True, text=True)
    return done.stdout


def renewed(block: str, output: str) -> list[str]:
    """Today's sentences for those of a block."""
    today = {masked(sentence): sentence for sentence in sentences(output)}
    found = []
    for sentence in sentences(block):
        near = get_close_matches(masked(sentence), [*today, DOTS], n=1, cutoff=0.75)
        if not near:
            raise SystemExit(f"this is printed no more, look at the page: {sentence}")
        found.append(today.get(near[0], DOTS))
    return found


def alike(sentence: str, other: str) -> bool:
    """Whether two sentences have the same words, and the same numbers to 1 %."""
    pairs = zip(_NUMBER.findall(sentence), _NUMBER.findall(other), strict=False)
    return masked(sentence) == masked(other) and all(abs(float(a) - float(b)) <= 0.01 * float(a) for a, b in pairs)


def masked(sentence: str) -> str:
    """A sentence whose numbers are all 0."""
    return _NUMBER.sub("0", sentence)


def write() -> None:
    """Write outputs and pictures anew; that of the replay page needs a browser."""

    def block(found: re.Match[str]) -> str:
        lines = [_wrapped(sentence) for sentence in renewed(found[3], printed(found[2]))]
        return found[1] + "\n".join(lines) + "\n" + found[4]

    def quote(found: re.Match[str]) -> str:
        today = renewed(_unquoted(found[3]), printed(found[2]))
        told = (fill(sentence, 120, initial_indent="> ", subsequent_indent="> ") for sentence in today)
        return found[1] + "\n".join(told) + "\n"

    README.write_text(_BLOCK.sub(block, README.read_text(encoding="utf-8")), encoding="utf-8")
    RESULTS.write_text(_QUOTE.sub(quote, RESULTS.read_text(encoding="utf-8")), encoding="utf-8")
    _draw()


def _unquoted(text: str) -> str:
    return "\n".join(line.replace("> ", "  ", 1) for line in text.splitlines())


def _wrapped(sentence: str) -> str:
    indent = "  " if sentence.endswith(".") and sentence != DOTS else ""
    return fill(sentence, 100, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False)


def _draw() -> None:
    import pneusim as ps

    run = ps.run(ps.load("tractor-semitrailer"), "trailer_separates")
    ps.plot(run, "controls", "forces", start=0.5, end=4.0).savefig(PICTURE, dpi=90)
    _with_few_colours(PICTURE)
    with tempfile.TemporaryDirectory() as folder:
        _photograph(ps.replay(run).save(Path(folder) / "replay.html").as_uri() + "#t=2.2&window=10")
    _with_few_colours(WATCHED)


def _photograph(address: str) -> None:
    from tests.browser.watched import launched

    with launched() as browser:
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        page.goto(address)
        page.locator("html[data-ready]").wait_for()
        legend = page.locator("#scale").bounding_box()
        assert legend is not None
        page.screenshot(path=WATCHED, clip={"x": 0, "y": 0, "width": 1280, "height": legend["y"] + legend["height"]})


def _with_few_colours(picture: Path) -> None:
    """Of the colours of pressures none may be lost, rare as they are."""
    from PIL import Image

    rgb = Image.open(picture).convert("RGB")
    few_colours = rgb.quantize(256, method=Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE)
    few_colours.save(picture, optimize=True)
