"""A kernel's messages reach the page at once, wherever a learner's lab is started."""

import json
from pathlib import Path

import pytest
from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection
from jupyter_server.services.kernels.websocket import KernelWebsocketHandler
from traitlets.config import Config, PyFileConfigLoader
from traitlets.utils.importstring import import_item

from coldcab.classroom import ClassFolder, hub
from coldcab.cli import settings
from coldcab.course.prompt_connection import PromptConnection

ROOT = Path(__file__).parents[1]


def learner_s(folder):
    written = settings.environment(folder)
    settings.write_settings(folder)
    loader = PyFileConfigLoader("jupyter_server_config.py", path=written["JUPYTER_CONFIG_DIR"])
    return loader.load_config()


def hub_s(folder):
    made = ClassFolder.create(folder / "class", "t", roster=None, material=ROOT / "instructor", course="cab-air")
    return Config(json.loads(hub.learner_settings(made)["jupyter_server_config.json"]))


@pytest.mark.parametrize("settings_of", [learner_s, hub_s])
def test_every_lab_of_a_learner_is_told_to(tmp_path, settings_of):
    assert import_item(settings_of(tmp_path).ServerApp.kernel_websocket_connection_class) is PromptConnection


def test_a_connection_asks_for_no_delay_and_then_connects(monkeypatch):
    done = []
    monkeypatch.setattr(ZMQChannelsWebsocketConnection, "connect", lambda _one: done.append("connected"))

    class Page(KernelWebsocketHandler):
        def __init__(self):
            """Without a server."""

        def set_nodelay(self, value):
            done.append(value)

    PromptConnection(websocket_handler=Page()).connect()
    assert done == [True, "connected"]
