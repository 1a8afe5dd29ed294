"""HTML files that stand alone: escaped text, data, scripts and styles inside, and nothing else may load or run.

The policy in a file's head names the hash of every script and style that the file holds, taken from the very text that
is written; what a circuit file puts into a name can therefore neither run nor be fetched.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Mapping
from html import escape
from typing import Any

TEMPLATE = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="data:,">
<title>{title}</title>
<style>{style}</style>
</head>
<body>
{body}
{scripts}</body>
</html>
"""


def document(title: str, body: str, style: str = "", script: str = "", modules: Mapping[str, str] | None = None) -> str:
    """A whole HTML file.

    Parameters
    ----------
    title : str
        Plain text.
    body : str
        HTML, its names escaped already.
    style, script : str
        Text of the style sheet, and of the module that runs.
    modules : mapping of str to str, optional
        Text of every other module by the bare name that it is imported by.

    Raises
    ------
    ValueError
        If a script or style would close its own element.

    Examples
    --------
    >>> page = document("<b>", "<p>one</p>", "p{color:red}")
    >>> "<title>&lt;b&gt;</title>" in page, "script-src" in page
    (True, False)
    """
    _closes_nothing(style, "style")
    _closes_nothing(script, "script")
    imports = json.dumps({"imports": {name: _as_url(text) for name, text in sorted((modules or {}).items())}})
    scripts = ""
    if script:
        scripts = f'<script type="importmap">{imports}</script>\n<script type="module">{script}</script>\n'
    return TEMPLATE.format(
        policy=policy([style] if style else [], [imports, script] if script else []),
        title=escape(title), style=style, body=body, scripts=scripts,
    )  # fmt: skip


def policy(styles: list[str], scripts: list[str]) -> str:
    """The content security policy that lets these texts in, and pictures and modules that stand in the file.

    Examples
    --------
    >>> policy([], [])
    "default-src 'none'; img-src data:; base-uri 'none'; form-action 'none'"
    """
    rules = ["default-src 'none'", "img-src data:", "base-uri 'none'", "form-action 'none'"]
    if styles:
        rules.append(f"style-src {' '.join(map(_hash, styles))}")
    if scripts:
        rules.append(f"script-src {' '.join(map(_hash, scripts))} data:")
    return "; ".join(rules)


def json_block(name: str, data: Any) -> str:
    r"""Data for the page's own script, which finds it by the id ``name``; no text in it can close the element.

    Raises
    ------
    ValueError
        If a number is not finite: JSON knows none.

    Examples
    --------
    >>> json_block("replay", {"title": "</script>"})
    '<script type="application/json" id="replay">{"title":"\\u003c/script>"}</script>'
    """
    text = json.dumps(data, separators=(",", ":"), ensure_ascii=False, allow_nan=False).replace("<", "\\u003c")
    return f'<script type="application/json" id="{escape(name)}">{text}</script>'


def _closes_nothing(text: str, element: str) -> None:
    for forbidden in (f"</{element}", "<!--"):
        if forbidden in text.lower():
            raise ValueError(f"a {element} must not hold {forbidden!r}")


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode('utf-8')).digest()).decode()}'"


def _as_url(text: str) -> str:
    return "data:text/javascript;base64," + base64.b64encode(text.encode("utf-8")).decode()
