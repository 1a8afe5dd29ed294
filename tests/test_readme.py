"""The README: its two commands, its pictures, and that what it shows is what the program says."""

from __future__ import annotations

import re
import struct
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from pneusim import simulate
from pneusim.cli import COMMANDS, main
from pneusim.reading import shipped_circuits
from pneusim.results.run import CAUTION

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```(\w+)\n(.*?)```", README, re.DOTALL)
OUTPUTS = [text for kind, text in BLOCKS if kind == "text"]


def plain(text: str) -> str:
    """A text without its line breaks and indents."""
    return " ".join(text.split())


def call(monkeypatch: pytest.MonkeyPatch, *args: str) -> Result:
    """The command line as a newcomer sees it, in a window of 100 columns."""
    monkeypatch.setenv("COLUMNS", "100")
    simulate.warmup()
    return CliRunner().invoke(main, list(args), catch_exceptions=False)


def holds(output: str, block: str) -> None:
    """Every part of a block, between lines of dots, stands in an output."""
    for part in block.split("\n...\n"):
        assert plain(part) in plain(output)


def test_two_commands_begin_it_and_do_their_own_set_up() -> None:
    first, second = (text.strip() for kind, text in BLOCKS[:2] if kind == "sh")
    for command in (first, second):
        assert command.startswith("python3 -m venv .venv && .venv/bin/pip install -q ")
        assert len(command.splitlines()) == 1
    assert first.endswith("/pneusim run tractor-semitrailer trailer_separates")
    assert second.endswith("/python -m pytest")


def test_the_second_is_what_continuous_integration_runs() -> None:
    ci = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert f'tests="{BLOCKS[1][1].strip()}"' in ci


def test_the_job_comes_first_then_the_caution() -> None:
    paragraphs = [plain(text) for text in README.split("\n\n")]
    assert paragraphs[0] == "# pneusim"
    assert paragraphs[1].startswith("pneusim computes what a heavy vehicle's air-brake circuit does")
    assert plain(CAUTION) in paragraphs[2]


def test_the_picture_is_one_of_the_program_and_small() -> None:
    (name,) = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README)
    data = (ROOT / name).read_bytes()
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert struct.unpack(">I", data[16:20])[0] >= 800
    assert len(data) < 100_000


def test_the_result_shown_is_what_the_first_command_prints(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    args = BLOCKS[0][1].split(".venv/bin/pneusim ")[1].split()
    result = call(monkeypatch, *args)
    assert result.exit_code == 0
    holds(result.stdout, OUTPUTS[0])
    quoted = re.findall(r"^> (.*)$", (ROOT / "docs" / "results.md").read_text(encoding="utf-8"), re.MULTILINE)
    assert plain(" ".join(quoted)) in plain(result.stdout)
    assert plain(CAUTION) in plain(result.stdout)
    assert plain(CAUTION) in (tmp_path / "results/tractor-semitrailer/trailer_separates/summary.json").read_text()


def test_the_variant_shown_ends_as_the_text_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (variant,) = re.findall(r"`(--variant \w+)`", README.partition("## A circuit")[0])
    result = call(monkeypatch, "run", "tractor-semitrailer", "trailer_separates", *variant.split())
    assert result.exit_code == 5
    holds(result.stdout, OUTPUTS[1])


def test_five_minutes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(tmp_path)
    commands = next(text for kind, text in BLOCKS[2:] if kind == "sh").strip().splitlines()
    results = [call(monkeypatch, *line.removeprefix(".venv/bin/pneusim ").split()) for line in commands]
    assert [result.exit_code for result in results] == [0, 0, 0]
    assert Path("results/circuit").is_dir()
    holds(results[-1].stdout, OUTPUTS[2])
    yaml = next(text for kind, text in BLOCKS if kind == "yaml")
    assert yaml in Path("my-truck/circuit.yaml").read_text(encoding="utf-8")
    exec(next(text for kind, text in BLOCKS if kind == "python"), {})
    printed = capsys.readouterr().out
    assert "The expectation is met." in printed
    assert re.search(r"^\d+ N after 2 s$", printed, re.MULTILINE)
    assert Path("brake.png").stat().st_size > 10_000


def test_all_commands_are_in_the_table_and_the_circuits_named_are_shipped() -> None:
    table = README.partition("## Commands")[2].partition("##")[0]
    assert re.findall(r"^\| `pneusim (\w+)", table, re.MULTILINE) == list(COMMANDS)
    named = re.findall(r"`([\w-]+)`", table.partition("comes with pneusim")[2])
    assert len(named) > 2
    assert set(named) <= set(shipped_circuits())
