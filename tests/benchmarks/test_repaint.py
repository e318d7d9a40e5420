"""From a move of a control to the repaint, beside an empty round trip, in JupyterLab in a headless browser.

Run on request: ``pytest -n 0 -s tests/benchmarks/test_repaint.py``; ``-k bench`` for some. It needs Chromium (its path
in COLDCAB_CHROMIUM, if it is not on the search path). Every control of every instrument is moved. The instruments take
turns in a cell of one notebook, below a slider of the same library that changes a number and nothing else: the empty
round trip, which is made after each move, so that both meet the same machine. The clock starts with the key or the
press and stops when the browser comes to its next frame after the first change of the drawing (or of the number). A
part of the drawing glides on from there; it does not count, nor does what follows later. The target is the project's
own: the median at most 1.3 times that of the empty round trips between. Where ten moves miss it, a hundred decide.

Frames come every 16.7 ms; moves begin evenly spread between two of them, since a hand knows nothing of frames, and none
before the last one has glided to its end. Printed beside are the time to the change itself and the processor time that
the kernel spends on a move. A move that was foreseen and one that was not are of one median here, as a hand that goes
one way and turns now and then has them.
"""

from __future__ import annotations

import json
import os
import shutil
import socket
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from coldcab import instruments
from coldcab.instruments import beside
from coldcab.instruments.controls import Buttons, Choice, Entry, Slider, Switch
from coldcab.instruments.path_desk import MeasurementChoice

MOVES = int(os.environ.get("COLDCAB_MOVES", "10"))
MORE = 9  # times as many moves decide, where the first ones miss the target
BETWEEN = int(os.environ.get("COLDCAB_BETWEEN", "120"))  # ms from a repaint to the next move, as of a hand that looks
FRAME = 1000 / 60  # ms; moves begin evenly spread over a frame, for a hand knows nothing of frames
TARGET = 1.3
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]
NAMES = [name for name in instruments._MEMBERS if isinstance(getattr(instruments, name), type)]
NAMES = [name for name in NAMES if getattr(getattr(instruments, name), "controls", ())]
IN_USE = {  # settings that bring a control into use that is not so at the start
    "bench": {"fault": "drier restricted", "second_fault": "low evaporator air"},
    "circuit_drawing": {"fault": "drier restricted"},
    "sight_glass": {"fault": "drier restricted"},
    "thermometers": {"fault": "drier restricted"},
    "rise_test": {"judged": True},
}
TICKETS = ("P55", "P21", "P71")
BESIDE = {  # what must have been opened in the page for that
    "clinic_desk": "from types import SimpleNamespace; from coldcab.instruments import beside; "
    f"beside.opened(SimpleNamespace(tickets={TICKETS})); ",
}
MOVES_NOTHING = {("clinic_desk", "sheet")}  # it writes into the sheet
EMPTY = """
import ipywidgets, json, time
from coldcab.instruments.panel import Panel
slider = ipywidgets.FloatSlider(50.0, description="empty", readout=False, step=1.0)
shown = ipywidgets.Label("50.0")
slider.observe(lambda change: setattr(shown, "value", str(change["new"])), "value")
spent, told = [], ipywidgets.Button(description="told 0")

def timed(hear):
    def heard(*given):
        began = time.process_time()
        hear(*given)
        spent.append(1e3 * (time.process_time() - began))
    return heard

def tell(_pressed):
    told.description = f"told {int(told.description.split()[1]) + 1} {json.dumps(spent)}"
    spent.clear()

told.on_click(tell)
for name in ("_slid", "_moved", "_typed"):
    setattr(Panel, name, timed(getattr(Panel, name)))
ipywidgets.VBox([slider, shown, told])
"""

# Move a control, wait until what it moves has changed and a frame has passed; then the empty slider in the same way.
# Four numbers a move: ms to the change and to the frame, of the control and of the empty slider.
MEASURE = """
async ([label, kind, moves, between, frame]) => {
  const [above, below] = [...document.querySelectorAll('.jp-CodeCell')].map(
    cell => cell.querySelector('.jp-OutputArea-output'));
  const rowOf = (own, words) => {
    const said = e => e?.textContent.trim() ?? '';
    const named = [...own.querySelectorAll('.widget-inline-hbox, .widget-hbox')].filter(
      e => e.offsetParent && ['.widget-label', '.widget-label-basic'].some(
        kind => said(e.querySelector(kind)) === words || said(e.querySelector(kind)).startsWith(`${words}, `)));
    return named.filter(e => !named.some(other => other !== e && e.contains(other)))[0];
  };
  const keys = {bubbles: true, cancelable: true};
  const acts = {
    slider(row, move, way) {
      // To and fro, away from the nearer end at first.
      const handle = row.querySelector('.noUi-handle');
      const [now, low, high] = ['now', 'min', 'max'].map(one => Number(handle.getAttribute(`aria-value${one}`)));
      if (move === 0) way.up = now - low < high - now;
      else if (move % 5 === 0 || now === (way.up ? high : low)) way.up = !way.up;
      const key = way.up ? 'ArrowRight' : 'ArrowLeft';
      handle.dispatchEvent(new KeyboardEvent('keydown', {key, code: key, ...keys}));
    },
    choice(row, move) {
      const list = row.querySelector('select');
      const many = list.options.length;
      list.selectedIndex = (list.selectedIndex + (move % 2 ? many - 1 : 1)) % many;
      list.dispatchEvent(new Event('change', keys));
    },
    measure(row, move) {
      // One after the other, given back in between.
      const list = row.querySelector('select');
      list.selectedIndex = move % 2 ? 1 : 2 + (move / 2) % (list.options.length - 2);
      list.dispatchEvent(new Event('change', keys));
    },
    switch(row) { row.querySelector('input[type=checkbox]').click(); },
    entry(row, move) {
      const box = row.querySelector('input[type=text]');
      box.value = box.value.replace(/\\d+/, number => String(Number(number) + (move % 2 ? -1 : 1)));
      box.dispatchEvent(new Event('change', keys));
    },
    buttons(row, move) {
      const offered = [...row.querySelectorAll('button')].filter(one => one.offsetParent);
      const undo = offered.find(one => one.textContent === 'undo');
      (move % 2 ? undo ?? offered[0] : undo ? offered[0] : offered.at(-1)).click();
    },
  };
  const trip = async (seen, act) => {
    const painted = new Promise((done, failed) => {
      const late = setTimeout(() => failed(new Error('no repaint within 10 s')), 10000);
      const watch = new MutationObserver(() => {
        watch.disconnect();
        clearTimeout(late);
        const changed = performance.now();
        requestAnimationFrame(() => done([changed, performance.now()]));
      });
      watch.observe(seen, {childList: true, subtree: true, characterData: true, attributes: true});
    });
    const began = performance.now();
    act();
    return (await painted).map(at => at - began);
  };
  const pause = ms => new Promise(go => setTimeout(go, ms));
  const phase = async move => {
    await new Promise(go => requestAnimationFrame(go));
    await pause(frame * ((0.618 * move) % 1));
  };
  const seen = below.querySelector('.coldcab-canvas');
  const number = above.querySelector('.widget-label:not(.widget-slider *)');
  const [row, empty] = [rowOf(below, label), rowOf(above, 'empty')];
  const times = [], states = new Set(), [way, back] = [{}, {}];
  seen.scrollIntoView();
  for (let move = 0; move < moves + 2; move++) {
    await phase(move);
    const full = await trip(seen, () => acts[kind](row, move, way));
    await pause(between);
    await phase(move);
    const nothing = await trip(number, () => acts.slider(empty, move, back));
    await pause(40);
    if (move >= 2) times.push([...full, ...nothing]);  // the first two warm up
    states.add(seen.textContent + seen.querySelector('svg')?.getAttribute('aria-label'));
  }
  return [times, states.size];
}
"""
TOLD = "[...document.querySelectorAll('button')].find(one => one.textContent.trim().startsWith('told'))"


def cases() -> Iterator[Any]:
    """Every control of every instrument."""
    for name in NAMES:
        for control in getattr(instruments, name).controls:
            if (name, control.name) in MOVES_NOTHING:
                continue
            yield pytest.param(name, control, id=f"{name}-{control.name}")


def _kind(control: object) -> str:
    kinds: dict[str, type] = {"slider": Slider, "buttons": Buttons, "measure": MeasurementChoice, "choice": Choice}
    kinds |= {"switch": Switch, "entry": Entry}
    return next(kind for kind, one in kinds.items() if isinstance(control, one))


def _settings_for(name: str, control: Any) -> dict[str, object]:
    """Settings at which a control is in use."""
    settings = dict(IN_USE.get(name, {}))
    if name in BESIDE:
        beside.opened(SimpleNamespace(tickets=TICKETS))
    one = getattr(instruments, name)(system="us", **settings)
    if one.in_use(control):
        return settings
    for other in one.controls:
        options = other.options if isinstance(other, Choice) else (True, False) if isinstance(other, Switch) else ()
        for option in options:
            try:
                one.set(**{other.name: option})
            except ValueError:
                continue
            if one.in_use(control):
                return settings | {other.name: option}
    raise AssertionError(f"{control.label} of {name} is never in use")


def _chromium() -> str:
    found = os.environ.get("COLDCAB_CHROMIUM") or shutil.which("chromium")
    if not found:
        pytest.skip("no chromium on the PATH and COLDCAB_CHROMIUM is not set")
    return found


def _notebook(path: Path) -> None:
    cells = [
        {"cell_type": "code", "id": f"c{n}", "metadata": {}, "execution_count": None, "outputs": [], "source": source}
        for n, source in enumerate((EMPTY, ""))
    ]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    path.write_text(json.dumps({"cells": cells, "metadata": kernel, "nbformat": 4, "nbformat_minor": 5}))


@pytest.fixture(scope="module")
def laboratory(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, str]]:
    """A folder, and the address of a JupyterLab that serves it."""
    home = tmp_path_factory.mktemp("home")
    work = home / "work"
    work.mkdir()
    for place, text in (
        ("apputils-extension/notification", '{"fetchNews": "false", "checkForUpdates": false}'),
        ("docmanager-extension/plugin", '{"autosave": false}'),
        ("notebook-extension/tracker", '{"windowingMode": "none"}'),  # else the cell above leaves the page
    ):
        settings = home / f"settings/@jupyterlab/{place}.jupyterlab-settings"
        settings.parent.mkdir(parents=True)
        settings.write_text(text)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    source = str(Path(__file__).parents[2] / "src")
    environment = {
        **os.environ,
        "HOME": str(home),
        "JUPYTERLAB_SETTINGS_DIR": str(home / "settings"),
        "PYTHONPATH": os.pathsep.join(part for part in (source, os.environ.get("PYTHONPATH")) if part),
    }
    command = [sys.executable, "-m", "jupyterlab", "--allow-root", "--no-browser", "--ip=127.0.0.1"]
    command += ["--ServerApp.kernel_websocket_connection_class=coldcab.course.prompt_connection.PromptConnection"]
    command += [f"--port={port}", "--IdentityProvider.token=", f"--ServerApp.root_dir={work}"]
    server = subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        for _ in range(120):
            try:
                socket.create_connection(("127.0.0.1", port), 0.5).close()
                break
            except OSError:
                time.sleep(0.5)
        yield work, f"http://127.0.0.1:{port}"
    finally:
        server.terminate()
        server.wait(30)


@pytest.fixture(scope="module")
def browser():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        one = play.chromium.launch(executable_path=_chromium(), args=FLAGS)
        yield one
        one.close()


class Bench:
    """The page that is open: one instrument at a time, below the empty slider."""

    def __init__(self, browser: Any, laboratory: tuple[Path, str]) -> None:
        self.browser, (self.work, self.address) = browser, laboratory
        self.call = ""
        _notebook(self.work / "repaint.ipynb")
        self.page = self.browser.new_page(viewport={"width": 1280, "height": 900})
        self.page.goto(f"{self.address}/doc/tree/repaint.ipynb?reset")
        self.page.wait_for_selector(".jp-Notebook-ExecutionIndicator[data-status=idle]", timeout=60_000)
        self.page.wait_for_timeout(1000)
        self._run(0, ".widget-slider")

    def _run(self, cell: int, wanted: str, source: str = "") -> None:
        """Run a cell, with a text written into it if there is one, until what is wanted stands there."""
        one = self.page.locator(".jp-CodeCell").nth(cell)
        one.locator(".jp-InputArea-editor").click()
        if source:
            self.page.keyboard.press("Control+A")
            self.page.keyboard.insert_text(source)
        self.page.keyboard.press("Control+Enter")
        one.locator(wanted).first.wait_for(timeout=90_000)

    def open(self, call: str) -> None:
        """Bring an instrument into the page."""
        if call == self.call:
            return
        self.page.evaluate("() => document.querySelectorAll('.coldcab-canvas').forEach(one => one.dataset.old = '1')")
        self._run(1, ".coldcab-canvas:not([data-old]) svg", call)
        for fold in self.page.locator(".jupyter-widgets.widget-toggle-button").all():
            fold.evaluate("button => button.click()")
        self.page.wait_for_timeout(700)
        self.call = call

    def measure(self, control: Any, moves: int) -> tuple[list[list[float]], int]:
        """Times of some moves and of empty ones between them, and how many states of the drawing were seen."""
        return self.page.evaluate(MEASURE, [control.label, _kind(control), moves, BETWEEN, FRAME])

    def kernel(self) -> list[float]:
        """Processor time in ms of each move since it was last asked."""
        before = self.page.evaluate(f"{TOLD}.textContent")
        self.page.evaluate(f"{TOLD}.click()")
        self.page.wait_for_function(f"before => {TOLD}.textContent !== before", arg=before)
        return json.loads(self.page.evaluate(f"{TOLD}.textContent").split(maxsplit=2)[2])

    def close(self) -> None:
        """Close the page."""
        self.page.close()


@pytest.fixture(scope="module")
def bench(browser, laboratory):
    one = Bench(browser, laboratory)
    yield one
    one.close()


def _ratio(times: list[list[float]]) -> float:
    return statistics.median(one[1] for one in times) / statistics.median(one[3] for one in times)


def _late(times: Sequence[float]) -> float:
    return statistics.quantiles(times, n=20)[-1]


@pytest.mark.parametrize(("name", "control"), list(cases()))
def test_a_control_answers_almost_as_fast_as_nothing(bench, name: str, control: Any) -> None:
    settings = ", ".join(f"{key}={value!r}" for key, value in _settings_for(name, control).items())
    bench.open(f"from coldcab import instruments; {BESIDE.get(name, '')}one = instruments.{name}({settings}); one")
    bench.kernel()
    times, states = bench.measure(control, MOVES)
    if _ratio(times) > TARGET:
        more, __ = bench.measure(control, MORE * MOVES)
        times += more
    kernel = statistics.median(bench.kernel())
    changed, painted, nothing, empty = zip(*times, strict=True)
    median, least = statistics.median(painted), statistics.median(empty)
    print(
        f"\n{name:22} {control.name:16} {median:5.0f} ms, 95 in 100 {_late(painted):5.0f}; empty {least:3.0f}, "
        f"{_late(empty):3.0f}; ratio {median / least:.2f}, {_late(painted) / _late(empty):.2f}; to the change "
        f"{statistics.median(changed):4.1f}, empty {statistics.median(nothing):4.1f}; kernel {kernel:4.1f}"
    )
    assert states > 1  # the drawing did follow
    assert _ratio(times) <= TARGET
