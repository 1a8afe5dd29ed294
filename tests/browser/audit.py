"""The rules of axe-core on an open page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.tools import AXE

if TYPE_CHECKING:
    from playwright.sync_api import Page

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def violations(page: Page) -> list[str]:
    """What axe finds, rule and places; its page must have been opened with ``bypass_csp=True``."""
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("tags => axe.run({runOnly: tags})", TAGS)
    assert len(found["passes"]) > 10
    return [
        f"{one['id']} ({one['help']}): {', '.join(str(node['target']) for node in one['nodes'][:5])}"
        for one in found["violations"]
    ]
