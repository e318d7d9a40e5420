"""The course's small extension of JupyterLab: shipped, written where JupyterLab looks, and in step with the forms."""

import json
import re
from pathlib import Path

from hatchling.builders.wheel import WheelBuilder
from jupyterlab_server.config import get_federated_extensions

import coldcab
from coldcab.classroom import ClassFolder, hub
from coldcab.classroom.marked_notebook import STUB
from coldcab.cli import settings
from coldcab.course import STATE_FOLDER

ROOT = Path(__file__).parents[1]
SHIPPED = Path(coldcab.__file__).parent / "cli" / "lab" / "labextensions"
FILES = {path.relative_to(SHIPPED).as_posix() for path in SHIPPED.rglob("*.*")}


def loaded(folder):
    """What JupyterLab itself finds in a folder of extensions: the file that it is going to load."""
    found = get_federated_extensions([str(folder)])["coldcab"]
    return Path(found["ext_path"]) / found["jupyterlab"]["_build"]["load"]


def test_jupyterlab_finds_every_file_in_the_learner_s_folder(tmp_path):
    settings.write_settings(tmp_path)
    written = tmp_path / STATE_FOLDER / "lab" / "data" / "labextensions"
    assert Path(settings.environment(tmp_path)["JUPYTER_DATA_DIR"]) == written.parent
    assert {path.relative_to(written).as_posix() for path in written.rglob("*.*")} == FILES
    assert loaded(written).read_bytes() == loaded(SHIPPED).read_bytes()


def test_an_older_copy_is_replaced(tmp_path):
    settings.write_settings(tmp_path)
    script = loaded(tmp_path / STATE_FOLDER / "lab" / "data" / "labextensions")
    script.write_text("old")
    settings.write_settings(tmp_path)
    assert script.read_bytes() == loaded(SHIPPED).read_bytes()


def test_the_wheel_holds_the_files():
    packed = {file.distribution_path for file in WheelBuilder(str(ROOT)).recurse_included_files()}
    assert {f"coldcab/cli/lab/labextensions/{name}" for name in FILES} <= packed


def test_a_hub_s_learners_get_it_too(tmp_path):
    folder = ClassFolder.create(tmp_path / "class", "t", roster=None, material=ROOT / "instructor", course="cab-air")
    server = json.loads(hub.learner_settings(folder)["jupyter_server_config.json"])
    (place,) = server["LabApp"]["extra_labextensions_path"]
    assert loaded(place) == loaded(SHIPPED)


def test_the_script_knows_the_form_s_own_sentence():
    assert f'STUB = "{STUB}"' in (loaded(SHIPPED).parent / "written.js").read_text(encoding="utf-8")


def test_every_aid_is_loaded_and_every_file_is_an_aid_s():
    """What is named but missing would be missing without a word; so would a file that nobody named."""
    static = loaded(SHIPPED).parent
    named = set(re.findall(r'"(\w+)"', re.search(r"FILES = \[(.*?)\]", loaded(SHIPPED).read_text(), re.DOTALL)[1]))
    scripts = {path.stem for path in static.glob("*.js")} - {"remoteEntry", "common"}
    assert scripts == named
    assert {path.stem for path in static.glob("*.css")} <= named
    for name in sorted(named):
        assert re.search(rf'export default {{\s+name: "{name}"', (static / f"{name}.js").read_text(encoding="utf-8"))
