"""Spreading work over this process, processes of this computer, or the workers of a dask scheduler elsewhere.

Workers get data and give data back, in order; only this process writes. Few pieces are under way at a time, so that
memory does not grow with the class.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import islice
from typing import Any, TypeVar

from coldcab.classroom.settings import ClassError

CHUNK = 6
"""Submissions that travel together: enough that the way costs little, few enough that nobody waits for the last."""

AHEAD = 3
"""Pieces under way for each worker."""

MOST_WORKERS = 256

PATIENCE = "10s"
"""How long a scheduler may take to answer."""

Task, Result = TypeVar("Task"), TypeVar("Result")


@dataclass(frozen=True)
class Spread:
    """Where the work is done: in this process, in ``workers`` processes, or on the dask ``scheduler``."""

    workers: int = 1
    scheduler: str = ""

    def __post_init__(self) -> None:
        if not 1 <= self.workers <= MOST_WORKERS:
            raise ClassError(f"{self.workers} workers cannot be used; take 1 to {MOST_WORKERS}.")


class Crew:
    """Those who work; made by ``crew``."""

    def __init__(self, make: Callable[[], Executor] | None = None, size: int = 1) -> None:
        self._make, self._size = make, size
        self._executor = make() if make else None

    def run(
        self,
        work: Callable[[list[Task]], list[Result]],
        tasks: Iterable[Task],
        failed: Callable[[Task, Exception], Result],
    ) -> Iterator[Result]:
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
                yield from self._alone(work, [task], failed)
            return
        under_way: deque[tuple[list[Task], Future[list[Result]]]] = deque()
        while True:
            while len(under_way) < self._size * AHEAD and (chunk := list(islice(source, CHUNK))):
                under_way.append((chunk, self._submit(work, chunk)))
            if not under_way:
                return
            chunk, future = under_way.popleft()
            try:
                found = future.result()
            except Exception:
                # Whichever of them it was, the others must not suffer: each is done alone.
                yield from self._alone(work, chunk, failed)
            else:
                yield from found

    def _submit(self, work: Callable[[list[Task]], list[Result]], chunk: list[Task]) -> Future[list[Result]]:
        assert self._executor is not None
        try:
            return self._executor.submit(work, chunk)
        except BrokenExecutor:
            self._restart()
            return self._executor.submit(work, chunk)

    def _alone(
        self, work: Callable[[list[Task]], list[Result]], chunk: list[Task], failed: Callable[[Task, Exception], Result]
    ) -> Iterator[Result]:
        for task in chunk:
            try:
                found = work([task]) if self._executor is None else self._submit(work, [task]).result()
            except Exception as error:
                yield failed(task, error)
            else:
                yield from found

    def _restart(self) -> None:
        assert self._make is not None
        self.close()
        self._executor = self._make()

    def close(self) -> None:
        """Send everybody home without waiting for what is under way."""
        if isinstance(self._executor, ProcessPoolExecutor):
            self._executor.shutdown(wait=False, cancel_futures=True)
        elif self._executor is not None:
            self._executor.shutdown(wait=False)


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
            team = Crew(lambda: client.get_executor(pure=False), size)
            try:
                yield team
            finally:
                team.close()
        return
    team = Crew(lambda: _processes(spread.workers), spread.workers) if spread.workers > 1 else Crew()
    try:
        yield team
    finally:
        team.close()


def _processes(count: int) -> Executor:
    # A fork server has loaded what the work needs and no thread, no lock and no database: forks of it are safe, and
    # there at once.
    method = "forkserver" if "forkserver" in multiprocessing.get_all_start_methods() else "spawn"
    context = multiprocessing.get_context(method)
    if method == "forkserver":
        context.set_forkserver_preload(["coldcab.classroom.worker_preload"])
    return ProcessPoolExecutor(count, mp_context=context, initializer=_worker_starts)


def _worker_starts() -> None:
    # Ctrl-C is for the one who writes.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    from coldcab.classroom import worker_preload

    assert worker_preload.LOADED


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


def processors() -> int:
    """Return how many processors this process may use."""
    return len(os.sched_getaffinity(0)) if sys.platform == "linux" else os.cpu_count() or 1
