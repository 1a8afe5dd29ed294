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
from tests import readme_page

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```(\w+)[^\n]*\n(.*?)```", README, re.DOTALL)


def plain(text: str) -> str:
    """A text without its line breaks and indents."""
    return " ".join(text.split())


def call(monkeypatch: pytest.MonkeyPatch, command: str) -> Result:
    """A command as a newcomer gives it, in a window of 100 columns."""
    monkeypatch.setenv("COLUMNS", "100")
    simulate.warmup()
    args = command.partition("pneusim ")[2].split()
    return CliRunner().invoke(main, args, catch_exceptions=False)


def holds_what_is_shown(output: str, command: str) -> None:
    """Whatever the pages show of a command stands in what it prints, numbers to 1 %."""
    blocks = [block for shown, block in readme_page.shown() if shown == command]
    assert blocks
    for block in blocks:
        for sentence in readme_page.sentences(block):
            today = (*readme_page.sentences(output), readme_page.DOTS)
            assert any(readme_page.alike(sentence, other) for other in today), (
                f"{sentence!r} is printed no more; write the pages anew with: python -m tests.pages"
            )


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


def test_the_pictures_are_those_of_the_program_and_small() -> None:
    names = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README)
    assert [ROOT / name for name in names] == [readme_page.PICTURE, readme_page.WATCHED]
    for name in names:
        data = (ROOT / name).read_bytes()
        assert data[:8] == b"\x89PNG\r\n\x1a\n"
        assert struct.unpack(">I", data[16:20])[0] >= 800
        assert len(data) < 250_000


def test_the_result_shown_is_what_the_first_command_prints(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    command = BLOCKS[0][1].strip().partition(".venv/bin/pneusim")[2]
    result = call(monkeypatch, f"pneusim{command}")
    assert result.exit_code == 0
    holds_what_is_shown(result.stdout, f"pneusim{command}")
    assert plain(CAUTION) in plain(result.stdout)
    assert plain(CAUTION) in (tmp_path / "results/tractor-semitrailer/trailer_separates/summary.json").read_text()


def test_the_variant_shown_ends_as_the_text_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (command,) = [command for command, _ in readme_page.shown() if "--variant" in command]
    assert f"`{command.partition('trailer_separates ')[2]}`" in README
    result = call(monkeypatch, command)
    assert result.exit_code == 5
    holds_what_is_shown(result.stdout, command)


def test_the_stop_shown_is_what_its_command_prints(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (command,) = [command for command, _ in readme_page.shown() if "separation_" in command]
    result = call(monkeypatch, command)
    assert result.exit_code == 0
    holds_what_is_shown(result.stdout, command)


def test_five_minutes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(tmp_path)
    commands = next(text for kind, text in BLOCKS[2:] if kind == "sh").strip().splitlines()
    results = [call(monkeypatch, line) for line in commands]
    assert [result.exit_code for result in results] == [0, 0, 0]
    assert Path("results/circuit").is_dir()
    holds_what_is_shown(results[-1].stdout, commands[-1].removeprefix(".venv/bin/"))
    yaml = next(text for kind, text in BLOCKS if kind == "yaml")
    assert yaml in Path("my-truck/circuit.yaml").read_text(encoding="utf-8")
    exec(next(text for kind, text in BLOCKS if kind == "python"), {})
    printed = capsys.readouterr().out
    assert "The expectation is met." in printed
    assert re.search(r"^\d+ N after 2 s$", printed, re.MULTILINE)
    assert Path("brake.png").stat().st_size > 10_000


def test_a_sentence_is_found_again_by_its_words() -> None:
    block = "  1.50 s: the feed breaks.\n...\n  No warning came\n  on.\n"
    output = "Title\n  1.00 s: the feed breaks.\n  2.00 s: low closed\n  its contact.\n  No warning came on.\n"
    assert readme_page.renewed(block, output) == ["1.00 s: the feed breaks.", "...", "No warning came on."]
    assert readme_page.alike("1.50 s: it breaks", "1.51 s: it breaks")
    assert not readme_page.alike("1.50 s: it breaks", "1.53 s: it breaks")
    assert not readme_page.alike("1.50 s: it breaks", "1.50 s: it leaks")
    with pytest.raises(SystemExit, match=r"printed no more.*Something else"):
        readme_page.renewed("  Something else happened.\n", output)


def test_all_commands_are_in_the_table_and_the_circuits_named_are_shipped() -> None:
    table = README.partition("## Commands")[2].partition("##")[0]
    assert re.findall(r"^\| `pneusim (\w+)", table, re.MULTILINE) == list(COMMANDS)
    named = re.findall(r"`([\w-]+)`", table.partition("comes with pneusim")[2])
    assert len(named) > 2
    assert set(named) <= set(shipped_circuits())
