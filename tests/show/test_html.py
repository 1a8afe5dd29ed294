"""A file that stands alone: its policy names exactly what stands in it, and no text gets out of its element."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from html import unescape
from html.parser import HTMLParser

import pytest

from pneusim.show import html

HOSTILE = "</script><script>alert(1)</script><!-- ]]> \u2028 &lt; 'quoted' \"double\" \\u003c"


class Outline(HTMLParser):
    """Elements with their attributes and texts, as a browser cuts them."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[tuple[str, dict[str, str | None], str]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs), ""))

    def handle_endtag(self, tag: str) -> None:
        self.found.append(("", {}, ""))

    def handle_data(self, data: str) -> None:
        if self.found:
            tag, attrs, text = self.found[-1]
            self.found[-1] = (tag, attrs, text + data)

    def texts(self, tag: str, kind: str | None = None) -> list[str]:
        return [text for name, attrs, text in self.found if name == tag and (kind is None or attrs.get("type") == kind)]


def rules(page: str) -> dict[str, list[str]]:
    found = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', page)
    assert found is not None
    return {words[0]: words[1:] for words in (rule.split() for rule in unescape(found[1]).split(";"))}


def digest(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def test_the_policy_has_the_hash_of_the_script_and_the_style_as_written() -> None:
    modules = {"a": "export {};", "main": 'import "a";\nlet x = "ä";'}
    page = html.document("t", "<p>b</p>", "p{content:'ü'}", modules)
    outline = Outline(page)
    assert rules(page)["style-src"] == [digest(text) for text in outline.texts("style")]
    (script,) = outline.texts("script")
    assert rules(page)["script-src"] == [digest(script), "blob:"]


def test_nothing_is_allowed_that_the_file_has_not() -> None:
    page = html.document("t", "<p>b</p>")
    assert rules(page) == {
        "default-src": ["'none'"], "img-src": ["data:"], "base-uri": ["'none'"], "form-action": ["'none'"]
    }  # fmt: skip
    assert "unsafe" not in page
    assert Outline(page).texts("script") == []


def test_modules_stand_in_the_script_letter_by_letter() -> None:
    modules = {"a": "export const a = '</script>é<!-- ';\n", "main": 'import { a } from "a";'}
    (script,) = Outline(html.document("t", "", modules=modules)).texts("script")
    found = re.match("const MODULES = (.*);$", script, re.MULTILINE)
    assert found is not None
    assert json.loads(found[1]) == modules


def test_an_import_is_found_however_it_is_written() -> None:
    text = 'import "a";\nimport { b,\n  c } from "b-b";\nexport { d } from "c";\nconst e = "f"; // import "g";\n'
    assert [name for _, name in html.IMPORT.findall(text)] == ["a", "b-b", "c"]


def test_no_text_leaves_the_block_of_data() -> None:
    page = html.document("t", html.json_block("data", {"name": HOSTILE, HOSTILE: [HOSTILE]}))
    (text,) = Outline(page).texts("script")
    assert json.loads(text) == {"name": HOSTILE, HOSTILE: [HOSTILE]}
    assert "<" not in text


def test_a_number_that_is_none_is_no_data() -> None:
    with pytest.raises(ValueError, match="JSON"):
        html.json_block("data", {"a": float("nan")})


def test_a_title_is_text() -> None:
    page = html.document(HOSTILE, "")
    assert Outline(page).texts("script") == []
    assert Outline(page).texts("title")[0].startswith("</script><script>alert(1)")


@pytest.mark.parametrize("style", ["a{}</STYLE>", "/* <!-- */"])
def test_a_style_that_would_close_its_own_element_is_refused(style: str) -> None:
    with pytest.raises(ValueError, match="must not hold"):
        html.document("t", "", style)


def test_nothing_is_fetched_from_anywhere() -> None:
    page = html.document("t", "<p>b</p>", "p{}", {"a": "", "main": 'import "a";'})
    for _, attrs, _ in Outline(page).found:
        for name in ("src", "href", "srcset", "action"):
            assert (attrs.get(name) or "data:").startswith("data:")
