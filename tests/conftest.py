"""Tests that need a browser, node, a package of node, or pango say so: ``@pytest.mark.needs("browser")``.

Where the tool is missing they are skipped with the reason, or fail if PNEUSIM_REQUIRE names it.
"""

from __future__ import annotations

import os

import pytest

from tests.tools import LACKS

REQUIRED = "PNEUSIM_REQUIRE"


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", f"needs(*tools): what the test cannot do without, of {', '.join(LACKS)}")


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    tools = [tool for marker in item.iter_markers("needs") for tool in marker.args]
    lacking = {tool: reason for tool in tools if (reason := LACKS[tool]())}
    for tool in os.environ.get(REQUIRED, "").split():
        if tool in lacking:
            pytest.fail(f"{lacking[tool]}, and {REQUIRED} asks for {tool}", pytrace=False)
    if lacking:
        pytest.skip(next(iter(lacking.values())))
