"""The instructor's desk: JupyterLab on the class folder, with formgrader open and the rubrics beside the answers."""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import subprocess
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
import webbrowser
from collections.abc import Callable, Iterator
from pathlib import Path

from coldcab.classroom.folder import ClassError, ClassFolder, own_folder, write_file

STATE = ".desk"
"""Folder in the class folder for JupyterLab's own settings, so that the instructor's others stay as they are."""

LONGEST_START = 90.0
"""Seconds; a cold start on a slow laptop takes about 20."""

_SETTINGS = {
    "@jupyterlab/apputils-extension:notification": {"fetchNews": "false", "checkForUpdates": False},
    "@jupyterlab/filebrowser-extension:browser": {"showLastModifiedColumn": False},
}


def open_formgrader(folder: ClassFolder, sheet: str, *, port: int, show: bool, say: Callable[[str], None]) -> None:
    """Open the desk, and keep it open until Ctrl-C; at the list of one sheet's answers where ``sheet`` names it.

    Raises
    ------
    ClassError
        If JupyterLab does not start.
    """
    say("Starting JupyterLab ...")
    try:
        with formgrader_server(folder, port) as (address, process):
            if sheet:
                address = address_of(address, sheet)
            say(f"The desk is open: {address}")
            if sheet:
                say("Choose Submission #1. Points, Tab, Tab, a comment; Ctrl and the full stop: the next learner.")
            else:
                say("Choose Manual Grading for written answers; the rubric stands beside.")
            say("Ctrl-C here closes it; what you gave is kept.")
            if show and not webbrowser.open(address):
                say("No browser could be started; open the address above in one.")
            process.wait()
    except KeyboardInterrupt:
        pass
    say("Closed. Next: coldcab class feedback --zip.")


def address_of(desk_address: str, sheet: str) -> str:
    """Return the address of the list of one sheet's answers, from that of the desk.

    By way of the page that takes the token: formgrader's own pages take none.
    """
    base, _, token = desk_address.partition("/lab?")
    place = urllib.parse.quote(f"/formgrader/gradebook/{sheet}/{sheet}", safe="")
    return f"{base}/login?next={place}&{token.rpartition('&')[2]}"


@contextlib.contextmanager
def formgrader_server(folder: ClassFolder, port: int) -> Iterator[tuple[str, subprocess.Popen[bytes]]]:
    """Run JupyterLab on the class folder at a free port; yield the address of formgrader in it, and the process."""
    state = own_folder(folder.path, STATE)
    config = own_folder(state, "config", "labconfig")
    write_file(config / "default_setting_overrides.json", json.dumps(_SETTINGS).encode())
    token = secrets.token_hex(24)
    command = [
        sys.executable, "-m", "jupyterlab", "--no-browser", "--ServerApp.ip=127.0.0.1", f"--ServerApp.port={port}",
        "--ServerApp.port_retries=0", f"--ServerApp.root_dir={folder.path}",
    ]  # fmt: skip
    if getattr(os, "geteuid", lambda: 1)() == 0:
        command.append("--allow-root")
    with open(state / "messages.txt", "wb") as messages:
        process = subprocess.Popen(
            # nbgrader reads its configuration from the folder that JupyterLab is started in.
            command, cwd=folder.path, env=_environment(state) | {"JUPYTER_TOKEN": token}, stdin=subprocess.DEVNULL,
            stdout=messages, stderr=subprocess.STDOUT, start_new_session=os.name == "posix",
        )  # fmt: skip
    try:
        _wait(process, f"http://127.0.0.1:{port}/api/status", token, state / "messages.txt")
        yield f"http://127.0.0.1:{port}/lab?formgrader=true&token={token}", process
    finally:
        process.terminate()
        try:
            process.wait(10)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def _environment(state: Path) -> dict[str, str]:
    mine = {
        "JUPYTER_CONFIG_DIR": state / "config",
        "JUPYTER_RUNTIME_DIR": state / "runtime",
        "JUPYTERLAB_SETTINGS_DIR": state / "settings",
        "JUPYTERLAB_WORKSPACES_DIR": state / "workspaces",
    }
    # nbgrader calls programs of its environment by their bare names.
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", os.defpath)])
    return os.environ | {name: str(place) for name, place in mine.items()} | {"PATH": path}


def _wait(process: subprocess.Popen[bytes], address: str, token: str, messages: Path) -> None:
    request = urllib.request.Request(address, headers={"Authorization": f"token {token}"})
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    end = time.monotonic() + LONGEST_START
    while time.monotonic() < end and process.poll() is None:
        with contextlib.suppress(urllib.error.URLError, OSError), opener.open(request, timeout=2):
            return
        time.sleep(0.2)
    raise ClassError(f"JupyterLab did not start; its own messages are in {messages}.")
