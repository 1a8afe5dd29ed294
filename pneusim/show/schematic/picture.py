"""``pneusim.draw``: a circuit's schematic as SVG, PNG or PDF."""

from __future__ import annotations

from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path
from types import ModuleType

from pneusim.circuit.circuit import Circuit
from pneusim.errors import UsageError
from pneusim.show.schematic.cache import laid_out
from pneusim.show.schematic.layout import Layout
from pneusim.show.schematic.render import svg
from pneusim.show.schematic.sheet import sheet
from pneusim.show.written import written

FORMATS = (".svg", ".png", ".pdf")
PIXELS = 1920
"""Width of a PNG."""


@dataclass(frozen=True, repr=False)
class Drawing:
    """A drawn circuit; a notebook shows it by itself."""

    svg: str
    layout: Layout = field(compare=False)

    def __repr__(self) -> str:
        """Tell how large it is."""
        return f"<Drawing of {self.layout.sheet.title!r}: {len(self.svg)} characters of SVG>"

    def _repr_svg_(self) -> str:
        """SVG for a notebook."""
        return self.svg

    def save(self, path: str | Path) -> Path:
        """Write the drawing; the ending of ``path`` chooses .svg, .png or .pdf.

        Raises
        ------
        UsageError
            If the ending is another, cairosvg is not installed, or the file cannot be written.
        """
        path = Path(path)
        check_ending(path)
        data = self.svg.encode("utf-8") if path.suffix == ".svg" else _converted(self.svg, path.suffix)
        return written(path, data)


def draw(circuit: Circuit, unit: str | None = None) -> Drawing:
    """Draw a circuit, or one of its units.

    The vehicle is seen from above with its front at the left, so that left wheels are at the bottom.  Places come from
    the file (``pos``, ``layout``), then from axle and side, then from the kind of part; the rest is searched for, with
    fixed seeds: the same circuit gives the same picture.

    Parameters
    ----------
    circuit : Circuit
    unit : str, optional
        Name of the vehicle to be drawn alone; all of them if left out.

    Raises
    ------
    UsageError
        If there is no such unit, or a line cannot be drawn.

    Examples
    --------
    >>> from pneusim.reading import load
    >>> drawing = draw(load("tank-and-orifice"))
    >>> drawing.svg.startswith("<svg"), 'id="c-tank"' in drawing.svg
    (True, True)
    """
    made = laid_out(sheet(circuit, unit))
    return Drawing(svg(made), made)


def check_ending(path: Path) -> None:
    """Raise a UsageError if a file's ending is none of a picture that can be made here."""
    if path.suffix not in FORMATS:
        raise UsageError(f"{path}: a drawing is written as {', '.join(FORMATS)}; give the file one of these endings")
    if path.suffix != ".svg":
        _cairosvg(path.suffix)


def _converted(text: str, ending: str) -> bytes:
    cairosvg = _cairosvg(ending)
    data: bytes
    if ending == ".png":
        data = cairosvg.svg2png(bytestring=text.encode("utf-8"), output_width=PIXELS)
    else:
        data = cairosvg.svg2pdf(bytestring=text.encode("utf-8"))
    return data


def _cairosvg(ending: str) -> ModuleType:
    try:
        return import_module("cairosvg")
    except (ImportError, OSError):  # OSError: the package is there, the cairo library is not
        raise UsageError(
            f"a {ending} needs the package cairosvg and the cairo library; install them with "
            "pip install 'pneusim[pdf]', or write an .svg"
        ) from None
