"""No seat may open over so little pressure that a run crawls; what is within bounds comes to rest and runs."""

import pytest

from pneusim.parts.registry import part, part_types
from pneusim.reading import apply_changes, load_text
from pneusim.simulate import run

WIDTHS = [
    (kind, name) for kind in sorted(part_types()) for name in part(kind).model_fields
    if name == "width" or name.endswith("_width")
]  # fmt: skip


def least(kind: str, name: str) -> float:
    return max(m.ge for m in part(kind).model_fields[name].metadata if hasattr(m, "ge"))


@pytest.mark.parametrize(("kind", "name"), WIDTHS)
def test_every_opening_has_a_least_width_below_its_default(kind, name):
    assert 100.0 <= least(kind, name) < part(kind).model_fields[name].default


@pytest.mark.parametrize("kind", ["relay_valve", "foot_valve", "front_ratio_valve", "graduated_park_control",
                                  "check_valve", "quick_release_valve", "protection_valve"])  # fmt: skip
def test_the_least_width_does_not_make_a_run_crawl(kind):
    circuit = load_text(part(kind).example)
    names = [c.name for c in circuit.components.values() if c.type == kind]
    scenario = next(iter(circuit.scenarios))
    sharp = apply_changes(circuit, {f"{name}.width": least(kind, "width") for name in names})
    assert run(sharp, scenario).solver.steps < 4 * run(circuit, scenario).solver.steps


def test_the_largest_consumer_comes_to_rest():
    consumer = part("air_consumer")
    largest = max(m.le for m in consumer.model_fields["volume"].metadata if hasattr(m, "le"))
    circuit = apply_changes(load_text(consumer.example), {"bellows.volume": largest})
    assert run(circuit, "draw_and_burst")["bellows.pressure"](0.0) > 700e3
