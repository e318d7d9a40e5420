"""What a JupyterHub must know so that learners fetch, submit and see feedback in nbgrader's own lists."""

from __future__ import annotations

import json
import os
import sys
from importlib import resources
from pathlib import Path
from typing import Any

from coldcab.classroom.collecting import exchange_root
from coldcab.classroom.folder import ClassError, ClassFolder, own_folder, write_file

STATE = ".hub"
"""Folder in the class folder for what the hub keeps to itself: its database and its secrets."""


def learner_folder(folder: ClassFolder) -> Path:
    """Return the folder that learners' servers read; it lies beside the class folder, which is not theirs to open."""
    return folder.path.with_name(f"{folder.path.name}-hub")


_OFF = ("formgrader", "course_list", "create_assignment")
"""nbgrader's extensions that only an instructor should see; stock nbgrader shows them to every learner."""

AIDS = "cli/lab/labextensions"
"""The course's own small extension of JupyterLab, the same as ``coldcab open`` gives its learners. A learner's server
runs the hub's Python, so it reads the files where they were installed."""


def learner_settings(folder: ClassFolder) -> dict[str, str]:
    """Return the files that a learner's server reads: the course and the exchange, and no instructor's tools."""
    configuration = (
        "c = get_config()\n"
        f"c.CourseDirectory.course_id = {folder.settings.course!r}\n"
        f"c.Exchange.root = {str(exchange_root(folder))!r}\n"
        "c.Exchange.path_includes_course = False\n"
    )
    server = {
        "ServerApp": {
            "jpserver_extensions": {
                "nbgrader.server_extensions.formgrader": False,
                "nbgrader.server_extensions.course_list": False,
                "nbgrader.server_extensions.assignment_list": True,
                "nbgrader.server_extensions.validate_assignment": True,
            },
            "kernel_websocket_connection_class": "coldcab.course.prompt_connection.PromptConnection",
        },
        "LabApp": {"extra_labextensions_path": [str(resources.files("coldcab") / AIDS)]},
    }
    page = {"disabledExtensions": {f"@jupyter/nbgrader:{name.replace('_', '-')}": True for name in _OFF}}
    news = {"@jupyterlab/apputils-extension:notification": {"fetchNews": "false", "checkForUpdates": False}}
    return {
        "nbgrader_config.py": configuration,
        "jupyter_server_config.json": json.dumps(server, indent=2) + "\n",
        "labconfig/page_config.json": json.dumps(page, indent=2) + "\n",
        "labconfig/default_setting_overrides.json": json.dumps(news, indent=2) + "\n",
    }


def configure_hub(config: Any, folder: Path, *, address: str, trial_password: str = "") -> None:
    """Set up JupyterHub for a class; called from ``instructor/hub.py``.

    Parameters
    ----------
    config
        The object that ``get_config()`` returns.
    folder
        The class folder; its ``class.toml`` names the course.
    address
        Where the hub listens, by default on this computer alone.
    trial_password
        A password that is everybody's, for a trial on a computer of one's own; without it the computer's accounts
        (PAM) are asked, and only learners of the roster are let in.

    Raises
    ------
    ClassError
        If the settings of the class name no course.
    """
    place = ClassFolder.open(folder)
    if not place.settings.course:
        raise ClassError('A hub needs the name of the course; write  course = "..."  into class.toml.')
    state = own_folder(place.path, STATE)
    beside = learner_folder(place)
    shared = own_folder(beside.parent, beside.name)
    own_folder(shared, "labconfig")
    for name, text in learner_settings(place).items():
        write_file(shared / name, text.encode())
    config.JupyterHub.bind_url = address
    config.JupyterHub.db_url = f"sqlite:///{state / 'hub.sqlite'}"
    config.JupyterHub.cookie_secret_file = str(state / "cookie-secret")
    config.ConfigurableHTTPProxy.pid_file = str(state / "proxy.pid")
    config.Authenticator.allowed_users = {learner.id for learner in place.learners()}
    config.Spawner.default_url = "/lab"
    config.Spawner.environment = {
        "JUPYTER_CONFIG_PATH": str(shared),
        # The id of the hub is the id of the learner; the term is the class's.
        "PATH": os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", os.defpath)]),
    }
    config.Spawner.cmd = [str(Path(sys.executable).with_name("jupyterhub-singleuser"))]
    if trial_password:
        config.JupyterHub.authenticator_class = "jupyterhub.auth.DummyAuthenticator"
        config.DummyAuthenticator.password = trial_password
        config.JupyterHub.spawner_class = "jupyterhub.spawner.SimpleLocalProcessSpawner"
        config.SimpleLocalProcessSpawner.home_dir_template = str(shared / "homes" / "{username}")
        if getattr(os, "geteuid", lambda: 1)() == 0:
            config.Spawner.args = ["--allow-root"]
