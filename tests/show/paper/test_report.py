"""The report of a run: what stands in it, that nothing in it can run or be fetched, and its files."""

import re
import sys
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner

import pneusim as ps
from pneusim.cli import main
from pneusim.errors import UsageError
from pneusim.reading import load_text
from pneusim.results.run import CAUTION, failed
from pneusim.results.store import store
from pneusim.show.paper.inline import STYLE_PLACE, drawn, plotted
from pneusim.show.paper.report import report
from pneusim.show.paper.report.margins import judged, margin, nearest

CIRCUIT = """
pneusim: 1
title: A relay <valve> & two chambers
about: Made for a test.
components:
  tank:   {type: reservoir, volume: 40 L, pressure: 8 bar, label: "tank <b>"}
  signal: {type: supply, pressure: 0 bar}
  relay:  {type: relay_valve}
  left:   {type: brake_chamber, size: 24}
  right:  {like: left}
  low:    {type: pressure_switch, closes_below: 4.5 bar, label: low-pressure switch}
lines:
  feed:  {from: tank.21, to: relay.1, bore: 9 mm, length: 2 m}
  pilot: {from: signal.1, to: relay.4, bore: 9 mm, length: 5 m}
  rod_l: {from: relay.21, to: left.11, bore: 9 mm, length: 2 m}
  rod_r: {like: rod_l, from: relay.22, to: right.11}
joints:
  - [tank.22, low.1]
variants:
  narrow: {feed.bore: 6 mm}
scenarios:
  once:
    title: Apply once
    lasts: 4 s
    begin: {signal.pressure: 0.1 bar}
    steps:
      - {at: 0.2 s, set: signal.pressure, to: 6 bar, over: 0.1 s}
      - {when: {channel: tank.pressure, falls_below: 2 bar}, set: signal.pressure, to: 0 bar}
    measure:
      - {name: rise, since: {channel: signal.pressure, rises_above: 0.6 bar}, reach: all_brakes, level: 75 %}
    expect:
      - {measure: rise, at_most: 0.9 s}
      - {measure: tank.lowest, between: [7.9 bar, 8.1 bar]}
      - {measure: left.highest_pressure, at_least: 5 bar}
"""


@pytest.fixture(scope="module")
def circuit():
    return load_text(CIRCUIT)


@pytest.fixture(scope="module")
def run(circuit):
    return ps.run(circuit, "once")


@pytest.fixture(scope="module")
def document(run):
    return report(run)


def text_of(html):
    return " ".join(re.sub(r"<wbr>", "", re.sub(r"<(?!wbr)[^>]*>", " ", html)).split())


def test_everything_an_engineer_files_stands_in_it(document):
    told = text_of(document.body)
    for words in (
        "Parts and the figures given", "volume 40 L; pressure 800 kPa", "feed tank.21 relay.1 9 mm 2 m",
        "Defaults used, and where they come from", "conductance 14 dm3/(s bar) assumption", "all 2",
        "signal, pressure: 10 kPa", "0.20 signal: pressure goes to 600 kPa over 0.1 s",
        "when tank.pressure falls below 200 kPa: set signal.pressure", "at most 0.9 s", "mass closes to", "ISO 6358-1",
        "relative tolerance", "Limits of validity", "No complete vehicle has been compared with a measurement.",
        "Reservoirs reservoir start [kPa]", "reservoir volume 40 L",
    ):  # fmt: skip
        assert words in told, words
    assert told.count(CAUTION) == 2


BRAKED = CIRCUIT.replace(
    "components:", "axles:\n  1: {load: 6 t, tyre_radius: 0.5 m, brake: {type: s_cam, arm: 165 mm}}\ncomponents:"
).replace("size: 24}", "size: 24, axle: 1, side: left}").replace("{like: left}", "{like: left, side: right}")


def test_foundation_brakes_stand_in_it_with_figures_defaults_and_what_they_do():
    run = ps.run(load_text(BRAKED), "once")
    told = text_of(report(run).body)
    for words in (
        "axle 1 58.8 kN 500 mm S-cam drum brake arm 165 mm",  # 6 t at 9.80665 m/s2
        "cam radius 12.7 mm memory half an inch, the common cam axle 1",
        "shoe factor 1.4 memory",
        "Forces at the tyres and their ratio to the static load",
    ):
        assert words in told, words
    assert "arm 139.7 mm" not in told
    row = re.search(r"braking ratio \[%\] axle 1 ([\d.]+) ([\d.]+)", told)
    force = run["axle_1.brake_force"].values.max()
    assert float(row[1]) == pytest.approx(force / 1e3, rel=5e-3)
    assert float(row[2]) == pytest.approx(100 * force / 58839.9, rel=5e-3)


def test_practice_and_heat_are_told_in_words(document):
    told = text_of(document.body)
    assert "built to European practice (UN R13)" in told
    films = "reservoirs 25 W/(m2 K), valve bodies 40 W/(m2 K) and brake chambers 60 W/(m2 K)"
    assert f"film coefficients of {films} (source: assumption)" in told


def test_figures_are_numbered_through(document):
    numbers = [int(number) for number in re.findall(r"<figcaption>Figure (\d+)\. ", document.body)]
    assert numbers == list(range(1, document.body.count("<figcaption>") + 1))
    assert len(numbers) > 3


def test_the_contents_lead_to_every_section(document):
    targets = re.findall(r"href='#([^']*)'", document.body)
    assert targets == re.findall(r"<h[23] id='([^']*)'", document.body)
    assert len(targets) > 10


def test_names_from_the_file_are_text(document):
    assert "<b>" not in document.body.replace("<b>Caution.</b>", "")
    assert "A relay &lt;valve&gt; &amp; two chambers" in document.body
    assert "<title>A relay &lt;valve&gt; &amp; two chambers: report</title>" in document.html


def test_the_page_may_load_and_run_nothing(document):
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', document.html)[1]
    assert policy.startswith("default-src 'none'")
    assert "script-src" not in policy
    assert "unsafe" not in policy
    body = re.sub(r"<!--style-->", "", document.body)
    assert not re.search(r"<script|\sstyle=|\son\w+=|<style|<link|<img|@import|https?://(?!www\.w3\.org)", body)


def test_every_table_is_closed_and_nothing_is_nested_wrongly(document):
    html = re.sub(r"<wbr>", "", document.body).replace("<!--style-->", "")
    ElementTree.fromstring(f"<body>{html.replace('&nbsp;', ' ')}</body>")


def test_the_tolerance_told_is_the_one_that_the_run_held(circuit, run):
    assert "relative tolerance 0.0001 " in text_of(report(run).body)
    assert "relative tolerance 0.001 " in text_of(report(ps.run(circuit, "once", rtol=1e-3)).body)


def test_names_inside_pictures_are_told_apart(document):
    ids = re.findall(r'\sid="([^"]*)"', document.body)
    assert len(ids) == len(set(ids))
    used = set(re.findall(r'url\(#([^)]*)\)|href="#([^"]*)"', document.body))
    assert {one or other for one, other in used} <= set(ids)


def test_text_in_figures_is_text(run):
    svg = plotted(run.plot("chambers"), "one", "what <it> tells")
    assert "pressure [kPa]</text>" in svg
    assert 'aria-label="what &lt;it&gt; tells"' in svg
    assert not re.search(r"style=|<style|<metadata", svg)


SLY = 'a id="x" href="#y" style="z: url(#w)"'


def test_a_name_that_looks_like_an_attribute_stays(run, circuit):
    label = f"{SLY}: service pressure"
    sly = replace(run.channels["left.service_pressure"], label=label)
    svg = plotted(run.plot("right.service_pressure"), "one", "words")
    told = plotted(replace(run, channels={**run.channels, sly.name: sly}).plot(sly.name), "one", SLY)
    texts = " ".join(ElementTree.fromstring(told).itertext())
    assert " ".join(label.split()) in " ".join(texts.split())
    assert ElementTree.fromstring(told).get("aria-label") == SLY
    assert told.count(' style="') == 1 > svg.count(' style="')  # the one in the label
    parts = {**circuit.components, "tank": replace(circuit.components["tank"], label=SLY)}
    picture, _ = drawn(ps.draw(replace(circuit, components=parts)).svg, "one")
    assert SLY in "".join(ElementTree.fromstring(picture.replace(STYLE_PLACE, "")).itertext())


def test_margins_are_distances_to_the_nearest_limit(run):
    found = {result.name: result for result in run.measures}
    rise, low = found["rise"], found["tank.lowest"]
    assert margin(run, rise) == pytest.approx(0.9 - rise.value)
    assert margin(run, low) == pytest.approx(low.value - 790e3)
    assert low.value < 790e3, "the tank falls below, so that the test sees a missed limit"
    words = {one.name: one for one in judged(run)}
    assert not words["tank.lowest"].met
    assert words["tank.lowest"].margin.startswith("-")
    assert words["rise"].met
    assert nearest(run).name == "tank.lowest"


def test_a_missed_limit_is_on_the_first_page(document):
    cover = text_of(document.body.partition("<nav")[0])
    assert "2 of 3, NOT ALL MET" in cover
    assert "between 790 kPa and 810 kPa" in cover


def test_units_of_the_us(run):
    told = text_of(report(run, units="us").body)
    assert "pressure 116 psi" in told
    assert "feed tank.21 relay.1 0.354 in 6.56 ft" in told
    assert "kPa" not in told.partition("Defaults used")[0].partition("Contents")[2]
    with pytest.raises(UsageError, match="'metric' is unknown"):
        report(run, units="metric")


def test_runs_of_one_circuit_share_its_section_and_a_variant_has_its_own(circuit, run):
    heads = re.findall(r"<h2 id='[^']*'>([^<]*)</h2>", report(run, run, ps.run(circuit, "once", variant="narrow")).body)
    title = "A relay &lt;valve&gt; &amp; two chambers"
    assert heads == [
        f"1 Circuit: {title}", f"2 Circuit: {title}, variant narrow", "3 Apply once", "4 Apply once",
        "5 Apply once, variant narrow", "6 Sources", "7 Limits of validity",
    ]  # fmt: skip


def test_a_failed_run_says_so(circuit):
    broken = failed(circuit, circuit.scenarios["once"], "it did not settle <", "rodas4")
    told = text_of(report(broken).body)
    assert told.count("it did not settle &lt;") == 2
    assert "run failed" in told


def test_a_result_read_back_gives_the_same_report_twice(run, tmp_path):
    folder = store(run, tmp_path)
    for name in ("a.html", "b.html"):
        result = CliRunner().invoke(main, ["report", str(folder), "-o", str(tmp_path / name)])
        assert result.exit_code == 0, result.output
    assert (tmp_path / "a.html").read_bytes() == (tmp_path / "b.html").read_bytes()
    assert "2 of 3, NOT ALL MET" in (tmp_path / "a.html").read_text(encoding="utf-8")
    assert CliRunner().invoke(main, ["report", str(folder)]).output == f"written to {folder / 'report.html'}\n"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["{folder}", "-o", "report.docx"], "a report is written as .html or .pdf"),
        (["{folder}", "-o", "{folder}/no/report.html"], "cannot be written (No such file or directory); name another"),
        (["nowhere"], "there is no such folder"),
        (["{folder}", "{folder}"], "is named twice; name every result once"),
    ],
)
def test_what_cannot_be_written_is_told(run, tmp_path, arguments, words):
    folder = str(store(run, tmp_path))
    result = CliRunner().invoke(main, ["report", *(word.format(folder=folder) for word in arguments)])
    assert result.exit_code == UsageError.exit_code
    assert words in result.output


def test_a_pdf_without_weasyprint_is_told_in_a_sentence(document, tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    with pytest.raises(UsageError, match=r"pip install 'pneusim\[pdf\]'"):
        document.save(tmp_path / "report.pdf")


@pytest.mark.needs("weasyprint")
def test_a_pdf_has_pages_on_which_nothing_sticks_out(document, tmp_path):
    import weasyprint

    assert document.save(tmp_path / "report.pdf").read_bytes().startswith(b"%PDF-")
    pages = weasyprint.HTML(string=document.html).render().pages
    assert len(pages) > 4
    assert {(round(page.width), round(page.height)) for page in pages} == {(794, 1123), (1123, 794)}  # A4, both ways
    for page in pages:
        texts = [box for box in page._page_box.descendants() if type(box).__name__ == "TextBox"]
        assert texts
        assert max(box.position_x + box.width for box in texts) <= page.width - 20.0
        assert max(box.position_y + box.height for box in texts) <= page.height - 20.0


def test_a_run_of_several_measures_with_errors_shows_them(run):
    measures = tuple(replace(m, error=1e-3) if m.name == "rise" else m for m in run.measures)
    assert "± 0.001 s" in text_of(report(replace(run, measures=measures)).body)


def test_a_scenario_may_set_no_limits(run):
    free = replace(run, scenario=replace(run.scenario, expectations=()))
    told = text_of(report(replace(free, measures=tuple(replace(m, limit="", met=None) for m in run.measures))).body)
    assert "Apply once none set" in told
    assert "The scenario sets no limits." in told


def on_road(scenario):
    return ps.run(ps.load("rigid-truck"), scenario)


@pytest.fixture(scope="module")
def empty_stop():
    return on_road("stop_wet_empty")


def test_what_rolls_on_what_stands_in_it_with_sources(empty_stop):
    told = text_of(report(empty_stop).body)
    for words in (
        "the vehicle laden 16000 kg 1.2 m follows from the axle loads",
        "the vehicle empty 7000 kg 1 m 2 m",
        "axle 2 5 m rear 16 kg m2 Burckhardt 1 49 kN 0.08 0.3 m",
        "rolling resistance 0.007 memory",
        "wheel inertia, steer 7 kg m2 memory",
        "speed at the start: 60 km/h",
        "the vehicle empty 7000 kg 2 m 1 m 1: 41.2 kN; 2: 27.5 kN",  # 68.65 kN, its centre 2 m of 5 m behind axle 1
        "wet axle 1 and axle 2 Burckhardt 0.64 13 % 0.41 shipped: memory and assumption",  # as circuit/surfaces.yaml
        "c2 33.822 memory Burckhardt, wet asphalt",
    ):
        assert words in told, words
    assert "wheel inertia, others" not in told, "the file gives that of the rear axle"
    assert "Figures of the shipped surface dry" not in told


OWN_SURFACE = {"shape": (0.5, 0.12, 0.3, 0.0), "coefficients": None, "fading": 0.0}


def test_a_surface_of_ones_own_is_from_the_file_and_a_tyre_of_its_own_has_its_row(empty_stop):
    way = empty_stop.scenario.road
    mine = replace(way, surfaces={"wet": replace(way.surfaces["wet"], **OWN_SURFACE)}, grade=-0.05)
    vehicle = empty_stop.circuit.vehicles[0]
    front = vehicle.axles[0]
    better = replace(front, rolling=replace(front.rolling, tyre=replace(front.rolling.tyre, adhesion=1.1)))
    circuit = replace(empty_stop.circuit, vehicles=(replace(vehicle, axles=(better, *vehicle.axles[1:])),))
    run = replace(empty_stop, circuit=circuit, scenario=replace(empty_stop.scenario, road=mine))
    told = text_of(report(run).body)
    assert "wet axle 1 Burckhardt 0.55 12 % 0.33 as the circuit file gives it" in told
    assert "wet axle 2 Burckhardt 0.50 12 % 0.30 as the circuit file gives it" in told
    assert "slope: 5 % downhill" in told
    assert "Figures of the shipped surface" not in told
    assert "tyre, adhesion 1 assumption the surface&#x27;s figures are those of the tyre axle 2" in told


def test_what_rolls_is_told_in_units_of_the_us_and_after_reading_back(empty_stop, tmp_path):
    told = text_of(report(ps.read_result(store(empty_stop, tmp_path)), units="us").body)
    assert "the vehicle empty 15432 lb 6.56 ft 3.28 ft 1: 9259 lbf; 2: 6173 lbf" in told
    assert "shipped: memory and assumption" in told


def test_without_a_road_none_stands_in_it(document):
    assert "Vehicles and what they roll on" not in document.body
    assert "The road and its friction" not in document.body
