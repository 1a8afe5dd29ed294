import errno
import json
import os
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from pneusim import simulate
from pneusim.cli import main
from pneusim.errors import RunFailed, UsageError
from pneusim.show.replay import page
from tests.cli.conftest import ORIFICE

EMPTIES, SLOW = Path("results/orifice/empties"), Path("results/orifice/too_slow")


@pytest.fixture(scope="module", autouse=True)
def _compiled():
    simulate.warmup()


@pytest.fixture(scope="module")
def results(tmp_path_factory):
    """Results of the small circuit, of a variant of it, and of a shipped one."""
    folder = tmp_path_factory.mktemp("ran")
    file = folder / "orifice.yaml"
    file.write_text(ORIFICE)
    for args in ([file], [file, "empties", "--variant", "large_tank"], ["tank-and-orifice", "empty"]):
        into = folder / Path(args[0]).stem
        CliRunner().invoke(main, ["run", *map(str, args), "-o", str(into)], catch_exceptions=False)
    return folder


@pytest.fixture
def ran(call, results):
    """Calls the command line where the results are."""
    for circuit in ("orifice", "tank-and-orifice"):
        shutil.copytree(results / circuit, Path("results") / circuit)
    return call


def document(path):
    text = path.read_text(encoding="utf-8")
    data = text.partition('<script type="application/json" id="replay">')[2].partition("</script>")[0]
    return json.loads(data)


def test_run_writes_a_page_beside_the_plots(ran):
    content = document(EMPTIES / "replay.html")
    assert [run["title"] for run in content["runs"]] == ["empties"]
    assert content["units"] == "si"


def test_replay_makes_the_same_page_from_the_folder(ran):
    before = (EMPTIES / "replay.html").read_bytes()
    (EMPTIES / "replay.html").unlink()
    result = ran("replay", EMPTIES)
    assert (result.exit_code, result.stdout) == (0, f"written to {EMPTIES / 'replay.html'}\n")
    assert (EMPTIES / "replay.html").read_bytes() == before


def test_two_results_are_laid_beside_each_other(ran):
    result = ran("replay", EMPTIES, SLOW)
    assert result.stdout == f"written to {EMPTIES / 'replay-with-too_slow.html'}\n"
    content = document(EMPTIES / "replay-with-too_slow.html")
    assert [(run["name"], run["title"]) for run in content["runs"]] == [("A", "empties"), ("B", "too_slow")]
    assert content["beside"].startswith("A: empties. B: too_slow; ")


def test_results_of_different_circuits_and_variants(ran):
    ran("replay", "results/tank-and-orifice/empty", "results/orifice/empties+large_tank")
    content = document(Path("results/tank-and-orifice/empty/replay-with-empties+large_tank.html"))
    assert [run["title"].partition(", variant ")[2] for run in content["runs"]] == ["", "large_tank"]
    assert [run["drawing"] for run in content["runs"]] == [0, 1]


def test_the_page_goes_where_it_is_wanted_in_the_units_wanted(ran):
    result = ran("replay", EMPTIES, "-o", "lesson.html", "--units", "us")
    assert result.stdout == "written to lesson.html\n"
    assert document(Path("lesson.html"))["quantities"]["pressure"]["symbol"] == "psi"


def test_run_in_us_units_writes_the_page_in_them(ran):
    ran("run", "orifice.yaml", "empties", "--units", "us")
    assert document(EMPTIES / "replay.html")["units"] == "us"


def test_pages_of_identical_runs_are_identical(ran):
    before = (EMPTIES / "replay.html").read_bytes()
    ran("run", "orifice.yaml", "empties")
    assert (EMPTIES / "replay.html").read_bytes() == before


def test_a_circuit_that_cannot_be_drawn_fails_no_run(call, monkeypatch):
    def refuse(*_, **__):
        raise UsageError("orifice.yaml:8:5: joint 'tank.21' cannot be drawn")

    monkeypatch.setattr(page, "replay", refuse)
    result = call("run", "orifice.yaml", "empties")
    assert result.exit_code == 0
    assert result.stderr == "empties: there is no replay.html: orifice.yaml:8:5: joint 'tank.21' cannot be drawn\n"
    assert (EMPTIES / "summary.json").is_file()
    assert not (EMPTIES / "replay.html").exists()


@pytest.mark.parametrize("file", ["replay.html", "overview.png", "channels.npz"])
def test_a_full_disk_fails_the_run_and_leaves_the_earlier_result(ran, monkeypatch, file):
    before = {path.name: path.read_bytes() for path in EMPTIES.iterdir()}
    honest = Path.write_bytes

    def write_bytes(path, data):
        if path.name == file:
            honest(path, data[: len(data) // 2])
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(path))
        return honest(path, data)

    monkeypatch.setattr(Path, "write_bytes", write_bytes)
    result = ran("run", "orifice.yaml", "empties")
    assert result.exit_code == 2
    assert result.stderr == (
        "results/orifice: the result of empties cannot be written (No space left on device); "
        "an earlier one stays as it was; make room, or name another folder with -o\n"
    )
    assert "written to" not in result.stdout
    assert {path.name: path.read_bytes() for path in EMPTIES.iterdir()} == before
    assert not list(EMPTIES.parent.glob(".*"))


def test_the_command_tells_where_the_page_is(call):
    shown = call("run", "orifice.yaml", "empties").stdout
    assert f"open {EMPTIES / 'replay.html'} in a browser to watch it\n" in shown


def test_a_run_that_failed_on_its_way_has_a_page_that_says_so(call, monkeypatch):
    honest = simulate.run

    def run(circuit, name, **options):
        whole = honest(circuit, name, **options)
        cut = {n: type(c)(c.name, c.times[:9], c.values[:9], c.dimension, c.label) for n, c in whole.channels.items()}
        partial = type(whole)(
            whole.circuit, whole.scenario, cut, (), whole.closure, whole.solver, "failed", "The step size ran out."
        )
        raise RunFailed("The step size ran out.", partial)

    monkeypatch.setattr(simulate, "run", run)
    assert call("run", "orifice.yaml", "empties").exit_code == 4
    (told,) = document(Path("results/orifice/empties.failed/replay.html"))["runs"]
    assert told["status"] == "failed"
    assert told["message"].startswith("The run failed and stops at 0.")
    assert told["message"].endswith(" of 1.00 s: The step size ran out.")


def test_a_run_that_failed_at_once_has_no_page(call, monkeypatch):
    def run(*_, **__):
        raise RunFailed("The circuit did not come to rest.")

    monkeypatch.setattr(simulate, "run", run)
    result = call("run", "orifice.yaml", "empties")
    assert (result.exit_code, result.stderr) == (4, "empties: The circuit did not come to rest.\n")
    place = Path("results/orifice/empties.failed")
    assert not (place / "replay.html").exists()
    refused = call("replay", place)
    assert (refused.exit_code, refused.stderr) == (
        2, "there is nothing to replay: The circuit did not come to rest.\n",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["results/orifice/emptys"], "results/orifice/emptys: there is no such folder"),
        (["results/orifice"], "it has folders of results: empties, empties+large_tank, too_slow"),
        ([EMPTIES, "results"], "results: the folder holds no result, for it lacks summary.json"),
        ([EMPTIES, "-o", "lesson.pdf"], "lesson.pdf: a page is written as .html or .htm"),
        ([EMPTIES, "-o", "gone/lesson.html"], "gone/lesson.html: cannot be written (No such file or directory)"),
        ([EMPTIES, "--units", "uk"], "'uk' is not one of 'si', 'us'"),
        ([], "Missing argument 'DIR'"),
    ],
)
def test_wrong_usage_is_told(ran, args, words):
    result = ran("replay", *args)
    assert result.exit_code == 2
    assert words in " ".join(result.stderr.split())
    assert not Path("lesson.html").exists()


def test_a_result_of_another_version_or_without_a_file_is_told(ran):
    shutil.copytree(EMPTIES, "old")
    summary = json.loads(Path("old/summary.json").read_text())
    Path("old/summary.json").write_text(json.dumps({**summary, "pneusim": "0.0.1"}))
    result = ran("replay", "old")
    assert (result.exit_code, "run the scenario again" in result.stderr) == (2, True)
    shutil.copytree(EMPTIES, "torn")
    Path("torn/circuit.json").unlink()
    result = ran("replay", "torn")
    assert (result.exit_code, result.stderr) == (2, "torn: the result lacks circuit.json; run the scenario again\n")
