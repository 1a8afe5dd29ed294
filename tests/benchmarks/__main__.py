"""Run the benchmarks: ``python -m tests.benchmarks [name ...] [--quick]``; exit code 1 if a target is missed."""

from __future__ import annotations

import sys
from importlib import import_module

NAMES = (
    "pieces", "hand_written", "vehicle", "shipped", "drawing", "packing", "replay", "growth", "reactor_network",
    "studies", "road",
)  # fmt: skip


def main(arguments: list[str]) -> int:
    """Run those named, or all."""
    quick = "--quick" in arguments
    chosen = [a for a in arguments if not a.startswith("-")] or NAMES
    unknown = sorted(set(chosen) - set(NAMES))
    if unknown:
        print(f"unknown: {', '.join(unknown)} (there are: {', '.join(NAMES)})")
        return 2
    met = True
    for name in chosen:
        program = import_module(f"tests.benchmarks.{name}")
        met &= program.main(quick) if name == "hand_written" else program.main()
    return 0 if met else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
