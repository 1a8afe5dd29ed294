"""What a report looks like: the command line, its files, pictures and exit codes."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from pneusim.cli import main
from pneusim.rules import regulations
from pneusim.rules.finding import CAUTIONS
from tests.rules.circuits import GOOD, SLOW


@pytest.fixture
def call(tmp_path, monkeypatch):
    """Calls the command line in a folder with two small trucks."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "good.yaml").write_text(GOOD)
    (tmp_path / "slow.yaml").write_text(SLOW)

    def run(*args):
        return CliRunner().invoke(main, ["rules", *args], catch_exceptions=False)

    return run


def flat(text):
    return " ".join(text.split())


def test_a_vehicle_that_meets_its_limits(call):
    result = call("good.yaml", "--regulation", "us121", "--only", "actuation")
    assert result.exit_code == 0
    assert "2 met, 0 missed, 0 not judged." in result.stdout
    for caution in CAUTIONS:
        assert flat(caution) in flat(result.stdout)
    assert "written to results/good/rules-us121" in result.stdout
    assert {path.name for path in Path("results/good/rules-us121").iterdir()} == {
        "report.json", "report.csv", "actuation.png",
    }  # fmt: skip


def test_a_miss_makes_the_exit_code_5(call):
    result = call("slow.yaml", "--regulation", "us121", "--only", "actuation", "-o", "out")
    assert result.exit_code == 5
    assert "MISSED" in result.stdout
    rows = Path("out/rules-us121/report.csv").read_text().splitlines()
    assert rows[0].startswith("unit,procedure,clause,what,limit,value,margin")
    assert any("missed" in row for row in rows)
    assert all(caution in "\n".join(rows) for caution in CAUTIONS)


def test_json_is_the_report_and_says_that_it_is_no_certificate(call):
    result = call("good.yaml", "--regulation", "us121", "--only", "actuation", "--json")
    assert result.stdout.encode() == Path("results/good/rules-us121/report.json").read_bytes()
    told = json.loads(result.stdout)
    first = told["findings"][0]
    assert told["counts"] == {"met": 2, "missed": 0, "not_judged": 0}
    assert first["limit"]["provenance"] == "text seen"
    assert first["margin"] == pytest.approx(0.45 - first["value"])
    assert "not a certificate" in told["caution"]


def test_us_units(call):
    result = call("good.yaml", "--regulation", "us121", "--only", "actuation", "--units", "us")
    assert "60 psi" in result.stdout
    assert "kPa" not in result.stdout


def test_an_earlier_report_is_replaced_and_nothing_beside_it(call):
    call("good.yaml", "--regulation", "us121", "--only", "actuation", "-o", "out")
    mine = [Path("out/mine.txt"), Path("out/rules-us121/mine.png"), Path("out/rules-us121/notes/mine.txt")]
    mine[2].parent.mkdir()
    for path in mine:
        path.touch()
    call("good.yaml", "--regulation", "us121", "--only", "release", "-o", "out")
    assert all(path.exists() for path in mine)
    assert sorted(path.name for path in Path("out").iterdir()) == ["mine.txt", "rules-us121"]
    assert {path.name for path in Path("out/rules-us121").iterdir()} == {
        "report.json", "report.csv", "release.png", "mine.png", "notes",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("arguments", "code", "told"),
    [
        (("good.yaml", "--regulation", "us12"), 2, "regulation 'us12' is unknown"),
        (("good.yaml",), 2, "Missing option '--regulation'"),
        (("none.yaml", "--regulation", "us121"), 2, "there is no file 'none.yaml'"),
        (("tank-and-orifice", "--regulation", "us121"), 2, "addresses no vehicle of this circuit"),
        (("good.yaml", "--regulation", "us121", "--only", "x"), 2, "us121 has no procedure 'x'"),
    ],
)
def test_wrong_calls(call, arguments, code, told):
    result = call(*arguments)
    assert result.exit_code == code
    assert told in result.stderr


def test_a_wrong_procedure_is_told_before_anything_is_made(call, monkeypatch):
    monkeypatch.setattr("pneusim.cli.warmup.compile_engine", lambda: pytest.fail("compiled"))
    result = call("good.yaml", "--regulation", "us121", "--only", "nope", "-o", "out")
    assert "us121 has no procedure 'nope'" in result.stderr
    assert not Path("out").exists()


def test_a_procedure_for_other_vehicles_is_told(call):
    result = call("good.yaml", "--regulation", "us121", "--only", "drag")
    assert result.exit_code == 0
    assert "0 met, 0 missed, 1 not judged." in result.stdout
    assert "this is a truck" in flat(result.stdout)


def test_the_help_names_the_regulations_that_have_procedures(call):
    told = flat(call("--help").stdout)
    for name in ("us121", "un13", "us393"):
        assert (f"{name}: " in told) == (name in regulations())


def test_a_file_with_faults_is_exit_code_3(call):
    Path("bad.yaml").write_text(GOOD.replace("size: 20", "size: 21"))
    assert call("bad.yaml", "--regulation", "us121").exit_code == 3
