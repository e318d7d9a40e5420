"""The running job in hand: its buttons, what it shows, and that it never jumps ahead."""

import ipywidgets
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldcab import instruments
from coldcab.instruments.running_job import LETTERS, MACHINES, UNDO
from drawings import SYSTEMS, assert_text_stays_on_the_sheet, assert_well_drawn, make


@given(data=st.data(), system=SYSTEMS, machine=st.sampled_from(list(MACHINES)))
@settings(max_examples=15, deadline=None)
def test_draws_whatever_can_be_pressed(data, system, machine):
    job = make("running_job", system=system, machine=machine)
    for _ in range(data.draw(st.integers(0, 18))):
        job.accept(job.controls[1], data.draw(st.sampled_from((*LETTERS, UNDO))))
    assert_well_drawn(job)
    assert_text_stays_on_the_sheet(job)
    assert job.description().startswith("The running job. Unit")


def test_pressing_goes_on_undo_goes_back_reset_begins():
    job = make("running_job")
    assert "Complaint" in job.reading_line()
    job.set(press="A")
    assert "The leak" in job.reading_line()
    job.set(press="B").set(press=UNDO)
    assert "The leak" in job.reading_line()
    job.set(press="A A").reset()
    assert job.readings["path"] == ()
    job.set(machine="Unit 58, the tractor").set(press="A").reset()
    assert job.readings["path"] == ()
    assert job.settings["machine"] == "Unit 58, the tractor"  # the same job anew


def test_another_machine_is_another_job():
    job = make("running_job", press="A A")
    job.set(machine="Unit 58, the tractor")
    assert job.readings["path"] == ()
    assert "R-134a" in job.picture()


def test_only_buttons_of_this_step_are_offered():
    job = make("running_job")
    assert job.offered(job.controls[1]) == ("", "A", "B", "C")
    job.set(press="A")
    assert job.offered(job.controls[1]) == ("", *LETTERS, UNDO)


def test_the_buttons_of_the_panel_press():
    job = instruments.running_job(system="us")
    buttons = {one.description: one for one in walk(job.widget) if isinstance(one, ipywidgets.Button)}
    assert buttons["D"].layout.display == "none"
    buttons["A"].click()
    assert len(job.readings["path"]) == 1
    assert buttons["D"].layout.display is None
    buttons[UNDO].click()
    assert job.readings["path"] == ()


def walk(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from walk(child)


def test_the_end_shows_record_next_summer_and_the_owners_copy_and_not_before():
    job = make("running_job")
    while job.readings["progress"].next:
        assert "what came of each choice" not in job.html()
        assert "Next summer" not in job.description()
        job.set(press="A")
    page = job.html()
    assert page.count("<li style") == len(job.readings["lines"])
    assert all(words in page for words in ("what came of each choice", "owner’s copy", "Next summer"))
    assert job.offered(job.controls[1]) == ("", UNDO)
    with pytest.raises(ValueError, match="job is over"):
        job.set(press="A")


def test_readings_follow_the_job_from_as_found_to_as_left():
    job = make("running_job", machine="Unit 12, the orchard sprayer")
    assert "as found, on R-12" in job.picture()
    while "The charge:" not in job.reading_line():
        job.set(press="A")
    job.set(press="A")
    assert "as left, on R-134a" in job.picture()
    assert ">healthy<" in job.picture()
