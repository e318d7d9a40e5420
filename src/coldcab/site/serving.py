"""Giving the site out from this computer, to itself and to phones in the same network."""

from __future__ import annotations

import contextlib
import functools
import socket
from collections.abc import Iterator
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from coldcab.site.assembling import NAMED
from coldcab.site.runtime import SiteError
from coldcab.words import _

FIRST_PORT = 8800
PORTS_TRIED = 50


class _Handler(SimpleHTTPRequestHandler):
    extensions_map = {  # noqa: RUF012 - as the class above has it
        **SimpleHTTPRequestHandler.extensions_map,
        ".mjs": "text/javascript",
        ".wasm": "application/wasm",
        ".whl": "application/zip",
    }
    protocol_version = "HTTP/1.1"

    def end_headers(self) -> None:
        # What lies under a version never changes; the front page names the version of the day.
        lasting = self.path.count("/") > 1 and not self.path.startswith("/api/")
        self.send_header("Cache-Control", "public, max-age=31536000, immutable" if lasting else "no-cache")
        super().end_headers()

    def log_message(self, format: str, *args: Any) -> None:
        """Say nothing: whoever reads lessons leaves no list of them on this computer."""


@contextlib.contextmanager
def server(folder: Path, *, port: int = FIRST_PORT, everyone: bool = True) -> Iterator[ThreadingHTTPServer]:
    """Give out the site in ``folder`` while the ``with`` block lasts; call its ``serve_forever`` in it.

    Parameters
    ----------
    port
        The first to try; a busy one is passed over. 0 takes any.
    everyone
        Whether other devices in the local network reach it.

    Raises
    ------
    SiteError
        If the folder holds no site, or no port is free.
    """
    if not (folder / NAMED).is_file():
        raise SiteError(_("{folder} holds no site; write it first: coldcab site {folder}").format(folder=folder))
    made = _bound(functools.partial(_Handler, directory=str(folder)), "0.0.0.0" if everyone else "127.0.0.1", port)
    try:
        yield made
    finally:
        made.server_close()


def _bound(handler: Any, host: str, port: int) -> ThreadingHTTPServer:
    for number in range(port, port + (PORTS_TRIED if port else 1)):
        with contextlib.suppress(OSError):
            return ThreadingHTTPServer((host, number), handler)
    raise SiteError(_("No port from {port} on is free; name another with --port.").format(port=port))


def local_address() -> str | None:
    """Return this computer's address in the local network, or None where it is in none. Nothing is sent."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address for documentation; choosing the way to it names ours
        except OSError:
            return None
        found = str(probe.getsockname()[0])
    return None if found.startswith("127.") else found


def code(address: str) -> str:
    """Return the address as a QR code of letters for a terminal."""
    import io

    import segno

    stream = io.StringIO()
    segno.make(address, error="m").terminal(stream, compact=True)
    return stream.getvalue()
