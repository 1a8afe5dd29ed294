"""Many cases: where the time of one goes, cases per second in one thread and in two, memory over the number of cases.

Times of one case are CPU times of its thread.  Those of batches are wall times and mean nothing on a machine that does
other work: the load is printed beside them.
"""

from __future__ import annotations

import os
import time
import tracemalloc
from collections.abc import Iterable, Iterator
from dataclasses import replace

from pneusim import reading
from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Measure, Scenario, Step
from pneusim.simulate import run, session
from pneusim.studies.case import Case, key
from pneusim.studies.executor import Executor, Serial, Threads
from pneusim.studies.outcome import Outcome
from pneusim.studies.study import Judge, work
from pneusim.studies.sweep.lean import Measuring, wanted_of
from pneusim.studies.sweep.targets import changed
from tests.benchmarks.measure import Target, show

CASES = (("rigid-truck", 100), ("tractor-semitrailer", 40))  # circuit, cases of a batch
MANY = 500  # cases for the memory
LASTS, RTOL = 5.0, 1e-3
MEASURE = "response"


def application(name: str) -> tuple[Circuit, Scenario]:
    """A circuit and a full application of 5 s, measured by the last brake."""
    circuit = reading.load(name)
    own = circuit.scenarios["full_application"]
    foot = next(c.name for c in circuit.components.values() if c.type == "foot_valve")
    steps = (Step("set", at=0.5, target=f"{foot}.travel", to=1.0, over=0.2),)
    measure = Measure(MEASURE, since=f"{foot}.travel", reach="all_brakes", level=0.75, relative=True)
    return circuit, replace(own, lasts=LASTS, steps=steps, measures=(measure,), expectations=())


def cases(circuit: Circuit, scenario: Scenario, count: int) -> Iterator[Case]:
    """Cases that differ in the relays' crack pressures."""
    relays = [c.name for c in circuit.components.values() if c.type == "relay_valve"]
    for n in range(count):
        values = {f"{relay}.crack": 15e3 + 10e3 * (n + 0.5) / count for relay in relays}
        yield Case(str(n), *changed(circuit, scenario, values), RTOL, MEASURE)


class _ThreadClock:
    """Stands for the clock of sessions: CPU time of the thread, so that other work does not count."""

    perf_counter = staticmethod(time.thread_time)
    process_time = staticmethod(time.process_time)


def breakdown(circuit: Circuit, scenario: Scenario, repeats: int = 5) -> dict[str, float]:
    """CPU time of each part of a case [ms], the least of some repeats."""
    one = next(iter(cases(circuit, scenario, 1)))
    judge = Measuring(wanted_of(run(circuit, scenario, rtol=RTOL), (MEASURE,)))
    found: dict[str, float] = {}

    def note(name: str, seconds: float) -> None:
        found[name] = min(found.get(name, float("inf")), 1e3 * seconds)

    clock, session.clock = session.clock, _ThreadClock
    try:
        for _ in range(repeats):
            phases = run(one.circuit, one.scenario, rtol=RTOL).solver.phases
            for name in ("compile", "lay_out", "settle"):
                note(name, phases[name])
            note("integrate, all channels", phases["integrate"])
            note("measure, all of it", phases["measure"])
            for name, work_of in (
                ("whole", lambda: run(one.circuit, one.scenario, rtol=RTOL)),
                ("lean", lambda: judge(one)),
                ("key", lambda: key(one)),
                ("change", lambda: next(iter(cases(circuit, scenario, 1)))),
            ):
                begin = time.thread_time()
                work_of()
                note(name, time.thread_time() - begin)
    finally:
        session.clock = clock
    return found


def batch(made: Iterable[Case], judge: Judge, executor: Executor) -> tuple[float, float]:
    """Wall and CPU time of a batch [s]."""
    wall, cpu = time.perf_counter(), time.process_time()
    work(made, judge, executor=executor)
    return time.perf_counter() - wall, time.process_time() - cpu


def growth(circuit: Circuit, scenario: Scenario) -> float:
    """How much more memory Python holds at most for each case more [kB]; what a run needs it gives back."""

    def row(case: Case) -> Outcome:
        return Outcome(measures={MEASURE: float(case.name)})

    batch(cases(circuit, scenario, 2), row, Threads(2))  # what is read once
    most = []
    for count in (MANY, 2 * MANY):
        tracemalloc.start()
        batch(cases(circuit, scenario, count), row, Threads(2))
        most.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    return 1e-3 * (most[1] - most[0]) / MANY


def main() -> bool:
    """Measure both vehicles."""
    parts, batches, targets = [], [], []
    for name, count in CASES:
        circuit, scenario = application(name)
        found = breakdown(circuit, scenario)
        parts += [[name, part, f"{milliseconds:.1f}"] for part, milliseconds in found.items()]
        judge = Measuring(wanted_of(run(circuit, scenario, rtol=RTOL), (MEASURE,)))
        batch(cases(circuit, scenario, 4), judge, Threads(2))
        serial, threads = (batch(cases(circuit, scenario, count), judge, e) for e in (Serial(), Threads(2)))
        load = os.getloadavg()[0]
        for words, (wall, cpu) in (("one thread", serial), ("two threads", threads)):
            each, had = f"{1e3 * cpu / count:.0f}", f"{cpu / wall:.2f}"
            batches.append([name, words, f"{count / wall:.1f}", each, had, f"{load:.1f}"])
        targets += [
            Target(f"{name}: two threads, parallel efficiency [%]", 50.0 * serial[0] / threads[0], 85.0),
            Target(f"{name}: 1000 cases in two threads [s]", 1000.0 * threads[0] / count, 60.0, least=False),
            Target(f"{name}: the CPU time of those, on two processors of its own [s]", 500.0 * threads[1] / count, 60.0,
                   least=False),
            Target(f"{name}: more memory for each case more [kB]", growth(circuit, scenario), 5.0, least=False),
        ]  # fmt: skip
    show("Parts of a case", ["circuit", "part", "CPU ms"], parts)
    heads = ["circuit", "where", "cases/s", "CPU ms a case", "processors had", "load"]
    return show("Batches of cases (full application, 5 s, rtol 1e-3)", heads, batches, targets)


if __name__ == "__main__":
    raise SystemExit(0 if main() else 1)
