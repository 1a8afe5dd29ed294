"""Working off cases: order, store, failures, interrupts, and the same bytes whatever the way."""

import pytest

from pneusim.errors import UsageError
from pneusim.studies.executor import Serial, Threads
from pneusim.studies.outcome import Outcome
from pneusim.studies.store import Store
from pneusim.studies.study import whole, work
from tests.studies.small import broken, case

CASES = [case(litres) for litres in (1.0, 2.0, 3.0, 4.0)]


def bytes_of(outcomes):
    return [(outcome.name, outcome.to_bytes()) for outcome in outcomes]


class Counting:
    """A judge that counts its cases, and does something at one of them."""

    def __init__(self, at=None, what=None):
        self.seen, self.at, self.what = [], at, what

    def __call__(self, one):
        self.seen.append(one.name)
        if one.name == self.at:
            raise self.what
        return whole(one)


def test_outcomes_are_in_order_and_alike_in_threads(tmp_path):
    serial = work(CASES, executor=Serial())
    threaded = work(iter(CASES), executor=Threads(2), store=Store(tmp_path))
    assert [outcome.name for outcome in serial] == ["1.0 L", "2.0 L", "3.0 L", "4.0 L"]
    assert bytes_of(serial) == bytes_of(threaded)
    halves = [outcome.measures["half"] for outcome in serial]
    assert halves == sorted(halves)
    assert halves[3] == pytest.approx(4.0 * halves[0], rel=0.05)


def test_what_is_stored_is_not_computed_again(tmp_path):
    first, second = Counting(), Counting()
    one = work(CASES[:2], first, executor=Serial(), store=Store(tmp_path))
    told = []
    two = work(CASES, second, executor=Serial(), store=Store(tmp_path), progress=told.append)
    assert second.seen == ["3.0 L", "4.0 L"]
    assert bytes_of(two)[:2] == bytes_of(one)
    assert [(p.done, p.total, p.stored) for p in told] == [(1, 4, 1), (2, 4, 2), (3, 4, 2), (4, 4, 2)]
    assert told[-1].rate > 0.0
    assert told[-1].left == 0.0


@pytest.mark.parametrize("executor", [Serial(), Threads(2)])
def test_cases_alike_are_computed_once(executor, tmp_path):
    judge = Counting()
    found = work([case(name="a"), case(3.0), case(name="b")], judge, executor=executor, store=Store(tmp_path))
    assert sorted(judge.seen) == ["3.0 L", "a"]
    assert [outcome.name for outcome in found] == ["a", "3.0 L", "b"]
    assert found[0].to_bytes() == found[2].to_bytes()


def test_a_case_that_is_refused_is_an_outcome(tmp_path):
    cases = [CASES[0], broken(), CASES[1]]
    found = work(cases, executor=Threads(2), store=Store(tmp_path))
    assert [outcome.status for outcome in found] == ["ok", "failed", "ok"]
    assert "lasts" in found[1].message
    assert len(Store(tmp_path).keys()) == 3
    assert bytes_of(work(cases, executor=Serial(), store=Store(tmp_path))) == bytes_of(found)


def test_a_fault_of_the_program_is_an_outcome_and_tried_again(tmp_path):
    judge = Counting("2.0 L", ZeroDivisionError("a fault"))
    found = work(CASES, judge, executor=Threads(2), store=Store(tmp_path))
    assert [outcome.status for outcome in found] == ["ok", "failed", "ok", "ok"]
    assert found[1].message == "ZeroDivisionError: a fault"
    assert len(Store(tmp_path).keys()) == 3
    again = work(CASES, executor=Threads(2), store=Store(tmp_path))
    assert bytes_of(again) == bytes_of(work(CASES, executor=Serial()))


def test_a_worker_of_another_version_ends_the_study(monkeypatch, tmp_path):
    class Elsewhere(Serial):
        def run(self, function, items):
            first, *others = items
            yield first, function(first)
            with monkeypatch.context() as there:
                there.setattr("pneusim.studies.study.laws", lambda: "others")
                yield from super().run(function, others)

    with pytest.raises(UsageError, match="a worker has another version of pneusim than the study; install the same"):
        work(CASES, executor=Elsewhere(), store=Store(tmp_path))
    assert len(Store(tmp_path).keys()) == 1


def test_an_interrupt_keeps_what_is_finished(tmp_path):
    with pytest.raises(KeyboardInterrupt):
        work(CASES, Counting("3.0 L", KeyboardInterrupt()), executor=Serial(), store=Store(tmp_path))
    assert len(Store(tmp_path).keys()) == 2
    judge = Counting()
    found = work(CASES, judge, executor=Serial(), store=Store(tmp_path))
    assert judge.seen == ["3.0 L", "4.0 L"]
    assert bytes_of(found) == bytes_of(work(CASES, executor=Serial()))


def test_only_cases_at_work_are_held():
    import gc
    import weakref

    alive, most = [], 0

    def source():
        nonlocal most
        for n in range(12):
            one = case(1.0 + 0.1 * n)
            alive.append(weakref.ref(one.circuit))
            gc.collect()
            most = max(most, sum(circuit() is not None for circuit in alive))
            yield one

    assert len(work(source(), lambda one: Outcome(measures={"x": 1.0}), executor=Serial())) == 12
    assert most <= 2
