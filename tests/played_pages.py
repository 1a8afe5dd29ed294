"""Tutorials are played: their files are written, their commands run, and what they show is held to what is printed.

A page is a row of blocks.  ``{code-block} yaml`` with the caption ``circuit.yaml`` is a whole file; with the caption
``circuit.yaml: lines`` it takes the place of that section of the file, or is added to it.  ``console`` holds commands
behind ``$``, each with what of its output is shown; ``...`` stands for lines that are left out.  ``python`` is run; a
``text`` behind it is what it prints.
"""

from __future__ import annotations

import io
import re
import shlex
import tempfile
from collections.abc import Callable
from contextlib import chdir, redirect_stdout
from difflib import get_close_matches
from pathlib import Path

from click.testing import CliRunner

from pneusim.cli import main
from tests.readme_page import DOTS, alike, masked

FOLDER = Path(__file__).parents[1] / "docs" / "tutorials"
_BLOCK = re.compile(r"```(\{code-block\} yaml|console|python|text)\n(.*?)```", re.DOTALL)
_FILE = re.compile(r":caption: ([\w.-]+)(?:: (\w+))?\n\n(.*)", re.DOTALL)
Held = Callable[[str, list[str], str], list[str]]
"""Takes a command, what is shown of it and its output; returns what is to be shown."""


def play(text: str, held: Held) -> str:
    """Play a page in the current folder; returns the page with what is to be shown."""
    names: dict[str, object] = {}
    said = io.StringIO()

    def block(found: re.Match[str]) -> str:
        nonlocal said
        kind, body = found[1], found[2]
        if kind == "console":
            return f"```console\n{_console(body, held)}```"
        if kind == "text":
            shown = held("python", body.splitlines(), said.getvalue())
            return "\n".join(["```text", *shown, "```"])
        if kind == "python":
            with redirect_stdout(said := io.StringIO()):
                exec(body, names)
        else:
            _write(body)
        return found[0]

    return _BLOCK.sub(block, text)


def _console(body: str, held: Held) -> str:
    told = []
    for part in body.removeprefix("$ ").split("\n$ "):
        command, *shown = part.rstrip("\n").split("\n")
        told += [f"$ {command}", *held(command, shown, printed(command))]
    return "\n".join(told) + "\n"


def printed(command: str) -> str:
    """What a command prints in a window of 100 columns, in the current folder."""
    program, *args = shlex.split(command)
    assert program == "pneusim"
    return CliRunner(env={"COLUMNS": "100"}).invoke(main, args, catch_exceptions=False).output


def _write(body: str) -> None:
    """Write a file, or one of its sections."""
    found = _FILE.match(body)
    assert found, f"a file needs a caption: {body[:40]}"
    path, section, text = Path(found[1]), found[2], found[3]
    if section:
        text = _with_section(path.read_text(encoding="utf-8"), section, text)
    path.write_text(text, encoding="utf-8")


def _with_section(whole: str, section: str, text: str) -> str:
    """A file with a section in the place of the one of that name, or behind the last."""
    sections = [old for old in re.split(r"^(?=\w)", whole, flags=re.MULTILINE) if old]
    at = next((k for k, old in enumerate(sections) if old.startswith(f"{section}:")), len(sections))
    sections[at : at + 1] = [f"{text.rstrip()}\n\n"]
    return "".join(sections)


def hold(command: str, shown: list[str], output: str) -> list[str]:
    """Fail unless what is shown is what is printed: the same lines in the same order, numbers to 1 %."""
    lines = _lines(output)
    place, near = 0, True
    for line in _lines("\n".join(shown)):
        if line == DOTS:
            near = False
            continue
        found = next((k for k, other in enumerate(lines[place:], place) if alike(line, other)), None)
        if found is None or (near and found > place):
            raise AssertionError(
                f"{command}: {line!r} is not printed here; write the pages anew with: python -m tests.pages"
            )
        place, near = found + 1, True
    assert place == len(lines) or not near, f"{command}: more is printed than is shown: {lines[place]!r}"
    return shown


def renew(command: str, shown: list[str], output: str) -> list[str]:
    """Today's lines for those shown."""
    today = [line.rstrip() for line in output.splitlines()]
    told, place = [], 0
    for line in shown:
        if line.strip() in ("", DOTS):
            told.append(line)
            continue
        known = {masked(_plain(other)): k for k, other in reversed([*enumerate(today)][place:])}
        near = get_close_matches(masked(_plain(line)), known, n=1, cutoff=0.75)
        if not near:
            raise SystemExit(f"{command}: this is printed no more, look at the page: {line}")
        place = known[near[0]] + 1
        told.append(today[place - 1])
    return told


def write() -> None:
    """Write the outputs of all tutorials anew."""
    for path in sorted(FOLDER.glob("*.md")):
        text = path.read_text(encoding="utf-8")
        with tempfile.TemporaryDirectory() as folder, chdir(folder):
            path.write_text(play(text, renew), encoding="utf-8")


def _lines(text: str) -> list[str]:
    return [_plain(line) for line in text.splitlines() if line.strip()]


def _plain(line: str) -> str:
    return " ".join(line.split())
