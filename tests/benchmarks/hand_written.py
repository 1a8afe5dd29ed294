"""Problem B: our engine against scipy's Radau, on the same tape and on a right-hand side written by hand.

The hand-written one differences its Jacobian densely, as a first script does; ``--quick`` leaves it out (minutes).
"""

from __future__ import annotations

import sys

import numpy as np

from pneusim.engine.methods import Radau, Rosenbrock
from pneusim.engine.segments import Loop, Steps
from tests.benchmarks import by_hand, problem_b
from tests.benchmarks.measure import Error, Target, run, show

RTOL, FINER = 1e-4, 1e-5
KINDS = ("mass", "energy", "flow", "stroke", "spool")


def disagreement() -> float:
    """Largest difference of the two right-hand sides along a run, over the largest rate of the same kind."""
    rates, ready = by_hand.model()
    machine, worst = ready.machine, 0.0
    kinds = np.array([state.kind for state in machine.program.states])

    def compare(steps: Steps) -> None:
        nonlocal worst
        pedal = machine.program.input_slot(0)
        value, slope, since = machine.floats[pedal : pedal + 3]
        rates.move(since, value, slope)
        for t, y in zip(steps.times[1::7], steps.states[1::7], strict=True):
            dy = np.empty_like(y)
            machine.kernel.rates(t, y.copy(), dy, machine.program.integers, machine.floats, machine.values)
            gap = np.abs(dy - rates(t, y))
            worst = max(worst, *(gap[kinds == k].max() / (np.abs(dy[kinds == k]).max() or 1.0) for k in KINDS))

    loop = Loop(machine, Rosenbrock(machine, RTOL), compare, lambda event: None)
    for at, action in (*ready.actions, (problem_b.BREAK_AT, rates.break_line)):
        loop.at(at, action)
    loop.run(problem_b.BREAK_AT + 1.0)
    return worst


def main(quick: bool = False) -> bool:
    """Measure; errors against a run of ours at 1e-7."""
    reference = run(problem_b.make, 1e-7, repeats=1).values
    mine, finer = run(problem_b.make, RTOL, repeats=5), run(problem_b.make, FINER)
    same = run(problem_b.make, RTOL, Radau, repeats=1)
    rows = [
        [f"{name}, {rtol:g}", o.accepted, f"{o.seconds:.3f}", str(Error.of(o.values, reference))]
        for name, rtol, o in (("ours", RTOL, mine), ("ours", FINER, finer), ("scipy Radau on our tape", RTOL, same))
    ]
    # Equal or smaller error: our finer run is the fair partner of Radau.
    targets = [
        Target("difference of the right-hand sides", disagreement(), 1e-9, least=False),
        Target("p99.9 of ours at 1e-5 over Radau's on the tape",
               Error.of(finer.values, reference).p999 / Error.of(same.values, reference).p999, 1.0, least=False),
        Target("times faster than Radau on the tape, at that error", same.seconds / finer.seconds, 8.0),
        Target("times real time at 1e-4", problem_b.LASTS / mine.seconds, 100.0),
    ]  # fmt: skip
    if not quick:
        hand = by_hand.run(RTOL)
        rows.append([f"scipy Radau by hand, {RTOL:g}", f"{hand.calls} calls", f"{hand.seconds:.1f}",
                     str(Error.of(hand.values, reference))])  # fmt: skip
        targets.append(Target("times faster than the hand-written one, at smaller error",
                              hand.seconds / finer.seconds, 100.0))  # fmt: skip
    title = f"Problem B, {len(mine.machine.state)} states, {problem_b.LASTS:.0f} s"
    return show(title, ("engine, tolerance", "steps", "CPU s", "error kPa: largest / p99.9 / rms"), rows, targets)


if __name__ == "__main__":
    sys.exit(0 if main("--quick" in sys.argv) else 1)
