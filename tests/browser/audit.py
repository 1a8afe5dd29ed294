"""The rules of axe-core on an open page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.tools import AXE

if TYPE_CHECKING:
    from playwright.sync_api import Page

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def violations(page: Page) -> list[str]:
    """What axe finds, rule and places; its page must have been opened with ``bypass_csp=True``.

    That a name holds what is written (2.5.3) is asked of the picture elsewhere: axe takes the port numbers and
    pressures that are drawn in a part for its label.
    """
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("tags => axe.run({runOnly: tags})", TAGS)
    for one in found["violations"]:
        if one["id"] == "label-content-name-mismatch":
            inside = "places => places.filter(place => !document.querySelector(place)?.closest('#hosts'))"
            kept = page.evaluate(inside, [node["target"][-1] for node in one["nodes"]])
            one["nodes"] = [node for node in one["nodes"] if node["target"][-1] in kept]
    assert len(found["passes"]) > 10
    return [
        f"{one['id']} ({one['help']}): {', '.join(str(node['target']) for node in one['nodes'][:5])}"
        for one in found["violations"]
        if one["nodes"]
    ]
