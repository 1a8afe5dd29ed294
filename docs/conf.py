"""Settings of the documentation: `sphinx-build -W -b html docs DIR` builds it."""

from __future__ import annotations

import sys
from importlib.metadata import version as installed
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "_ext"))

from pneusim.results.run import CAUTION

project = "pneusim"
version = release = installed("pneusim")
extensions = ["myst_nb", "mathml", "part_pages"]
exclude_patterns = ["_*", ".*"]
nitpicky = True

myst_enable_extensions = ["amsmath", "dollarmath"]
myst_heading_anchors = 3
html_math_renderer = "mathml"
nb_execution_mode = "off"  # a test runs the notebooks; the site shows what they hold

html_theme = "alabaster"
html_title = "pneusim"
html_theme_options = {
    "description": "What a heavy vehicle's air-brake circuit does",
    "page_width": "75rem",
    "sidebar_width": "16rem",
    "body_text_align": "left",
    "link": "#0a4fa3",
    "link_hover": "#06326a",
    "gray_1": "#444b55",
    "gray_2": "#eef0f3",
    "sidebar_text": "#1b1f27",
    "sidebar_link": "#1b1f27",
}
html_sidebars = {"**": ["about.html", "searchbox.html", "navigation.html"]}
html_static_path = ["_static"]
html_css_files = ["pages.css"]
html_copy_source = html_show_sourcelink = False
templates_path = ["_templates"]
html_context = {"caution": CAUTION}
