"""Every published figure is complete, readable and honest about where it comes from."""

import pytest

from pneusim.quantities import DIMENSIONS
from tests.reference_figures import HOW_OBTAINED, Figure, figures

ALL = [pytest.param(figure, id=name) for name, figure in figures().items()]
UNITS = {unit for dimension in DIMENSIONS.values() for unit in dimension.units}


@pytest.mark.parametrize("figure", ALL)
def test_figure_is_complete(figure: Figure):
    assert figure.title
    assert set(figure.source) == {"title", "edition", "clause_or_page"}
    assert all(isinstance(text, str) and text for text in figure.source.values())
    assert figure.how_obtained in HOW_OBTAINED
    assert set(figure.tolerance) in ({"relative"}, {"absolute"})
    assert len(figure.why) > 5
    assert figure.unit == 1 or figure.unit.removesuffix(" abs") in UNITS
    assert figure.printed_precision > 0.0


@pytest.mark.parametrize("figure", ALL)
def test_value_and_inputs_are_readable(figure: Figure):
    assert figure.expected != 0.0
    assert 0.0 < figure.margin < 0.2 * abs(figure.expected)
    for name in figure.inputs:
        assert isinstance(figure[name], int | float | str)


@pytest.mark.parametrize("figure", ALL)
def test_what_is_remembered_or_our_own_is_not_called_validation(figure: Figure):
    words = str(figure.source) + figure.why
    if "of our own" in words:
        assert figure.how_obtained == "verification"
    if not figure.is_validation:
        assert figure.how_obtained in ("verification", "memory")
    if figure.how_obtained == "memory":
        assert "from memory" in words.lower() or "no source" in words


def test_a_figure_out_of_tolerance_fails_and_tells_its_source():
    figure = figures()["balmer_16_8_unchoke_time"]
    figure.check(18.75)
    with pytest.raises(AssertionError, match="Balmer"):
        figure.check(19.0)
