"""A leaking seat passes its share whatever the valve wants; a long stroke is longer, with the same air before it."""

import pytest

from pneusim.errors import InvalidFile
from pneusim.parts.registry import part
from pneusim.reading import load_text
from pneusim.simulate import run

HELD = """\
pneusim: 1
components:
  tank:   {{type: reservoir, volume: 10 L, pressure: 8 bar}}
  valve:  {{type: {kind}}}
  vessel: {{type: test_volume, volume: 819 cm3}}
joints:
  - [tank.1, valve.{inlet}]
  - [valve.{outlet}, vessel.1]
{plugs}
scenarios:
  leak:
    lasts: 3 s
    begin: {{{begin}}}
    steps:
      - {{at: 0.5 s, fault: valve.leaking_seat, to: 2 %}}
"""
CASES = {
    "relay_valve": ("1", "21", "  - [valve.4, still.1]"),
    "hand_valve": ("1", "2", ""),
    "foot_valve": ("11", "21", "  - [valve.12, still.1]\n  - [valve.22, calm.1]"),
    "ratio_relay_valve": ("1", "21", "  - [valve.4, still.1]"),
}


@pytest.mark.parametrize("kind", CASES)
def test_the_delivery_creeps_up_until_the_exhaust_balances_the_leak(kind):
    inlet, outlet, plugs = CASES[kind]
    text = HELD.format(kind=kind, inlet=inlet, outlet=outlet, plugs=plugs, begin="")
    for name in ("still", "calm"):
        if f"{name}.1" in plugs:
            text = text.replace("components:\n", f"components:\n  {name}: {{type: supply, pressure: 0 bar}}\n")
    result = run(load_text(text), "leak")
    tank = result["tank.pressure"]
    assert tank(0.5) == pytest.approx(800e3, abs=500.0)
    assert tank(3.0) < 790e3
    assert result["valve.opening"](1.0) == pytest.approx(0.02)


@pytest.mark.parametrize("kind", CASES)
def test_a_leaking_exhaust_lets_out_the_air_that_a_braked_valve_holds(kind):
    """Held applied, the valve feeds what leaks: the tank falls, the delivery hardly does."""
    inlet, outlet, plugs = CASES[kind]
    begin = "" if plugs and kind != "foot_valve" else "valve.travel: 50 %"
    text = HELD.format(kind=kind, inlet=inlet, outlet=outlet, plugs=plugs, begin=begin)
    text = text.replace("leaking_seat, to: 2 %", "leaking_exhaust, to: 2 %")
    for name, bar in (("still", 3 if kind != "foot_valve" else 0), ("calm", 0)):
        if f"{name}.1" in plugs:
            text = text.replace("components:\n", f"components:\n  {name}: {{type: supply, pressure: {bar} bar}}\n")
    result = run(load_text(text), "leak")
    tank, held = result["tank.pressure"], result["vessel.pressure"]
    assert tank(0.5) == pytest.approx(800e3, abs=500.0)
    assert tank(3.0) < 797e3
    assert held(0.5) > 100e3
    assert held(3.0) == pytest.approx(held(0.5), rel=0.1)
    assert result["valve.exhaust_opening"](0.4) == 0.0
    assert result["valve.exhaust_opening"](1.0) == pytest.approx(0.02)


def test_a_protection_valve_that_leaks_loses_what_it_should_keep():
    text = part("protection_valve").example.replace(
        "to: 0 bar, over: 2 s}\n", "to: 0 bar, over: 2 s}\n      - {at: 10 s, fault: protect.leaking_seat, to: 5 %}\n"
    )
    tight, leaking = (run(load_text(t), "fill_and_lose") for t in (part("protection_valve").example, text))
    assert leaking["tank.pressure"](12.0) < tight["tank.pressure"](12.0) - 20e3


def test_a_quick_release_valve_leaks_from_its_exhaust():
    text = part("quick_release_valve").example.replace(
        "    steps:\n", "    steps:\n      - {at: 0 s, fault: release.leaking_seat, to: 3 %}\n"
    )
    assert run(load_text(text), "apply_and_release")["release.exhaust_opening"](1.4) == pytest.approx(0.03)


def test_a_long_stroke_chamber_pushes_on_where_a_standard_one_is_at_its_end():
    text = part("brake_chamber").example.replace("to: 45 mm", "to: 60 mm")
    standard = run(load_text(text), "apply")
    longer = run(load_text(text.replace("size: 30", "size: 30, stroke_class: long")), "apply")
    assert standard["left.stroke"](2.0) < 66e-3  # 63.5 mm and the give of its stop
    assert standard["left.pushrod_force"](2.0) < 4e3
    assert longer["left.pushrod_force"](2.0) > 6e3


def test_a_size_without_a_long_stroke_says_so():
    with pytest.raises(InvalidFile, match="size 6 has no long stroke"):
        load_text(part("brake_chamber").example.replace("size: 30", "size: 6, stroke_class: long"))
