"""How the lab's server passes a kernel's messages on: each at once.

A move of a control is answered by several small messages. Left alone, the system keeps the second one back until the
browser has said that it has the first (Nagle's algorithm, RFC 896), and a browser takes up to 40 ms to say so (delayed
acknowledgment, RFC 1122, 4.2.3.2). `tornado.websocket.WebSocketHandler.set_nodelay` asks for neither.
"""

from __future__ import annotations

from typing import Any

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection


class PromptConnection(ZMQChannelsWebsocketConnection):
    """A kernel's connection to a page on which no message waits for another."""

    def connect(self) -> Any:
        """Connect as ever, without delay."""
        self.websocket_handler.set_nodelay(True)
        return super().connect()
