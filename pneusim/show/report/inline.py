"""SVG that stands inside an HTML page whose policy allows no styles but its own."""

from __future__ import annotations

import re
from html import escape
from io import StringIO

import matplotlib

from pneusim.show.drawing import STYLE, RunFigure

_STYLE = re.compile(r'\sstyle="([^"]*)"')
_SHEET = re.compile(r"<style[^>]*>(.*?)</style>", re.DOTALL)
_NAMES = re.compile(r'((?:\sid|xlink:href|\shref)="#?|url\(#)')
_FONT_PARTS = ("font-style", "font-weight", "font-size", "font-family")
_FONT = re.compile(r"(?:(italic|oblique)\s+)?(?:(bold|\d+)\s+)?([\d.]+px)\s+(.*)")


def plotted(figure: RunFigure, prefix: str, words: str) -> str:
    """A figure as SVG with text as text, for a page: what it tells in ``words`` for people who do not see it."""
    buffer = StringIO()
    with matplotlib.rc_context(STYLE):
        figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None})
    svg = buffer.getvalue()
    svg = svg[svg.index("<svg") :]
    svg = re.sub(r"\s*<metadata>.*?</metadata>", "", svg, flags=re.DOTALL)
    svg = _STYLE.sub(lambda match: _attributes(match[1]), _SHEET.sub("", svg))
    svg = re.sub(r"<svg ([^>]*?)width=\"[^\"]*\" height=\"[^\"]*\" ", r"<svg \1", svg, count=1)
    return _prefixed(svg, prefix).replace("<svg ", f'<svg class="plot" role="img" aria-label="{escape(words)}" ', 1)


def drawn(svg: str, prefix: str) -> tuple[str, str]:
    """A schematic without its style sheet, and the style sheet."""
    sheet = _SHEET.search(svg)
    return _prefixed(_SHEET.sub("", svg), prefix), sheet[1] if sheet else ""


def _prefixed(svg: str, prefix: str) -> str:
    """The picture with names of its own, so that several can stand on one page."""
    return _NAMES.sub(lambda match: f"{match[1]}{prefix}-", svg)


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
