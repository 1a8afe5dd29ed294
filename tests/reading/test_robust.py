"""Whatever is done to a sound file, the reader answers with faults and never with another error."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pneusim.errors import Fault, InvalidFile
from pneusim.reading.circuit_file import load_text

TEXT = (Path(__file__).parents[2] / "circuits" / "one-axle.yaml").read_text()
LINES = TEXT.splitlines()
TOKENS = sorted({(match.start(), match.end()) for match in re.finditer(r"[\w.%/]+", TEXT)})
JUNK = [
    "", "~", "[]", "{}", "[a]", "{a: 1}", "-1", "1e99 bar", "'", "é", "true", "tank", "tank.21", "feed", ".", "..",
    "a.b.c", "like", "8 bar", "50 %", "null", "0", "park.lever", "&a", "*a", "!x", "left.stuck",
]  # fmt: skip


def faults_or_circuit(text: str) -> None:
    faults: tuple[Fault, ...] = ()
    try:
        load_text(text)
    except InvalidFile as invalid:
        faults = invalid.faults
    assert all(fault.problem and fault.fix and fault.place.line >= 1 for fault in faults)


@pytest.mark.parametrize("number", range(len(LINES)))
def test_without_one_line(number: int) -> None:
    faults_or_circuit("\n".join(LINES[:number] + LINES[number + 1 :]))


@settings(derandomize=True, deadline=None, max_examples=600)
@given(token=st.sampled_from(TOKENS), junk=st.sampled_from(JUNK))
def test_with_one_word_replaced(token: tuple[int, int], junk: str) -> None:
    faults_or_circuit(TEXT[: token[0]] + junk + TEXT[token[1] :])


@settings(derandomize=True, deadline=None, max_examples=200)
@given(a=st.sampled_from(TOKENS), b=st.sampled_from(TOKENS))
def test_with_one_word_in_the_place_of_another(a: tuple[int, int], b: tuple[int, int]) -> None:
    faults_or_circuit(TEXT[: a[0]] + TEXT[b[0] : b[1]] + TEXT[a[1] :])


MISSPELT = {
    "pneusim: 1": "pnuesim: 1", "components:": "component:", "lines:": "lins:", "joints:": "joint:", "from:": "form:",
    "length:": "lenght:", "bore:": "boar:", "type:": "tpye:", "like:": "likes:", "steps:": "step:", "set:": "sett:",
    "measure:": "measures:", "level:": "levle:", "since:": "sicne:", "falls_below:": "fall_below:",
    "at_most:": "atmost:",
}  # fmt: skip


@pytest.mark.parametrize("right", MISSPELT)
def test_a_misspelt_key_is_one_fault_and_nothing_follows_from_it(right: str) -> None:
    assert right in TEXT
    with pytest.raises(InvalidFile) as caught:
        load_text(TEXT.replace(right, MISSPELT[right], 1))
    (fault,) = caught.value.faults
    assert fault.code == "S01"
    assert fault.fix == f"write {right.split(':')[0]!r}"
