"""JupyterLab's settings for a learner: all in a hidden folder of the learner's own, never in the user's home."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from coldcab.course import STATE_FOLDER
from coldcab.learner import write_whole

# Where each shipped file goes in the course's own folder for JupyterLab and its kernels.
_PLACES = {
    "default_setting_overrides.json": "config/labconfig/default_setting_overrides.json",
    "page_config.json": "config/labconfig/page_config.json",
    "jupyter_server_config.py": "config/jupyter_server_config.py",
    "custom.css": "config/custom/custom.css",
    "ipython_config.py": "ipython/profile_default/ipython_config.py",
}
# The course's own small extension, every file of it; JupyterLab finds it in "data".
_EXTENSION = "labextensions/coldcab"
# Single letters typed beside an answer must not cut, move or change a cell. JupyterLab takes this from the user's
# settings only, so it is put there once and is the learner's from then on.
_ONCE = {"shortcuts.json": "settings/@jupyterlab/shortcuts-extension/shortcuts.jupyterlab-settings"}


def runtime_folder(folder: Path) -> Path:
    """Return the folder in which a running JupyterLab of this learner's folder leaves its address."""
    return folder / STATE_FOLDER / "lab" / "runtime"


def log_file(folder: Path) -> Path:
    """Return where JupyterLab's own messages go."""
    return folder / STATE_FOLDER / "lab" / "messages.txt"


def write_settings(folder: Path) -> None:
    """Write the course's settings to the learner's folder.

    They are defaults: what the learner changes in JupyterLab's own settings (a dark theme, say) lies in a folder
    beside them and stays.
    """
    shipped = resources.files("coldcab.cli") / "lab"
    extension = {name: f"data/{name}" for name in _files(shipped, _EXTENSION)}
    for name, place in (_PLACES | extension | _ONCE).items():
        path = folder / STATE_FOLDER / "lab" / place
        if name in _ONCE and path.exists():
            continue
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, (shipped / name).read_bytes())


def _files(shipped: Traversable, folder: str) -> Iterator[str]:
    """Yield the name of every file in a shipped folder and those within it."""
    for entry in (shipped / folder).iterdir():
        name = f"{folder}/{entry.name}"
        if entry.is_dir():
            yield from _files(shipped, name)
        else:
            yield name


def environment(folder: Path) -> dict[str, str]:
    """Return the environment in which JupyterLab finds these settings, this Python's kernel and nothing else's."""
    lab = folder / STATE_FOLDER / "lab"
    mine = {
        "JUPYTER_CONFIG_DIR": lab / "config",
        "JUPYTER_DATA_DIR": lab / "data",
        "JUPYTER_RUNTIME_DIR": lab / "runtime",
        "JUPYTERLAB_SETTINGS_DIR": lab / "settings",
        "JUPYTERLAB_WORKSPACES_DIR": lab / "workspaces",
        "IPYTHONDIR": lab / "ipython",
    }
    inherited = {name: value for name, value in os.environ.items() if not name.startswith("JUPYTERLAB_")}
    # A path set by the user would bring in other kernels and extensions.
    for name in ("JUPYTER_PATH", "JUPYTER_CONFIG_PATH", "JUPYTER_NO_CONFIG", "JUPYTER_TOKEN"):
        inherited.pop(name, None)
    # nbgrader runs programs of its environment by their bare names.
    path = os.pathsep.join([str(Path(sys.executable).parent), inherited.get("PATH", os.defpath)])
    return (
        inherited
        | {name: str(place) for name, place in mine.items()}
        | {"PATH": path, "JUPYTER_PREFER_ENV_PATH": "1", "PYTHONUNBUFFERED": "1"}
    )
