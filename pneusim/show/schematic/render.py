"""The SVG text of a routed sheet."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from pneusim.show.schematic.labels import FONT
from pneusim.show.schematic.layout import Layout
from pneusim.show.schematic.legend import legend
from pneusim.show.schematic.place import CELL
from pneusim.show.schematic.ports import Pin
from pneusim.show.schematic.route import lead_in
from pneusim.show.schematic.sheet import Net, Node
from pneusim.show.schematic.spots import LINE, Label, number_area
from pneusim.show.schematic.symbols import draw_symbol, is_directed, is_round
from pneusim.show.schematic.symbols.strokes import num, signal
from pneusim.show.schematic.vehicle import vehicle_group

INK, PAPER = "#1b1f27", "#ffffff"
_NUMBER = 14

Point = tuple[float, float]

STYLE = f"""
svg.pneusim{{font-family:"Liberation Sans",Arial,Helvetica,sans-serif}}
.pneusim .c path,.pneusim .c rect,.pneusim .c circle{{fill:none;stroke:{INK};stroke-width:1.8;stroke-linejoin:round}}
.pneusim .c .o{{fill:{PAPER}}} .pneusim .c .f{{fill:{INK}}} .pneusim .c .fill{{fill:#dfe5ea;stroke:none}}
.pneusim .c .square{{fill:none;stroke:none}}
.pneusim path[stroke-width="4"]{{stroke-width:4}} .pneusim path[stroke-width="3.5"]{{stroke-width:3.5}}
.pneusim text{{fill:{INK};font-size:{FONT}px}} .pneusim text.mark{{text-anchor:middle;font-weight:600}}
.pneusim text.number{{font-size:{_NUMBER}px}}
.pneusim .halo{{stroke:{PAPER};fill:{PAPER};stroke-width:4;stroke-linejoin:round}}
.pneusim .casing,.pneusim .core{{fill:none;stroke-linejoin:round}}
.pneusim .casing{{stroke:{INK};stroke-width:5}} .pneusim .core{{stroke:#9fb3c4;stroke-width:2.4}}
.pneusim .pilot .casing{{stroke:{PAPER};stroke-width:5}}
.pneusim .pilot .core{{stroke:{INK};stroke-width:2.4;stroke-dasharray:8 5}}
.pneusim .hose .casing{{stroke-width:7.5}} .pneusim .hose .core{{stroke-width:4}}
.pneusim .pilot.hose .casing{{stroke:{INK};stroke-width:7.5}}
.pneusim .pilot.hose .rim{{fill:none;stroke:{PAPER};stroke-width:5}}
.pneusim .dot{{fill:{INK}}}
.pneusim .body{{fill:#eef1f4;stroke:#b4bdc8;stroke-width:2}} .pneusim .axle{{stroke:#c3cad3;stroke-width:12}}
.pneusim .tyre{{fill:#c3cad3}} .pneusim text.unit{{fill:#46505c;font-weight:600}}
"""


def svg(layout: Layout) -> str:
    """The drawing as SVG; the same layout gives the same text."""
    width, height = CELL * layout.frame.width, CELL * layout.frame.height
    title = escape(layout.sheet.title)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="pneusim" viewBox="0 0 {width} {height}" role="img" '
        f'aria-label="{title}">'
    )
    return "\n".join(
        [
            head, f"<title>{title}</title>", f"<style>{STYLE}</style>",
            f'<rect width="{width}" height="{height}" fill="{PAPER}"/>',
            '<g id="vehicles">', *(vehicle_group(unit, layout) for unit in layout.sheet.units), "</g>",
            *(signal_group(layout, net) for net in layout.sheet.signals),
            '<g id="lines">', *(line_group(layout, net) for net in layout.sheet.nets), "</g>",
            '<g id="components">', *(component_group(layout, name) for name in layout.sheet.nodes), "</g>",
            *legend(layout),
            "</svg>", "",
        ]
    )  # fmt: skip


def line_group(layout: Layout, net: Net, strokes: str = "") -> str:
    """A net; ``strokes`` take the place of those of a still picture."""
    kinds = " ".join(["line", *(["pilot"] if net.pilot else []), *(["hose"] if net.hose else [])])
    d = " ".join(path_of(points) for points in outline(layout, net))
    rim = f'<path class="rim" d="{d}"/>' if net.pilot and net.hose else ""
    met = layout.routes.found[net.id].dots
    dots = "".join(f'<circle class="dot" cx="{CELL * x}" cy="{CELL * y}" r="5.5"/>' for x, y in met)
    still = f'<path class="casing" d="{d}"/>{rim}<path class="core" d="{d}"/>'
    return (
        f'<g class="{kinds}" id="{escape(net.id)}"><title>{escape(_told(net))}</title>'
        f"{strokes or still}{dots}</g>"
    )


def signal_group(layout: Layout, net: Net) -> str:
    """A thin stroke below the lines, "" if it found no way."""
    found = layout.routes.signals.get(net.id)
    if found is None:
        return ""
    d = " ".join(path_of((CELL * x, CELL * y) for x, y in branch) for branch in found.branches)
    dots = "".join(f'<circle class="dot" cx="{CELL * x}" cy="{CELL * y}" r="3.5"/>' for x, y in found.dots)
    return f'<g class="signal"><title>{escape(net.title)}</title>{signal(d)}{dots}</g>'


def _told(net: Net) -> str:
    if net.id.startswith("j-"):
        return net.title
    (a, p), (b, q) = net.ends
    return f"{net.id[2:]}: {net.title}, from {a}.{p} to {b}.{q}"


def path_of(points: Iterable[Point]) -> str:
    """Straight strokes through points, as path data."""
    return "M" + " L".join(f"{num(x)},{num(y)}" for x, y in points)


def outline(layout: Layout, net: Net) -> list[list[Point]]:
    """All branches of a net in drawing units; below a round symbol they go on to its middle."""
    found = layout.routes.found[net.id]
    into = {}
    for name, port in net.ends:
        if is_round(layout.sheet.nodes[name]):
            pin, box = layout.pins[name, port], layout.frame.boxes[name]
            into[pin.x, pin.y] = lead_in(pin, (box.w if pin.side in "EW" else box.h) // 2)
    paths: list[list[Point]] = []
    for branch in found.branches:
        points = [*([into[branch[0]]] if branch[0] in into else []), *branch]
        points += [into[branch[-1]]] if branch[-1] in into else []
        paths.append([(CELL * x, CELL * y) for x, y in points])
    return paths


def component_group(layout: Layout, name: str) -> str:
    """A node's symbol with its numbers, its label, and the plugs at its ports."""
    node, box = layout.sheet.nodes[name], layout.frame.boxes[name]
    body = draw_symbol(node, CELL * box.w, CELL * box.h)
    words = _words(layout.labels[name]) if name in layout.labels else ""
    numbers = "".join(_number(layout.pins[name, port], port) for port in node.ports if _numbered(node))
    caps = "".join(_cap(plug, layout.pins[end]) for end, plug in layout.sheet.caps.items() if end[0] == name)
    return caps + (
        f'<g class="c {escape(node.type)}" id="c-{escape(name)}"><title>{escape(f"{name}: {node.title}")}</title>'
        f'<g transform="translate({CELL * box.x} {CELL * box.y}){_turned(layout, node)}">{body}</g>{numbers}{words}</g>'
    )


def _turned(layout: Layout, node: Node) -> str:
    """How a symbol follows its lines: its delivery at the left, or the outlet of a double check valve above."""
    box, at = layout.frame.boxes[node.name], {port: layout.pins[node.name, port] for port in sorted(node.ports)}
    if node.symbol == "shuttle" and "2" in at and at["2"].side == "N":
        return f" translate(0 {CELL * box.h}) scale(1 -1)"
    inlet, outlet = (next((pin for port, pin in at.items() if port[0] == first), None) for first in "12")
    if is_directed(node) and inlet and outlet and outlet.x < inlet.x:
        return f" translate({CELL * box.w} 0) scale(-1 1)"
    return ""


def _cap(plug: Node, pin: Pin) -> str:
    """A plugged port: a stub with a cross."""
    (x, y), (a, b) = (CELL * pin.x, CELL * pin.y), (CELL * pin.stub[0], CELL * pin.stub[1])
    cross = f"M{x},{y} L{a},{b} M{a - 5},{b - 5} l10,10 m-10,0 l10,-10"
    return (
        f'<g class="c plug" id="c-{escape(plug.name)}"><title>{escape(f"{plug.name}: {plug.title}")}</title>'
        f'<path d="{cross}"/></g>'
    )


def _numbered(node: Node) -> bool:
    return len(node.ports) > 1 and node.symbol not in ("junction", "stub")


def _number(pin: Pin, port: str) -> str:
    x, y, _, height = number_area(pin, port)
    return _twice(f'x="{num(x)}" y="{num(y + height - 1)}"', "number", escape(port))


def _words(label: Label) -> str:
    return "".join(
        _twice(f'x="{num(label.x)}" y="{num(label.y + LINE * n)}" text-anchor="{label.anchor}"', "name", escape(text))
        for n, text in enumerate(label.lines)
    )


def _twice(at: str, kind: str, text: str) -> str:
    """A text above its own halo: converters to PDF do not know paint-order."""
    return f'<text class="{kind} halo" aria-hidden="true" {at}>{text}</text><text class="{kind}" {at}>{text}</text>'
