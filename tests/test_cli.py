"""The command line: help, enrolling, what is missing, opening and closing, and errors in one sentence."""

import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest
from typer.testing import CliRunner

from coldcab import course, learner
from coldcab.cli import app, server, settings
from coldcab.cli.doctor import Finding, examine, show
from coldcab.learner import Learner

COMMAND = [sys.executable, "-m", "coldcab"]


@pytest.fixture(autouse=True)
def desk(monkeypatch, tmp_path):
    """Run each test at an empty desk: its own home, nobody enrolled."""
    for name in (learner.FOLDER_VARIABLE, learner.HUB_VARIABLE, "COLDCAB_FOLDER"):
        monkeypatch.delenv(name, raising=False)
    home = tmp_path / "home"
    home.mkdir()
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.setenv("USERPROFILE", str(home))
    monkeypatch.chdir(tmp_path)
    return home


def run(*arguments):
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def test_help_names_every_command():
    result = run("--help")
    assert result.exit_code == 0
    for command in ("open", "enroll", "doctor", "class"):
        assert command in result.output


def test_help_is_float_because_nothing_heavy_is_imported():
    code = (
        "import sys; from coldcab.cli import app\n"
        "try: app(['--help'])\n"
        "except SystemExit: pass\n"
        "heavy = {'numpy', 'CoolProp', 'matplotlib', 'pint', 'ipywidgets', 'jupyterlab', 'nbgrader', 'nbformat'}\n"
        "import os; print('HEAVY', sorted(heavy & set(sys.modules)), os.environ['OPENBLAS_NUM_THREADS'])"
    )
    bare = {name: value for name, value in os.environ.items() if name != "OPENBLAS_NUM_THREADS"}
    printed = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, env=bare).stdout
    assert "HEAVY [] 1" in printed, "one thread is said while there is still no numpy to hear it"


def test_enroll_writes_the_file_in_the_course_folder(desk):
    result = run("enroll", "ana", "--term", "fall", "--units", "si")
    assert result.exit_code == 0
    assert learner.read(desk / "coldcab-course") == Learner("ana", "fall", "si")


def test_enroll_again_keeps_what_is_not_said_and_tells_of_a_new_id(tmp_path):
    place = tmp_path / "mine"
    run("enroll", "ana", "--term", "fall", "--units", "si", "--folder", place)
    result = run("enroll", "ben", "--folder", place)
    assert learner.read(place) == Learner("ben", "fall", "si")
    assert "Before it was ana" in result.output
    assert "Before" not in run("enroll", "ben", "--folder", place).output


def test_enroll_from_within_a_lesson_finds_the_folder(tmp_path, monkeypatch):
    learner.write(Learner("ana"), tmp_path / "mine")
    lesson = tmp_path / "mine" / "cycle"
    lesson.mkdir()
    monkeypatch.chdir(lesson)
    run("enroll", "ana", "--units", "si")
    assert learner.read(tmp_path / "mine").units == "si"


@pytest.mark.parametrize(
    "arguments",
    [
        ("enroll", "a/b"),
        ("enroll", "ana", "--units", "metric"),
        ("enroll", "ana", "--term", ""),
        ("enroll", "ana", "--folder", "/dev/null/x"),
        ("open", "--no-browser", "--port", "80"),
        ("open", "--no-browser", "--folder", "/dev/null/x"),
        ("open", "--no-browser", "--folder", course.folder()),
    ],
)
def test_errors_are_one_sentence(arguments):
    result = run(*arguments)
    assert result.exit_code == 1
    assert isinstance(result.exception, SystemExit), "no traceback"
    assert len(result.stderr.strip().splitlines()) == 1
    assert result.stderr.strip().endswith(".")


def test_a_defect_keeps_its_traceback(monkeypatch):
    def broken(*_, **__):
        raise ValueError("a defect")

    monkeypatch.setattr(learner, "write", broken)
    assert isinstance(run("enroll", "ana").exception, ValueError)


def test_without_nbgrader_class_says_what_to_install(monkeypatch):
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    result = run("class", "new", "--help")
    assert result.exit_code == 1
    assert "coldcab[teach]" in result.stderr


def test_doctor_sees_what_is_there(desk):
    findings = {finding.what: finding for finding in examine(desk / "course")}
    for what in ("Python", "coldcab", "CoolProp", "Jupyter kernel", "lessons", "free port"):
        assert findings[what].good, findings[what]
    assert not findings["your copy"].good
    assert not findings["your copy"].needed
    assert findings["learner"].found == "nobody enrolled"


def test_doctor_knows_the_copy_and_the_learner(desk):
    place = desk / "coldcab-course"
    course.copy_course(place)
    learner.write(Learner("ana", "fall"), place)
    result = run("doctor")
    assert result.exit_code == 0
    assert "ana, term fall" in result.output
    assert "Everything that the course needs is there." in result.output


def test_doctor_fails_on_a_damaged_learner_file(desk):
    place = desk / "coldcab-course"
    place.mkdir()
    (place / learner.FILE_NAME).write_text("{")
    result = run("doctor")
    assert result.exit_code == 1
    assert "coldcab enroll" in result.output


def test_doctor_says_how_to_get_what_is_missing(capsys, monkeypatch):
    monkeypatch.setattr("coldcab.cli.doctor.PACKAGES", ("no-such-package",))
    findings = examine(Path("nowhere"))
    missing = [finding for finding in findings if finding.needed and not finding.good]
    assert [finding.what for finding in missing] == ["no-such-package"]
    show([*findings, Finding("thing", "[red]not markup[/red]", False, "do [this].")])
    printed = capsys.readouterr().out
    assert "pip install no-such-package" in printed
    assert "[red]not markup[/red]" in printed
    assert "do [this]." in printed
    assert "Everything" not in printed


# --- JupyterLab ---------------------------------------------------------------------------------------------


def test_a_busy_port_is_passed_over():
    with socket.socket() as holder:
        holder.bind(("127.0.0.1", 0))
        holder.listen()
        busy = holder.getsockname()[1]
        assert busy < server.free_port(busy) <= busy + server.PORTS_TRIED


def test_the_settings_are_well_formed_and_name_only_plugins_that_exist(desk):
    settings.write_settings(desk)
    config = desk / course.STATE_FOLDER / "lab" / "config"
    overrides = json.loads((config / "labconfig" / "default_setting_overrides.json").read_text())
    schemas = Path(sys.prefix) / "share" / "jupyter" / "lab" / "schemas"
    for plugin, wanted in overrides.items():
        package, name = plugin.split(":")
        schema = json.loads((schemas / package / f"{name}.json").read_text())
        # A misspelt name would be ignored without a word.
        assert set(wanted) <= set(schema["properties"]), plugin


def test_jupyter_finds_nothing_of_the_user(desk, monkeypatch):
    monkeypatch.setenv("JUPYTER_PATH", "/somewhere")
    monkeypatch.setenv("JUPYTERLAB_SETTINGS_DIR", "/elsewhere")
    found = settings.environment(desk)
    assert "JUPYTER_PATH" not in found
    for name in ("JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTERLAB_SETTINGS_DIR", "IPYTHONDIR"):
        assert Path(found[name]).is_relative_to(desk / course.STATE_FOLDER)


@pytest.mark.skipif(os.name != "posix", reason="Ctrl-C is sent as a POSIX signal")
@pytest.mark.parametrize("way_to_end", [signal.SIGINT, signal.SIGTERM])
def test_open_shows_the_course_and_ends_cleanly(desk, tmp_path, way_to_end):
    place = tmp_path / "a folder with spaces"
    process = subprocess.Popen(
        [*COMMAND, "open", "--no-browser", "--folder", place],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        start_new_session=True,
        # Whatever runs the tests in the background has told its children to ignore Ctrl-C.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )
    try:
        lines = []
        for line in process.stdout:
            lines.append(line)
            if "is open:" in line:
                break
        else:
            pytest.fail("".join(lines))
        address = lines[-1].split()[-1]
        assert "start-here.ipynb?token=" in address
        with urllib.request.urlopen(address, timeout=20) as answer:
            assert answer.status == 200
        # A second one finds the first instead of starting another.
        second = subprocess.run(
            [*COMMAND, "open", "--no-browser", "--folder", place], capture_output=True, text=True, timeout=60
        )
        assert second.returncode == 0
        assert f"already open: {address}" in second.stdout
        process.send_signal(way_to_end)
        rest, _ = process.communicate(timeout=30)
    finally:
        process.terminate()
        process.wait(30)
    assert process.returncode == 0
    assert rest.splitlines()[-1] == "Closed."
    assert "Traceback" not in rest
    time.sleep(0.2)
    assert server.running(place) is None
    assert not any((desk / name).exists() for name in (".jupyter", ".ipython", ".local")), "the home stays as it was"


def test_a_jupyterlab_that_does_not_start_is_one_sentence(tmp_path, monkeypatch):
    monkeypatch.setattr(server, "_command", lambda *_: [sys.executable, "-c", "raise SystemExit('no')"])
    result = run("open", "--no-browser", "--folder", tmp_path / "mine")
    assert result.exit_code == 1
    assert "JupyterLab did not start" in result.stderr
    log = settings.log_file(tmp_path / "mine")
    assert str(log) in result.stderr
    assert log.read_text().strip() == "no"
