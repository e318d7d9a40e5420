"""What an instrument keeps over Start, a reload and a night, and the way back to what the page gives."""

from __future__ import annotations

import pytest

from coldcab import instruments, learner, progress
from coldcab.instruments import keeping
from drawings import make

PLACE = "instruments/1-page/gauges"


@pytest.fixture
def copy_of_the_course(tmp_path, monkeypatch):
    """A learner's copy, in which the running cell has a place."""
    monkeypatch.setenv(learner.FOLDER_VARIABLE, str(tmp_path))
    monkeypatch.delenv(progress.MARKING_VARIABLE, raising=False)
    monkeypatch.setattr(keeping, "place", lambda: PLACE)
    return tmp_path


def on_the_page(name: str, **given: object):
    one = make(name, **given)
    one.widget  # noqa: B018 - as a page shows it
    return one


def press_reset(one) -> None:
    one._panel._reset()


def test_settings_come_back_and_reset_forgets_them(copy_of_the_course):
    first = on_the_page("gauge_pair", low=20)
    first._panel._movers["low"].value = 26.0
    first._panel._movers["refrigerant"].value = "R-12"
    again = on_the_page("gauge_pair", low=20)
    assert again.settings == first.settings
    assert "26.0 psig" in again._repr_mimebundle_()["text/html"]
    press_reset(again)
    assert again.settings == make("gauge_pair", low=20).settings
    assert again._panel._boxes["low"].value == "20.0 psig"
    assert progress.kept(PLACE) is None


def test_settings_of_another_page_do_not_come_back(copy_of_the_course):
    on_the_page("gauge_pair", low=20)._panel._movers["high"].value = 250.0
    assert on_the_page("gauge_pair", low=21).settings == make("gauge_pair", low=21).settings


@pytest.mark.parametrize("bad", ["high", None, True, [1], 1e12, (-1e7)])
def test_a_bad_value_is_left_out(copy_of_the_course, bad):
    page = dict(make("gauge_pair").settings)
    progress.keep(PLACE, {"page": page, "set": {"low": bad, "refrigerant": "R-12", "gone": 1}})
    found = on_the_page("gauge_pair").settings
    assert found["low"] == page["low"]
    assert found["refrigerant"] == "R-12"


@pytest.mark.parametrize("kept", [3, [], {"set": []}, {"page": {}, "set": {"low": 1.0}}, "text"])
def test_what_is_not_understood_counts_as_nothing(copy_of_the_course, kept):
    progress.keep(PLACE, kept)
    assert on_the_page("gauge_pair").settings == make("gauge_pair").settings


def test_what_a_program_sets_is_the_page(copy_of_the_course):
    bench = on_the_page("bench")
    bench.set(machine=44)  # and with it another refrigerant
    bench._panel._movers["blower"].value = 50.0
    press_reset(bench)
    assert bench.settings == make("bench", machine=44).settings


def test_decisions_and_paths_come_back(copy_of_the_course):
    job = on_the_page("running_job", press="A")
    for button in ("B", "A"):
        job._panel._moved(job.controls[1], button)
    assert on_the_page("running_job", press="A").readings["path"] == job.readings["path"]
    press_reset(job)
    assert job.readings["path"] == make("running_job", press="A").readings["path"]
    board = on_the_page("suspects_board", complaint="4")
    board._panel._movers["measure"].value = next(one for one in board._measure.options if one.startswith("glass"))
    assert on_the_page("suspects_board", complaint="4").path == board.path == ("glass",)
    press_reset(board)
    assert board.path == ()


def test_nothing_is_kept_outside_a_page_or_without_controls(tmp_path, monkeypatch):
    monkeypatch.setenv(learner.FOLDER_VARIABLE, str(tmp_path))
    on_the_page("gauge_pair")._panel._movers["low"].value = 26.0
    monkeypatch.setattr(keeping, "place", lambda: PLACE)
    on_the_page("gauge_pair", fixed=True).set(low=30).keep()
    assert not list(tmp_path.iterdir())
    assert instruments.gauge_pair(system="us").widget is not None
