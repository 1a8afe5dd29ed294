"""Writes equations as MathML: browsers show it by themselves, so that the pages need neither scripts nor a network."""

from __future__ import annotations

from typing import Any, NoReturn

from docutils import nodes
from docutils.utils.math.latex2mathml import MathError, tex2mathml
from sphinx.application import Sphinx
from sphinx.util import logging

_log = logging.getLogger(__name__)


def _mathml(node: nodes.Element, block: bool) -> str:
    try:
        return str(tex2mathml(node.astext(), as_block=block))
    except MathError as error:
        _log.warning("the equation cannot be written as MathML: %s", error, location=node)
        return ""


def _inline(translator: Any, node: nodes.math) -> NoReturn:
    translator.body.append(_mathml(node, block=False))
    raise nodes.SkipNode


def _block(translator: Any, node: nodes.math_block) -> NoReturn:
    translator.body.append(f'<div class="math">{_mathml(node, block=True)}</div>\n')
    raise nodes.SkipNode


def setup(app: Sphinx) -> dict[str, bool]:
    """Offer the renderer under the name of this module."""
    app.add_html_math_renderer("mathml", (_inline, None), (_block, None))
    return {"parallel_read_safe": True, "parallel_write_safe": True}
