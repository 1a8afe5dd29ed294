"""What ``import pneusim`` offers, and that it costs nothing."""

import subprocess
import sys
from importlib.metadata import version

import pytest

import pneusim


def test_all_names_are_there():
    assert sorted(pneusim.__all__) == [
        "Channel", "Circuit", "Component", "Event", "ExpectationNotMet", "Fault", "InvalidFile", "Line",
        "MeasureResult", "PneusimError", "Report", "Run", "RunFailed", "Scenario", "Step", "Stepper", "UsageError",
        "__version__", "add_parts", "compare", "draw", "fit", "handout", "judge", "lint", "load", "plot", "read",
        "read_result", "replay", "report", "run", "store", "sweep", "warmup",
    ]  # fmt: skip
    for name in pneusim.__all__:
        assert getattr(pneusim, name) is not None
    assert set(dir(pneusim)) >= set(pneusim.__all__)


def test_a_name_that_is_not_there_is_an_attribute_error():
    with pytest.raises(AttributeError, match="no attribute 'lod'"):
        pneusim.lod  # noqa: B018


def test_version_is_that_of_the_distribution():
    assert pneusim.__version__ == version("pneusim")


def test_importing_loads_nothing_heavy():
    code = "import pneusim, sys; print(sorted(sys.modules))"
    done = subprocess.run([sys.executable, "-Werror", "-c", code], capture_output=True, text=True, check=True)
    assert not {"numpy", "scipy", "numba", "matplotlib", "pydantic", "rich"} & set(eval(done.stdout))


def test_names_are_one_object():
    from pneusim.results.run import Run

    assert pneusim.Run is Run
