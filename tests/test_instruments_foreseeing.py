"""Moves that are worked out before they come: the same to the last digit, and thrown away when something else comes."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

import pytest

from coldcab import instruments
from coldcab.instruments.foreseeing import WIDE
from coldcab.instruments.panel import AFTER

MOVES = [  # an instrument, a control, and where a hand moves it: each kind of control, and each way of keeping a state
    ("gauge_pair", "low", (31.5, 32.0, 32.5, 32.0)),
    ("bench", "charge", (101.0, 102.0, 103.0, 104.0)),
    ("bench", "fault", ("charge low", "charge high", "charge low")),
    ("pump_down", "water", (3.5, 4.0, 3.5)),
    ("cab_air_path", "ambient", (96.0, 97.0, 98.0)),
    ("ph_chart", "compare", (False, True, False)),
    ("two_refrigerants", "ambient", (96.0, 97.0, 98.0)),
]


class Hand:
    """An instrument in a page that is moved; nothing is foreseen but what `look_ahead` is asked for."""

    def __init__(self, name: str, **settings: object) -> None:
        self.instrument = getattr(instruments, name)(system="us", **settings)
        self.panel = (self.instrument.widget, self.instrument._panel)[1]
        self.sent: list[dict] = []
        self.panel.drawing.send = self.sent.append

    def move(self, control: str, value: object) -> bool:
        """Move a control; whether the move was foreseen."""
        before = self.foreseen
        self.panel._movers[control].value = value
        return any(step.drawing is self.panel.drawing.now for step in before)

    def look_ahead(self) -> None:
        for _step in self.panel._foresight._work:
            pass

    @property
    def foreseen(self) -> list:
        return list(self.panel._foresight._steps)


def in_a_page(test: Callable[[], Any]) -> Any:
    """Run where a loop runs, as in a kernel."""

    async def inside() -> Any:
        return test()

    return asyncio.run(inside())


def shown(name: str, control: str, values: tuple, foresee: bool) -> tuple[list[tuple], list[bool]]:
    """What stands in the page, and what is read, after each move; and which were foreseen."""
    hand, found, hits = Hand(name), [], []
    for value in values:
        hits.append(hand.move(control, value))
        found.append((hand.panel.drawing.html, hand.instrument.settings[control], hand.instrument.reading_line()))
        if foresee:
            hand.look_ahead()
    return found, hits


@pytest.mark.parametrize(("name", "control", "values"), MOVES, ids=[f"{name}-{control}" for name, control, _ in MOVES])
def test_a_move_that_was_foreseen_shows_what_it_would_show_anyway(name, control, values):
    plain, none = in_a_page(lambda: shown(name, control, values, False))
    ahead, hits = in_a_page(lambda: shown(name, control, values, True))
    assert not any(none)
    assert all(hits[1:])  # the first shows where the hand is going
    assert ahead == plain


def test_the_page_is_sent_what_makes_the_new_drawing_of_the_old():
    def hand():
        one, other = Hand("bench"), Hand("bench")
        for value in (101.0, 102.0):
            one.move("charge", value)
            one.look_ahead()
            other.move("charge", value)
        assert one.sent == other.sent

    in_a_page(hand)


def test_what_was_foreseen_goes_when_something_else_comes():
    def hand():
        one = Hand("gauge_pair")
        for other in (
            lambda: one.move("high", 210.0),
            lambda: one.instrument.set(low=40.0),
            lambda: one.panel._reset(),
            lambda: Hand("state_of_a_line").move("pressure", 50.0),
        ):
            one.move("low", one.panel._movers["low"].value + 1.0)
            one.look_ahead()
            ahead = one.foreseen
            assert ahead
            other()
            assert not set(map(id, ahead)) & set(map(id, one.foreseen))

    in_a_page(hand)


def test_a_message_stops_what_is_being_worked_out():
    def hand():
        one = Hand("gauge_pair")
        one.move("low", 32.0)
        work = one.panel._foresight._work
        next(work)
        one.move("low", 36.0)
        assert one.panel._foresight._work is not work
        assert all(step.start is one.panel.drawing.now for step in one.foreseen)

    in_a_page(hand)


def test_little_is_kept():
    def hand():
        one = Hand("bench")
        one.move("fault", "charge high")
        one.look_ahead()
        assert 1 < len(one.foreseen) <= WIDE
        for value in range(101, 130):
            one.move("charge", float(value))
            one.look_ahead()
            assert len(one.foreseen) <= WIDE

    in_a_page(hand)


def test_a_move_that_does_something_is_not_tried_beforehand():
    def hand():
        one = Hand("leak_bench")
        options = one.panel._movers["measure"].options
        one.move("measure", options[2])
        one.look_ahead()
        assert one.foreseen == []
        assert len(one.instrument.path) == 1

    in_a_page(hand)


def test_another_machine_is_worked_out_once_and_drawn_before_the_controls_follow(monkeypatch):
    def hand():
        one = Hand("leak_bench")
        mover = one.panel._movers["measure"]
        one.move("measure", mover.options[2])
        one.sent.clear()
        worked, work_out = [], one.instrument._work_out
        monkeypatch.setattr(one.instrument, "_work_out", lambda: (worked.append(1), work_out()))
        one.move("machine", one.panel._movers["machine"].options[1])
        assert (len(worked), len(one.sent), one.instrument.path) == (1, 1, ())
        assert mover.value == mover.options[2]  # it follows when the drawing has been painted
        return one, mover

    async def page():
        one, mover = hand()
        await asyncio.sleep(2 * AFTER)
        assert mover.value == one.instrument.settings["measure"] == mover.options[0]

    asyncio.run(page())
