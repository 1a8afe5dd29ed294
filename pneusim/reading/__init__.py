"""From text to a circuit: YAML with places, all faults in one pass, JSON Schema."""

from pneusim.reading.changes import apply_changes, begin_parameters
from pneusim.reading.circuit_file import load, load_text, read
from pneusim.reading.shipped import find_shipped, shipped_circuits, shipped_lessons

__all__ = [
    "apply_changes",
    "begin_parameters",
    "find_shipped",
    "load",
    "load_text",
    "read",
    "shipped_circuits",
    "shipped_lessons",
]
