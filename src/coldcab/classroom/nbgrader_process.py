"""How nbgrader is run within our own process: its configuration, one database engine, and quiet."""

from __future__ import annotations

import logging
import sys
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache, partial
from types import ModuleType
from typing import Any

from coldcab.classroom.folder import ClassError, ClassFolder
from coldcab.classroom.material import CONFIGURATION


def load_configuration(folder: ClassFolder) -> Any:
    """Return nbgrader's configuration of the class, as nbgrader's own commands read it."""
    from traitlets.config.loader import PyFileConfigLoader

    return PyFileConfigLoader(CONFIGURATION, path=str(folder.path)).load_config()


def load_soon() -> None:
    """Load what nbgrader needs for its own steps without setuptools, of which it wants only to unpack archives.

    That takes a fifth of its start; whoever unpacks one gets the real function then.
    """
    if "nbgrader.utils" in sys.modules or "setuptools" in sys.modules:
        return
    stand_in, within = ModuleType("setuptools"), ModuleType("setuptools.archive_util")
    for name in ("unpack_archive", "unpack_tarfile", "unpack_zipfile"):
        setattr(within, name, partial(_unpack, name))
    sys.modules |= {"setuptools": stand_in, "setuptools.archive_util": within}
    try:
        import nbgrader.utils  # noqa: F401
    finally:
        del sys.modules["setuptools"], sys.modules["setuptools.archive_util"]


def _unpack(name: str, *words: Any, **more: Any) -> Any:
    from setuptools import archive_util

    return getattr(archive_util, name)(*words, **more)


@contextmanager
def one_gradebook_engine() -> Iterator[None]:
    """Let nbgrader use one database engine for a whole run.

    nbgrader opens the gradebook nine times for each submission, and SQLAlchemy would compile every statement again
    each time. The database's own safety (its sync) is left as it is.
    """
    from nbgrader import api

    made = api.create_engine
    api.create_engine = lru_cache(maxsize=4)(made)
    try:
        yield
    finally:
        api.create_engine = made


class _LastWords(logging.Handler):
    """Keeps what nbgrader said last about an error, which it prints instead of raising."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.words = ""

    def emit(self, record: logging.LogRecord) -> None:
        lines = [line.strip() for line in record.getMessage().splitlines() if line.strip()]
        # Of a traceback the last line; what sums up afterwards says nothing.
        if len(lines) > 1:
            self.words = lines[-1]


_LAST = _LastWords()


@contextmanager
def quiet() -> Iterator[None]:
    """Keep nbgrader's progress lines off the screen; what matters is raised or shown in the table."""
    from sqlalchemy.exc import SAWarning

    logger = logging.getLogger("traitlets")
    before = logger.handlers, logger.propagate, logger.level
    logger.handlers, logger.propagate = [_LAST], False
    logger.setLevel(logging.ERROR)
    try:
        with warnings.catch_warnings():
            # nbgrader adds objects to a session a little late; SQLAlchemy says so each time.
            warnings.simplefilter("ignore", SAWarning)
            # It also leaves small files open.
            warnings.simplefilter("ignore", ResourceWarning)
            yield
    finally:
        logger.handlers, logger.propagate, level = before
        logger.setLevel(level)


def run_converter(converter: Any, what: str) -> None:
    """Run one of nbgrader's converters.

    Raises
    ------
    ClassError
        If it fails; with the reason that nbgrader only prints.
    """
    from nbgrader.converters import NbGraderException

    _LAST.words = ""
    try:
        converter.start()
    except (NbGraderException, SystemExit) as error:
        raise ClassError(f"{what[:1].upper()}{what[1:]}: {_LAST.words or error}") from error
