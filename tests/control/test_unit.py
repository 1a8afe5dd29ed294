"""The box around a controller: resolution, lost sensors, voltage, and answers that are none."""

from __future__ import annotations

import copy

import pytest

from pneusim.control.protocol import APPLY, HOLD, RELEASE, Told, told_by
from pneusim.control.teaching import TeachingAntiLock
from pneusim.control.unit import ControlUnit
from pneusim.errors import UsageError
from pneusim.parts import brake_modulator


class Listener:
    """Keeps what it is given; tells nothing."""

    def __init__(self, answer=(HOLD,)):
        self.answer, self.given = answer, []

    def on_sample(self, time, speeds):
        self.given.append(list(speeds))
        return self.answer


def sampled(unit, *speeds, powered=True, lost=None):
    return unit.on_sample(0.0, speeds, lost or [False] * len(speeds), powered)


def test_the_commands_are_those_of_the_modulator():
    assert (APPLY, HOLD, RELEASE) == (brake_modulator.APPLY, brake_modulator.HOLD, brake_modulator.RELEASE)


def test_sensors_round_and_a_lost_one_reads_a_stand():
    listener = Listener()
    unit = ControlUnit("anti_lock", listener, 1, (0.02, 0.5, 0.02, 0.02))
    answer = sampled(unit, 10.009, 10.3, 7.0, -0.3, lost=[False, False, True, False])
    assert listener.given == [[pytest.approx(10.0), 10.5, 0.0, 0.0]]
    assert answer.commands == (HOLD,)
    assert answer.told == Told() == told_by(listener)


def test_without_voltage_all_apply_and_afterwards_it_begins_anew():
    unit = ControlUnit("anti_lock", TeachingAntiLock(((0,), (1,))), 2, (0.02, 0.02))
    sampled(unit, 20.0, 20.0)
    assert sampled(unit, 15.0, 20.0).commands == (RELEASE, APPLY)
    dark = sampled(unit, 15.0, 20.0, powered=False)
    assert dark.commands == (APPLY, APPLY)
    assert dark.told == Told(lamp=True)
    back = sampled(unit, 19.0, 19.0)
    assert back.commands == (APPLY, APPLY)
    assert back.told == Told(reference_speed=19.0)


def test_a_copy_does_not_share_its_memory():
    unit = ControlUnit("anti_lock", TeachingAntiLock(((0,),)), 1, (0.02,))
    sampled(unit, 20.0)
    twin = copy.deepcopy(unit)
    assert sampled(twin, 15.0).commands == (RELEASE,)
    assert sampled(unit, 20.0).commands == (APPLY,)


@pytest.mark.parametrize("answer", [(), (APPLY, APPLY), (2,), ("apply",), ([1],), None, 1])
def test_an_answer_that_is_none_is_refused(answer):
    unit = ControlUnit("tractor.anti_lock", Listener(answer), 1, (0.02,))
    with pytest.raises(UsageError, match=r"tractor\.anti_lock answered .* at 0 s; wanted are 1 commands, each 1"):
        sampled(unit, 20.0)


def test_none_as_an_answer_is_named():
    with pytest.raises(UsageError, match=r"the controller of anti_lock answered None at 0 s"):
        sampled(ControlUnit("anti_lock", Listener(None), 1, (0.02,)), 20.0)


class Silent:
    """Has an on_sample that cannot be asked."""

    on_sample = (APPLY,)


@pytest.mark.parametrize(
    ("controller", "seen"), [(object(), "object"), (Silent(), "Silent"), (Listener, "the class Listener")]
)
def test_what_cannot_be_asked_is_refused(controller, seen):
    with pytest.raises(UsageError, match=rf"of anti_lock is {seen}; wanted is an object with a method on_sample"):
        ControlUnit("anti_lock", controller, 1, (0.02,))
