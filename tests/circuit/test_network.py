"""Nodes, the graph, and what hangs together."""

from __future__ import annotations

from pathlib import Path

import networkx
import pytest

from pneusim.circuit.circuit import Port
from pneusim.circuit.network import graph, islands, nodes, used_ports
from pneusim.circuit.ports import canonical, in_words
from pneusim.parts.base import PortSpec
from pneusim.reading import load, load_text

SHIPPED = Path(__file__).parents[2] / "circuits"

CIRCUIT = load_text("""\
pneusim: 1
components:
  tank:   {type: reservoir, volume: 40 L, pressure: 8 bar}
  low:    {type: pressure_switch, closes_below: 4.5 bar}
  cock:   {type: stop_valve}
  vessel: {type: test_volume, volume: 385 cm3}
  source: {type: supply}
  far:    {type: test_volume, volume: 819 cm3}
lines:
  feed:  {from: cock.2, to: vessel.1, bore: 9 mm, length: 3 m}
  other: {from: source.1, to: far.1, bore: 9 mm, length: 3 m}
joints:
  - [tank.21, low.1, cock.1]
""")


def test_a_joint_is_one_node_and_every_other_line_end_its_own() -> None:
    number = nodes(CIRCUIT)
    assert set(number) == set(used_ports(CIRCUIT))
    assert number[Port("tank", "21")] == number[Port("low", "1")] == number[Port("cock", "1")]
    assert len(set(number.values())) == 5
    assert number[Port("cock", "1")] != number[Port("cock", "2")]


def test_the_graph_has_an_edge_for_each_line_and_each_port_in_use() -> None:
    made = graph(CIRCUIT)
    lines = [data["line"] for _, _, data in made.edges(data=True) if "line" in data]
    ports = [data["port"] for _, _, data in made.edges(data=True) if "port" in data]
    assert sorted(lines) == ["feed", "other"]
    assert sorted(ports) == sorted(used_ports(CIRCUIT))


def test_islands_are_told_in_the_order_of_the_file() -> None:
    assert islands(CIRCUIT) == [["tank", "low", "cock", "vessel"], ["source", "far"]]


@pytest.mark.parametrize("path", sorted(SHIPPED.glob("*.yaml")), ids=lambda path: path.stem)
def test_islands_are_the_connected_components_of_the_graph(path: Path) -> None:
    circuit = load(path)
    theirs = {
        frozenset(n for n in group if isinstance(n, str)) for group in networkx.connected_components(graph(circuit))
    }
    assert {frozenset(group) for group in islands(circuit)} == theirs


RELAY = (
    PortSpec("1", "supply"),
    PortSpec("2", "delivery", many=True),
    PortSpec("3", "exhaust", exhaust=True),
    PortSpec("4", "control"),
)
ANY = (PortSpec("*", "port", many=True),)


def test_ports_by_number_and_by_name() -> None:
    found = {word: canonical(RELAY, word) for word in ("1", "supply", "4", "control", "exhaust")}
    assert found == {"1": "1", "supply": "1", "4": "4", "control": "4", "exhaust": "3"}


def test_many_ports_are_counted() -> None:
    words = ("2", "21", "22", "29", "delivery", "delivery_1", "delivery_2", "delivery_9")
    assert [canonical(RELAY, word) for word in words] == ["21", "21", "22", "29", "21", "21", "22", "29"]


def test_ports_that_a_part_has_not() -> None:
    for word in ("5", "20", "211", "delivery_0", "delivery_10", "Supply", "41", "", "*"):
        assert canonical(RELAY, word) is None


def test_any_number_where_any_will_do() -> None:
    assert [canonical(ANY, word) for word in ("1", "21", "port", "port_3")] == ["1", "21", "1", "3"]
    assert [canonical(ANY, word) for word in ("0", "a", "1000", "*", "port_0")] == [None] * 5


def test_ports_in_words() -> None:
    assert in_words(RELAY) == "1 (supply), 21, 22, ... (delivery), 3 (exhaust), 4 (control)"
    assert in_words(ANY) == "any number from 1 on"
    assert in_words(()) == "none"
