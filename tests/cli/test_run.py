import json
from pathlib import Path

import pytest

from pneusim import simulate
from pneusim.errors import RunFailed
from pneusim.results.run import CAUTION


@pytest.fixture(scope="module", autouse=True)
def _compiled():
    simulate.warmup()


def test_run_tells_and_writes(call):
    result = call("run", "orifice.yaml", "empties")
    assert result.exit_code == 0
    assert "A reservoir empties through an orifice: empties" in result.stdout
    assert "The expectation is met." in result.stdout
    assert "written to results/orifice/empties" in result.stdout
    assert " ".join(CAUTION.split()) in " ".join(result.stdout.split())
    assert {p.name for p in Path("results/orifice/empties").iterdir()} >= {
        "summary.json", "timing.json", "channels.npz", "channels.json", "events.csv", "measures.csv",
        "reservoirs.png", "reservoirs.svg",
    }  # fmt: skip


def test_all_scenarios_run_and_a_missed_expectation_makes_the_exit_code_5(call):
    result = call("run", "orifice.yaml", "-o", "out")
    assert result.exit_code == 5
    assert sorted(p.name for p in Path("out").iterdir()) == ["empties", "too_slow"]
    assert "Not met: tank: lowest pressure is expected to be at most 10 kPa" in result.stdout


def test_json_is_the_summary_and_nothing_else(call):
    result = call("run", "orifice.yaml", "empties", "--json")
    assert result.stdout.encode() == Path("results/orifice/empties/summary.json").read_bytes()
    several = json.loads(call("run", "orifice.yaml", "--json").stdout)
    assert [told["scenario"] for told in several] == ["empties", "too_slow"]


def test_the_same_run_writes_the_same_bytes(call):
    def written():
        call("run", "orifice.yaml", "empties")
        files = Path("results/orifice/empties").iterdir()
        return {p.name: p.read_bytes() for p in files if p.name != "timing.json"}

    assert written() == written()


def test_us_units(call):
    result = call("run", "orifice.yaml", "empties", "--units", "us")
    assert "of 87 psi" in result.stdout
    assert "kPa" not in result.stdout


def test_a_variant_runs_and_has_its_own_folder(call):
    result = call("run", "orifice.yaml", "empties", "--variant", "large_tank", "--json")
    assert json.loads(result.stdout)["variant"] == "large_tank"
    assert Path("results/orifice/empties+large_tank").is_dir()
    small = json.loads(call("run", "orifice.yaml", "empties", "--json").stdout)
    half = {told["variant"]: told["measures"][0]["value"] for told in (small, json.loads(result.stdout))}
    assert half["large_tank"] > 1.5 * half[None]


def test_error_bar_and_the_other_engine(call):
    told = json.loads(call("run", "orifice.yaml", "empties", "--error-bar", "--json").stdout)
    assert told["measures"][0]["error"] < 1e-3
    other = json.loads(call("run", "orifice.yaml", "empties", "--engine", "radau", "--json").stdout)
    assert other["solver"]["engine"] == "radau"
    assert other["measures"][0]["value"] == pytest.approx(told["measures"][0]["value"], rel=1e-3)


def test_a_shipped_circuit_runs_by_name(call):
    result = call("run", "tank-and-orifice", "empty")
    assert result.exit_code == 0
    assert Path("results/tank-and-orifice/empty/summary.json").is_file()


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["orifice.yaml", "emptys"], "orifice.yaml has no scenario 'emptys'; 'empties' is meant?"),
        (["orifice.yaml", "zzz"], "there are: empties, too_slow"),
        (["orifice.yaml", "--variant", "large"], "has no variant 'large'; 'large_tank' is meant?"),
        (["orifice.yml"], "there is no file 'orifice.yml'"),
        (["tank-and-orifise"], "'tank-and-orifice' is meant?"),
        (["orifice.yaml", "--engine", "euler"], "'euler' is not one of 'rodas4', 'radau'"),
        (["orifice.yaml", "-o", "orifice.yaml"], "orifice.yaml: cannot hold results, because a file is in the way"),
    ],
)
def test_wrong_usage_is_told_before_anything_runs(call, monkeypatch, args, words):
    monkeypatch.setattr(simulate, "run", lambda *_, **__: pytest.fail("it ran"))
    result = call("run", *args)
    assert result.exit_code == 2
    assert words in " ".join(result.stderr.split())
    assert not Path("results/orifice/empties").exists()


def test_an_invalid_file_tells_all_its_faults(call):
    Path("bad.yaml").write_text(
        "pneusim: 1\ntitle: x\ncomponents:\n  tank: {type: reservoir, volume: 2}\n  t: {type: nope}\n"
    )
    result = call("run", "bad.yaml")
    assert result.exit_code == 3
    assert "bad.yaml:4:" in result.stderr
    assert "bad.yaml:5:" in result.stderr


def fail(message, partial=None):
    def run(*_, **__):
        raise RunFailed(message, partial)

    return run


def test_a_failed_run_keeps_the_earlier_result_and_the_others_still_run(call, monkeypatch):
    call("run", "orifice.yaml", "empties")
    kept = Path("results/orifice/empties/summary.json").read_bytes()
    honest = simulate.run

    def run(circuit, name, **options):
        if name == "empties":
            raise RunFailed("The circuit did not come to rest.")
        return honest(circuit, name, **options)

    monkeypatch.setattr(simulate, "run", run)
    result = call("run", "orifice.yaml")
    assert result.exit_code == 4
    assert "empties: The circuit did not come to rest." in result.stderr
    assert Path("results/orifice/empties/summary.json").read_bytes() == kept
    told = json.loads(Path("results/orifice/empties.failed/summary.json").read_text())
    assert (told["status"], told["message"]) == ("failed", "The circuit did not come to rest.")
    assert Path("results/orifice/too_slow/summary.json").is_file()


def test_json_of_a_failed_run_says_so(call, monkeypatch):
    monkeypatch.setattr(simulate, "run", fail("The step size ran out."))
    result = call("run", "orifice.yaml", "empties", "--json")
    assert result.exit_code == 4
    assert json.loads(result.stdout)["status"] == "failed"


def test_an_error_of_ours_is_one_sentence_and_no_traceback(call, monkeypatch):
    def run(*_, **__):
        raise KeyError("gone")

    monkeypatch.setattr(simulate, "run", run)
    result = call("run", "orifice.yaml", "empties")
    assert result.exit_code == 70
    assert "internal error: KeyError: 'gone'" in result.stderr
    assert "Traceback" not in result.output


def test_the_first_compilation_is_announced(call, monkeypatch):
    compiled = []
    monkeypatch.setattr(simulate, "needs_warmup", lambda: not compiled)
    monkeypatch.setattr(simulate, "warmup", lambda: compiled.append(1))
    result = call("run", "orifice.yaml", "empties")
    assert "compiling the engine once for this installation, about 15 s" in result.stderr
    assert call("warmup").stdout == "the engine is compiled already\n"


def test_a_bar_appears_for_long_runs_only(monkeypatch):
    from pneusim.cli import meter

    shares = []

    class Bar:
        def add_task(self, *_, **__):
            return 0

        def update(self, _, completed):
            shares.append(completed)

        def stop(self):
            shares.append("stopped")

    now = [0.0]
    monkeypatch.setattr(meter.time, "monotonic", lambda: now[0])
    monkeypatch.setattr(meter, "_started_bar", Bar)
    with meter.Meter("brake", shown=True) as bar:
        bar.told(0.1)
        now[0] = 2.5
        bar.told(0.5)
    assert shares == [0.5, "stopped"]
    with meter.Meter("brake", shown=False) as bar:
        now[0] = 9.0
        bar.told(0.9)
    assert shares == [0.5, "stopped"]
