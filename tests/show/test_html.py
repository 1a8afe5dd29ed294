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


def test_the_policy_has_the_hash_of_every_script_and_style_as_written() -> None:
    page = html.document("t", "<p>b</p>", "p{content:'ü'}", 'import "a";\nlet x = "ä";', {"a": "export {};"})
    outline = Outline(page)
    assert rules(page)["style-src"] == [digest(text) for text in outline.texts("style")]
    scripts = outline.texts("script", "importmap") + outline.texts("script", "module")
    assert len(scripts) == 2
    assert rules(page)["script-src"] == [*map(digest, scripts), "data:"]


def test_nothing_is_allowed_that_the_file_has_not() -> None:
    page = html.document("t", "<p>b</p>")
    assert rules(page) == {
        "default-src": ["'none'"], "img-src": ["data:"], "base-uri": ["'none'"], "form-action": ["'none'"]
    }  # fmt: skip
    assert "unsafe" not in page
    assert Outline(page).texts("script") == []


def test_modules_stand_in_the_import_map_letter_by_letter() -> None:
    text = "export const a = '</script>é';\n"
    page = html.document("t", "", script='import "a";', modules={"a": text})
    (imports,) = Outline(page).texts("script", "importmap")
    url = json.loads(imports)["imports"]["a"]
    head, data = url.split(",", 1)
    assert head == "data:text/javascript;base64"
    assert base64.b64decode(data).decode() == text


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


@pytest.mark.parametrize(("style", "script"), [("a{}</STYLE>", ""), ("", "let a = '</script >'"), ("", "// <!-- x")])
def test_a_style_or_script_that_would_close_its_own_element_is_refused(style: str, script: str) -> None:
    with pytest.raises(ValueError, match="must not hold"):
        html.document("t", "", style, script)


def test_nothing_is_fetched_from_anywhere() -> None:
    page = html.document("t", "<p>b</p>", "p{}", 'import "a";', {"a": ""})
    for _, attrs, _ in Outline(page).found:
        for name in ("src", "href", "srcset", "action"):
            assert (attrs.get(name) or "data:").startswith("data:")
