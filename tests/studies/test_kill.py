"""What happens to a study that is killed, runs out of disk, or loses a worker: nothing that is finished is lost, and
the study that goes on equals the one that was never interrupted, byte for byte."""

import errno
import os
import signal
import subprocess
import sys
import time

import pytest

from pneusim.errors import UsageError
from pneusim.studies.executor import Dask, Serial
from pneusim.studies.outcome import FAILED
from pneusim.studies.store import Store
from pneusim.studies.study import work
from pneusim.studies.sweep.sweep import sweep
from tests.studies.judges import Killing
from tests.studies.small import TEXT, case
from tests.studies.sweeps import HEAD, LIMITS, PARAMETERS, study

PLAN = "plan: {kind: latin_hypercube, cases: 60, seed: 1}\n"
CASES = [case(1.0 + 0.25 * n) for n in range(8)]


def files_of(folder):
    """Name and bytes of everything in a folder, pictures too."""
    return {str(f.relative_to(folder)): f.read_bytes() for f in sorted(folder.rglob("*")) if f.is_file()}


@pytest.fixture
def start(tmp_path):
    """Starts ``pneusim sweep`` in a process of its own, into a folder."""
    (tmp_path / "orifice.yaml").write_text(TEXT)
    (tmp_path / "study.yaml").write_text(HEAD.replace("orifice", "orifice.yaml") + PARAMETERS + LIMITS + PLAN)

    def run(folder, *options):
        command = [sys.executable, "-m", "pneusim", "sweep", str(tmp_path / "study.yaml"), "-o", str(folder), *options]
        return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)

    return run


def wait_for_cases(folder, count):
    until = time.monotonic() + 120.0
    while len(list(folder.glob("cases/*.json"))) < count:
        assert time.monotonic() < until
        time.sleep(0.01)


@pytest.mark.parametrize("sign", [signal.SIGKILL, signal.SIGINT])
def test_a_killed_sweep_goes_on(tmp_path, start, sign):
    process = start(tmp_path / "killed")
    wait_for_cases(tmp_path / "killed", 5)
    process.send_signal(sign)
    _, told = process.communicate(timeout=120)
    assert process.returncode == (-9 if sign == signal.SIGKILL else 130)
    finished = files_of(tmp_path / "killed")
    stored = {name: content for name, content in finished.items() if name.endswith(".json")}
    assert 5 <= len(stored) < 60
    assert "table.csv" not in finished
    if sign == signal.SIGINT:
        assert "are finished and kept, the same command goes on from there" in told
    again, whole = start(tmp_path / "killed"), start(tmp_path / "whole", "--on", "serial")
    assert again.wait(240) == whole.wait(240) == 5  # some cases miss the limit
    for process in (again, whole):
        process.communicate()
    went_on = files_of(tmp_path / "killed")
    assert stored.items() <= went_on.items()
    left = {name for name in went_on if name.endswith(".part")}
    assert len(left) <= 1
    assert {name: went_on[name] for name in went_on if name not in left} == files_of(tmp_path / "whole")


def test_a_full_disk_stops_the_sweep_and_it_goes_on(tmp_path, monkeypatch):
    real, count = os.replace, 0

    def full(part, target):
        nonlocal count
        count += 1
        if count > 3:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return real(part, target)

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", full)
        with pytest.raises(UsageError, match=r"No space left on device.*what is finished is kept"):
            sweep(study(), folder=tmp_path / "full", threads=2)
    assert len(list((tmp_path / "full").rglob("*"))) == 4  # the folder of cases, and three of them
    sweep(study(), folder=tmp_path / "full", threads=2)
    sweep(study(), folder=tmp_path / "whole", on="serial")
    assert files_of(tmp_path / "full") == files_of(tmp_path / "whole")


@pytest.fixture(scope="module")
def cluster():
    """A Dask cluster of two processes on this machine, which lets a case kill one worker and not two."""
    import dask
    from distributed import LocalCluster

    with (
        dask.config.set({"distributed.scheduler.allowed-failures": 1}),
        LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None) as made,
    ):
        yield made


@pytest.mark.filterwarnings("ignore")
class TestDask:
    def test_the_results_are_those_of_this_machine(self, cluster, tmp_path):
        there = sweep(study(), on=cluster.scheduler_address, folder=tmp_path / "there")
        sweep(study(), on="serial", folder=tmp_path / "here")
        assert files_of(tmp_path / "there") == files_of(tmp_path / "here")
        assert there.failed == 0

    def test_the_address_of_the_configuration(self, cluster):
        import dask

        with dask.config.set({"scheduler-address": cluster.scheduler_address}):
            assert sweep(study(), on="dask").failed == 0

    def test_a_worker_that_dies_costs_nothing(self, cluster, tmp_path):
        judge = Killing(CASES[3].name, tmp_path / "mark")
        found = work(CASES, judge, executor=Dask(cluster.scheduler_address), store=Store(tmp_path / "cases"))
        assert (tmp_path / "mark").exists()
        assert [o.to_bytes() for o in found] == [o.to_bytes() for o in work(CASES, executor=Serial())]

    def test_a_case_that_kills_every_worker_is_a_row(self, cluster, tmp_path):
        judge = Killing(CASES[3].name, tmp_path / "mark", always=True)
        found = work(CASES, judge, executor=Dask(cluster.scheduler_address), store=Store(tmp_path / "cases"))
        assert [o.status == FAILED for o in found] == [n == 3 for n in range(8)]
        assert "KilledWorker" in found[3].message
        assert len(Store(tmp_path / "cases").keys()) == 7
        again = work(CASES, executor=Serial(), store=Store(tmp_path / "cases"))
        assert [o.to_bytes() for o in again] == [o.to_bytes() for o in work(CASES, executor=Serial())]
