"""A report of results for an engineer's file: one HTML file without scripts, or a PDF."""

from pneusim.show.report.document import Document, report

__all__ = ["Document", "report"]
