"""The other commands, and what all have in common."""

import json
import os
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest

from pneusim import cli
from pneusim.errors import Fault, Place
from pneusim.parts.registry import part, part_types
from pneusim.show.tables.reference import reference


def test_help_lists_the_commands_and_needs_none_of_them(call):
    result = call("--help")
    assert result.exit_code == 0
    for name, words in cli.COMMANDS.items():
        assert name in result.stdout
        assert words in " ".join(result.stdout.split())


@pytest.mark.parametrize("name", cli.COMMANDS)
def test_every_command_has_its_help(call, name):
    result = call(name, "--help")
    assert result.exit_code == 0
    assert result.stdout.startswith(f"Usage: main {name}")


def test_version(call):
    assert call("--version").stdout == f"pneusim, version {version('pneusim')}\n"


def test_a_misspelt_command_tells_the_near_one(call):
    result = call("chek", "orifice.yaml")
    assert result.exit_code == 2
    assert "there is no command 'chek'; 'check' is meant?" in result.stderr


def test_check_of_a_good_file(call):
    result = call("check", "orifice.yaml", "tank-and-orifice")
    assert (result.exit_code, result.stdout) == (0, "orifice.yaml: no faults\ntank-and-orifice: no faults\n")


def test_check_tells_all_faults_of_all_files(call):
    text = Path("orifice.yaml").read_text()
    Path("bad.yaml").write_text(text.replace("volume: 2 L", "volume: 2").replace("type: atmosphere", "type: sky"))
    result = call("check", "bad.yaml", "orifice.yaml")
    assert result.exit_code == 3
    lines = result.stdout.splitlines()
    assert lines[0].startswith("bad.yaml:4:")
    assert any(line.startswith("bad.yaml:6:") for line in lines)
    assert "bad.yaml: 2 faults" in lines
    assert lines[-1] == "orifice.yaml: no faults"


def test_warnings_do_not_fail_a_check(call, monkeypatch):
    warning = Fault(Place("orifice.yaml", 1, 10), "W05", "components", "something odd", "look", severity="warning")
    monkeypatch.setattr("pneusim.lints.registry.lint", lambda circuit: [warning])
    result = call("check", "orifice.yaml")
    assert result.exit_code == 0
    assert result.stdout.splitlines() == [
        "warning: orifice.yaml:1:10: W05 components: something odd. Fix: look",
        "   1 | pneusim: 1",
        "     |          ^",
        "orifice.yaml: no faults, 1 warning",
    ]


def test_a_file_with_faults_is_not_held_against_the_rules_of_the_trade(call, monkeypatch):
    monkeypatch.setattr("pneusim.lints.registry.lint", lambda circuit: pytest.fail("was asked"))
    Path("bad.yaml").write_text(Path("orifice.yaml").read_text().replace("volume: 2 L", "volume: 2"))
    assert call("check", "bad.yaml").exit_code == 3


def test_check_of_no_file(call):
    result = call("check", "nowhere.yaml")
    assert result.exit_code == 2
    assert "there is no file 'nowhere.yaml'" in result.stderr


def test_parts_lists_all_types(call):
    lines = call("parts").stdout.splitlines()
    assert [line.split()[0] for line in lines] == list(part_types())


def test_parts_tells_all_about_one(call):
    text = call("parts", "check_valve").stdout
    assert text.startswith("check_valve: Check valve\n")
    assert "at least 0 kPa, at most 200 kPa" in text
    assert "default 3 kPa (" in text
    assert "leaking_seat" in text
    assert "pneusim: 1" in text


@pytest.mark.parametrize("name", part_types())
def test_the_reference_of_a_part_is_whole(name):
    kind = part(name)
    text = reference(kind)
    for word in (
        *(port.name for port in kind.ports),
        *kind.model_fields,
        *(spec.name for spec in (*kind.inputs, *kind.faults, *kind.events, *kind.channels)),
    ):
        assert word in text
    for line in kind.example.splitlines():
        assert line.strip() in text
    assert "{" not in text.split("Example\n")[0].replace("{service}", "").replace("{spring}", "")


def test_words_and_sizes_are_told(call):
    assert "one of supply, control" in call("parts", "coupling_head").stdout
    text = call("parts", "brake_chamber").stdout
    assert "24: 63.5 mm" in text
    assert "default by size" in text


@pytest.mark.parametrize(
    ("args", "shown"),
    [(["run", "orifice.yaml", "empties"], b"Vorratsbeh?lter"),
     (["run", "orifice.yaml", "empties", "--json"], "Vorratsbehälter".encode())],
)  # fmt: skip
def test_a_terminal_that_lacks_a_letter(call, args, shown):
    text = Path("orifice.yaml").read_text()
    Path("orifice.yaml").write_text(text.replace("volume", "label: Vorratsbehälter, volume", 1), encoding="utf-8")
    command = [sys.executable, "-m", "pneusim", *args]
    done = subprocess.run(command, capture_output=True, env={**os.environ, "PYTHONIOENCODING": "ascii"})
    assert shown in done.stdout
    assert b"internal error" not in done.stderr


def test_a_misspelt_part_tells_the_near_one(call):
    result = call("parts", "relay_vale")
    assert result.exit_code == 2
    assert "there is no part type 'relay_vale'; 'relay_valve' is meant?" in result.stderr


def test_new_writes_a_circuit_without_faults_and_overwrites_nothing(call):
    result = call("new", "mine")
    assert result.exit_code == 0
    assert "pneusim run mine/circuit.yaml" in result.stdout
    assert call("check", "mine/circuit.yaml").stdout == "mine/circuit.yaml: no faults\n"
    again = call("new", "mine")
    assert again.exit_code == 2
    assert "mine/circuit.yaml exists already and is left as it is" in again.stderr
    in_the_way = call("new", "orifice.yaml")
    assert in_the_way.exit_code == 2
    assert "orifice.yaml exists already" in in_the_way.stderr


def test_the_starter_circuit_runs_and_brakes(call):
    call("new", "mine")
    result = call("run", "mine/circuit.yaml", "--json")
    assert result.exit_code == 0
    brake, broken = json.loads(result.stdout)
    force = {m["name"]: m["value"] for m in brake["measures"]}["left.application_1.highest_force"]
    assert force > 5e3
    assert any("the brakes of axle 1 got no air" in sentence for sentence in broken["narrative"])


def test_schema_is_json_schema(call):
    schema = json.loads(call("schema").stdout)
    assert "$schema" in schema


def test_a_file_that_cannot_be_written_is_told_in_a_sentence(call, monkeypatch):
    def refuse(*_, **__):
        raise PermissionError(13, "Permission denied", "mine")

    monkeypatch.setattr("pneusim.reading.find_shipped", refuse)
    result = call("check", "orifice.yaml")
    assert (result.exit_code, result.stderr) == (2, "mine: Permission denied\n")


@pytest.mark.parametrize(
    ("args", "forbidden"),
    [
        (["check", "tank-and-orifice"], {"scipy", "matplotlib", "numba", "pneusim.simulate", "pneusim.engine"}),
        (["parts", "tee"], {"scipy", "matplotlib", "numba", "pneusim.simulate"}),
        (["--help"], {"scipy", "matplotlib", "numba", "numpy", "pydantic", "rich"}),
    ],
)
def test_light_commands_load_light(args, forbidden):
    code = (
        "import sys\nfrom pneusim.cli import main\n"
        f"main({args!r}, standalone_mode=False)\nprint(sorted(set(sys.modules)), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert not forbidden & set(eval(done.stderr.splitlines()[-1]))
