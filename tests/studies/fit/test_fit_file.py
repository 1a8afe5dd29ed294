"""Fit files and measured files: what they may say, and every mistake with file, line and column."""

from __future__ import annotations

import re

import numpy as np
import pytest

from pneusim.errors import InvalidFile, UsageError
from pneusim.studies.fit.file import FITS, load_fit, load_fit_text
from tests.studies.fit.shipped import FOLDER, measured
from tests.studies.fit.synthetic import tank

FIT = """\
pneusim: 1
circuit: tank
scenario: empties
measured:
  columns: {p: tank.pressure}
parameters:
  hole.conductance: {from: 1 dm3/(s bar), to: 3 dm3/(s bar)}
"""
CSV = "time [s],p [kPa]\n0.1,580\n0.2,560\n0.3,540\n"


def load(tmp_path, fit=FIT, csv=CSV):
    file = tmp_path / "m.csv"
    file.write_text(csv, encoding="utf-8")
    return load_fit_text(fit, "fit.yaml", tank(), file)


def faults(tmp_path, fit=FIT, csv=CSV):
    with pytest.raises(InvalidFile) as caught:
        load(tmp_path, fit, csv)
    return [f"{str(f.place).rpartition('/')[2]} {f.code} {f.problem}. {f.fix}" for f in caught.value.faults]


def test_a_fit_as_it_stands(tmp_path):
    found = load(tmp_path)
    (unknown,), (trace,) = found.unknowns, found.traces
    assert (unknown.name, unknown.paths, unknown.start) == ("hole.conductance", ("hole.conductance",), 2e-8)
    assert not unknown.logarithmic
    assert (trace.channel, trace.values.tolist()) == ("tank.pressure", [580e3, 560e3, 540e3])
    assert (found.offset, found.starts, found.rtol, found.size) == (0.0, 4, 1e-5, 3)


def test_units_separators_remarks_and_gaps(tmp_path):
    text = "# a remark\nt [ms];p [bar abs]\n100;6,01325\n200;\n300;5,01325\n"
    fit = FIT.replace("measured:", "measured:\n  time: t")
    (trace,) = load(tmp_path, fit, text).traces
    assert trace.times == pytest.approx([0.1, 0.3])
    assert trace.values == pytest.approx([5e5, 4e5])


def test_a_wide_range_is_searched_by_its_logarithm(tmp_path):
    (unknown,) = load(tmp_path, FIT.replace("from: 1 dm3", "from: 0.1 dm3")).unknowns
    assert unknown.logarithmic
    assert unknown.value(unknown.share(7e-9)) == pytest.approx(7e-9)
    step = 1e-6
    assert unknown.slope(0.4) == pytest.approx((unknown.value(0.4 + step) - unknown.value(0.4 - step)) / (2 * step))


def test_rows_outside_run_and_window_are_left_out(tmp_path):
    times = np.arange(-0.5, 6.0, 0.1)
    text = "time [s],p [kPa]\n" + "".join(f"{t:.1f},500\n" for t in times)
    found = load(tmp_path, FIT.replace("measured:", "measured:\n  offset: {from: 0.05 s, to: 0.25 s}\n  to: 2 s"), text)
    assert found.traces[0].times[[0, -1]].tolist() == [0.3, 2.0]
    assert found.left_out == len(times) - 18


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("hole.conductance", "hole.conductanc", "fit.yaml:7:3 T16 there is nothing .* write 'hole.conductance'"),
        ("hole.conductance: {from: 1 dm3/(s bar), to: 3 dm3/(s bar)}", "hole.critical_ratio: {from: 0.1, to: 1.5}",
         r"fit.yaml:7:40 U07 '1.5' leads to 1.5, which is more than .*\(hole.critical_ratio: tank.yaml:6:3\)"),
        ("to: 3 dm3/(s bar)", "to: 3 bar", "fit.yaml:7:47 U03 "),
        ("to: 3 dm3/(s bar)", "to: 3 dm3/(s bar), start: 4 dm3/(s bar)", "fit.yaml:7:69 U07 .*too large"),
        ("to: 3 dm3/(s bar)", "to: 3 dm3/(s bar), steps: 4", "fit.yaml:7:62 S01 the key 'steps' is not known here"),
        (", to: 3 dm3/(s bar)", "", "fit.yaml:7:3 S02 the key 'to' is missing"),
        ("from: 1 dm3/(s bar), to", "tolerance: 5 %, to", "fit.yaml:7:3 S02 the key 'from' is missing"),
        ("tank.pressure", "tank.presure", "fit.yaml:5:16 T03 .*has no channel 'presure'.*write 'tank.pressure'"),
        ("tank.pressure", "tnk.pressure", "fit.yaml:5:16 C03 there is no component 'tnk'. write 'tank.pressure'"),
        ("{p: tank.pressure}", "{q: tank.pressure}", r"fit.yaml:5:13 S06 .*m.csv has no column 'q'"),
        ("{p: tank.pressure}", "{p: {channel: tank.pressure, noise: 1 s}}", "fit.yaml:5:48 U03 "),
        ("{p: tank.pressure}", "{}", "fit.yaml:5:12 S02 no column is named"),
        ("measured:", "measured:\n  time: t", "fit.yaml:5:9 S06 .*m.csv has no column 't'"),
        ("measured:", "measured:\n  offset: fti", "fit.yaml:5:11 U01 "),
        ("measured:", "measured:\n  offset: {from: 1 s, to: 0 s}", "fit.yaml:5:27 M08 .*exchange them"),
        ("scenario: empties", "scenario: emptys", "fit.yaml:3:11 S06 .*write 'empties'"),
        ("hole.conductance:", "offset:", "fit.yaml:7:3 "),
    ],
)  # fmt: skip
def test_mistakes_of_the_fit_file(tmp_path, old, new, told):
    assert old in FIT
    found = faults(tmp_path, FIT.replace(old, new))
    assert re.match(told, found[0]), found


@pytest.mark.parametrize(
    ("csv", "told"),
    [
        ("time [s],p\n0.1,580\n0.2,560\n", r"m.csv:1:10 U02 the column 'p' has no unit. write 'p \[unit\]'"),
        ("time [s],p [s]\n0.1,580\n0.2,560\n", "m.csv:1:10 U03 the column 'p' has the unit 's', and it is a pressure"),
        ("time [s],p [kPa]\n0.1,580\n0.2,nan\n", "m.csv:3:5 U01 'nan' in the column 'p' is no number"),
        ("time [s],p [kPa]\n0.1,580\n0.2, five\n", "m.csv:3:6 U01 'five'"),
        ("time [s],p [kPa]\n0.1,580\n0.2,inf\n", "m.csv:3:5 U01 'inf'"),
        ("time [s],p [kPa]\n0.2,580\n0.1,560\n", "m.csv:3:1 U07 the time 0.1 s is not later than .* before, 0.2 s"),
        ("time [s],p [kPa]\n0.1,580\n0.1,560\n", "m.csv:3:1 U07 "),
        ("time [s],p [kPa]\n0.1,580\n,560\n", "m.csv:3:1 U01 the row has no time"),
        ("time [s],p [kPa]\n10,580\n20,560\n", "m.csv:2:1 U07 the times run from 10 s to 20 s; .* none .* 0 s to 4 s"),
        ("time [s],p [kPa]\n0.1,580,1\n0.2,560\n", "m.csv:2:1 U01 the row has 3 cells, and there are 2 heads"),
        ("time [s],p [kPa],p [bar]\n0.1,580,1\n", "m.csv:1:18 N02 two columns are called 'p'"),
        ("", "m.csv:1:1 S09 the file holds no heads"),
        ("time [s],p [kPa]\n0.1,\n0.2,\n", "m.csv:1:10 U01 the column 'p' has no number in the run"),
        ("time [s],p [kPa]\n0.1,580\n", "fit.yaml:7:3 S10 1 measured values cannot tell 1 unknowns"),
    ],
)  # fmt: skip
def test_mistakes_of_the_measured_file(tmp_path, csv, told):
    found = faults(tmp_path, csv=csv)
    assert re.match(told, found[0]), found


def test_mistakes_of_both_files_are_told_at_once(tmp_path):
    found = faults(tmp_path, FIT.replace("hole.", "hol."), CSV.replace("[kPa]", "[s]"))
    assert sorted(fault.split()[1] for fault in found) == ["T16", "U03"]


def test_files_and_what_they_name(tmp_path):
    file = tmp_path / "fit.yaml"
    head = FIT.replace("circuit: tank", "circuit: tank-and-orifice").replace("empties", "empty").replace(
        "hole.conductance: {from: 1 dm3/(s bar), to: 3 dm3/(s bar)}", "orifice.cd: {from: 0.5, to: 0.9}"
    )
    (tmp_path / "m.csv").write_text(CSV)
    for name, told in (("n.csv", "F03.*write 'm.csv'"), ("../m.csv", "F02.*--measured"), ("m.csv", "")):
        file.write_text(head.replace("measured:", f"measured:\n  file: {name}"))
        if told:
            with pytest.raises(InvalidFile, match=told):
                load_fit(file)
        else:
            assert load_fit(file).size == 3
    file.write_text(head)
    with pytest.raises(InvalidFile, match=r"S02 measured: the key 'file' is missing.*--measured"):
        load_fit(file)
    assert load_fit(file, tmp_path / "m.csv").size == 3
    with pytest.raises(InvalidFile, match="F06"):
        load_fit(file, tmp_path / "nothing.csv")


def test_a_fit_that_is_not_there():
    with pytest.raises(UsageError, match=r"'iso6358-discharge' is meant\?"):
        FITS.find("iso6358-discharg")


@pytest.mark.parametrize("name", FITS.shipped())
def test_shipped_fits_can_be_read_and_say_that_they_are_synthetic(name):
    found = load_fit(name)
    assert found.size > 100
    told = (FOLDER / "measured" / f"{name}.csv").read_text(encoding="utf-8")
    assert told.startswith("# synthetic: ")
    assert "synthetic" in (FOLDER / f"{name}.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", FITS.shipped())
def test_shipped_measurements_are_what_the_runs_give(name):
    shipped = (FOLDER / "measured" / f"{name}.csv").read_text(encoding="utf-8").splitlines()[2:]
    made = measured(name).splitlines()[2:]
    rows = [np.array([[float(cell) for cell in line.split(",")] for line in lines]) for lines in (shipped, made)]
    assert rows[0] == pytest.approx(rows[1], rel=1e-3, abs=1e-3)
