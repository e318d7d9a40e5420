"""What the commands of a class show on the screen: lines, tables, progress; and how they end when they are stopped."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import typer
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn
from rich.table import Table
from rich.text import Text

console = Console(highlight=False)


def say(text: str) -> None:
    """Print one line; nothing in it is taken for colours, and nothing of a file speaks to the terminal."""
    console.print(printable(text), markup=False, soft_wrap=True)


def printable(text: str) -> str:
    """Return what can be shown of a text."""
    return "".join(sign for sign in text if sign.isprintable())


def print_table(title: str, heading: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print a table, where there is something to print."""
    if not rows:
        return
    drawn = Table(title=title, title_justify="left")
    for word in heading:
        drawn.add_column(word, overflow="fold")
    for row in rows:
        drawn.add_row(*(Text(printable(cell)) for cell in row))
    console.print(drawn)


class Bar:
    """Progress on the screen: how many are done, how fast, and how long it will still take."""

    def __init__(self, title: str, total: int | None) -> None:
        columns = [TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn()]
        self._progress = Progress(
            *columns, TextColumn("{task.fields[who]}", markup=False), console=console, transient=True
        )
        self._task = self._progress.add_task(title, total=total, who="")

    def __enter__(self) -> Bar:
        self._progress.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._progress.stop()

    def step(self, who: str) -> None:
        """Show that one more is done."""
        self._progress.update(self._task, advance=1, who=printable(who)[-40:])


@contextmanager
def ends_raise() -> Iterator[None]:
    """Let a polite end from outside (a closed terminal, a service manager) take the same way as Ctrl-C."""

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    names = [name for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    ours = threading.current_thread() is threading.main_thread()
    before = {name: signal.signal(getattr(signal, name), stop) for name in names} if ours else {}
    try:
        yield
    finally:
        for name, handler in before.items():
            signal.signal(getattr(signal, name), handler)


@contextmanager
def stoppable(said: str) -> Iterator[None]:
    """Let a run be stopped in an orderly way, and say how to go on."""
    with ends_raise():
        try:
            yield
        except KeyboardInterrupt:
            say(f"Stopped. {said}; the same command goes on from there.")
            raise typer.Exit(130) from None
