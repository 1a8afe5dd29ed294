"""Where cases are computed: one after the other, in threads of this machine, or on a Dask cluster.

An executor takes cases as it can use them and gives each back as it finishes, with its result or with the exception
that it ended in.  Whoever iterates may be interrupted: what has begun in threads is then finished and given back first.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from contextlib import suppress
from itertools import islice
from typing import Any, Protocol, TypeVar

from pneusim.errors import UsageError

Item = TypeVar("Item")
Result = TypeVar("Result")

AHEAD = 2
"""Cases that wait for each worker, so that none is idle and few are held in memory."""

SWITCH = 5e-4
"""How long a thread whose kernel is done waits before it asks another for the interpreter [s]; Python's own 5 ms are a
tenth of a case."""

PATIENCE = 10.0
"""How long a cluster may take to answer [s]."""


class Executor(Protocol):
    """The seam between a study and the machines that compute it."""

    def run(
        self, function: Callable[[Item], Result], items: Iterable[Item]
    ) -> Iterator[tuple[Item, Result | Exception]]:
        """Give every item with its result as it finishes."""
        ...


class Serial:
    """One case after the other, in this thread."""

    def run(
        self, function: Callable[[Item], Result], items: Iterable[Item]
    ) -> Iterator[tuple[Item, Result | Exception]]:
        """Give every item with its result, in order."""
        for item in items:
            result: Result | Exception
            try:
                result = function(item)
            except Exception as error:
                result = error
            yield item, result


class Threads:
    """Threads of this machine: the kernel lets go of the interpreter's lock, and nothing is copied.

    Parameters
    ----------
    count : int, optional
        Number of threads; that of the processors this process may use.
    """

    def __init__(self, count: int | None = None) -> None:
        if count is not None and count < 1:
            raise UsageError(f"{count} threads cannot compute anything; give 1 or more")
        self.count = count or processors()

    def run(
        self, function: Callable[[Item], Result], items: Iterable[Item]
    ) -> Iterator[tuple[Item, Result | Exception]]:
        """Give every item with its result as it finishes."""
        pool, interval = ThreadPoolExecutor(self.count, "case"), sys.getswitchinterval()
        sys.setswitchinterval(min(SWITCH, interval))
        waiting: dict[Future[Result], Item] = {}
        source = iter(items)
        try:
            while True:
                for item in islice(source, AHEAD * self.count - len(waiting)):
                    waiting[pool.submit(function, item)] = item
                if not waiting:
                    return
                for future in wait(waiting, return_when=FIRST_COMPLETED).done:
                    yield waiting.pop(future), _result(future)
        except KeyboardInterrupt:
            for future in [future for future in waiting if future.cancel()]:
                del waiting[future]
            for future in wait(waiting).done:
                yield waiting.pop(future), _result(future)
            raise
        finally:
            pool.shutdown(cancel_futures=True)
            sys.setswitchinterval(interval)


class Dask:
    """An existing Dask cluster; a case whose worker dies is computed by another one.

    Parameters
    ----------
    address : str, optional
        Of the scheduler, such as ``tcp://10.0.0.5:8786``; without it, the one of Dask's configuration
        (``DASK_SCHEDULER_ADDRESS`` or ``scheduler-address``).

    Raises
    ------
    UsageError
        If Dask is not installed, no address is known or no scheduler answers there.
    """

    def __init__(self, address: str | None = None) -> None:
        try:
            import dask
            import distributed
        except ImportError:
            raise UsageError("Dask is not installed; install 'pneusim[dask]'") from None
        self.address = address or dask.config.get("scheduler-address", None)
        if not self.address:
            raise UsageError(
                "no Dask scheduler is named: give its address (--on tcp://host:8786) or set DASK_SCHEDULER_ADDRESS"
            )
        try:
            client: Any = distributed.Client
            self._client: Any = client(self.address, timeout=PATIENCE, set_as_default=False)
        except (OSError, ValueError) as error:
            raise UsageError(
                f"no Dask scheduler answers at {self.address} within {PATIENCE:g} s ({type(error).__name__}); "
                f"start one with 'dask scheduler' and workers with 'dask worker {self.address}', or "
                f"compute here (--on threads)"
            ) from None
        try:
            self._client.wait_for_workers(1, timeout=PATIENCE)
        except TimeoutError:
            self._client.close()
            raise UsageError(
                f"the Dask scheduler at {self.address} has no workers; start one with 'dask worker {self.address}'"
            ) from None

    def run(
        self, function: Callable[[Item], Result], items: Iterable[Item]
    ) -> Iterator[tuple[Item, Result | Exception]]:
        """Give every item with its result as it finishes; function and items must be picklable."""
        import distributed

        as_completed: Any = distributed.as_completed
        source = iter(items)
        waiting: dict[str, Item] = {}
        done = as_completed(loop=self._client.loop)

        def submit() -> None:
            for item in islice(source, max(AHEAD * max(self._threads(), 1) - len(waiting), 0)):
                future = self._client.submit(function, item, pure=False)
                waiting[future.key] = item
                done.add(future)

        try:
            submit()
            while waiting:
                future = next(done)
                result = _dask_result(future)
                if self._client.status != "running":
                    raise UsageError(
                        f"the connection to the Dask scheduler at {self.address} was lost; what is finished is kept: "
                        f"start the study again when it is there"
                    )
                yield waiting.pop(future.key), result
                submit()
        finally:
            for future in list(done.futures):
                with suppress(Exception):
                    future.cancel()

    def _threads(self) -> int:
        return sum(worker["nthreads"] for worker in self._client.scheduler_info(n_workers=-1)["workers"].values())


def _result(future: Future[Any]) -> Any:
    error = future.exception()
    if error is None:
        return future.result()
    if isinstance(error, Exception):
        return error
    raise error


def _dask_result(future: Any) -> Any:
    try:
        return future.result()
    except Exception as error:
        return error


def processors() -> int:
    """Processors that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def executor_for(where: str = "threads", count: int | None = None) -> Executor:
    """The executor of a name.

    Parameters
    ----------
    where : str
        ``threads``, ``serial``, ``dask`` (the scheduler of Dask's configuration) or a scheduler's address ``tcp://...``.
    count : int, optional
        Number of threads.

    Raises
    ------
    UsageError
        For another name, or a cluster that cannot be reached.

    Examples
    --------
    >>> type(executor_for("serial")).__name__
    'Serial'
    """
    if where == "serial":
        return Serial()
    if where == "threads":
        return Threads(count)
    if where == "dask":
        return Dask()
    if "://" in where:
        return Dask(where)
    raise UsageError(f"cases cannot be computed on {where!r}; write threads, serial, dask or a scheduler's tcp://...")
