"""Work on what others wrote, in a process of its own that is ended when it takes too much time or memory.

One process does many pieces; only where it was ended does another take its place. So the next trick with a file costs
its owner's hand-in and nobody's evening. Times are those of the processor: a busy computer refuses nobody.
"""

from __future__ import annotations

import atexit
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from coldcab.quantities import ColdcabError

SECONDS = 8.0
"""Processor time that one piece of work may take; reading and marking an honest sheet takes 0.02."""

PATIENCE = 60.0
"""Seconds until a piece is given up whatever it does: where a system cannot count, and where something only waits."""

MEMORY = 350_000_000
"""Bytes that it may take beyond what the process has when it begins; an honest sheet takes about 3,000,000."""


class OverBudget(ColdcabError):
    """A piece of work was ended: it took too much, or its process died."""


class Guarded:
    """A process that does one piece of work after another; not to be shared by threads."""

    def __init__(self) -> None:
        self._process: Any = None
        self._line: Connection | None = None

    def call(self, work: Callable[..., Any], *words: Any) -> Any:
        """Return ``work(*words)``, done in the process; what it raises is raised here.

        Raises
        ------
        OverBudget
            If it took more time or memory than it may, or its process died.
        """
        if self._process is None or not self._process.is_alive():
            self._start()
        assert self._line is not None
        try:
            self._line.send((work, words, SECONDS))
            if not self._line.poll(PATIENCE):
                self.end()
                raise OverBudget(f"it took longer than {PATIENCE:.0f} seconds and was ended")
            good, found = self._line.recv()
        except (EOFError, OSError):
            raise OverBudget(self._last_words()) from None
        if good:
            return found
        raise found

    def _start(self) -> None:
        if hasattr(_context(), "set_forkserver_preload"):
            _context().set_forkserver_preload(_to_load)
        self._line, theirs = _context().Pipe()
        self._process = _context().Process(target=_serve, args=(theirs,), daemon=True)
        self._process.start()
        theirs.close()

    def _last_words(self) -> str:
        self._process.join(PATIENCE)
        code = self._process.exitcode
        self.end()
        if code == -getattr(signal, "SIGPROF", 0):
            return f"it took more than {SECONDS:.0f} seconds of processor time and was ended"
        if code == _OUT_OF_MEMORY:
            return f"it took more than {MEMORY / 1e6:.0f} MB of memory and was ended"
        return f"the process that read it died ({code})"

    def end(self) -> None:
        """End the process, whatever it does."""
        if self._process is not None:
            self._process.kill()
            self._process.join()
        if self._line is not None:
            self._line.close()
        self._process = self._line = None


_OUT_OF_MEMORY = 97
"""The exit code of a process that had not enough of it."""


def _serve(line: Connection) -> None:
    """Do what comes down the line, each piece within its budget; the life of a process."""
    # Ctrl-C is for the one who writes.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _limit_memory()
    while True:
        try:
            work, words, seconds = line.recv()
            with _limited_time(seconds):
                answer = True, work(*words)
        except EOFError:
            return
        except MemoryError:
            os._exit(_OUT_OF_MEMORY)
        except Exception as error:
            answer = False, error
        _answer(line, answer)


def _answer(line: Connection, answer: tuple[bool, Any]) -> None:
    try:
        line.send(answer)
    except (BrokenPipeError, ConnectionResetError):
        os._exit(0)  # nobody waits for it any more
    except MemoryError:
        os._exit(_OUT_OF_MEMORY)
    except Exception as error:
        # Not everything that is raised can travel.
        line.send((False, RuntimeError(f"{type(error).__name__}: {error}"[:300])))


@contextmanager
def _limited_time(seconds: float) -> Iterator[None]:
    """Let the system end this process when the time is used up: it needs no help of the work for that."""
    if not hasattr(signal, "setitimer"):
        yield  # Windows: PATIENCE alone counts
        return
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)


def _limit_memory() -> None:
    with suppress(ImportError, OSError, ValueError):
        import resource

        there = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
        resource.setrlimit(resource.RLIMIT_AS, (there + MEMORY, resource.RLIM_INFINITY))


def _context() -> Any:
    # A fork server has no thread, no lock and no database: forks of it are safe, and there at once.
    methods = multiprocessing.get_all_start_methods()
    return multiprocessing.get_context("forkserver" if "forkserver" in methods else "spawn")


def load_before(*modules: str) -> None:
    """Name the modules that processes are to have loaded when they begin; it counts until the first of them begins."""
    _to_load[:] = modules


_to_load = ["coldcab.classroom.autograder", "coldcab.classroom.archives"]
"""What reading needs; marking needs more."""

_idle: list[Guarded] = []
_lock = threading.Lock()


@contextmanager
def guarded() -> Iterator[Guarded]:
    """Return a process for as long as the ``with`` block lasts; it is kept for whoever asks next."""
    with _lock:
        mine = _idle.pop() if _idle else Guarded()
    try:
        yield mine
    except BaseException:
        mine.end()
        raise
    with _lock:
        _idle.append(mine)


@atexit.register
def end_all() -> None:
    """End the processes that nobody uses."""
    with _lock:
        while _idle:
            _idle.pop().end()
