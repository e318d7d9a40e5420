"""Writing the site: a folder of files that any web server can give out."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
from importlib import metadata
from pathlib import Path
from typing import Any

from coldcab.course import folder as course_folder
from coldcab.site import api, front
from coldcab.site.compiling import compiled
from coldcab.site.editions import with_edition
from coldcab.site.packages import EMPTY, OWN, one_file, that_runs, unzipped, zipped
from coldcab.site.runtime import SiteError, collect, release
from coldcab.words import _

HERE = Path(__file__).parent
LAB = HERE.parents[0] / "cli" / "lab"
"""JupyterLab's settings for learners; the same hold in the browser."""
NAMED = "coldcab-site.json"
"""Marks a folder as a site that may be written again."""
KERNEL = "@jupyterlite/pyodide-kernel-extension:kernel"
EXTENSIONS = ("jupyterlab_widgets", "anywidget", "jupyterlite_pyodide_kernel")
LIBRARY = "python_stdlib.zip"
EPOCH = 315532800
"""1980-01-01 as every file's time: the same course has the same version, and nobody fetches it twice."""
MOST_EARLIER = 30
"""Versions whose addresses still lead to the lessons."""
LONGEST_BUILD = 300.0
"""Seconds."""


def build(target: Path, runtime: Path | None = None) -> Path:
    """Write the site to ``target`` and return the folder.

    Parameters
    ----------
    target
        A new or empty folder, or one with an earlier site, whose place the new one takes.
    runtime
        A folder with a copy of Pyodide's release; without it the release is fetched.

    Raises
    ------
    SiteError
        If the folder holds something else, or something that the site needs is missing.
    """
    target = target.expanduser().absolute()
    if target.exists() and (not target.is_dir() or (any(target.iterdir()) and not (target / NAMED).is_file())):
        raise SiteError(
            _("{target} holds something that is not a site of this course; name a new or an empty folder.").format(
                target=target
            )
        )
    files = collect(runtime)
    with tempfile.TemporaryDirectory(prefix="coldcab-site-") as work:
        built = _lite(Path(work))
        _put_runtime(built / "runtime", files)
        version = _version(built)
        _lay(built, target, version)
    return target


def _lay(built: Path, target: Path, version: str) -> None:
    """Put what was built under its own version, so that no browser shows a stale copy; the earlier one goes."""
    target.mkdir(parents=True, exist_ok=True)
    earlier = [one for one in _earlier(target) if one != version]
    for old in target.iterdir():
        shutil.rmtree(old) if old.is_dir() else old.unlink()
    shutil.copytree(built, target / version)
    shutil.copy(built / "lab" / "favicon.ico", target / "favicon.ico")
    front.write(target, version, _own_version())
    api.write(target / "api")
    front.write_missing(target, earlier)
    content = {"course": _own_version(), "path": version, "runtime": release().version, "earlier": earlier}
    (target / NAMED).write_text(json.dumps(content, indent=1) + "\n", encoding="utf-8")


def _earlier(target: Path) -> list[str]:
    """The versions of which the folder was a site before, the latest first."""
    try:
        said = json.loads((target / NAMED).read_text(encoding="utf-8"))
        return [said["path"], *said.get("earlier", [])][:MOST_EARLIER]
    except (OSError, ValueError, KeyError):
        return []


def _own_version() -> str:
    import coldcab

    return coldcab.__version__


def _version(built: Path) -> str:
    """The course's version and a mark of every byte beneath it."""
    digest = hashlib.sha256()
    for path in sorted(path for path in built.rglob("*") if path.is_file()):
        digest.update(path.relative_to(built).as_posix().encode() + path.read_bytes())
    return f"{_own_version()}-{digest.hexdigest()[:10]}"


# The runtime --------------------------------------------------------------------------------------------------------


def _put_runtime(place: Path, files: dict[str, bytes]) -> None:
    """Write what the browser's Python is made of; every module is compiled, and what no lesson runs is left out."""
    place.mkdir()
    wanted = release()
    for name in wanted.core:
        (place / name).write_bytes(files[name])
    _write_lock(place, {})  # the interpreter asks for a list before it compiles
    (numpy,) = (name for name in wanted.wheels if name.startswith("numpy"))
    parts = {
        LIBRARY: that_runs(unzipped(files[LIBRARY])),
        numpy: that_runs(unzipped(files[numpy])),
        f"{OWN}-{_own_version()}.zip": one_file(wanted, files, _kernels_own()),
    }
    made = {name: zipped(part) for name, part in compiled(parts, place).items()}
    (place / LIBRARY).write_bytes(made.pop(LIBRARY))
    packages = {name: _entry(name, file, made[file], place) for name, file in zip(("numpy", OWN), made, strict=True)}
    nothing = zipped({"nothing.txt": b"The kernel asks for it by name; nobody misses it.\n"})
    for name in EMPTY:
        packages[name] = _entry(name, "nothing-0.zip", nothing, place)
    _write_lock(place, packages)


def _write_lock(place: Path, packages: dict[str, Any]) -> None:
    info = {
        "abi_version": "2024_0",
        "arch": "wasm32",
        "platform": "emscripten_3_1_58",
        "python": "3.12.7",
        "version": release().version,
    }
    (place / "pyodide-lock.json").write_text(json.dumps({"info": info, "packages": packages}, indent=1), "utf-8")


def _entry(name: str, file_name: str, data: bytes, place: Path) -> dict[str, Any]:
    (place / file_name).write_bytes(data)
    return {
        "name": name,
        "version": "0",
        "file_name": file_name,
        "install_dir": "site",
        "sha256": hashlib.sha256(data).hexdigest(),
        "package_type": "package",
        "imports": [],
        "depends": [],
        "unvendored_tests": False,
        "shared_library": False,
    }


def _kernels_own() -> dict[str, bytes]:
    """The two packages that the kernel's extension brings along."""
    place = _extension_folder("jupyterlite_pyodide_kernel") / "static" / "pypi"
    names = ("pyodide_kernel-", "ipykernel-")
    return {path.name: path.read_bytes() for path in sorted(place.glob("*.whl")) if path.name.startswith(names)}


# JupyterLite --------------------------------------------------------------------------------------------------------


def _extension_folder(distribution: str) -> Path:
    """Return the folder of a distribution's extension of JupyterLab."""
    try:
        found = metadata.distribution(distribution)
        (described,) = (
            path
            for path in found.files or ()
            if path.name == "package.json" and "labextensions" in path.parts and "schemas" not in path.parts
        )
    except (metadata.PackageNotFoundError, ValueError):
        raise SiteError(
            _("The site needs {distribution}: run  pip install 'coldcab[site]'").format(distribution=distribution)
        ) from None
    return Path(str(found.locate_file(described))).resolve().parent


def _lite(work: Path) -> Path:
    """Have JupyterLite write its part, with the course's pages, settings and extensions, and return the folder."""
    place = work / "lite"
    place.mkdir()
    _copy_course(work / "course")
    extensions = [str(_extension_folder(name)) for name in EXTENSIONS]
    extensions += [str(LAB / "labextensions" / "coldcab"), str(HERE / "extension")]
    config = {
        "LiteBuildConfig": {
            "apps": ["lab"],
            "contents": [str(work / "course")],
            "federated_extensions": extensions,
            "ignore_sys_prefix": True,
            "no_libarchive": True,
            "no_sourcemaps": True,
            "no_unused_shared_packages": True,
            "output_dir": str(work / "built"),
            "source_date_epoch": EPOCH,
        }
    }
    (place / "jupyter_lite_config.json").write_text(json.dumps(config), encoding="utf-8")
    (place / "jupyter-lite.json").write_text(json.dumps(_settings_of_lite()), encoding="utf-8")
    (place / "overrides.json").write_text(json.dumps(_overrides()), encoding="utf-8")
    empty = work / "empty"
    environment = os.environ | {"JUPYTER_CONFIG_DIR": str(empty), "JUPYTER_CONFIG_PATH": "", "JUPYTER_NO_CONFIG": "1"}
    command = [sys.executable, "-m", "jupyterlite_core", "build", "--lite-dir", str(place)]
    done = subprocess.run(command, cwd=place, env=environment, capture_output=True, text=True, timeout=LONGEST_BUILD)
    if done.returncode or not (work / "built" / "lab" / "index.html").is_file():
        words = (done.stderr or done.stdout).strip().splitlines() or ["nothing"]
        raise SiteError(_("JupyterLite could not write its part; its last word: {words}").format(words=words[-1][:300]))
    shutil.copy(LAB / "custom.css", work / "built" / "extensions" / "coldcab-site" / "static" / "custom.css")
    return work / "built"


def _overrides() -> dict[str, Any]:
    """JupyterLab's settings for learners, with one button more."""
    settings = json.loads((LAB / "default_setting_overrides.json").read_text(encoding="utf-8"))
    toolbar = settings["@jupyterlab/notebook-extension:panel"]["toolbar"]
    toolbar.append({"name": "work", "command": "coldcab:work", "label": "Your work", "rank": 60})
    toolbar.append({"name": "lesson-list", "command": "coldcab:home", "label": "All lessons", "rank": 61})
    # A page that is left must not take the visit's one kernel with it.
    settings["@jupyterlab/notebook-extension:tracker"]["kernelShutdown"] = False
    shortcuts = json.loads((LAB / "shortcuts.json").read_text(encoding="utf-8"))
    # A page lies in one browser alone: nobody else has changed it "on disk" meanwhile.
    settings["@jupyterlab/docmanager-extension:plugin"]["lastModifiedCheckMargin"] = 10**13
    shell = {"startMode": "single"}
    return settings | {
        "@jupyterlab/application-extension:shell": shell,
        "@jupyterlab/shortcuts-extension:shortcuts": shortcuts,
    }


def _copy_course(place: Path) -> None:
    """Copy the pages, each marked with its edition, for the page that keeps a learner's own."""
    source = course_folder()
    for path in sorted(source.rglob("*")):
        inside = path.relative_to(source)
        if not path.is_file() or any(part.startswith(".") or part == "__pycache__" for part in inside.parts):
            continue
        copy = place / inside
        copy.parent.mkdir(parents=True, exist_ok=True)
        copy.write_bytes(with_edition(path.read_bytes()) if path.suffix == ".ipynb" else path.read_bytes())
    (place / "hand-in").mkdir()
    (place / "hand-in" / "about.txt").write_text(_("Copies of your graded sheets, for your instructor.\n"), "utf-8")


def _settings_of_lite() -> dict[str, Any]:
    settings = json.loads((HERE / "lite" / "jupyter-lite.json").read_text(encoding="utf-8"))
    data = settings["jupyter-config-data"]
    page = json.loads((LAB / "page_config.json").read_text(encoding="utf-8"))
    data["disabledExtensions"] += [
        name for name, off in page["disabledExtensions"].items() if off and not name.startswith("@jupyterlite/")
    ]
    # The one as seen from the application's own folder, the other from the folder above.
    packages = ["numpy", OWN, *EMPTY]
    data["litePluginSettings"][KERNEL] = {
        "pyodideUrl": "../runtime/pyodide.mjs",
        "disablePyPIFallback": True,
        "loadPyodideOptions": {
            "packages": packages,
            "lockFileURL": "runtime/pyodide-lock.json",
            "env": {"HOME": "/home/pyodide", "IPYTHONDIR": "/lib/python3.12/site-packages/coldcab_ipython"},
        },
    }
    return dict(settings)
