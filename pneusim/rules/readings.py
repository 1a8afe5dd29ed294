"""Readings of clauses and assumptions about vehicles that several regulations share."""

from pneusim.quantities import express

SLACK = 50.0
"""A pushrod that pushes less does not brake [N]: our reading."""

ACTS = f"a brake acts when its pushrod pushes with {express(SLACK, 'force')}: our reading"

FED = 10e3
"""A service side with less in a full application is not fed [Pa]: our reading."""

FASTEST = 2200 / 60
"""Compressor speed with the engine at its highest speed, or at that of greatest power [rev/s]: our assumption, a file
does not give it."""
