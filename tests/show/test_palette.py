"""The promises of the palette: contrast on white, and distance under every colour vision."""

import re
from importlib.resources import files
from itertools import combinations, pairwise

import numpy as np
import pytest

from pneusim.show import palette

# Machado, Oliveira, Fernandes 2009, "A physiologically-based model for simulation of color vision
# deficiency", IEEE TVCG 15(6), severity 1 (matrices from memory, to be read against the paper).
VISIONS = {
    "normal": np.eye(3),
    "protanopia": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deuteranopia": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.01182, 0.04294, 0.968881],
    ],
    "tritanopia": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.3039],
    ],
}


def linear(colour):
    rgb = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)


def contrast(colour, ground):
    """WCAG 2.2 contrast ratio."""
    dark, light = sorted(linear(one) @ [0.2126, 0.7152, 0.0722] for one in (colour, ground))
    return (light + 0.05) / (dark + 0.05)


def contrast_on_white(colour):
    return contrast(colour, "#ffffff")


def oklab(rgb):
    """Ottosson 2020, "A perceptual color space for image processing"."""
    cones = np.array(
        [[0.4122214708, 0.5363325363, 0.0514459929], [0.2119034982, 0.6806995451, 0.1073969566],
         [0.0883024619, 0.2817188376, 0.6299787005]]
    )  # fmt: skip
    axes = np.array(
        [[0.2104542553, 0.793617785, -0.0040720468], [1.9779984951, -2.428592205, 0.4505937099],
         [0.0259040371, 0.7827717662, -0.808675766]]
    )  # fmt: skip
    return axes @ np.cbrt(cones @ np.clip(rgb, 0, 1))


@pytest.mark.parametrize("colour", palette.LINES)
def test_curves_have_the_contrast_of_graphics(colour):
    assert contrast_on_white(colour) >= 3.0


def test_text_has_the_contrast_of_text():
    assert contrast_on_white(palette.INK) >= 7.0
    assert contrast_on_white(palette.QUIET) >= 4.5


@pytest.mark.parametrize("vision", VISIONS)
def test_curves_are_told_apart(vision):
    seen = [oklab(np.array(VISIONS[vision]) @ linear(colour)) for colour in palette.LINES]
    assert min(np.linalg.norm(a - b) for a, b in combinations(seen, 2)) >= 0.12


def test_pairs_of_colour_and_marker_repeat_late():
    pairs = {(palette.style(k)["color"], palette.style(k)["marker"]) for k in range(18)}
    assert len(pairs) == 18


# ---- the schematic


def seen(colour, vision):
    return oklab(np.array(VISIONS[vision]) @ linear(colour))


@pytest.mark.parametrize("ground", palette.GROUNDS)
def test_pressure_has_33_colours_in_equal_steps(ground):
    colours = [seen(colour, "normal") for colour in palette.PRESSURES[ground]]
    steps = [np.linalg.norm(b - a) for a, b in pairwise(colours)]
    assert len(colours) == 33
    assert min(steps) >= 0.8 * max(steps)  # colours are whole numbers of 255


@pytest.mark.parametrize("ground", palette.GROUNDS)
@pytest.mark.parametrize("vision", VISIONS)
def test_more_pressure_stands_out_more_and_a_quarter_of_a_quarter_is_seen(vision, ground):
    """It is ever darker on a light ground, ever brighter on a dark one."""
    further = -1 if ground == "light" else 1
    colours = [seen(colour, vision) for colour in palette.PRESSURES[ground]]
    assert all(further * (b[0] - a[0]) > 0 for a, b in pairwise(colours))
    nine = colours[::4]
    assert min(np.linalg.norm(b - a) for a, b in pairwise(nine)) >= 0.045
    assert further * (nine[-1][0] - nine[0][0]) >= 0.55


@pytest.mark.parametrize("ground", palette.GROUNDS)
@pytest.mark.parametrize("on", ["paper", "body"])
def test_full_lines_are_what_stands_out_most_of_lines(on, ground):
    colours = palette.GROUNDS[ground]
    empty, full = (contrast(palette.PRESSURES[ground][k], colours[on]) for k in (0, -1))
    assert full >= 7.0
    assert full > max(empty, contrast(colours["casing"], colours[on]) if ground == "dark" else 0.0)


@pytest.mark.parametrize("ground", palette.GROUNDS)
@pytest.mark.parametrize("on", ["paper", "body"])
def test_the_schematic_stands_out_from_its_ground(ground, on):
    colours = palette.GROUNDS[ground]
    assert contrast(colours["ink"], colours[on]) >= 7.0  # text and symbols
    assert contrast(colours["quiet"], colours[on]) >= 4.5  # names of units
    for name in ("casing", "fault", "focus"):
        assert contrast(colours[name], colours[on]) >= 3.0, name  # graphics
    assert contrast(colours["ink"], colours["axle"]) >= 4.5  # what is said on a wheel


@pytest.mark.parametrize("ground", palette.GROUNDS)
def test_numbers_in_vessels_stand_out_from_their_pressure(ground):
    """Large bold text: in ink up to 45 % of the full scale, then in the colour of paper."""
    for level, colour in enumerate(palette.PRESSURES[ground]):
        sign = palette.GROUNDS[ground]["paper" if level / 32 > 0.45 else "ink"]
        assert contrast(sign, colour) >= 3.0


def test_a_warning_is_read():
    assert contrast(palette.INK, palette.WARNING) >= 7.0


@pytest.mark.parametrize("ground", palette.GROUNDS)
def test_the_page_has_the_colours_of_the_palette(ground):
    text = (files("pneusim.show") / "web" / "scene.css").read_text("utf-8")
    rule = {"light": r"^\.pneusim \{", "dark": r'^html\[data-ground="dark"\] \.pneusim \{'}[ground]
    block = re.search(rule + r"([^}]*)\}", text, re.MULTILINE)[1]
    told = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", block))
    assert {name: told.get(name) for name in palette.GROUNDS[ground]} == palette.GROUNDS[ground]
    if ground == "light":
        assert told["warning"] == palette.WARNING
