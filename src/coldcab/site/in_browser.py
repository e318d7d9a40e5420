"""The course's Python inside a browser: where it works, and how what it writes reaches the page that keeps it.

The learner's folder lies in this kernel's memory. The page keeps its files in the browser's storage, gives them to
every kernel before anything else runs, and is told of every file that is written. No service worker is needed for
that, so a plain address in a shop's network works like any other.
"""

from __future__ import annotations

import base64
import json
import os
import shutil
from functools import partial
from importlib.resources import files
from pathlib import Path
from typing import Any

from coldcab import learner
from coldcab.progress import START

HOME = Path("/course")
CHANNEL = "coldcab"


def ready(shell: Any) -> None:
    """Begin: the words of the sheets are known, and what is written is told to the page."""
    from coldcab.notebook import register

    shutil.copytree(files("coldcab") / "_course", HOME, dirs_exist_ok=True)  # type: ignore[arg-type]  # lies unpacked
    (HOME / START).touch()  # how the learner's folder is known
    os.chdir(HOME)
    register(shell)
    tell(stage="ready")


def begin(kept: str, folder: str, tab: str) -> None:
    """Take the files that the page has kept, and go to the folder of the page that is about to run.

    Parameters
    ----------
    kept
        JSON: for each path from the learner's folder, the content in base64.
    folder
        From the learner's folder; empty for that folder itself.
    tab
        The browser's tab that has this kernel: what is written is told to it alone.
    """
    learner.told_of_files[:] = [partial(_tell_of_file, tab)]
    for path, content in json.loads(kept).items():
        take(path, content)
    here = HOME / folder
    here.mkdir(parents=True, exist_ok=True)
    os.chdir(here)


def take(path: str, content: str) -> None:
    """Take one file from the page, in base64; what points out of the learner's folder is left alone."""
    place = HOME / path
    if HOME in Path(os.path.normpath(place)).parents:
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(base64.b64decode(content))


def tell(**said: str) -> None:
    """Say something to the page."""
    import js  # type: ignore[import-not-found]  # the browser's own

    channel = js.BroadcastChannel.new(CHANNEL)
    channel.postMessage(json.dumps(said))
    channel.close()


def _tell_of_file(tab: str, path: Path, data: bytes) -> None:
    if HOME in path.parents:
        tell(tab=tab, path=path.relative_to(HOME).as_posix(), content=base64.b64encode(data).decode())
