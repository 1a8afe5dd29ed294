"""A report of results for an engineer's file: one HTML file without scripts, or a PDF."""

from pneusim.show.paper.report.report import report

__all__ = ["report"]
