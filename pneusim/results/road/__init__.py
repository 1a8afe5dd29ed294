"""What happened on the road: stops, locked wheels, loads, forces between units, anti-lock control.

Everything comes from the channels of a run; a run without a road has nothing of it.
"""

from __future__ import annotations
