"""A JupyterHub on loopback: a learner fetches a sheet, fills it in, submits it, and sees the feedback, all by clicking.

It needs Debian's node-configurable-http-proxy and chromium; .ci/run installs both.
"""

import json
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import expect, sync_playwright

from classes import ENVIRONMENT, MATERIAL, by_learner, filled, points, run_class
from coldcab.classroom import ClassError, ClassFolder, demo, forms, grading, hub
from coldcab.classroom.roster import Learner, write_roster
from coldcab.course.pictures import browser_path

SHEET = "cycle-1"
PROXY = shutil.which("configurable-http-proxy")
NODE = ENVIRONMENT | {"NODE_PATH": os.pathsep.join(["/usr/share/nodejs", os.environ.get("NODE_PATH", "")])}
"""Debian's programs for Node lie where another Node than Debian's does not look."""


@pytest.fixture(scope="module")
def classroom(tmp_path_factory):
    """A class whose sheet lies in an exchange of its own."""
    return with_exchange(tmp_path_factory.mktemp("hub"), demo.ROSTER[:2])


def with_exchange(place, learners):
    write_roster(place / "roster.csv", learners)
    folder = ClassFolder.create(
        place / "class", demo.TERM, roster=place / "roster.csv", material=MATERIAL, course="cab-air"
    )
    exchange = place / "exchange"
    exchange.mkdir(mode=0o777)
    exchange.chmod(0o777)
    with (folder.path / "class.toml").open("a") as settings:
        settings.write(f'exchange = "{exchange}"\n')
    done = run_class(folder, "release", SHEET, "--exchange")
    assert done.returncode == 0, done.stderr + done.stdout
    return folder


def free_port():
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


def shows_login(address):
    try:
        with urllib.request.urlopen(f"{address}/hub/login", timeout=10) as answer:
            return b"username_input" in answer.read()
    except OSError:
        return False


@pytest.fixture(scope="module")
def running(classroom):
    """The hub as ``instructor/hub.py`` sets it up, with a password for a trial; its address."""
    if PROXY is None:
        pytest.skip("no configurable-http-proxy here; Debian's package is node-configurable-http-proxy")
    with hub_running(classroom, {"COLDCAB_HUB_PASSWORD": "trial"}) as address:
        yield address


@contextmanager
def hub_running(classroom, more, before=()):
    """Start the hub of a class, behind the words ``before``; its address."""
    port, inner, api = free_port(), free_port(), free_port()
    address = f"http://127.0.0.1:{port}"
    environment = NODE | {"COLDCAB_CLASS": str(classroom.path), "COLDCAB_HUB_ADDRESS": address} | more
    log = classroom.path.parent / "hub.log"
    with log.open("wb") as messages:
        process = subprocess.Popen(
            [*before, sys.executable, "-m", "jupyterhub", "-f", str(MATERIAL / "hub.py"),
             f"--JupyterHub.hub_port={inner}", f"--ConfigurableHTTPProxy.api_url=http://127.0.0.1:{api}"],
            cwd=classroom.path.parent, env=environment, stdout=messages, stderr=subprocess.STDOUT,
        )  # fmt: skip
    try:
        # The proxy answers before the hub behind it does, with an error page; only the hub's own page counts.
        for _ in range(600):
            if shows_login(address):
                break
            assert process.poll() is None, log.read_text()[-3000:]
            time.sleep(0.2)
        else:
            pytest.fail(f"the hub showed no login page in two minutes\n{log.read_text()[-3000:]}")
        yield address
    finally:
        process.terminate()
        process.wait(60)


@pytest.fixture(scope="module")
def chromium():
    program = browser_path()
    if program is None:
        pytest.skip("no Chromium; Debian's package is chromium")
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=program, args=["--no-sandbox"])
        yield chromium
        chromium.close()


def new_page(chromium):
    """A page that shares nothing with another one."""
    page = chromium.new_context(viewport={"width": 1280, "height": 800}).new_page()
    page.set_default_timeout(90_000)
    return page


def log_in(page, address, learner, password):
    page.goto(f"{address}/hub/login")
    page.locator("#username_input").fill(learner)
    page.locator("#password_input").fill(password)
    page.locator("#login_submit").click()
    page.wait_for_url(f"**/user/{learner}/lab**")


def look(page, name):
    """Keep a picture where COLDCAB_PICTURES names a folder, for a person to look at."""
    if folder := os.environ.get("COLDCAB_PICTURES"):
        page.screenshot(path=str(Path(folder) / f"{name}.png"))


def open_list(page, address, learner):
    """Open the learner's list of assignments in JupyterLab, by its menu."""
    page.goto(f"{address}/user/{learner}/lab")
    page.get_by_role("menuitem", name="Nbgrader").click()
    menu = page.locator(".lm-Menu-content")
    expect(menu).to_contain_text("Assignment List")
    # What is the instructor's is not in a learner's menu.
    assert "Formgrader" not in menu.inner_text()
    menu.get_by_text("Assignment List").click()
    expect(page.locator("#released_assignments_list")).to_be_visible()


def test_a_learner_fetches_submits_and_sees_feedback(classroom, running, chromium):
    page = new_page(chromium)
    log_in(page, running, "ash", "trial")
    open_list(page, running, "ash")
    page.locator("#released_assignments_list").get_by_role("button", name="Fetch").click()
    fetched = page.locator("#fetched_assignments_list")
    expect(fetched).to_contain_text(SHEET)
    look(page, "hub-fetched")
    home = hub.learner_folder(classroom) / "homes" / "ash"
    form = home / SHEET / "cycle-1.ipynb"
    assert form.is_file()
    # A person types into the form here; that it is read is shown elsewhere.
    form.chmod(0o644)
    form.write_text(filled(classroom, "ash", said="Weigh it."))
    fetched.get_by_role("button", name="Submit").click()
    expect(page.locator("#submitted_assignments_list")).to_contain_text(SHEET)

    inbound = classroom.path.parent / "exchange" / "cab-air" / "inbound"
    (submission,) = inbound.iterdir()
    # One account runs everything in this trial, so the submission bears its name; on a hub with accounts it is the id.
    user = submission.name.split("+")[0]
    if user != "ash":
        submission.rename(submission.with_name(submission.name.replace(user, "ash", 1)))
    for words in (("collect", "--exchange"), ("check",), ("grade", SHEET), ("feedback", SHEET, "--exchange")):
        done = run_class(classroom, *words)
        assert done.returncode == 0, done.stderr + done.stdout
    assert by_learner(grading.survey(classroom, SHEET))["ash"].score == points()
    assert len(list((inbound.parent / "feedback").glob("*.html"))) == 1
    open_list(page, running, "ash")
    submitted = page.locator("#submitted_assignments_list")
    submitted.get_by_role("button", name="Fetch Feedback").click()
    expect(
        submitted.get_by_role("link", name="View feedback").or_(submitted.get_by_text("View Feedback"))
    ).to_be_visible()
    look(page, "hub-feedback")
    (given,) = home.glob(f"{SHEET}/feedback/*/cycle-1.html")
    assert f"{points():g} of {points() + 4:g} points" in given.read_text()


def test_a_hub_needs_a_course(tmp_path):
    folder = ClassFolder.create(tmp_path / "class", "t", roster=None, material=MATERIAL)
    with pytest.raises(ClassError, match="needs the name of the course"):
        hub.configure_hub(object(), folder.path, address="http://127.0.0.1:8000")


def test_a_learner_s_server_has_no_instructor_s_tools(classroom):
    files = hub.learner_settings(classroom)
    off = json.loads(files["labconfig/page_config.json"])["disabledExtensions"]
    assert off["@jupyter/nbgrader:formgrader"]
    assert off["@jupyter/nbgrader:create-assignment"]
    extensions = json.loads(files["jupyter_server_config.json"])["ServerApp"]["jpserver_extensions"]
    assert extensions["nbgrader.server_extensions.formgrader"] is False
    assert forms.form_of(classroom, SHEET)


ACCOUNTS = ("coldcab-ash", "coldcab-birch")
"""Accounts that this test makes on the computer, and takes away again."""


@pytest.fixture
def accounts():
    """Two learners' accounts with passwords of their own; their homes."""
    if getattr(os, "geteuid", lambda: 1)() != 0 or not shutil.which("useradd"):
        pytest.skip("only an administrator of a Linux computer can make accounts")
    pamela = pytest.importorskip(
        "pamela", reason="the computer's accounts are asked through pamela; it comes with jupyterhub"
    )
    try:
        for name in ACCOUNTS:
            subprocess.run(["useradd", "--create-home", "--shell", "/bin/sh", name], check=True, capture_output=True)
            subprocess.run(["chpasswd"], input=f"{name}:{name} only\n", text=True, check=True, capture_output=True)
            pamela.authenticate(name, f"{name} only", service="login")
    except (subprocess.CalledProcessError, pamela.PAMError) as error:
        remove(ACCOUNTS)
        pytest.skip(f"this computer gives out no accounts: {error}")
    yield {name: Path(f"~{name}").expanduser() for name in ACCOUNTS}
    remove(ACCOUNTS)


def remove(names):
    for name in names:
        subprocess.run(["pkill", "--uid", name], check=False, capture_output=True)
        subprocess.run(["userdel", "--remove", "--force", name], check=False, capture_output=True)


def opened():
    """Words before a command that let other accounts use this Python where it lies in a closed home.

    In a mount namespace of the hub's own a new, open folder stands where the closed one is, with this Python in it.
    """
    python = Path(sys.base_prefix)
    closed = [folder for folder in python.parents if not folder.stat().st_mode & 1]
    if not closed:
        return ()
    script = (
        'aside=$(mktemp -d); mount --bind "$0" "$aside"; mount -t tmpfs -o mode=755 tmpfs "$1"; mkdir -p "$0";'
        ' mount --bind "$aside" "$0"; shift; exec "$@"'
    )
    words = ("unshare", "--mount", "sh", "-ec", script, str(python), str(closed[-1]))
    if subprocess.run([*words, sys.executable, "-c", ""], check=False).returncode != 0:
        pytest.skip(f"other accounts cannot use the Python in {python}")
    return words


def test_accounts_of_their_own(accounts, chromium):
    """Two accounts of the computer: each hands in and sees its own, and reads neither the class nor the other."""
    place = Path(tempfile.mkdtemp(prefix="coldcab-hub-"))
    place.chmod(0o755)
    try:
        folder = with_exchange(place, [Learner(name, name, "Invented") for name in ACCOUNTS])
        folder.path.chmod(0o700)
        with hub_running(folder, {}, opened()) as address:
            pages = {name: new_page(chromium) for name in ACCOUNTS}
            for name, page in pages.items():
                log_in(page, address, name, f"{name} only")
                open_list(page, address, name)
                page.locator("#released_assignments_list").get_by_role("button", name="Fetch").click()
                fetched = page.locator("#fetched_assignments_list")
                expect(fetched).to_contain_text(SHEET)
                form = accounts[name] / SHEET / f"{SHEET}.ipynb"
                assert form.owner() == name
                hands = demo.right if name == ACCOUNTS[0] else demo.wrong_unit
                form.write_text(filled(folder, name, hands, said=f"{name} weighs it."))
                fetched.get_by_role("button", name="Submit").click()
                expect(page.locator("#submitted_assignments_list")).to_contain_text(SHEET)

            inbound = place / "exchange" / "cab-air" / "inbound"
            handed_in = {one.owner(): one for one in inbound.iterdir()}
            assert sorted(handed_in) == sorted(ACCOUNTS)
            for closed in (folder.roster, *folder.path.rglob("*.db")):
                assert closed.exists()
                assert not readable_by(ACCOUNTS[0], closed), f"{closed} is open to a learner"
            # nbgrader's exchange keeps a submission apart by a name that nobody can guess or list.
            assert readable_by(ACCOUNTS[0], inbound.parent / "outbound" / SHEET / f"{SHEET}.ipynb")
            assert not seen_by(ACCOUNTS[0], inbound), "a learner can list what others handed in"

            for words in (("collect", "--exchange"), ("grade", SHEET), ("feedback", SHEET, "--exchange")):
                done = run_class(folder, *words)
                assert done.returncode == 0, done.stderr + done.stdout
            found = by_learner(grading.survey(folder, SHEET))
            assert found[ACCOUNTS[0]].score == points() > found[ACCOUNTS[1]].score
            for name, page in pages.items():
                open_list(page, address, name)
                page.locator("#submitted_assignments_list").get_by_role("button", name="Fetch Feedback").click()
                expect(page.locator("#submitted_assignments_list")).to_contain_text("View Feedback", ignore_case=True)
                (given,) = accounts[name].glob(f"{SHEET}/feedback/*/{SHEET}.html")
                assert f"{name} weighs it." in given.read_text()
    finally:
        shutil.rmtree(place, ignore_errors=True)


def readable_by(account, path):
    return subprocess.run(["runuser", "-u", account, "--", "test", "-r", str(path)], check=False).returncode == 0


def seen_by(account, folder):
    return subprocess.run(["runuser", "-u", account, "--", "ls", str(folder)], capture_output=True, check=False).stdout
