"""Every instrument in the page of a laptop and of a phone: one screen or pinned controls, legible type, nothing cut."""

from __future__ import annotations

import pytest

from browser.rooms import LAPTOP, LEAST, MEASURE, PHONE, TOUCH, calls, opened, put

LONG_UNITS = ("gauge_pair", "container", "clutch_circuit", "nitrogen_test")  # "kPa gauge" needs more room than "psig"
SIZES = {"laptop": (LAPTOP, {}), "phone": (PHONE, TOUCH)}


def complaints(found: dict, size: str) -> list[str]:
    """What a learner would complain of."""
    said = [
        *found["cut"],
        *(f"{one} is torn" for one in found["torn"]),
        *found["over"],
        *(f"{one} is small for a hand" for one in found["small"]),
    ]
    high = max(found["desk"], found["sheet"]) if found["beside"] else found["desk"] + found["sheet"]
    if found["desk"] and high > found["page"] and not found["pinned"]:
        said.append(f"{high} px on a page of {found['page']}, and the controls scroll away")
    if size == "phone" and found["least"] < LEAST:
        said.append(f"type of {found['least']:.1f} px")
    return said


@pytest.mark.parametrize("size", SIZES)
def test_every_instrument_has_its_room(browser, server, size):
    sources = calls(every_machine=False) + [f"{name}(system='si')" for name in LONG_UNITS]
    window, more = SIZES[size]
    lab = opened(browser, server, put(server.folder, f"rooms-{size}.ipynb", sources), len(sources), window, **more)
    cells = lab.notebook.locator(".jp-Notebook-cell")
    told = {}
    for place, call in enumerate(sources, start=1):
        cells.nth(place).evaluate("cell => cell.scrollIntoView()")
        told[call] = complaints(cells.nth(place).evaluate(MEASURE), size)
    lab.page.context.close()
    assert {call: said for call, said in told.items() if said} == {}
    assert len(told) > 40
