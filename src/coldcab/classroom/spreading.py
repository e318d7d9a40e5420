"""Spreading work over processes of this computer, or the workers of a dask scheduler elsewhere.

Workers get data and give data back, in order; only this process writes. Few pieces are under way at a time, so that
memory does not grow with the class. Each piece has a budget, and whoever exceeds it is ended (``guarded``).
"""

from __future__ import annotations

import os
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import CancelledError, Executor, Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import islice
from typing import Any, TypeVar

from coldcab.classroom.guarded import PATIENCE as LONGEST
from coldcab.classroom.guarded import OverBudget, guarded, load_before
from coldcab.classroom.settings import ClassError

CHUNK = 6
"""Submissions that travel together: enough that the way costs little, few enough that nobody waits for the last."""

AHEAD = 3
"""Pieces under way for each worker."""

MOST_WORKERS = 256

PATIENCE = "10s"
"""How long a scheduler may take to answer."""

Task, Result = TypeVar("Task"), TypeVar("Result")


Work = Callable[[list[Task]], list[Result]]
Failed = Callable[[Task, Exception], Result]


@dataclass(frozen=True)
class Spread:
    """Where the work is done: in ``workers`` processes, or on the dask ``scheduler``.

    ``guarded`` says whether a piece that takes too much is ended; without, all is done in this process.
    """

    workers: int = 1
    scheduler: str = ""
    guarded: bool = True

    def __post_init__(self) -> None:
        if not 1 <= self.workers <= MOST_WORKERS:
            raise ClassError(f"{self.workers} workers cannot be used; take 1 to {MOST_WORKERS}.")


class Crew:
    """Those who work; made by ``crew``."""

    def __init__(self, executor: Executor | None = None, size: int = 1) -> None:
        self._executor, self._size, self._over = executor, size, threading.Event()

    def run(self, work: Work, tasks: Iterable[Task], failed: Failed) -> Iterator[Result]:
        """Yield the result of every task in order.

        Parameters
        ----------
        work
            Turns some tasks into as many results; it must be possible to send it to another process.
        tasks
            The tasks, taken only as fast as they are worked on.
        failed
            Makes the result of a task at which the work broke off, even when done alone.
        """
        source = iter(tasks)
        if self._executor is None:
            for task in source:
                yield from _one_by_one(work, [task], failed)
            return
        under_way: deque[tuple[list[Task], Future[list[Result]]]] = deque()
        while True:
            while len(under_way) < self._size * AHEAD and (chunk := list(islice(source, CHUNK))):
                under_way.append((chunk, self._submit(work, chunk, failed)))
            if not under_way:
                return
            chunk, future = under_way.popleft()
            yield from self._found(future, work, chunk, failed)

    def wake(self) -> None:
        """Let the first process load what it needs while this one does the same."""
        if self._executor is not None:
            self._executor.submit(_wake)

    def _submit(self, work: Work, chunk: list[Task], failed: Failed) -> Future[list[Result]]:
        assert self._executor is not None
        return self._executor.submit(_guarded_work, work, chunk, failed, self._over)

    def _found(self, future: Future[list[Result]], work: Work, chunk: list[Task], failed: Failed) -> Iterable[Result]:
        return future.result()

    def close(self) -> None:
        """Send everybody home without waiting for what is under way."""
        self._over.set()
        if self._executor is not None:
            self._executor.shutdown(wait=False, cancel_futures=True)


class _DaskCrew(Crew):
    """Workers of a dask scheduler; what hangs there is given up here, and its worker is for dask's own nanny."""

    def _submit(self, work: Work, chunk: list[Task], failed: Failed) -> Future[list[Result]]:
        assert self._executor is not None
        return self._executor.submit(work, chunk)

    def _found(self, future: Future[list[Result]], work: Work, chunk: list[Task], failed: Failed) -> Iterable[Result]:
        try:
            return future.result(LONGEST * (self._size * AHEAD + len(chunk)))
        except Exception:
            future.cancel()
        # Whichever of them it was, the others must not suffer: each is done alone.
        return [self._alone(work, task, failed) for task in chunk]

    def _alone(self, work: Work, task: Task, failed: Failed) -> Result:
        future = self._submit(work, [task], failed)
        try:
            return future.result(LONGEST)[0]
        except (TimeoutError, CancelledError):
            future.cancel()
            return failed(task, OverBudget(f"it took longer than {LONGEST:.0f} seconds"))
        except Exception as error:
            return failed(task, error)

    def close(self) -> None:
        assert self._executor is not None
        self._executor.shutdown(wait=False)


def _wake() -> None:
    with guarded() as process:
        process.call(len, ())


def _one_by_one(work: Work, chunk: list[Task], failed: Failed) -> Iterator[Result]:
    for task in chunk:
        try:
            found = work([task])
        except Exception as error:
            yield failed(task, error)
        else:
            yield from found


def _guarded_work(work: Work, chunk: list[Task], failed: Failed, over: threading.Event) -> list[Result]:
    """Do the tasks one after the other in a process that is ended at a bad one; a thread waits for each process."""

    def done(tasks: list[Task]) -> list[Result]:
        if over.is_set():
            raise OverBudget("the run was stopped")
        found: list[Result] = process.call(work, tasks)
        return found

    with guarded() as process:
        return list(_one_by_one(done, chunk, failed))


@contextmanager
def crew(spread: Spread) -> Iterator[Crew]:
    """Return those who work, for as long as the ``with`` block lasts.

    Raises
    ------
    ClassError
        If the scheduler does not answer, or dask is not installed.
    """
    if spread.scheduler:
        with _dask_client(spread.scheduler) as client:
            size = max(1, len(client.scheduler_info()["workers"]))
            team: Crew = _DaskCrew(client.get_executor(pure=False), size)
            try:
                yield team
            finally:
                team.close()
        return
    load_before("coldcab.classroom.worker_preload")
    team = Crew(ThreadPoolExecutor(spread.workers) if spread.guarded else None, spread.workers)
    team.wake()
    try:
        yield team
    finally:
        team.close()


@contextmanager
def _dask_client(address: str) -> Iterator[Any]:
    try:
        from distributed import Client
    except ModuleNotFoundError:
        raise ClassError(
            "Spreading over a scheduler needs dask: run  pip install 'coldcab[spread]', here and for its workers."
        ) from None
    try:
        client = Client(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, TimeoutError, ValueError) as error:
        raise ClassError(
            f"No dask scheduler answers at {address} ({str(error).splitlines()[0]}); start one with: dask scheduler"
        ) from None
    try:
        yield client
    finally:
        client.close()


FEW = 4
"""Processes that mark where nobody named a number: more would wait for the one who writes."""


def few() -> int:
    """Return how many processes mark where nobody named a number."""
    return min(FEW, processors())


def processors() -> int:
    """Return how many processors this process may use."""
    return len(os.sched_getaffinity(0)) if sys.platform == "linux" else os.cpu_count() or 1
