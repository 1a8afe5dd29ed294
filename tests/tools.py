"""What some tests need and Python's installer does not bring: a browser, node and its packages, pango, cairo."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Callable
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

NODE_LEAST = (20, 12)
"""Node inflates raw streams since then, as browsers do."""

MODULES = Path(__file__).parent / "web" / "node_modules"
TYPESCRIPT = MODULES / "typescript" / "bin" / "tsc"
AXE = MODULES / "axe-core" / "axe.min.js"

_BROWSERS = ("chromium", "chromium-browser", "google-chrome-stable", "google-chrome")


@cache
def chromium() -> str | None:
    """The path of a browser that Playwright can drive, None without one."""
    return next((found for name in _BROWSERS if (found := shutil.which(name))), None)


@cache
def node() -> str | None:
    """The path of node, None if there is none or it is too old."""
    found = shutil.which("node")
    if found is None:
        return None
    told = subprocess.run([found, "--version"], capture_output=True, text=True, check=False).stdout
    version = tuple(int(digits) for digits in re.findall(r"\d+", told)[:2])
    return found if version >= NODE_LEAST else None


def _browser() -> str:
    if find_spec("playwright") is None:
        return "playwright is not installed (pip install -e '.[dev]')"
    return "" if chromium() else f"no browser: none of {', '.join(_BROWSERS)} is on the path"


def _node() -> str:
    return "" if node() else f"node {NODE_LEAST[0]}.{NODE_LEAST[1]} or newer is not on the path"


def _package(path: Path) -> Callable[[], str]:
    def lacks() -> str:
        return "" if path.is_file() else f"{path.relative_to(MODULES).parts[0]} is not installed (npm ci in tests/web)"

    return lacks


def _module(name: str, library: str) -> Callable[[], str]:
    def lacks() -> str:
        try:
            import_module(name)
        except ImportError:
            return f"{name} is not installed (pip install -e '.[dev]')"
        except OSError:
            return f"{name} does not find the {library} library"
        return ""

    return lacks


LACKS: dict[str, Callable[[], str]] = {
    "browser": _browser,
    "node": _node,
    "typescript": _package(TYPESCRIPT),
    "axe": _package(AXE),
    "weasyprint": _module("weasyprint", "pango"),
    "cairosvg": _module("cairosvg", "cairo"),
}
"""For every tool that a test can need, what says why it cannot be used ("" if it can)."""
