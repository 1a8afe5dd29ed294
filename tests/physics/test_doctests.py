"""Every public law carries its units, its source and a worked number that runs."""

import doctest
import importlib
import inspect

import pytest

MODULES = (
    "adhesion", "air", "chamber", "combined_slip", "compressor", "divergence", "flow", "friction", "line_gradients",
    "lines", "plain", "shoes", "stopping", "surface_fit", "train", "tread", "valves", "wheel",
)  # fmt: skip


def public_laws():
    for short in MODULES:
        module = importlib.import_module(f"pneusim.physics.{short}")
        for name, law in vars(module).items():
            function = inspect.unwrap(getattr(law, "py_func", law))
            ours = inspect.isfunction(function) and function.__module__.startswith("pneusim.")
            if ours and not name.startswith("_") and name != "law":
                yield pytest.param(module, name, function, id=f"{short}.{name}")


@pytest.mark.parametrize(("module", "name", "function"), list(public_laws()))
def test_worked_number(module, name, function):
    assert function.__doc__ is not None
    for section in ("Parameters", "Returns", "Examples"):
        assert f"{section}\n    ---" in function.__doc__, f"{name} has no {section}"
    examples = doctest.DocTestFinder(recurse=False).find(function, name, globs=dict(vars(module)))
    assert sum(len(example.examples) for example in examples) > 0
    for example in examples:
        report: list[str] = []
        result = doctest.DocTestRunner().run(example, out=report.append)
        assert result.failed == 0, "".join(report)


def test_the_package_itself_imports_nothing():
    import subprocess
    import sys

    code = "import sys, pneusim.physics, pneusim.physics.plain; sys.exit('numba' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
