"""The study as a whole, on one axle: rows, resuming, what fails, reports, pictures, the command line."""

from __future__ import annotations

import csv
import errno
import io
import json
import os
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from rich.console import Console

from pneusim.errors import RunFailed, UsageError
from pneusim.show.figures.failure_matrix import figures, save
from pneusim.show.tables import failures as shown_in_terminal
from pneusim.show.tables.failure_cells import headings, matrix, names
from pneusim.studies.case import Case
from pneusim.studies.executor import Serial, Threads
from pneusim.studies.failures import short_run
from pneusim.studies.failures.cycle import cycle_of, drive_cycle
from pneusim.studies.failures.failure import Failure
from pneusim.studies.failures.groups import consequence_in_words, grouped, percent
from pneusim.studies.failures.pairs import pairs_of
from pneusim.studies.failures.report import rows, shown, summary, table
from pneusim.studies.failures.study import Study, study
from pneusim.studies.store import Store
from tests.studies.failures.axle import circuit, of, single, whole

FEW = ("relay.stuck_shut", "left.caged", "right.caged", "low.dead")


class Cut(Serial):
    """An executor that is interrupted after some cases; it counts what it computes."""

    def __init__(self, after: int = 10**9) -> None:
        self.after, self.computed = after, 0

    def run(self, function: Callable[[Any], Any], items: Iterable[Any]) -> Iterator[tuple[Any, Any]]:
        for pair in super().run(function, items):
            if self.computed == self.after:
                raise KeyboardInterrupt
            self.computed += 1
            yield pair


def few(store: Store | None = None, executor: Serial | None = None) -> Study:
    failures = [single()[name] for name in FEW]
    return study(circuit(), drive_cycle(circuit()), failures, store=store, executor=executor or Serial())


# ---- what comes out


@pytest.mark.parametrize(("failure", "worst"), [
    ("foot.stuck", "no_brakes"), ("feed.blocked", "no_brakes"), ("relay.stuck_shut", "no_brakes"),
    ("tank.lost", "below_half"), ("spring_l.broken_far_end", "on_unwarned"), ("relay.stuck_open", "on_unwarned"),
    ("park.stuck", "no_parking"), ("rod_l.blocked", "lopsided"), ("hold.blocked", "cannot_move"),
    ("left.out_of_adjustment", "weak"), ("left.broken_spring", "parks_weakly"), ("feed.leaking", "air_lost"),
    ("foot.stuck_applied", "stuck_on"), ("park.stuck_parked", "cannot_move"), ("low.dead", "none"),
])  # fmt: skip
def test_what_failures_of_one_axle_do(failure: str, worst: str) -> None:
    assert whole()[failure].worst == worst


def test_a_lost_reservoir_warns_before_its_springs_drag() -> None:
    found = whole()["tank.lost"].consequences
    assert found.warning == "in time"
    assert set(found.by_itself) == set(found.springs) == {"left", "right"}
    assert found.warned is not None
    assert found.warned < min(found.springs and found.by_itself.values())
    assert found.drives == {"vehicle": "held"}
    assert found.air["tank"] < 0.05


def test_a_broken_spring_hose_applies_its_own_spring_first() -> None:
    for name, own in (("spring_l.broken_far_end", "left"), ("spring_r.broken_far_end", "right")):
        found = whole()[name].consequences
        assert min(found.by_itself, key=lambda wheel: found.by_itself[wheel]) == own


def test_rows_come_worst_first_and_the_twin_s_row_is_the_image() -> None:
    ranks = [row.worst for row in whole().rows]
    assert ranks[0] == "no_brakes"
    assert ranks[-1] == "none"
    left, right = whole()["rod_l.blocked"], whole()["rod_r.blocked"]
    assert (left.twin_of, right.twin_of) == ("", "rod_l.blocked")
    assert left.outcome.key == right.outcome.key
    assert left.consequences.braking["left"] == right.consequences.braking["right"] == 0.0
    assert left.consequences.braking["right"] == right.consequences.braking["left"] > 0.9
    assert whole().computed == len(whole().rows) - 15


def test_groups_hold_all_rows_once() -> None:
    groups = grouped(whole())
    assert sorted(row.failure.id for group in groups for row in group.rows) == sorted(single())
    assert [group.number for group in groups] == list(range(1, len(groups) + 1))
    assert all(len({row.worst for row in group.rows}) == 1 for group in groups)
    [blocked] = [group for group in groups if group.rows[0].failure.id == "rod_l.blocked"]
    assert [row.failure.id for row in blocked.rows] == ["rod_l.blocked", "rod_r.blocked"]
    assert "lopsided by 100 %" in consequence_in_words(blocked.rows, whole())


def test_shares_in_words() -> None:
    assert percent([0.104, 0.311]) == "10 to 31 %"


# ---- resuming


def test_an_interrupted_study_goes_on_where_it_was_and_comes_to_the_same(tmp_path: Path) -> None:
    with pytest.raises(KeyboardInterrupt):
        few(Store(tmp_path / "cases"), Cut(2))
    counting = Cut()
    resumed = few(Store(tmp_path / "cases"), counting)
    assert counting.computed == 2  # of the intact vehicle and three failures: two were there
    assert table(resumed) == table(few())
    assert summary(resumed) == summary(few())
    again = Cut()
    few(Store(tmp_path / "cases"), again)
    assert again.computed == 0


def test_threads_come_to_the_same_bytes() -> None:
    failures = [single()[name] for name in FEW]
    threads = study(circuit(), drive_cycle(circuit()), failures, executor=Threads(2))
    assert table(threads) == table(few())


# ---- what fails


def test_a_case_that_cannot_run_is_a_row_with_its_message() -> None:
    broken = replace(single()["low.dead"], steps=(replace(single()["low.dead"].steps[0], target="low.nothing"),))
    found = study(circuit(), drive_cycle(circuit()), [broken, single()["foot.stuck"]], executor=Serial())
    assert [row.worst for row in found.rows] == ["not_computed", "no_brakes"]
    assert "low has no 'nothing'" in found.rows[0].outcome.message
    assert rows(found)[0]["status"] == "failed"
    assert "1 failed" in shown_in_terminal.counts(found)
    assert matrix(found)[1][0].label
    assert figures(found)


def test_an_intact_vehicle_that_cannot_run_ends_the_study() -> None:
    cycle = drive_cycle(circuit())
    unknown = replace(cycle, scenario=replace(cycle.scenario, begin={"park.handle": 1.0}))
    with pytest.raises(RunFailed, match=r"the intact vehicle cannot be run.*park.handle"):
        study(circuit(), unknown, [], executor=Serial())


# ---- reports and pictures


def test_the_table_has_a_row_a_failure_and_shares_of_every_wheel() -> None:
    read = list(csv.DictReader(io.StringIO(table(whole()).decode())))
    assert len(read) == len(whole().rows)
    by_id = {row["id"]: row for row in read}
    assert float(by_id["rod_l.blocked"]["braking left"]) == 0.0
    assert by_id["rod_r.blocked"]["alike"] == "rod_l.blocked"
    assert by_id["low.dead"]["warned"] == ""
    heads = [name.split(" ")[0] for name in read[0]]
    assert all(heads.index(head) + heads.count(head) - 1 == len(heads) - 1 - heads[::-1].index(head) for head in heads)


def test_the_summary_counts_and_names_what_was_left_out() -> None:
    told = summary(whole())
    assert told["failures"] == sum(kind["failures"] for kind in told["classes"]) == 58
    assert told["computed"] == 43
    assert told["left_out"] == []
    json.dumps(told, allow_nan=False)


def test_one_failure_is_told_with_events_and_story() -> None:
    row = whole()["tank.lost"]
    told = shown(row, whole())
    assert any(event["kind"] == "closed" for event in told["events"])
    console = Console(width=100, record=True, file=io.StringIO())
    console.print(shown_in_terminal.one(row, whole()))
    text = console.export_text()
    assert "the tank has a hole" in text
    assert "closed its contact" in text


def test_the_terminal_names_groups_worst_first() -> None:
    console = Console(width=110, record=True, file=io.StringIO())
    console.print(shown_in_terminal.tables(whole()))
    text = console.export_text()
    assert text.index("no service brakes") < text.index("cannot be parked") < text.index("no effect in this cycle")
    assert "58 failures in" in text


def full(part: str, target: Path) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_the_matrix_has_a_row_a_group_and_says_it_without_colour(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    columns, lines = matrix(whole())
    assert [line.group.number for line in lines] == [group.number for group in grouped(whole())]
    first = next(line for line in lines if line.group.rows[0].failure.id == "relay.stuck_shut")
    assert first.cells[0].text == "●0"
    signs = {cell.level: cell.text[:1] for line in lines for cell in line.cells if cell.level and cell.text[0] in "○◐●"}
    assert signs == {1: "○", 2: "◐", 3: "●"}
    assert all(len(line.cells) == len(columns) for line in lines)
    assert [path.name for path in save(whole(), tmp_path)] == ["matrix.png", "matrix.svg"]
    svg = (tmp_path / "matrix.svg").read_text()
    save(whole(), tmp_path)
    assert svg == (tmp_path / "matrix.svg").read_text()
    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(UsageError, match=r"matrix.png: cannot be written \(No space left on device\); make room"):
        save(of(FEW), tmp_path)
    assert svg == (tmp_path / "matrix.svg").read_text()
    assert "●0" in svg


def test_narrow_headings_are_part_of_the_names() -> None:
    columns, _ = matrix(whole())
    assert headings(columns) == []
    assert "air kept: reservoir [%]" in names(columns)
    wide, _ = matrix(of(["trailer.axle1_left.caged"], "tractor-semitrailer"))
    assert [heading for heading, _, _ in headings(wide)] == [
        "force with the pedal down [%]", "air kept [%]", "force parked [%]",
    ]  # fmt: skip


# ---- pairs


def test_pairs_are_those_that_take_what_each_alone_leaves() -> None:
    failures = list(single("tractor-semitrailer").values())
    found = {pair.id for pair in pairs_of(circuit("tractor-semitrailer"), failures)}
    assert "tractor.primary.lost+tractor.secondary.lost" in found
    assert "tractor.low_primary.dead+tractor.primary.lost" in found
    assert "tractor.primary_check.stuck_open+tractor.wet.lost" in found
    assert not any(pair.startswith("trailer.hose1_l") for pair in found)  # alone it takes all that it can
    assert len(found) < 300


def test_both_failures_of_a_pair_happen() -> None:
    first, second = single()["low.dead"], single()["tank.lost"]
    [pair] = [p for p in pairs_of(circuit(), [first, second]) if p.id == "low.dead+tank.lost"]
    assert pair.steps == first.steps + second.steps
    found = study(circuit(), drive_cycle(circuit()), [pair, second], executor=Serial())
    assert found["tank.lost"].consequences.warning == "in time"
    assert found["low.dead+tank.lost"].consequences.warning == "never"


def test_a_control_that_sticks_while_it_applies_is_judged_from_then_on() -> None:
    foot, park = whole()["foot.stuck_applied"], whole()["park.stuck_parked"]
    assert foot.failure.words == "foot valve: the treadle stays where it is while the pedal is down"
    assert (foot.failure.steps[0].at, park.failure.steps[0].at) == (12.0, 22.0)
    assert foot.consequences.braking["vehicle"] == 1.0
    assert set(foot.consequences.stuck_on) == {"left", "right"}
    assert park.consequences.drives == {"vehicle": "held"}
    assert not park.consequences.by_itself


def test_what_happens_in_a_moment_that_the_cycle_has_not_is_left_out() -> None:
    found = study(circuit(), cycle_of(circuit(), "park", 0.5), [single()["foot.stuck_applied"]], executor=Serial())
    assert found.rows == ()
    assert [(left.id, left.why) for left in found.left_out] == [
        ("foot.stuck_applied", "the cycle has no moment 'held'"),
    ]  # fmt: skip


def test_a_failure_from_the_start_is_judged_from_the_start() -> None:
    begin = {"left.caged": 1.0, "right.caged": 1.0}
    caged = Failure("both.caged", "spring", ("left", "right"), "both caged", begin=begin)
    assert caged.from_start
    found = study(circuit(), drive_cycle(circuit()), [caged], executor=Serial())
    assert found["both.caged"].consequences.parking["vehicle"] == 0.0


def test_a_run_that_flutters_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(short_run, "MOST_STEPS", 100)
    with pytest.raises(RunFailed, match=r"after 100 steps the run had come to .* s only: something flutters"):
        short_run.short_run(Case("axle", circuit(), drive_cycle(circuit()).scenario))
