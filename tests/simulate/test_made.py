"""What a part refuses of a circuit made in Python is told in words, never as another library's error."""

from dataclasses import replace

import pytest

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario
from pneusim.errors import UsageError
from pneusim.parts.registry import part
from pneusim.reading import find_shipped, load, load_text
from pneusim.simulate import run


def changed(circuit: Circuit, name: str, **parameters: object) -> Circuit:
    old = circuit.components[name]
    new = replace(old, parameters={**old.parameters, **parameters})
    return replace(circuit, components={**circuit.components, name: new})


@pytest.mark.parametrize(("parameters", "words"), [
    ({"crack": 9e6}, r"check.crack is 9000 kPa; the most is 200 kPa"),
    ({"crack": -1.0}, r"check.crack is -0.001 kPa; the least is 0 kPa"),
    ({"conductance": 0.0}, r"check.conductance is 0 .*; it must be more than 0"),
    ({"crack": float("nan")}, "check.crack is nan; it must be a finite number in SI"),
    ({"crack": "2 bar"}, "check.crack is '2 bar'; it must be a finite number in SI"),
    ({"krack": 1.0}, r"check: a check_valve has no parameter 'krack' \(there are: crack, "),
])  # fmt: skip
def test_a_parameter_out_of_range_says_what_is_allowed(parameters, words):
    circuit = changed(load_text(part("check_valve").example), "check", **parameters)
    with pytest.raises(UsageError, match=words):
        run(circuit, "supply_lost")


def test_what_is_missing_and_what_does_not_fit_is_said():
    circuit = load_text(part("check_valve").example)
    tank = replace(circuit.components["tank"], parameters={})
    with pytest.raises(UsageError, match=r"tank.volume is missing"):
        run(replace(circuit, components={**circuit.components, "tank": tank}), "supply_lost")
    relay = load_text(part("foot_valve").example)
    name = next(c.name for c in relay.components.values() if c.type == "foot_valve")
    with pytest.raises(UsageError, match=f"{name}: free_travel, jump_travel and graded_travel must rise"):
        run(changed(relay, name, free_travel=0.5), Scenario("s"))


def test_a_word_says_which_words_there_are():
    circuit = load_text(part("brake_chamber").example)
    with pytest.raises(UsageError, match=r"left.stroke_class is 'short' \(allowed: .*long"):
        run(changed(circuit, "left", stroke_class="short"), "apply")


def test_a_brake_out_of_range_says_so():
    circuit = load(find_shipped("one-axle"))
    (vehicle,) = circuit.vehicles
    axles = tuple(replace(axle, brake={**axle.brake, "kinnd": 1}) for axle in vehicle.axles)
    vehicles = (replace(vehicle, axles=axles),)
    with pytest.raises(UsageError, match=r"brake: a .* has no parameter 'kinnd'"):
        run(replace(circuit, vehicles=vehicles), "line_break")


def test_a_governor_without_a_compressor_says_so():
    circuit = load_text(part("governor").example)
    named = next(c for c in circuit.components.values() if c.type == "governor")
    other = {n: replace(c, unit="elsewhere") if c.type == "compressor" else c for n, c in circuit.components.items()}
    other[named.name] = replace(named, parameters={k: v for k, v in named.parameters.items() if k != "compressor"})
    with pytest.raises(UsageError, match="needs one compressor in its unit; there are 0"):
        run(replace(circuit, components=other), Scenario("s"))
