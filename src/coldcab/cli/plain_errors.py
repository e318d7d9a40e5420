"""How the command line speaks: one line at a time, and one plain sentence for what went wrong on purpose."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any

import typer


def plainly(command: Callable[..., Any]) -> Callable[..., Any]:
    """Turn the errors that coldcab raises on purpose into one plain sentence and exit code 1.

    Any other exception is a defect and keeps its traceback.
    """

    @functools.wraps(command)
    def wrapper(*args: Any, **kwargs: Any) -> Any:
        try:
            return command(*args, **kwargs)
        except ValueError as error:
            from coldcab.quantities import ColdcabError  # on need: it brings NumPy along

            if not isinstance(error, ColdcabError):
                raise
            say(str(error), to_stderr=True)
        except OSError as error:
            where = f" ({error.filename})" if error.filename else ""
            say(f"{error.strerror or error}{where}; see to that and try again.", to_stderr=True)
        raise typer.Exit(1) from None

    return wrapper


def say(text: str, *, to_stderr: bool = False) -> None:
    """Print one line of text, whole words, without guessing at colours or links in it."""
    from rich.console import Console

    Console(stderr=to_stderr, highlight=False, soft_wrap=True).print(text, markup=False)
