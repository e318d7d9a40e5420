"""Starting, finding and stopping the JupyterLab that shows the course."""

from __future__ import annotations

import contextlib
import errno
import json
import os
import secrets
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from coldcab.cli.settings import environment, log_file, runtime_folder
from coldcab.course import CourseError
from coldcab.words import _

FIRST_PORT = 8888
PORTS = range(1024, 65536)
PORTS_TRIED = 50
START_PAGE = "start-here.ipynb"
# As "python -m jupyterlab", without a grammar of international addresses that a library of its libraries reads at every
# start and that nothing here is checked by: half of all the work until the page is there (1.8 of 3.3 s of a processor).
PROGRAM = "import sys; sys.modules['rfc3987_syntax'] = None; from jupyterlab.labapp import main; sys.exit(main())"
LONGEST_START = 90.0  # seconds; a cold start on a slow laptop takes about 20
LONGEST_STOP = 10.0


@dataclass(frozen=True)
class Running:
    """A JupyterLab that answers, and the address of the course's first page in it."""

    address: str
    process: subprocess.Popen[bytes] | None = None


def free_port(first: int = FIRST_PORT) -> int:
    """Return the first free port from ``first`` on.

    Raises
    ------
    CourseError
        If none of the next 50 is free, or ``first`` is no port that a user may open.
    """
    if first not in PORTS:
        raise CourseError(
            _("The port {first} cannot be used; take one from {start} to {stop}.").format(
                first=first, start=PORTS.start, stop=PORTS.stop - 1
            )
        )
    for port in range(first, min(first + PORTS_TRIED, PORTS.stop)):
        # Both loopback addresses: a browser may take either for "localhost".
        if _is_free(port, socket.AF_INET, "127.0.0.1") and _is_free(port, socket.AF_INET6, "::1"):
            return port
    raise CourseError(
        _("No port from {first} on is free; close other programs or name another with --port.").format(first=first)
    )


def _is_free(port: int, family: socket.AddressFamily, host: str) -> bool:
    try:
        with socket.socket(family) as probe:
            if os.name == "posix":  # a port that was closed a moment ago is free
                probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind((host, port))
    except OSError as error:
        # A computer without this kind of address is no reason against the port.
        return family == socket.AF_INET6 and not _in_use(error)
    return True


def _in_use(error: OSError) -> bool:
    return error.errno in (errno.EADDRINUSE, errno.EACCES)


def running(folder: Path) -> Running | None:
    """Return the JupyterLab that already shows this folder, or None."""
    for path in sorted(runtime_folder(folder).glob("jpserver-*.json")):
        try:
            details = json.loads(path.read_text(encoding="utf-8"))
            if _answers(details["url"], details["token"]):
                return Running(_address(details["url"], details["token"]))
        except (OSError, ValueError, KeyError, TypeError):
            pass
        # Left behind by one that was killed.
        with contextlib.suppress(OSError):
            path.unlink()
    return None


@contextlib.contextmanager
def started(folder: Path, port: int) -> Iterator[Running]:
    """Start JupyterLab on ``folder``; it is stopped when the ``with`` block is left, however it is left.

    Raises
    ------
    CourseError
        If it does not start; the sentence names the file with JupyterLab's own messages.
    """
    token = secrets.token_hex(24)
    log = log_file(folder)
    log.parent.mkdir(parents=True, exist_ok=True)
    with open(log, "wb") as messages:
        process = subprocess.Popen(
            _command(folder, port),
            cwd=folder,
            # By the environment, since every user of the computer can read a command line.
            env=environment(folder) | {"JUPYTER_TOKEN": token},
            stdin=subprocess.DEVNULL,
            stdout=messages,
            stderr=subprocess.STDOUT,
            # Ctrl-C reaches this program alone, which then stops JupyterLab in an orderly way.
            start_new_session=os.name == "posix",
        )
        try:
            with _stop_signals_raise():
                yield Running(_wait_for_address(folder, process, token), process)
        finally:
            _stop(process)


def _command(folder: Path, port: int) -> list[str]:
    command = [
        sys.executable,
        "-c",
        PROGRAM,
        f"--ServerApp.root_dir={folder}",
        f"--ServerApp.port={port}",
        f"--ServerApp.port_retries={PORTS_TRIED}",
        "--ServerApp.open_browser=False",
        f"--LabApp.default_url=/lab/tree/{START_PAGE}",
    ]
    # The administrator's account is common on hired computers and in containers, and JupyterLab refuses it by default.
    if getattr(os, "geteuid", lambda: 1)() == 0:
        command.append("--allow-root")
    return command


def _wait_for_address(folder: Path, process: subprocess.Popen[bytes], token: str) -> str:
    end = time.monotonic() + LONGEST_START
    while time.monotonic() < end:
        if process.poll() is not None:
            break
        for path in runtime_folder(folder).glob("jpserver-*.json"):
            with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
                details = json.loads(path.read_text(encoding="utf-8"))
                if details["token"] == token and _answers(details["url"], token):
                    return _address(details["url"], token)
        time.sleep(0.1)
    raise CourseError(_("JupyterLab did not start; its own messages are in {folder}.").format(folder=log_file(folder)))


def _answers(base: str, token: str) -> bool:
    request = urllib.request.Request(f"{base}api/status", headers={"Authorization": f"token {token}"})
    # Never through a proxy: the server is on this computer.
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    try:
        with opener.open(request, timeout=2):
            return True
    except (urllib.error.URLError, OSError):
        return False


def _address(base: str, token: str) -> str:
    return f"{base}lab/tree/{START_PAGE}?token={token}"


@contextlib.contextmanager
def _stop_signals_raise() -> Iterator[None]:
    """Let a polite end from outside (a closed terminal, a service manager) take the same way as Ctrl-C."""

    def interrupt(*__: object) -> None:
        raise KeyboardInterrupt

    names = [name for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    before = {name: signal.signal(getattr(signal, name), interrupt) for name in names}
    try:
        yield
    finally:
        for name, handler in before.items():
            signal.signal(getattr(signal, name), handler)


def _stop(process: subprocess.Popen[bytes]) -> None:
    # A second, impatient Ctrl-C must not leave JupyterLab behind.
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        if process.poll() is None:
            process.terminate()
        process.wait(LONGEST_STOP)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
    finally:
        signal.signal(signal.SIGINT, before)
