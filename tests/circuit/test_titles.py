"""What parts are called where several vehicles have parts of the same label."""

from __future__ import annotations

from pneusim.circuit.circuit import Circuit, Component, Line, Port


def made(*parts: Component, lines: tuple[Line, ...] = ()) -> Circuit:
    return Circuit("", {part.name: part for part in parts}, {line.name: line for line in lines})


def tank(unit: str, label: str | None = "tank one", name: str = "t1") -> Component:
    return Component(f"{unit}.{name}", "reservoir", label=label, unit=unit)


def test_parts_of_the_same_label_are_told_apart_by_their_unit() -> None:
    twins = [tank("a"), tank("b.rear_trailer")]
    assert [made(*twins).title_of(part) for part in twins] == ["a tank one", "b rear trailer tank one"]


def test_a_label_that_only_one_unit_has_stands_alone() -> None:
    parts = [tank("a"), tank("a", name="t2"), tank("b", "tank two")]
    assert [made(*parts).title_of(part) for part in parts] == ["tank one", "tank one", "tank two"]


def test_a_unit_is_not_told_twice() -> None:
    parts = [tank("a", None), tank("b", "a t1")]
    assert [made(*parts).title_of(part) for part in parts] == ["a t1", "b a t1"]


def test_lines_are_told_apart_too() -> None:
    lines = tuple(
        Line(f"{unit}.feed", Port(f"{unit}.t", "21"), Port(f"{unit}.r", "1"), 1.0, 9e-3, label="feed pipe", unit=unit)
        for unit in ("a", "b")
    )
    assert [made(lines=lines).title_of(line) for line in lines] == ["a feed pipe", "b feed pipe"]
