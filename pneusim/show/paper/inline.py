"""SVG that stands inside an HTML page whose policy allows no styles but its own."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import escape
from io import StringIO

import matplotlib

from pneusim.show.figures.panels import STYLE, RunFigure
from pneusim.show.markup import Html

STYLE_PLACE = "<!--style-->"
"""Where a schematic takes its style sheet if it must hold one: right behind its first tag."""

_SHEET = re.compile(r"<style[^>]*>(.*?)</style>", re.DOTALL)
_TAG = re.compile(r"<[a-zA-Z][^<>]*>")
_ATTRIBUTE = re.compile(r'\s([\w:-]+)="([^"]*)"')
_POINTS = ("clip-path", "fill", "stroke", "mask", "filter", "marker-start", "marker-mid", "marker-end")
"""Attributes whose value may be a ``url(#...)``."""

_FONT_PARTS = ("font-style", "font-weight", "font-size", "font-family")
_FONT = re.compile(r"(?:(italic|oblique)\s+)?(?:(bold|\d+)\s+)?([\d.]+px)\s+(.*)")


def plotted(figure: RunFigure, prefix: str, words: str) -> Html:
    """A figure as SVG with text as text, for a page: what it tells in ``words`` for people who do not see it."""
    buffer = StringIO()
    with matplotlib.rc_context(STYLE):
        figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None})
    svg = buffer.getvalue()
    svg = svg[svg.index("<svg") :]
    svg = re.sub(r"\s*<metadata>.*?</metadata>", "", svg, flags=re.DOTALL)
    svg = _in_tags(_styled, _SHEET.sub("", svg))
    svg = re.sub(r"<svg ([^>]*?)width=\"[^\"]*\" height=\"[^\"]*\" ", r"<svg \1", svg, count=1)
    told = f'<svg class="plot" role="img" aria-label="{escape(words)}" '
    return Html(_prefixed(svg, prefix).replace("<svg ", told, 1))


def drawn(svg: str, prefix: str) -> tuple[Html, str]:
    """A schematic without its style sheet but with the place for it, and the style sheet."""
    sheet = _SHEET.search(svg)
    bare = _prefixed(_SHEET.sub("", svg), prefix)
    return Html(bare.replace(">", f">{STYLE_PLACE}", 1)), sheet[1] if sheet else ""


def _in_tags(change: Callable[[str, str], str], svg: str) -> str:
    """The picture with its attributes changed, given as name and value; what stands between tags is text and stays."""
    return _TAG.sub(lambda tag: _ATTRIBUTE.sub(lambda found: change(found[1], found[2]), tag[0]), svg)


def _prefixed(svg: str, prefix: str) -> str:
    """The picture with names of its own, so that several can stand on one page."""

    def renamed(name: str, value: str) -> str:
        if name == "id":
            value = f"{prefix}-{value}"
        elif name in ("href", "xlink:href") and value.startswith("#"):
            value = f"#{prefix}-{value[1:]}"
        elif name in _POINTS and value.startswith("url(#"):
            value = f"url(#{prefix}-{value[5:]}"
        return f' {name}="{value}"'

    return _in_tags(renamed, svg)


def _styled(name: str, value: str) -> str:
    return _attributes(value) if name == "style" else f' {name}="{value}"'


def _attributes(style: str) -> str:
    """A style as attributes, which the page's policy does not forbid."""
    pairs = [tuple(word.strip() for word in entry.split(":", 1)) for entry in style.split(";") if ":" in entry]
    found: dict[str, str] = {}
    for name, value in pairs:
        if name == "font" and (parts := _FONT.match(value)):
            found |= dict(zip(_FONT_PARTS, parts.groups(default="normal")))
        else:
            found[name] = value
    return "".join(f' {name}="{value}"' for name, value in found.items())
