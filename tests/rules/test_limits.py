"""Tables of limits: every figure has its clause and its provenance, and what is not of that form is refused."""

from pathlib import Path

import pytest

from pneusim.rules import regulation, regulations
from pneusim.rules.finding import MET, MISSED, held_against
from pneusim.rules.limits import SOURCES, Limit, read_table


@pytest.mark.parametrize("name", regulations())
def test_every_figure_has_clause_words_and_provenance(name):
    table = regulation(name).table
    assert list(table)
    for limit in table:
        assert limit.clause, limit.name
        assert limit.words, limit.name
        assert limit.source in SOURCES, limit.name
        assert limit.source == "memory" or limit.note, f"{limit.name}: a text that was seen is named"
    for beyond in table.beyond:
        assert beyond.clause
        assert beyond.why


@pytest.mark.parametrize(
    ("entry", "told"),
    [
        ("{clause: S1, words: w, at_most: 1 s}", "source is None"),
        ("{clause: S1, words: w, at_most: 1 s, source: rumour}", "source is 'rumour'"),
        ("{clause: S1, words: w, source: seen}", "needs clause, words, source and one of"),
        ("{clause: S1, words: w, at_most: 1 s, at_least: 1 s, source: seen}", "needs clause, words, source and one of"),
        ("{clause: S1, words: w, at_most: 1 s, source: seen, limit: 3}", "unknown: {'limit'}"),
        ("{words: w, at_most: 1 s, source: seen}", "needs clause"),
    ],
)
def test_a_figure_without_provenance_is_refused(tmp_path, entry, told):
    file = tmp_path / "limits.yaml"
    file.write_text(f"title: t\nlimits:\n  figure: {entry}\n")
    with pytest.raises(ValueError, match=told):
        read_table(file)


def test_the_figures_of_timed_tests():
    """49 CFR 571.121 S5.3.3.1 and S5.3.4.1: 0.45 s from a letter that quotes it, the others from memory."""
    table = read_table(Path("pneusim/rules/us121/limits.yaml").resolve())
    seen = {name: (table[name].value, table[name].source) for name in table.figures if name.startswith("actuation.t")}
    assert seen["actuation.truck"] == (0.45, "seen")
    assert seen["actuation.trailer"] == (0.6, "memory")
    assert table["release.level"].told("us") == "5 psi"


def test_what_the_text_does_not_say_is_called_our_reading():
    table = regulation("un13").table
    assert {limit.name for limit in table if limit.source == "reading"} == {"anti_lock.lock", "parking.rolled"}
    assert SOURCES["reading"] == "our reading, not in the text"


def test_a_limit_has_the_units_asked_for():
    """49 CFR 393.52(d): 14 ft/s2 and 40 ft."""
    table = regulation("us393").table
    told = {limit.told("us") for limit in table if limit.clause == "393.52(d)"}
    assert {"at least 14 ft/s2", "at most 40 ft"} <= told


@pytest.mark.parametrize(
    ("sense", "value", "verdict", "margin"),
    [
        ("at_most", 2.0, MET, 0.0),
        ("at_most", 2.5, MISSED, -0.5),
        ("at_least", 2.5, MET, 0.5),
        ("at_least", 1.5, MISSED, -0.5),
        ("at_most", None, MISSED, None),
    ],
)
def test_a_value_is_held_against_a_limit_in_its_sense(sense, value, verdict, margin):
    finding = held_against(Limit("x", "S1", "w", sense, 2.0, "time", "memory"), value, "a brake")
    assert (finding.verdict, finding.margin) == (verdict, margin)
