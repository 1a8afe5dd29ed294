"""The executors of this machine."""

import sys
import threading
import time

import pytest

from pneusim.errors import UsageError
from pneusim.studies.executor import AHEAD, Serial, Threads, executor_for


def half(n):
    if n == 3:
        raise ValueError("three")
    return n / 2


@pytest.mark.parametrize("executor", [Serial(), Threads(1), Threads(3)])
def test_every_item_comes_back_with_its_result_or_its_exception(executor):
    found = dict(executor.run(half, range(6)))
    assert isinstance(found.pop(3), ValueError)
    assert found == {0: 0.0, 1: 0.5, 2: 1.0, 4: 2.0, 5: 2.5}


def test_items_are_taken_as_they_are_needed():
    taken, finished, most = [], 0, 0

    def source():
        for n in range(50):
            taken.append(n)
            yield n

    for _ in Threads(2).run(half, source()):
        finished += 1
        most = max(most, len(taken) - finished)
    assert finished == 50
    assert most <= 2 * AHEAD


def test_threads_work_at_the_same_time():
    meet = threading.Barrier(2, timeout=10.0)
    assert len(list(Threads(2).run(lambda _: meet.wait(), range(2)))) == 2


def test_threads_ask_for_the_interpreter_sooner_as_long_as_they_work():
    before = sys.getswitchinterval()
    during = dict(Threads(2).run(lambda _: sys.getswitchinterval(), range(2)))
    assert max(during.values()) < 0.5 * before
    assert sys.getswitchinterval() == before
    abandoned = Threads(2).run(half, range(6))
    next(abandoned)
    abandoned.close()
    assert sys.getswitchinterval() == before


def test_an_interrupt_gives_back_what_has_begun(monkeypatch):
    """Ctrl-C while waiting: cases at work are finished and given back, those that wait are not begun."""
    from pneusim.studies import executor

    begun, real = [], executor.wait

    def slow(n):
        begun.append(n)
        time.sleep(0.2)
        return n

    def interrupted(futures, **options):
        if options:
            while len(begun) < 2:
                time.sleep(0.01)
            raise KeyboardInterrupt
        return real(futures)

    monkeypatch.setattr(executor, "wait", interrupted)
    found = []
    with pytest.raises(KeyboardInterrupt):
        found.extend(n for n, _ in Threads(2).run(slow, range(100)))
    assert sorted(found) == [0, 1] == sorted(begun)


def test_names_of_executors():
    assert isinstance(executor_for(), Threads)
    assert isinstance(executor_for("serial"), Serial)
    assert executor_for("threads", 3).count == 3
    with pytest.raises(UsageError, match="'moon'; write threads, serial, dask"):
        executor_for("moon")
    with pytest.raises(UsageError, match="give 1 or more"):
        executor_for("threads", 0)
