"""Many cases: where the time of one goes, cases per second in one thread and in two, memory over the number of cases.

Tolerance cases of two vehicles, and single failures of one through the drive cycle.

Times of one case are CPU times of its thread.  Those of batches are wall times and mean nothing on a machine that does
other work: the load is printed beside them.
"""

from __future__ import annotations

import os
import time
import tracemalloc
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from itertools import islice

from pneusim import reading
from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Measure, Scenario, Step
from pneusim.simulate import run, session
from pneusim.studies.case import Case, key
from pneusim.studies.executor import Executor, Serial, Threads
from pneusim.studies.failures import study as failing
from pneusim.studies.failures.alike import twins
from pneusim.studies.failures.cycle import drive_cycle
from pneusim.studies.failures.facts import find_facts, find_moments
from pneusim.studies.failures.failure import failed
from pneusim.studies.failures.moments import Moments
from pneusim.studies.failures.short_run import short_run
from pneusim.studies.failures.single import single_failures
from pneusim.studies.outcome import Outcome
from pneusim.studies.study import Judge, work
from pneusim.studies.sweep.lean import Measuring, wanted_of
from pneusim.studies.sweep.targets import changed
from tests.benchmarks.measure import Target, show

CASES = (("rigid-truck", 100), ("tractor-semitrailer", 40))  # circuit, cases of a batch
FAILURES = ("tractor-semitrailer", 20)  # circuit, failures of a batch, taken evenly from all that are unlike
MANY = 500  # cases for the memory
LASTS, RTOL = 5.0, 1e-3
MEASURE = "response"
Rows = list[list[str]]
Timing = tuple[float, float]  # wall and CPU time [s]


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


def failures(circuit: Circuit, count: int) -> list[Case]:
    """Failures through the drive cycle, taken evenly from all single ones that are not alike."""
    cycle = drive_cycle(circuit)
    intact = Case("intact", circuit, cycle.scenario, failing.RTOL, repr(cycle.fails))
    moments = Moments.read(find_moments(intact).extra["moments"])
    single, _ = single_failures(circuit)
    unlike = [one for k, (one, twin) in enumerate(zip(single, twins(circuit, cycle, single))) if twin.first == k]
    made = []
    for k in range(count):
        failure = unlike[(2 * k + 1) * len(unlike) // (2 * count)]
        own = replace(moments, fails=0.0) if failure.from_start else moments
        changed = failed(circuit, cycle.scenario, failure, cycle.fails)
        made.append(Case(failure.id, *changed, failing.RTOL, own.text()))
    return made


def failure_breakdown(made: Sequence[Case]) -> dict[str, float]:
    """CPU time of each part of a failure's case [ms], the mean over some cases."""
    total: Counter[str] = Counter()
    clock, session.clock = session.clock, _ThreadClock
    try:
        for case in made:
            total.update(short_run(case).solver.phases)
            begin = time.thread_time()
            find_facts(case)
            total["whole"] += time.thread_time() - begin
            begin = time.thread_time()
            key(case)
            total["key"] += time.thread_time() - begin
    finally:
        session.clock = clock
    return {name: 1e3 * seconds / len(made) for name, seconds in total.items()}


def batch(made: Iterable[Case], judge: Judge, executor: Executor) -> Timing:
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


def compare(name: str, make: Callable[[], Iterable[Case]], judge: Judge, count: int) -> tuple[Rows, Timing, Timing]:
    """A batch in one thread and in two: rows of the table, and wall and CPU time of both."""
    batch(islice(make(), 4), judge, Threads(2))
    serial, threads = (batch(make(), judge, e) for e in (Serial(), Threads(2)))
    load, rows = os.getloadavg()[0], []
    for words, (wall, cpu) in (("one thread", serial), ("two threads", threads)):
        each, had = f"{1e3 * cpu / count:.0f}", f"{cpu / wall:.2f}"
        rows.append([name, words, f"{count / wall:.1f}", each, had, f"{load:.1f}"])
    return rows, serial, threads


def efficiency(name: str, serial: Timing, threads: Timing) -> Target:
    """Parallel efficiency of two threads."""
    return Target(f"{name}: two threads, parallel efficiency [%]", 50.0 * serial[0] / threads[0], 85.0)


def main() -> bool:
    """Measure both vehicles, and the failures."""
    parts, batches, targets = [], [], []
    for name, count in CASES:
        circuit, scenario = application(name)
        found = breakdown(circuit, scenario)
        parts += [[name, part, f"{milliseconds:.1f}"] for part, milliseconds in found.items()]
        judge = Measuring(wanted_of(run(circuit, scenario, rtol=RTOL), (MEASURE,)))
        rows, serial, threads = compare(name, partial(cases, circuit, scenario, count), judge, count)
        batches += rows
        targets += [
            efficiency(name, serial, threads),
            Target(f"{name}: 1000 cases in two threads [s]", 1000.0 * threads[0] / count, 60.0, least=False),
            Target(f"{name}: the CPU time of those, on two processors of its own [s]", 500.0 * threads[1] / count, 60.0,
                   least=False),
            Target(f"{name}: more memory for each case more [kB]", growth(circuit, scenario), 5.0, least=False),
        ]  # fmt: skip
    name, count = FAILURES
    made = failures(reading.load(name), count)
    name = f"{name}, failures"
    parts += [[name, part, f"{milliseconds:.1f}"] for part, milliseconds in failure_breakdown(made).items()]
    rows, serial, threads = compare(name, lambda: made, find_facts, count)
    batches += rows
    targets += [
        efficiency(name, serial, threads),
        Target(f"{name}: cases/s in two threads", count / threads[0], 4.0),
        Target(f"{name}: cases/s by their CPU time, on two processors of its own", 2.0 * count / threads[1], 4.0),
    ]
    show("Parts of a case", ["circuit", "part", "CPU ms"], parts)
    heads = ["circuit", "where", "cases/s", "CPU ms a case", "processors had", "load"]
    return show("Batches of cases (full application, 5 s, or drive cycle; rtol 1e-3)", heads, batches, targets)


if __name__ == "__main__":
    raise SystemExit(0 if main() else 1)
