"""Grades a class while every step outside is watched: ``python watched.py FOLDER ROOM`` prints what was done outside.

``ROOM`` is the one folder besides the class in which something may be written: that of temporary files. The processes
that read import this file too, so that each is watched as it works; what one saw lies in ``ROOM/seen``.
"""

import json
import os
import socket
import sys
from pathlib import Path

FOLDER, ROOM = Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve()
SEEN = ROOM / "seen"
READER = __name__ != "__main__"
done: list[str] = []
watching = READER


def note(what: str) -> None:
    """Write down what was seen; a process that reads may be ended at any moment, so it does so at once."""
    global watching
    done.append(what)
    if READER:
        watching = False
        with SEEN.open("a") as file:
            file.write(f"{what}\n")
        watching = True


def watch(event: str, words: tuple) -> None:
    """Write down what reaches beyond the class."""
    if not watching:
        return
    if event == "open" and isinstance(words[0], (str, bytes, os.PathLike)):
        path, mode = Path(os.path.abspath(os.fsdecode(words[0]))), words[1]
        if path.name == "secret.ipynb" or (isinstance(mode, str) and set(mode) & set("wax+") and not inside(path)):
            note(f"open {path} {mode}")
    elif event.startswith("socket.") and asks_for_a_process(words[0]):
        return
    elif event.startswith(
        (
            "socket.connect",
            "socket.send",
            "subprocess.",
            "os.system",
            "os.exec",
            "os.fork",
            "os.spawn",
            "os.posix_spawn",
        )
    ):
        note(f"{event} {words!r}"[:200])
    elif event in ("os.remove", "os.rename", "os.mkdir", "os.rmdir", "os.symlink", "os.link", "shutil.rmtree"):
        path = Path(os.path.abspath(os.fsdecode(words[0])))
        # A name within an open folder (its number comes last) is looked at when that folder is opened by name.
        if not inside(path) and not (isinstance(words[-1], int) and words[-1] >= 0 and len(words) > 1):
            note(f"{event} {path}")
    elif event == "exec" and "canary" in repr(getattr(words[0], "co_names", ())) + repr(
        getattr(words[0], "co_consts", ())
    ):
        note("a submission's program was run")


def asks_for_a_process(line: socket.socket) -> bool:
    """Whether a line goes to this program's own other processes: a file in the room, no network."""
    return line.family == getattr(socket, "AF_UNIX", None)


def inside(path: Path) -> bool:
    """Whether something may be written there."""
    return any(place in (path, *path.parents) for place in (FOLDER, ROOM, Path("/dev/null")))


sys.addaudithook(watch)

from coldcab.classroom import ClassFolder, grading, reporting  # noqa: E402 - the watch comes first
from coldcab.cli.class_commands import app  # noqa: E402,F401 - as the command does

if not READER:
    place = ClassFolder.open(FOLDER)
    watching = True
    outcomes = grading.grade_class(place, "cycle-1")
    reporting.write_report(place, ("cycle-1",))
    watching = False
    done += SEEN.read_text().splitlines() if SEEN.exists() else []
    SEEN.unlink(missing_ok=True)
    print(json.dumps({"outside": done, "count": len(outcomes)}))
