"""HTML files that stand alone: escaped text, data, scripts and styles inside, and nothing else may load or run.

The policy in a file's head names the hash of the one script and the one style that the file holds, taken from the very
text that is written; what a circuit file puts into a name can therefore neither run nor be fetched.  That script holds
all modules: it gives each a ``blob:`` address, which nothing but a running script can make, and imports the last.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
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
{style}</head>
<body>
{body}
{script}</body>
</html>
"""

IMPORT = re.compile(r'^((?:import|export)\b[^;"]*)"([\w-]+)";', re.MULTILINE)
"""How a module names another one: all before its bare name, and the name."""

_START = """
const urls = {};
for (const [name, text] of Object.entries(MODULES)) {
  const linked = text.replace(IMPORT, (all, head, other) => `${head}"${urls[other]}";`);
  urls[name] = URL.createObjectURL(new Blob([linked], { type: "text/javascript" }));
}
await import(Object.values(urls).pop());
"""
"""Runs the last of the modules; each may import those before it."""


def document(title: str, body: str, style: str = "", modules: Mapping[str, str] | None = None) -> str:
    """A whole HTML file.

    Parameters
    ----------
    title : str
        Plain text.
    body : str
        HTML, its names escaped already.
    style : str
        Text of the style sheet.
    modules : mapping of str to str, optional
        Text of every module by the bare name that it is imported by, each after those that it imports; the last
        one runs.

    Raises
    ------
    ValueError
        If the style would close its own element.

    Examples
    --------
    >>> page = document("<b>", "<p>one</p>", "p{color:red}")
    >>> "<title>&lt;b&gt;</title>" in page, "script-src" in page
    (True, False)
    """
    for forbidden in ("</style", "<!--"):
        if forbidden in style.lower():
            raise ValueError(f"a style must not hold {forbidden!r}")
    script = _script(modules) if modules else ""
    return TEMPLATE.format(
        policy=policy(style, script), title=escape(title), body=body,
        style=f"<style>{style}</style>\n" if style else "",
        script=f'<script type="module">{script}</script>\n' if script else "",
    )  # fmt: skip


def policy(style: str, script: str) -> str:
    """The content security policy that lets these texts in, modules that the script makes, and pictures in the file.

    Examples
    --------
    >>> policy("", "")
    "default-src 'none'; img-src data:; base-uri 'none'; form-action 'none'"
    """
    rules = ["default-src 'none'", "img-src data:", "base-uri 'none'", "form-action 'none'"]
    if style:
        rules.append(f"style-src {_hash(style)}")
    if script:
        rules.append(f"script-src {_hash(script)} blob:")
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
    return f'<script type="application/json" id="{escape(name)}">{_json(data)}</script>'


def _script(modules: Mapping[str, str]) -> str:
    """The script that holds the modules as texts, links them, and runs the last."""
    return f"const MODULES = {_json(modules)};\nconst IMPORT = /{IMPORT.pattern}/gm;{_START}"


def _json(data: Any) -> str:
    """JSON in which nothing closes an element."""
    return json.dumps(data, separators=(",", ":"), ensure_ascii=False, allow_nan=False).replace("<", "\\u003c")


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode('utf-8')).digest()).decode()}'"
