"""Tests that need a browser, node, a package of node, or pango say so: ``@pytest.mark.needs("browser")``.

Where the tool is missing they are skipped with the reason, or fail if PNEUSIM_REQUIRE_ALL=1 is set.
"""

from __future__ import annotations

import os

import pytest

from tests.tools import LACKS

REQUIRED = "PNEUSIM_REQUIRE_ALL"


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", f"needs(*tools): what the test cannot do without, of {', '.join(LACKS)}")


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    tools = [tool for marker in item.iter_markers("needs") for tool in marker.args]
    reason = next((reason for tool in tools if (reason := LACKS[tool]())), "")
    if reason and os.environ.get(REQUIRED) == "1":
        pytest.fail(f"{reason}, and {REQUIRED}=1 asks for it", pytrace=False)
    if reason:
        pytest.skip(reason)
