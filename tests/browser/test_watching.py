"""Silence means something: a page that writes, throws, asks, loads, or breaks its policy is heard."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from pneusim.show import html
from tests.browser.watched import Watched, until

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.needs("browser")

NOISES = {
    "console log: here": ("", "console.log('here')"),
    "thrown: here": ("", "throw new Error('here')"),
    "dialog: here": ("", "alert('here')"),
    "request: file:///nowhere.png": ("<img src='file:///nowhere.png' alt=''>", ""),
    "console error: Applying inline style violates": ("<p style='color: red'>here</p>", ""),
    "console error: Executing inline event handler violates": ("<img src='data:,' alt='' onerror='alert(1)'>", ""),
    "console error: Executing inline script violates": ("<script>alert(1)</script>", ""),
    "console error: Loading the script 'data:": ("<script src='data:text/javascript,alert(1)'></script>", ""),
    "console error: Loading the script 'file:": ("<script src='other.js'></script>", ""),
    "console error: Connecting to 'http": ("", "fetch('http://127.0.0.1:9/').catch(() => undefined)"),
    "console error: Loading the stylesheet": ("<link rel='stylesheet' href='http://127.0.0.1:9/a.css'>", ""),
    "thrown: Evaluating a string as JavaScript violates": ("", "eval('1')"),
}


@pytest.mark.parametrize("noise", NOISES)
def test_a_noise_is_heard(noise: str, browser: Browser, tmp_path: Path) -> None:
    body, script = NOISES[noise]
    path = tmp_path / "page.html"
    path.write_text(html.document("noise", body, "p{color:#003}", {"main": script or "1"}), encoding="utf-8")
    watched = Watched(browser)
    watched.open(path)
    until(lambda: watched.page.evaluate("1") and watched.heard, noise)
    watched.close()
    assert any(line.startswith(noise) for line in watched.heard), watched.heard


def test_a_quiet_page_is_silent(browser: Browser, tmp_path: Path) -> None:
    path = tmp_path / "page.html"
    main = 'import { x } from "one";\ndocument.querySelector("p").textContent = x;'
    modules = {"one": "export const x = 'two';", "main": main}
    path.write_text(html.document("quiet", "<p>one</p>", "p{color:#003}", modules), encoding="utf-8")
    watched = Watched(browser)
    page = watched.open(path)
    page.get_by_text("two").wait_for()
    watched.close()
    assert watched.heard == []
