"""``pneusim sweep`` and the pictures of a sweep."""

import json
import sys

import pytest
from click.testing import CliRunner
from matplotlib.lines import Line2D

from pneusim.cli import main
from pneusim.errors import UsageError
from pneusim.show.figures.sweep_pictures import figure, kinds_of, save
from pneusim.show.tables.sweep import tables
from pneusim.studies.sweep.sweep import sweep
from tests.studies.small import TEXT
from tests.studies.sweeps import HEAD, LIMITS, PARAMETERS, study

PLAN = "plan: {kind: latin_hypercube, cases: 12, seed: 1}\n"


@pytest.fixture
def call(tmp_path, monkeypatch):
    """Calls the command in a folder with a small study."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "orifice.yaml").write_text(TEXT)
    (tmp_path / "small.yaml").write_text(HEAD.replace("orifice", "orifice.yaml") + PARAMETERS + LIMITS + PLAN)

    def run(*args):
        return CliRunner().invoke(main, ["sweep", *args], catch_exceptions=False)

    return run


@pytest.fixture(scope="module")
def drawn():
    return sweep(study(plan=PLAN))


def test_the_command(call, tmp_path):
    done = call("small.yaml", "--parquet")
    assert done.exit_code == 5  # some cases miss the limit
    for words in ("12 cases of A", "at most 0.45 s", "95 % interval", "tank.volume +0.9", "half [s] ", "written to"):
        assert words in done.output
    names = {file.name for file in (tmp_path / "results" / "small").iterdir()}
    pictures = {f"half_{kind}.png" for kind in ("histogram", "scatter", "tornado")}
    assert names == {"cases", "table.csv", "table.parquet", "summary.json", *pictures}


def test_it_says_what_varied_and_how(call, tmp_path):
    text = (tmp_path / "small.yaml").read_text()
    normal = "{tolerance: 10 %, distribution: normal}"
    drawn = text.replace("{tolerance: 10 %}", normal).replace("cases: 12", "cases: 2")
    (tmp_path / "drawn.yaml").write_text(drawn)
    (tmp_path / "grid.yaml").write_text(text.replace(PLAN, "plan: grid\n"))
    told = " ".join(call("drawn.yaml").output.split())
    assert "Varied tank.volume: 1 L to 3 L, uniform, nominal 2 L hole.conductance: 1.8 dm3/(s bar) to 2.2" in told
    assert "2.2 dm3/(s bar), normal with sigma 0.0667 dm3/(s bar), nominal 2 dm3/(s bar)" in told
    assert "tank.volume: 1 L to 3 L, in 3 steps, nominal 2 L" in " ".join(call("grid.yaml").output.split())


def test_indices_come_with_the_half_widths_of_their_intervals(call, tmp_path):
    text = (tmp_path / "small.yaml").read_text().replace(PLAN, "plan: {kind: indices, cases: 4, seed: 1}\n")
    (tmp_path / "small.yaml").write_text(text)
    told = " ".join(call("small.yaml").output.split())
    index = json.loads((tmp_path / "results/small/summary.json").read_text())["sobol_indices"]["half"]["tank.volume"]
    assert f"tank.volume {index['first']:.2f} +-{index['first_half_width']:.2f} / {index['total']:.2f} +-" in told


def test_json(call):
    done = call("small.yaml", "--json", "--on", "serial")
    assert json.loads(done.stdout)["plan"] == {"kind": "latin_hypercube", "cases": 12, "seed": 1}


def test_limits_that_all_cases_keep(call, tmp_path):
    text = (tmp_path / "small.yaml").read_text().replace("0.45 s", "10 s")
    (tmp_path / "small.yaml").write_text(text)
    assert call("small.yaml").exit_code == 0


@pytest.mark.parametrize(
    ("args", "code", "told"),
    [
        (("smal.yaml",), 2, "no study file 'smal.yaml'"),
        (("small.yaml", "--on", "moon"), 2, "cases cannot be computed on 'moon'"),
        (("small.yaml", "--threads", "0"), 2, "0"),
        (("orifice.yaml",), 3, "the key 'circuit' is missing"),
    ],
)
def test_mistakes(call, args, code, told):
    done = call(*args)
    assert done.exit_code == code
    assert told in done.output
    assert "Traceback" not in done.output


def test_without_pyarrow_nothing_is_computed(call, tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "pyarrow.parquet", None)
    done = call("small.yaml", "--parquet")
    assert (done.exit_code, done.output) == (2, "Parquet files need pyarrow; install 'pneusim[parquet]'\n")
    assert not (tmp_path / "results").exists()


def test_failed_cases_count_most(call, tmp_path):
    (tmp_path / "truck.yaml").write_text(
        "pneusim: 1\ncircuit: rigid-truck\nscenario: full_application\nparameters:\n"
        "  governor.cut_in: {values: [7 bar, 8.3 bar]}\n  governor.cut_out: {values: [8.2 bar, 8.5 bar]}\nplan: grid\n"
    )
    done = call("truck.yaml")
    assert done.exit_code == 4
    assert "case 3:" in done.output
    assert "cut_in must be less than cut_out" in done.output


def test_pictures_show_what_the_plan_allows(drawn):
    assert kinds_of(drawn, "half") == ["histogram", "scatter", "tornado"]
    grid = sweep(study(plan="plan: grid\n"))
    assert kinds_of(grid, "half") == ["response"]
    with pytest.raises(UsageError, match="there are: response"):
        figure(grid, "half", "tornado")
    with pytest.raises(UsageError, match="no measure 'haf'; write 'half'"):
        figure(grid, "haf")


def test_a_response_has_a_curve_for_each_value_of_the_other_axis():
    grid = sweep(study(plan="plan: grid\n"))
    (axes,) = figure(grid).axes
    curves = [line for line in axes.get_lines() if len(line.get_xdata()) == 3]
    assert len(curves) == 3
    assert curves[0].get_xdata().tolist() == pytest.approx([1.0, 2.0, 3.0])  # [L]
    assert axes.get_xlabel() == "tank.volume [L]"
    assert _limits(axes) == [0.45]


def test_a_scatter_tells_cases_beyond_the_limit_apart(drawn):
    axes = figure(drawn, "half", "scatter").axes[0]
    good, missed = (len(points.get_offsets()) for points in axes.collections)
    assert good == drawn.yields["all"].kept
    assert missed == 12 - good > 0
    assert axes.get_title(loc="left").startswith("partial rank correlation +0.9")


def test_a_tornado_has_the_longest_bar_at_the_top(drawn):
    (axes,) = figure(drawn, "half", "tornado").axes
    widths = [bar.get_width() for bar in axes.patches]
    assert [label.get_text() for label in axes.get_yticklabels()] == ["tank.volume", "hole.conductance"]
    found = [drawn.correlations["half"][axis] for axis in ("tank.volume", "hole.conductance")]
    assert widths == pytest.approx([rho.value for rho in found])
    whiskers = [collection.get_segments()[0][:, 0].tolist() for collection in axes.collections]
    assert whiskers == [pytest.approx([rho.low, rho.high]) for rho in found]
    assert axes.yaxis_inverted()


def test_a_histogram_counts_every_case(drawn):
    (axes,) = figure(drawn, "half", "histogram").axes
    assert sum(bar.get_height() for bar in axes.patches) == 12
    assert "kept by" in axes.get_title(loc="left")


def test_pictures_are_the_same_every_time(drawn, tmp_path):
    first, second = ([file.read_bytes() for file in save(drawn, tmp_path)] for _ in range(2))
    assert first == second


def test_units_of_the_reader(drawn):
    assert figure(drawn, "half", "scatter", "us").axes[0].get_xlabel() == "tank.volume [in3]"
    assert tables(drawn, "us")


def _limits(axes):
    return [line.get_ydata()[0] for line in axes.get_lines() if isinstance(line, Line2D) and len(line.get_ydata()) == 2
            and line.get_linestyle() == "--"]  # fmt: skip
