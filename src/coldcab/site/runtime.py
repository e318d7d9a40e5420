"""The Python that runs in a browser: Pyodide's official release of the version that ``runtime.json`` names.

Each file is checked against the hash that stands there, wherever it comes from.
"""

from __future__ import annotations

import hashlib
import json
import urllib.error
import urllib.request
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from coldcab.quantities import ColdcabError
from coldcab.words import _

LONGEST_WAIT = 60.0  # seconds without an answer


class SiteError(ColdcabError):
    """Why the site cannot be written, in one plain sentence."""


@dataclass(frozen=True)
class Release:
    """One release of Pyodide: its version, where its files are given out, the sha256 of each that the site needs."""

    version: str
    source: str
    files: dict[str, str]

    @property
    def wheels(self) -> tuple[str, ...]:
        """The packages among its files."""
        return tuple(name for name in self.files if name.endswith(".whl"))

    @property
    def core(self) -> tuple[str, ...]:
        """The interpreter and its library."""
        return tuple(name for name in self.files if not name.endswith((".whl", "lock.json")))


@cache
def release() -> Release:
    """Return the release that the course runs on."""
    return Release(**json.loads((Path(__file__).parent / "runtime.json").read_text(encoding="utf-8")))


def collect(folder: Path | None = None) -> dict[str, bytes]:
    """Return the release's files by name, each as its hash says.

    Parameters
    ----------
    folder
        A copy of the release; without it the files are fetched from Pyodide's own address.

    Raises
    ------
    SiteError
        If a file is missing, cannot be fetched, or is not what it should be.
    """
    wanted = release()
    read: Callable[[str], bytes] = _fetched if folder is None else _reader(folder)
    return {name: _checked(name, read(name), digest) for name, digest in wanted.files.items()}


def _checked(name: str, data: bytes, digest: str) -> bytes:
    if hashlib.sha256(data).hexdigest() != digest:
        raise SiteError(
            _("The file {name} is not that of Pyodide {version}: its sha256 differs. Fetch that release again.").format(
                name=name, version=release().version
            )
        )
    return data


def _reader(folder: Path) -> Callable[[str], bytes]:
    def read(name: str) -> bytes:
        try:
            return (folder / name).read_bytes()
        except OSError:
            raise SiteError(
                _("{folder} holds no {name}; unpack the release of Pyodide {version} there.").format(
                    folder=folder, name=name, version=release().version
                )
            ) from None

    return read


def _fetched(name: str) -> bytes:
    address = release().source + name
    try:
        with urllib.request.urlopen(address, timeout=LONGEST_WAIT) as answer:
            return bytes(answer.read())
    except (urllib.error.URLError, OSError):
        raise SiteError(
            _(
                "{address} cannot be fetched. Look whether this computer reaches the internet, or name a folder "
                "with a copy of Pyodide {version}: --runtime FOLDER."
            ).format(address=address, version=release().version)
        ) from None
