"""``coldcab site``: writing the course as a site, and giving it out from this computer."""

from __future__ import annotations

from pathlib import Path

import coldcab
from coldcab.cli.plain_errors import say
from coldcab.words import _


def default_folder() -> Path:
    """Return where the site lies unless told otherwise."""
    return Path("~/coldcab-site").expanduser()


def write(folder: Path, runtime: Path | None) -> None:
    """Write the site and say what was written."""
    from coldcab.site import build

    say(_("Writing the site; this takes a minute ..."))
    place = build(folder, runtime)
    size = sum(path.stat().st_size for path in place.rglob("*") if path.is_file()) / 1e6
    say(_("The site lies in {place} ({size:.0f} MB). Any web server can give it out.").format(place=place, size=size))


def serve(folder: Path, runtime: Path | None, port: int) -> None:
    """Give the site out until Ctrl-C; write it first where it is not there."""
    from coldcab.site import serving

    if not folder.exists():
        write(folder, runtime)
    with serving.server(folder, port=port) as running:
        written = serving.course_of(folder)
        if written != coldcab.__version__:
            say(
                _("This site is of course {written}, here is {own}; to write it anew: coldcab site {folder}").format(
                    written=written, own=coldcab.__version__, folder=folder
                )
            )
        number = running.server_address[1]
        say(_("On this computer: {address}").format(address=f"http://localhost:{number}/"))
        local = serving.local_address()
        if local is not None:
            address = f"http://{local}:{number}/"
            say(_("In the local network, for phones: {address}").format(address=address))
            print(serving.code(address))
        if number != port:
            say(
                _(
                    "Port {port} is busy, so the address is another one today. Work is kept in each browser under the "
                    "address it was written at; with port {port} free again it is seen again."
                ).format(port=port)
            )
        say(_("Press Ctrl-C here to stop giving it out."))
        try:
            running.serve_forever()
        except KeyboardInterrupt:
            say("Closed.")
