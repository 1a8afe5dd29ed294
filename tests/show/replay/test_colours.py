"""Pressure can be read off its colour: equal steps, darker with every one, whatever the colour vision."""

import numpy as np
import pytest

from pneusim.show.replay.colours import FAULT, PRESSURES
from tests.show.test_palette import VISIONS, contrast_on_white, linear, oklab


def test_steps_of_equal_size():
    seen = np.array([oklab(linear(colour)) for colour in PRESSURES])
    steps = np.linalg.norm(np.diff(seen, axis=0), axis=1)
    assert len(steps) == 32
    assert steps.min() > 0.8 * steps.max()  # colours are whole numbers from 0 to 255


@pytest.mark.parametrize("vision", VISIONS)
def test_fuller_is_darker_and_every_fourth_is_told_apart(vision):
    seen = np.array([oklab(np.array(VISIONS[vision]) @ linear(colour)) for colour in PRESSURES])
    assert np.all(np.diff(seen[:, 0]) < 0.0)
    assert np.linalg.norm(np.diff(seen[::4], axis=0), axis=1).min() >= 0.045


def test_red_stands_out_on_white():
    assert contrast_on_white(FAULT) >= 7.0
