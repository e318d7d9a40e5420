"""A PostgreSQL server of the tests' own on loopback, from Debian's package."""

from __future__ import annotations

import contextlib
import os
import pwd
import shutil
import socket
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

USER = "postgres"


def programs() -> Path | None:
    """Return the folder of the newest server's programs, or None if none is installed."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda path: float(path.parts[-3]))
    return found[-1].parent if found else None


def _as_server() -> list[str]:
    """The server refuses to run as the administrator; Debian's package brings a user for it."""
    return ["runuser", "-u", USER, "--"] if os.geteuid() == 0 else []


@contextlib.contextmanager
def server() -> Iterator[str]:
    """Run a server with an empty database; yield its URL, with room for the database's name at the end."""
    bin_ = programs()
    assert bin_ is not None
    place = Path(tempfile.mkdtemp(prefix="coldcab-postgres-"))
    if os.geteuid() == 0:
        owner = pwd.getpwnam(USER)
        os.chown(place, owner.pw_uid, owner.pw_gid)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    data = place / "data"
    run = {"check": True, "stdout": subprocess.DEVNULL, "stderr": subprocess.STDOUT, "cwd": place}
    subprocess.run([*_as_server(), bin_ / "initdb", "-D", data, "-U", "tester", "-A", "trust", "-E", "UTF8"], **run)
    process = subprocess.Popen(
        [*_as_server(), bin_ / "postgres", "-D", data, "-h", "127.0.0.1", "-p", str(port), "-k", str(place)],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd=place,
    )  # fmt: skip
    try:
        for _ in range(150):
            with socket.socket() as probe:
                if probe.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.1)
        yield f"postgresql://tester@127.0.0.1:{port}/"
    finally:
        subprocess.run(
            [*_as_server(), bin_ / "pg_ctl", "stop", "-D", data, "-m", "immediate"], **{**run, "check": False}
        )
        process.wait(20)
        shutil.rmtree(place, ignore_errors=True)


def new_database(url: str, name: str) -> str:
    """Make an empty database and return its URL."""
    import psycopg

    with psycopg.connect(f"{url}postgres", autocommit=True) as connection:
        connection.execute(f'CREATE DATABASE "{name}"')
    return f"{url}{name}"
