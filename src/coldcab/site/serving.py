"""Giving the site out from this computer, to itself and to phones in the same network."""

from __future__ import annotations

import contextlib
import functools
import json
import socket
from collections.abc import Iterator
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from coldcab.site.assembling import NAMED
from coldcab.site.front import MISSING
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

    def send_response(self, code: int, message: str | None = None) -> None:
        self._found = code < HTTPStatus.BAD_REQUEST
        super().send_response(code, message)

    def end_headers(self) -> None:
        # What lies under a version never changes. The front page names the version of the day, and a page that is
        # opened asks whether it still is of that one.
        path = self.path.partition("?")[0]
        inside = path.count("/") > 1 and not path.startswith("/api/") and not path.endswith((".html", "/"))
        lasting = inside and self._found
        self.send_header("Cache-Control", "public, max-age=31536000, immutable" if lasting else "no-cache")
        super().end_headers()

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """Answer what is not here with the site's own page about it."""
        page = Path(self.directory) / MISSING
        if code != HTTPStatus.NOT_FOUND or not page.is_file():
            return super().send_error(code, message, explain)
        data = page.read_bytes()
        self.send_response(code)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(data)
        return None

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


def course_of(folder: Path) -> str:
    """Return the version of the course that the site in ``folder`` was written from."""
    return str(json.loads((folder / NAMED).read_text(encoding="utf-8")).get("course", "?"))


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
