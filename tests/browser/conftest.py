"""A learner's browser: ``coldcab open`` on an empty home, and a page in headless Chromium.

Run with ``pytest tests/browser``. It needs Debian's chromium (or COLDCAB_BROWSER). Tests take the fixture ``lab``,
whose methods are in hands.py. A picture of the page is left in tests/browser/pictures when a test fails.
"""

from __future__ import annotations

import contextlib
import re
import shutil

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

from browser.hands import PATIENCE, Lab, Server, close_course, open_course
from coldcab.course.pictures import browser_path

# The sandbox of Chromium does not run as root, and nothing here may ask the network.
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
SIZE = {"width": 1280, "height": 800}
expect.set_options(timeout=PATIENCE)  # else five seconds, which a busy computer needs to start a kernel


@contextlib.contextmanager
def _opened(root):
    running = open_course(root / "coldcab-course", root / "home")
    yield running
    code = close_course(running)
    assert code == 0, running.messages()


@pytest.fixture(scope="session")
def server(tmp_path_factory):
    """Return one running ``coldcab open`` for all tests."""
    with _opened(tmp_path_factory.mktemp("learner")) as running:
        yield running


@pytest.fixture(scope="module")
def own_server(tmp_path_factory):
    """Return another for the tests of one file, on a copy in which no other test has written."""
    with _opened(tmp_path_factory.mktemp("own")) as running:
        yield running


@pytest.fixture(scope="session")
def browser():
    path = browser_path()
    assert path is not None, "no Chromium; install Debian's chromium or name one in COLDCAB_BROWSER"
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        yield chromium
        chromium.close()


@pytest.fixture
def page(browser: Browser):
    context = browser.new_context(viewport=SIZE, reduced_motion="reduce")
    yield context.new_page()
    with contextlib.suppress(Exception):
        context.close()


@pytest.fixture
def lab(page: Page, server: Server, request: pytest.FixtureRequest):
    """Return JupyterLab in a fresh browser, nothing open yet and nothing remembered of earlier tests."""
    shutil.rmtree(server.folder / ".coldcab" / "progress", ignore_errors=True)
    desk = Lab(page, server)
    yield desk
    if getattr(request.node, "failed", False):
        name = re.sub(r"[^\w-]+", "-", request.node.name)
        print("picture:", desk.picture(name))
        print("on the page:", *desk.errors(), sep="\n  ")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    report = yield
    if call.when == "call" and report.failed:
        item.failed = True
    return report
