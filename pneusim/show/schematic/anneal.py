"""Finds cells for the parts that neither a pin nor the vehicle's facts place: simulated annealing of swaps."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping, Sequence

from pneusim.show.schematic.zones import Cell

STEPS_PER_NODE = 1200
_PITCH = (12.0, 9.0)
_CORNER = 6.0
_FAR = 0.006
"""Growth of the cost across the vehicle: what feeds both sides stands between them."""

_HOT, _COLD = 40.0, 0.05


class Annealer:
    """Cells of one unit's free parts.

    ``allowed`` holds the cells of every free part, ``fixed`` the cells of the others, ``nets`` the parts that each net
    joins; ``order`` gives the place of every station along the page.  A net of n ends counts as its pairs, each with
    1/(n - 1): for three ends that is half the outline around them.
    """

    def __init__(
        self,
        allowed: Mapping[str, Sequence[Cell]],
        fixed: Mapping[str, Cell],
        nets: Sequence[Sequence[str]],
        order: Mapping[float, int],
    ) -> None:
        self.names = [*sorted(allowed), *sorted(fixed)]
        self.moving = len(allowed)
        self.allowed = [list(allowed[name]) for name in self.names[: self.moving]]
        self.sets = [frozenset(cells) for cells in self.allowed]
        self.fixed = fixed
        self.at = {station: n * _PITCH[0] for station, n in order.items()}
        self.near: list[list[tuple[int, float]]] = [[] for _ in self.names]
        number = {name: n for n, name in enumerate(self.names)}
        for net in nets:
            ends = sorted({number[name] for name in net if name in number})
            for a in ends:
                self.near[a] += [(b, 1.0 / (len(ends) - 1)) for b in ends if b != a]

    def run(self, seed: int) -> tuple[float, dict[str, Cell]]:
        """Cost and cells that one seed finds."""
        rnd = random.Random(seed)
        draw = rnd.random
        cells = self._start(rnd)
        xs, ys = [self.at[cell[0]] for cell in cells], [cell[1] * _PITCH[1] for cell in cells]
        holder = {cell: n for n, cell in enumerate(cells)}
        steps = STEPS_PER_NODE * self.moving
        for step in range(steps):
            one = int(draw() * self.moving)
            target = self.allowed[one][int(draw() * len(self.allowed[one]))]
            here, other = cells[one], holder.get(target, -1)
            if target == here or (other >= 0 and (other >= self.moving or here not in self.sets[other])):
                continue
            before = self._cost(one, xs, ys) + (self._cost(other, xs, ys) if other >= 0 else 0.0)
            xs[one], ys[one] = self.at[target[0]], target[1] * _PITCH[1]
            if other >= 0:
                xs[other], ys[other] = self.at[here[0]], here[1] * _PITCH[1]
            rise = self._cost(one, xs, ys) + (self._cost(other, xs, ys) if other >= 0 else 0.0) - before
            heat = _HOT * (1 - step / steps) ** 2 + _COLD
            if rise <= 0 or draw() < math.exp(-rise / heat):
                cells[one], holder[target] = target, one
                if other >= 0:
                    cells[other], holder[here] = here, other
                else:
                    del holder[here]
                continue
            xs[one], ys[one] = self.at[here[0]], here[1] * _PITCH[1]
            if other >= 0:
                xs[other], ys[other] = self.at[target[0]], target[1] * _PITCH[1]
        total = sum(self._cost(n, xs, ys) for n in range(len(self.names)))
        return total, dict(zip(self.names, cells))

    def _start(self, rnd: random.Random) -> list[Cell]:
        chosen = dict(self.fixed)
        taken = set(chosen.values())
        for n in sorted(range(self.moving), key=lambda n: (len(self.allowed[n]), n)):
            free = [cell for cell in self.allowed[n] if cell not in taken]
            chosen[self.names[n]] = free[int(rnd.random() * len(free))]
            taken.add(chosen[self.names[n]])
        return [chosen[name] for name in self.names]

    def _cost(self, n: int, xs: Sequence[float], ys: Sequence[float]) -> float:
        """Way to all neighbours, with a corner for each that is not straight ahead."""
        x, y, total = xs[n], ys[n], 0.0
        for other, weight in self.near[n]:
            dx, dy = abs(x - xs[other]), abs(y - ys[other])
            total += weight * (dx + dy + _FAR * dy * dy + (_CORNER if dx and dy else 0.0))
        return total
