"""Port numbers (ISO 6786) and plain names of a part to the canonical number."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Protocol

_SECOND_DIGIT = 9


class PortLike(Protocol):
    """What is needed of a port's specification (``pneusim.parts.base.PortSpec``)."""

    @property
    def number(self) -> str:
        """ISO 6786 number, ``*`` for any."""

    @property
    def name(self) -> str:
        """Plain name."""

    @property
    def many(self) -> bool:
        """Whether the part takes as many of them as are used."""


def canonical(ports: Sequence[PortLike], word: str) -> str | None:
    """Canonical number of a port given by number or name, None if the part has no such port.

    Of ports with ``many``, ``2`` and ``delivery`` are the first (21), ``delivery_2`` is 22; where any number will do
    (``*``) the number stands as it is and ``port_2`` is 2.
    """
    for port in ports:
        if word == port.number != "*" or word == port.name:
            return _nth(port, 1) if port.many else port.number
    for port in ports:
        if port.many and (number := _counted(port, word)):
            return number
    return None


def _counted(port: PortLike, word: str) -> str | None:
    by_name = re.fullmatch(rf"{port.name}_([1-9][0-9]{{0,2}})", word)
    if by_name:
        return _nth(port, int(by_name[1]))
    pattern = "[1-9][0-9]{0,2}" if port.number == "*" else f"{port.number}[1-9]"
    return word if re.fullmatch(pattern, word) else None


def _nth(port: PortLike, count: int) -> str | None:
    if port.number == "*":
        return str(count)
    return f"{port.number}{count}" if count <= _SECOND_DIGIT else None


def in_words(ports: Sequence[PortLike]) -> str:
    """The ports of a part for messages: ``1 (supply), 21, 22, ... (delivery)``."""
    return ", ".join(_one(port) for port in ports) or "none"


def _one(port: PortLike) -> str:
    if port.number == "*":
        return "any number from 1 on"
    number = f"{port.number}1, {port.number}2, ..." if port.many else port.number
    return f"{number} ({port.name})"
