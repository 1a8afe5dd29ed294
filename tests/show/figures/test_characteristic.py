"""The curve that tells what a part does."""

from __future__ import annotations

import numpy as np
import pytest

from pneusim.errors import UsageError
from pneusim.parts.registry import part
from pneusim.show.figures.characteristic import characteristic


def test_two_channels_of_the_example_against_each_other() -> None:
    drawn = characteristic(part("relay_valve"))
    assert drawn.words.startswith("relay: delivered pressure [kPa], from 0 to ")
    assert drawn.words.endswith(", against signal: pressure of the source [kPa], from 0 to 600")
    (axes,) = drawn.figure.axes
    x, y = (np.asarray(values) for values in axes.lines[0].get_data())
    assert x.max() == pytest.approx(600.0)
    rising, falling = y[np.argmax(x > 300.0)], y[len(x) - 1 - np.argmax(x[::-1] > 300.0)]
    assert falling > rising + 20.0  # a loop, run through one way
    assert len(axes.texts) > 0  # arrows


def test_over_time_there_are_no_arrows_and_units_are_those_wanted() -> None:
    (axes,) = characteristic(part("reservoir"), "us").figure.axes
    assert axes.get_xlabel() == "time [s]"
    assert axes.get_ylabel().endswith("[psi]")
    assert len(axes.texts) == 0


def test_a_part_that_does_nothing_has_none() -> None:
    with pytest.raises(UsageError, match="plug has no characteristic"):
        characteristic(part("plug"))
