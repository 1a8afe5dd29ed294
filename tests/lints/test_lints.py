"""Every rule of the trade has a circuit that breaks it alone; sound circuits break none; no circuit makes one fail."""

from __future__ import annotations

import doctest
import random
import subprocess
import sys
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

import pytest
from click.testing import CliRunner

import pneusim.lints
from pneusim.circuit.circuit import Circuit, Component, Joint, Line, Port, Vehicle
from pneusim.cli import main
from pneusim.errors import Fault
from pneusim.lints.registry import all_lints, lint
from pneusim.parts.registry import part, part_types
from pneusim.reading import load, load_text, read, shipped_circuits

FOLDER = Path(__file__).parent / "fixtures"
BROKEN = sorted(FOLDER.glob("W*.yaml"))
SOUND = sorted(FOLDER.glob("none_*.yaml"))
READ = sorted((FOLDER.parents[1] / "reading" / "fixtures").glob("*.yaml"))
SHIPPED = {
    "one-axle": ["W02", "W03"],  # one axle and one circuit, to show how parts work together: no whole vehicle
}
"""What the shipped circuits do not keep, with the reason."""


def codes(faults: list[Fault]) -> list[str]:
    return sorted(fault.code for fault in faults)


def changed(fixture: str, *changes: tuple[str, str]) -> Circuit:
    """A fixture with words exchanged."""
    text = (FOLDER / fixture).read_text()
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return load_text(text)


@pytest.mark.parametrize("path", BROKEN, ids=lambda path: path.stem)
def test_text_and_place_are_exactly_as_expected(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(FOLDER)
    done = CliRunner().invoke(main, ["check", path.name])
    assert done.exit_code == 0
    assert done.output == path.with_suffix(".expected").read_text()


@pytest.mark.parametrize("path", BROKEN, ids=lambda path: path.stem)
def test_a_fixture_breaks_the_rule_it_is_named_after_and_no_other(path: Path) -> None:
    assert set(codes(lint(load(path)))) == {path.stem[:3]}


def test_every_rule_has_a_fixture_and_every_text_too() -> None:
    assert {path.stem[:3] for path in BROKEN} == {rule.code for rule in all_lints()}
    assert {path.stem for path in FOLDER.glob("*.expected")} == {path.stem for path in BROKEN}


@pytest.mark.parametrize("path", SOUND, ids=lambda path: path.stem)
def test_a_sound_circuit_breaks_none(path: Path) -> None:
    assert lint(load(path)) == []


@pytest.mark.parametrize("name", sorted(shipped_circuits()))
def test_shipped_circuits_keep_the_rules(name: str) -> None:
    assert codes(lint(load(name))) == SHIPPED.get(name, [])


@pytest.mark.parametrize("name", part_types())
def test_examples_of_parts_keep_the_rules(name: str) -> None:
    assert codes(lint(load_text(part(name).example))) == []


@pytest.mark.parametrize("path", READ, ids=lambda path: path.stem)
def test_what_can_be_read_can_be_held_against_the_rules(path: Path) -> None:
    circuit, _ = read(path)
    if circuit is not None:
        assert all(fault.severity == "warning" for fault in lint(circuit))


def thrown_together(seed: int) -> Circuit:
    """Parts of any types whose ports are joined and piped without any sense."""
    draw = random.Random(seed)
    required = {"reservoir": {"volume": 0.03}, "test_volume": {"volume": 1e-3}, "coupling_head": {"role": "supply"},
                "restriction": {"conductance": 1e-8}}  # fmt: skip
    components, free = {}, []
    for count in range(draw.randint(2, 40)):
        kind = draw.choice(part_types())
        needs = [name for name, field in part(kind).model_fields.items() if field.is_required()]
        given = dict(required.get(kind, {}))
        if set(needs) - given.keys() - {"compressor"}:
            continue
        if "compressor" in needs:
            given["compressor"] = "engine_air"
        if kind == "reservoir":
            given["service"] = draw.random() < 0.7
        name = f"c{count}"
        components[name] = Component(name, kind, given, axle=draw.choice([None, 1, 2]))
        for spec in part(kind).ports:
            many = spec.many or spec.number == "*"
            stem = "" if spec.number == "*" else spec.number
            free += [Port(name, f"{stem}{n}") for n in (1, 2, 3)] if many else [Port(name, spec.number)]
    draw.shuffle(free)
    joints, lines = [], {}
    while len(free) > 4:
        if draw.random() < 0.5:
            joints.append(Joint(tuple(free.pop() for _ in range(draw.randint(2, 4)))))
        else:
            lines[f"l{len(lines)}"] = Line(f"l{len(lines)}", free.pop(), free.pop(), draw.uniform(0.2, 20), 9e-3)
    kind = draw.choice(["truck", "tractor", "bus", "semitrailer", "dolly", "rig"])
    vehicle = Vehicle(kind=kind, practice=draw.choice(["us", "un13"]))
    return Circuit("thrown together", components, lines, tuple(joints), (vehicle,))


def test_a_circuit_without_sense_does_no_harm() -> None:
    seen: set[str] = set()
    for seed in range(300):
        seen |= set(codes(lint(thrown_together(seed))))
    assert len(seen) > 6  # the rules do look at them


def test_codes_are_numbered_without_gaps_and_sentences_end() -> None:
    assert [rule.code for rule in all_lints()] == [f"W{number:02}" for number in range(1, len(all_lints()) + 1)]
    assert all(rule.words.endswith(".") and rule.sources for rule in all_lints())
    assert {practice for rule in all_lints() for practice in rule.sources} == {"un13", "us"}
    for source in (source for rule in all_lints() for source in rule.sources.values()):
        assert source.endswith(("official text", "no source"))


def test_practice_and_kind_decide_which_rules_count() -> None:
    assert codes(lint(changed("W08_small.yaml", ("practice: us", "practice: un13")))) == []
    assert codes(lint(changed("W05_no_switch.yaml", ("kind: truck", "kind: rig")))) == []


@pytest.mark.parametrize(
    ("old", "new", "found"),
    [
        # A protection valve does for a check valve, a stop valve does not.
        ("first_check:     {type: check_valve}", "first_check:     {type: protection_valve}", []),
        ("first_check:     {type: check_valve}", "first_check:     {type: restriction, hole: 5 mm}", ["W04"]),
        # The front axle on the section of the rear axle: its relay's pilot and it hang on one section.
        ("from: foot.22, to: front_tee.1", "from: relay.23, to: front_tee.1", ["W02"]),
        # 60 L and 12 times 5.11 L: the supply reservoir counts, and a little less is too little.
        ("{type: reservoir, volume: 15 L", "{type: reservoir, volume: 1.5 L", []),
        ("{type: reservoir, volume: 15 L", "{type: reservoir, volume: 1.3 L", ["W08"]),
        ("size: 24, axle: 1", "size: 24, area: 150 cm2, axle: 1", []),  # the other side is like it
        ("like: front_left", "like: front_left, stroke: 81.3 mm", ["W07"]),
        ("low_first:       {type: pressure_switch}", "low_first:       {type: plug}", ["W05"]),
        ("low_first:       {type: pressure_switch}", "low_first: {type: pressure_switch, closes_below: 340 kPa}",
         ["W10", "W10"]),
    ],
)  # fmt: skip
def test_changes_of_a_sound_truck(old: str, new: str, found: list[str]) -> None:
    changes = [(old, new)]
    if "relay.23" in new:  # the second section ends nowhere
        changes += [("lines:\n", "  cap: {type: plug}\nlines:\n"), ("joints:\n", "joints:\n  - [foot.22, cap.1]\n")]
    assert codes(lint(changed("none_us.yaml", *changes))) == found


def test_springs_with_a_reservoir_of_their_own_need_no_second() -> None:
    own = [("park_check:      {type: double_check_valve}", "own_check: {type: check_valve}\n"
            "  own: {type: reservoir, volume: 10 L, pressure: 8 bar}"),
           ("  park_first:   {from: first.22, to: park_check.11", "  to_own: {from: first.22, to: own_check.1"),
           ("  park_second:  {from: second.22, to: park_check.12, bore: 9 mm, length: 3 m}\n", ""),
           ("[park_check.2, park.1]", "[own_check.2, own.1]\n  - [own.21, park.1]")]  # fmt: skip
    assert codes(lint(changed("none_un13.yaml", *own))) == []


def test_the_feed_that_is_named_as_the_limit_is_the_limit() -> None:
    assert codes(lint(changed("W09_large_feed.yaml", ("feed: 8 dm3", "feed: 2.02 dm3")))) == []
    assert codes(lint(changed("W09_large_feed.yaml", ("feed: 8 dm3", "feed: 2.06 dm3")))) == ["W09"]


def test_a_trip_above_the_closing_pressure_is_reached() -> None:
    assert codes(lint(changed("W12_late_trip.yaml", ("trip: 30 psi", "trip: 208 kPa")))) == []


def test_anti_compounding_is_no_pilot_of_its_own() -> None:
    """The service delivery may lead to the springs' relay, which does not lead back to the service relay."""
    park = [("park.21, to: rear_left.12", "park.21, to: both.11"),
            ("park.22, to: rear_right.12", "relay.23, to: both.12"),
            ("lines:\n", "  both: {type: double_check_valve}\n  springs: {type: quick_release_valve}\nlines:\n"
             "  hose_l: {from: springs.21, to: rear_left.12, bore: 9 mm, length: 1 m}\n"
             "  hose_r: {from: springs.22, to: rear_right.12, bore: 9 mm, length: 1 m}\n"),
            ("joints:\n", "joints:\n  - [both.2, springs.1]\n")]  # fmt: skip
    assert codes(lint(changed("none_us.yaml", *park))) == []


def test_every_unit_is_judged_by_its_own_practice(tmp_path: Path) -> None:
    for name in ("W08_small_trailer", "W05_no_switch"):
        (tmp_path / f"{name}.yaml").write_text((FOLDER / f"{name}.yaml").read_text())
    (tmp_path / "all.yaml").write_text(
        "pneusim: 1\nvehicles: {first: {circuit: W05_no_switch.yaml}, last: {circuit: W08_small_trailer.yaml}}\n"
    )
    found = lint(load(tmp_path / "all.yaml"))
    assert [(fault.code, fault.path) for fault in found] == [
        ("W05", "components.first.second"),
        ("W08", "components.last.reservoir"),
    ]
    assert [Path(fault.place.file).stem for fault in found] == ["W05_no_switch", "W08_small_trailer"]


def test_linting_imports_nothing_heavy() -> None:
    program = (
        "import sys\nfrom pneusim.lints.registry import lint\nfrom pneusim.reading import load\n"
        "lint(load('tractor-semitrailer'))\nprint(sorted(sys.modules))\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert not {"numpy", "networkx", "scipy", "numba", "matplotlib"} & set(eval(done.stdout))


@pytest.mark.parametrize("name", [module.name for module in iter_modules(pneusim.lints.__path__)])
def test_examples_in_docstrings(name: str) -> None:
    assert doctest.testmod(import_module(f"pneusim.lints.{name}")).failed == 0
