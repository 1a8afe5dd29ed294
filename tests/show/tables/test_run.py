from dataclasses import replace

import pytest
from rich.console import Console

from pneusim.results import finish
from pneusim.show.tables.run import tables
from tests.results.synthetic import run_of, separation


@pytest.fixture(scope="module")
def run():
    return finish(separation())


def printed(run, units="si", width=130):
    console = Console(width=width, color_system=None)
    with console.capture() as capture:
        console.print(tables(run, units))
    return [" ".join(line.split()) for line in capture.get().splitlines()]


def test_one_row_for_brakes_that_do_the_same(run):
    lines = printed(run)
    assert "Application 1: tractor foot, from 1.00 s" in lines
    assert "tractor axle 1 0.027 0.117 0.095 632 632 11.8 0.427" in lines
    assert "trailer axle 3 0.194 0.360 0.325 616 616 11.5 0.930" in lines
    assert "trailer axles 1 to 3 5.328 5.357 6.279 6.39" in lines


def test_reservoirs_limits_events_and_closure(run):
    lines = printed(run)
    assert "trailer tank 820 760 760 93" in lines
    assert "drive lag 0.36 s at most 0.6 s met" in lines
    assert any(line.startswith("5.310 the trailer supply control tripped") for line in lines)
    assert lines[-1] == ("mass closes to 2.3e-16, energy to 4.0e-14; rodas4: 235 states, 461 steps, 139 rejected")


def test_us_units_everywhere(run):
    text = "\n".join(printed(run, "us"))
    assert "kPa" not in text
    assert "kN" not in text
    assert "tractor axle 1 0.027 0.117 0.095 91.7 91.7 2647 0.427" in text
    assert "to 60 psi [s]" in text


def test_a_missed_limit_shouts_and_an_error_bar_is_told(run):
    measures = tuple(replace(m, met=False, error=0.0004) if m.name == "drive_lag" else m for m in run.measures)
    assert "drive lag 0.36 s ± 0.0004 s at most 0.6 s NOT MET" in printed(replace(run, measures=measures))


def test_names_with_brackets_are_printed_as_they_are(run):
    event = replace(run.events[0], text="the note says [bold]stop[/bold]")
    assert "1.000 the note says [bold]stop[/bold]" in printed(replace(run, events=(event,)))


def test_a_run_with_nothing_in_it_has_its_closure_only():
    lines = printed(finish(run_of({"a.opening": ([0, 1], [0, 1], "fraction")}, [])))
    assert [line[:11] for line in lines if line] == ["mass closes"]


def test_a_long_name_of_a_measure_is_folded_and_not_cut(run):
    name = "tractor.drive1_left.spring_application_1.force_90"
    measures = (replace(run.measures[0], name=name, met=True, limit="at most 0.6 s"),)
    lines = printed(replace(run, measures=measures), width=60)
    limits = "".join(lines[lines.index("Limits") : lines.index("Events")])
    assert "…" not in limits
    assert "90 % of its" in limits
    assert "force, application 1" in limits


def test_limits_say_where_they_are_from_where_there_is_room(run):
    assert "drive lag 0.36 s at most 0.6 s met a rule, clause 1" in printed(run, width=140)
    assert not any("a rule" in line for line in printed(run, width=100))


def test_a_pressure_that_was_not_held_says_so(run):
    name = "tractor.axle_1_left.application_1.asymptotic_pressure"
    other = name.replace("left", "right")
    measures = tuple(replace(m, value=None, reason="it fell") if m.name in (name, other) else m for m in run.measures)
    assert "tractor axle 1 0.027 0.117 0.095 not steady 632 11.8 0.427" in printed(replace(run, measures=measures))
