"""What several parts share: the air in a valve's body, and telling a change of state once per change."""

from __future__ import annotations

from pneusim.parts.base import FaultSpec
from pneusim.parts.builder import Builder, Node, Signal
from pneusim.parts.catalogue import default_of


def leaking_seat(words: str, name: str = "leaking_seat") -> FaultSpec:
    """The fault that a seat leaks a share of its opening."""
    share = default_of("valve.leaking_seat", "fraction")
    return FaultSpec(name, words, "fraction", share, 0.0, 1.0)


def valve_air(b: Builder, node: Node, volume: float) -> None:
    """Add the air space of a valve [m3] to a node, with the wall heat of valve bodies."""
    b.air(node, volume, default_of("heat.plenum", "film"))


def volume_channels(b: Builder, node: Node) -> None:
    """Offer the channels of the part's own volume."""
    b.channel("pressure", b.pressure(node))
    b.channel("temperature", b.temperature(node))


def two_states(
    b: Builder, mode: str, signal: Signal, up: tuple[str, float], down: tuple[str, float]
) -> Signal:
    """A mode that follows a signal with hysteresis: 1 from ``up = (event, level)``, 0 from ``down``."""
    state = b.mode(mode, 0.0)
    b.event(up[0], signal, up[1], +1, armed={state: 0.0}, sets={state: 1.0})
    b.event(down[0], signal, down[1], -1, armed={state: 1.0}, sets={state: 0.0})
    return state
