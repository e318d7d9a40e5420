"""How every instrument sits in the page of a laptop and of a phone, measured.

``python tests/browser/rooms.py FOLDER`` prints a table and leaves a picture of each in the folder; test_rooms.py asks
the same for less. Both put all instruments into a few notebooks of one JupyterLab.
"""

from __future__ import annotations

import json
import re
import sys
import tempfile
from pathlib import Path
from typing import Any

LAPTOP = {"width": 1366, "height": 768}
PHONE = {"width": 390, "height": 844}
LEAST = 11.0  # px; smallest type that a phone may show
TOUCH = {"has_touch": True, "is_mobile": True}
GIVEN = {  # what is opened besides an instrument as it is
    "property_reader": [
        f"page={page!r}" for page in ("saturation table", "one state", "ideal compression", "state at an enthalpy")
    ],
    "bench": [f"machine={number!r}" for number in ("7", "12", "18", "26", "44", "52", "58")]
    + ["fault='drier restricted', second_fault='low evaporator air'"],
    "acceptance_table": ["31"],
    "pressure_temperature_table": ["('R-12', 'R-134a'), [10, 20, 32, 45, 62, 95, 120, 140]"],
    "how_true": ["'low side'", "'vent', 'table'", "'other figures'", "'left out'", "'doubt'"],
    "clinic_desk": ["ticket='P24', measure='gauges, hub speed, condenser air, fan'"],
    "suspects_board": ["complaint='14', measure='gauges, condenser air'"],
    "rise_test": ["judged=True"],
}
AS_IT_IS = ("bench", "clinic_desk", "suspects_board", "rise_test")  # of those, also without anything given

MEASURE = (Path(__file__).parent / "rooms.js").read_text(encoding="utf-8")


def calls(*, every_machine: bool = True) -> list[str]:
    """Every instrument, as it is and with what else is to be seen of it; the bench with each machine or with one."""
    from coldcab import instruments

    made = []
    for name in instruments._MEMBERS:
        given = GIVEN.get(name, [])
        made += [f"{name}()"] if name in AS_IT_IS or not given else []
        made += [f"{name}({one})" for one in given]
    return made if every_machine else [one for one in made if not one.startswith("bench(machine") or "52" in one]


def put(folder: Path, name: str, sources: list[str]) -> str:
    """Put a notebook into the learner's folder, a call of an instrument in each cell."""
    cells = [
        {"cell_type": "code", "id": f"cell-{n}", "metadata": {}, "execution_count": None, "outputs": [], "source": call}
        for n, call in enumerate(("from coldcab.instruments import *", *sources))
    ]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    book = {"cells": cells, "metadata": kernel, "nbformat": 4, "nbformat_minor": 5}
    (folder / name).write_text(json.dumps(book), encoding="utf-8")
    return name


def opened(browser: Any, server: Any, path: str, count: int, size: dict[str, int], **more: Any) -> Any:
    """Return JupyterLab with a notebook of instruments that has been started, in a window of a size."""
    from playwright.sync_api import expect

    from browser.hands import START, Lab

    context = browser.new_context(viewport=size, reduced_motion="reduce", **more)
    lab = Lab(context.new_page(), server)
    base, token = server.address.split("/lab/")[0], server.address.split("token=")[-1]
    lab.page.goto(f"{base}/lab/tree/{path}?reset&token={token}")
    lab.notebook.locator(".jp-Notebook-cell").first.wait_for()
    _connected(lab, path)
    lab.notebook.locator(f"[data-jp-item-name='{START}'] jp-button").click()
    expect(lab.notebook.locator(".jp-OutputArea-output")).to_have_count(count)
    expect(lab.notebook.locator(".jp-InputArea-prompt", has_text="[*]")).to_have_count(0)
    return lab


def _connected(lab: Any, path: str) -> None:
    """Wait until the page talks to its kernel; on a phone the mark that says so is folded away."""
    base, token = lab.server.address.split("/lab/")[0], lab.server.address.split("token=")[-1]
    for _ in range(240):
        sessions = lab.page.request.get(f"{base}/api/sessions?token={token}").json()
        kernels = [one["kernel"] for one in sessions if one["path"] == path]
        lab.page.wait_for_timeout(250)
        if any(one["execution_state"] == "idle" and one["connections"] for one in kernels):
            return
    raise TimeoutError("the page did not reach its kernel in a minute")


def main(folder: Path, only: list[str]) -> None:
    from playwright.sync_api import sync_playwright

    from browser.conftest import FLAGS
    from browser.hands import close_course, open_course
    from coldcab.course.pictures import browser_path

    unwanted = {"laptop", "phone"}.difference(only) if {"laptop", "phone"}.intersection(only) else set()
    only = [one for one in only if one not in ("laptop", "phone")]
    folder.mkdir(parents=True, exist_ok=True)
    chosen = [call for call in calls() if not only or any(call.startswith(one) for one in only)]
    with tempfile.TemporaryDirectory() as home, sync_playwright() as play:
        server = open_course(Path(home) / "course", Path(home) / "home")
        browser = play.chromium.launch(executable_path=browser_path(), args=list(FLAGS))
        path = put(server.folder, "rooms.ipynb", chosen)
        for name, size, more in (("laptop", LAPTOP, {}), ("phone", PHONE, TOUCH)):
            if name in unwanted:
                continue
            lab = opened(browser, server, path, len(chosen), size, **more)
            lab.page.wait_for_timeout(1500)
            print(f"\n{name}: errors {lab.errors()}")
            for number, call in enumerate(chosen, start=1):
                cell = lab.notebook.locator(".jp-Notebook-cell").nth(number)
                cell.evaluate("cell => cell.scrollIntoView({block: 'start'})")
                lab.page.wait_for_timeout(100)
                print(name, json.dumps(cell.evaluate(MEASURE) | {"call": call}), flush=True)
                if name == "laptop":
                    cell.evaluate("cell => cell.scrollIntoView({block: 'start'})")
                    lab.page.screenshot(path=str(folder / f"{_stem(call)}.{name}.png"))
            if name == "phone":
                lab.page.set_viewport_size({"width": 390, "height": 9000})
                lab.page.wait_for_timeout(1500)
                for number, call in enumerate(chosen, start=1):
                    cell = lab.notebook.locator(".jp-Notebook-cell").nth(number)
                    cell.scroll_into_view_if_needed()
                    cell.screenshot(path=str(folder / f"{_stem(call)}.{name}.png"))
            lab.page.context.close()
        browser.close()
        close_course(server)


def _stem(call: str) -> str:
    return re.sub(r"\W+", "-", call).strip("-")[:60]


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))
    main(Path(sys.argv[1]), sys.argv[2:])
