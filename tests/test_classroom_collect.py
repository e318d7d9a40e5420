"""What comes in and goes out: uploads of platforms, the exchange, hand-outs, what to see to before grading, exports."""

import csv
import io
import os
import re
import shutil
import stat
import time
import zipfile
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from classes import by_hand, by_learner, filled, points, put, small_class, zipped
from coldcab import learner as learners
from coldcab.classroom import (
    ClassError,
    ClassFolder,
    archives,
    checking,
    collecting,
    demo,
    exporting,
    feedback,
    grading,
    paper,
    releasing,
    reporting,
    submission_files,
)
from coldcab.classroom.handing_out import feedback_zip, hand_out
from coldcab.classroom.roster import Learner, read_roster
from coldcab.classroom.settings import parse_due, read_settings
from coldcab.cli.class_commands import app
from coldcab.desk import hand_in

RUNNER = CliRunner()
SHEET = "cycle-1"


@pytest.fixture
def small(tmp_path):
    return small_class(tmp_path / "class")


def statuses(done):
    return {each.file.rsplit(" / ", 1)[-1]: (each.status, each.learner) for each in done}


# Whose file is it.

NAMES = {
    "a folder for each participant": "Ash Invented_104233_assignsubmission_file_/cycle-1.ipynb",
    "one flat name": "Ash Invented_104233_assignsubmission_file_cycle-1.ipynb",
    "names run together, late": "inventedash_LATE_104233_7788991_cycle-1-1.ipynb",
    "an id between underlines": "Sheet 1_ash_attempt_2026-10-01-18-22-33_cycle-1.ipynb",
    "a date in words": "104233-7788 - Ash Invented - Oct 1, 2026 622 PM/cycle-1 (2).ipynb",
    "last name first": "Invented, Ash/submission/cycle-1.ipynb",
    "an address": "ash@example.invalid/cycle-1.ipynb",
    "accents": "Ásh Ínvented_1_/cycle-1.ipynb",
    "capitals": "ASH_cycle-1.IPYNB",
    "as Hand in names it": hand_in.name_of(SHEET, "ash"),
    "the other way round": f"ash_{SHEET}.ipynb",
    "backslashes of another system": "Ash Invented_1\\cycle-1.ipynb",
}


@pytest.mark.parametrize("kind", NAMES)
def test_the_names_of_platforms_are_understood(small, tmp_path, kind):
    upload = zipped(tmp_path / "upload.zip", [(NAMES[kind], filled(small, "ash")), ("index.html", "<p>")])
    (done,) = collecting.collect(small, [upload])
    assert (done.status, done.learner, done.sheet) == (collecting.NEW, "ash", SHEET)
    assert by_learner(grading.grade_class(small, SHEET))["ash"].score == points()


NOT_ASH = {
    "nobody": ("cycle-1.ipynb", "fits nobody"),
    "somebody else's word in it": ("ashes to ashes.ipynb", "fits nobody"),
    "two people": ("Ash Invented and Birch Invented.ipynb", "it may be that of ash or birch"),
}


@pytest.mark.parametrize("kind", NOT_ASH)
def test_a_name_that_fits_nobody_or_several_is_left_for_a_person(small, tmp_path, kind):
    name, reason = NOT_ASH[kind]
    upload = zipped(tmp_path / "upload.zip", [(name, filled(small, "ash"))])
    (done,) = collecting.collect(small, [upload])
    assert done.status == collecting.LEFT
    assert reason in done.reason
    assert not list(small.inbox.rglob("*.ipynb"))
    (tmp_path / "names.csv").write_text(f"file,id\n{name},ash\n")
    (done,) = collecting.collect(small, [upload], names=tmp_path / "names.csv")
    assert (done.status, done.learner) == (collecting.NEW, "ash")


def test_a_learner_cannot_name_a_file_into_somebody_elses_place(small, tmp_path):
    files = [
        ("Ash Invented_1_/Birch Invented.ipynb", filled(small, "ash")),
        ("inventedcedar_2_birch.ipynb", filled(small, "cedar")),
    ]
    done = collecting.collect(small, [zipped(tmp_path / "upload.zip", files)])
    found = statuses(done)
    assert found["Birch Invented.ipynb"] == (collecting.NEW, "ash")
    assert found["inventedcedar_2_birch.ipynb"][0] == collecting.LEFT
    assert not (small.inbox / "birch").exists()


def test_ids_that_look_alike_are_told_apart():
    people = collecting.OwnerFinder((Learner("ash"), Learner("ash-2"), Learner("1"), Learner("12")), (), (SHEET,))
    assert people.owner_of(("up.zip", "ash-2_cycle-1.ipynb"))[0] == "ash-2"
    assert people.owner_of(("up.zip", "ash_cycle-1.ipynb"))[0] == "ash"
    assert people.owner_of(("up.zip", "12/cycle-1.ipynb"))[0] == "12"
    # The 1 of cycle-1 is nobody's id.
    assert people.owner_of(("up.zip", "somebody", "cycle-1.ipynb"))[0] == ""


@given(st.lists(st.text(max_size=60), min_size=1, max_size=4))
def test_no_name_can_break_the_search(names):
    who, why = collecting.OwnerFinder(demo.ROSTER).owner_of(tuple(names))
    assert bool(who) != bool(why)


@pytest.mark.parametrize(
    ("name", "moment"),
    [
        ("Sheet_ash_attempt_2026-10-01-18-22-33_x.ipynb", (2026, 10, 1, 18, 22, 33)),
        ("20261001_182233_ash.ipynb", (2026, 10, 1, 18, 22, 33)),
        ("1-2 - Ash - Oct 1, 2026 622 PM - x.ipynb", (2026, 10, 1, 18, 22)),
        ("1-2 - Ash - October 1, 2026 12:05 AM", (2026, 10, 1, 0, 5)),
        ("2026-13-45-99-99_x.ipynb", None),
        ("cycle-1.ipynb", None),
    ],
)
def test_the_time_in_a_name_is_read(name, moment):
    zone = ZoneInfo("Europe/Vienna")
    assert collecting.time_in(name, zone) == (datetime(*moment, tzinfo=zone) if moment else None)


# Which of several.


def test_the_latest_attempt_counts_whatever_the_order(small, tmp_path):
    early, late = filled(small, "ash", demo.partly), filled(small, "ash")
    files = [
        ("x_ash_attempt_2026-10-02-08-00-00_cycle-1.ipynb", late),
        ("x_ash_attempt_2026-10-01-08-00-00_cycle-1.ipynb", early),
    ]
    done = collecting.collect(small, [zipped(tmp_path / "upload.zip", files)])
    assert sorted(each.status for each in done) == [collecting.NEW, collecting.OLDER]
    assert by_learner(grading.grade_class(small, SHEET))["ash"].score == points()
    # An older upload collected afterwards changes nothing, nor does the same one again.
    again = collecting.collect(small, [zipped(tmp_path / "old.zip", files[1:])])
    assert [each.status for each in again] == [collecting.OLDER]
    assert [each.status for each in collecting.collect(small, [zipped(tmp_path / "u.zip", files[:1])])] == [
        collecting.SAME
    ]


def test_two_files_of_the_same_time_are_for_a_person(small, tmp_path):
    files = [("ash/a.ipynb", filled(small, "ash")), ("ash/b.ipynb", filled(small, "ash", demo.partly))]
    done = collecting.collect(small, [zipped(tmp_path / "upload.zip", files)])
    assert {each.status for each in done} == {collecting.LEFT}
    assert "of the same time and with different content" in done[0].reason
    same = [("ash/a.ipynb", filled(small, "ash")), ("ash/b.ipynb", filled(small, "ash"))]
    done = collecting.collect(small, [zipped(tmp_path / "same.zip", same)])
    assert sorted(each.status for each in done) == [collecting.SAME, collecting.NEW]


def test_folders_files_and_zips_in_zips_are_collected(small, tmp_path):
    (tmp_path / "sent" / "Birch Invented").mkdir(parents=True)
    (tmp_path / "sent" / "Birch Invented" / "cycle-1.ipynb").write_text(filled(small, "birch"))
    inner = zipped(tmp_path / "inner.zip", [("my work/cycle-1.ipynb", filled(small, "cedar"))]).read_bytes()
    zipped(tmp_path / "sent" / "upload.zip", [("Cedar Invented_7_/work.zip", inner), ("__MACOSX/ash/._c.ipynb", b"x")])
    single = tmp_path / "elm_cycle-1.ipynb"
    single.write_text(filled(small, "elm"))
    done = collecting.collect(small, [tmp_path / "sent", single])
    assert {(each.learner, each.status) for each in done} == {
        ("birch", collecting.NEW),
        ("cedar", collecting.NEW),
        ("elm", collecting.NEW),
    }


def test_the_sheet_is_known_by_its_content_and_a_broken_file_by_its_name(small, tmp_path):
    releasing.release(small, ("cycle-2",))
    files = [
        ("ash/homework.ipynb", filled(small, "ash", name="cycle-2")),
        ("birch/cycle-1.ipynb", "no notebook"),
        ("cedar/homework.ipynb", "no notebook"),
    ]
    done = {each.learner: each for each in collecting.collect(small, [zipped(tmp_path / "upload.zip", files)])}
    assert (done["ash"].status, done["ash"].sheet) == (collecting.NEW, "cycle-2")
    assert (done["birch"].status, done["birch"].sheet) == (collecting.NEW, "cycle-1")
    assert done["cedar"].status == collecting.LEFT
    found = {each.outcome.learner.id: each.outcome for each in checking.check(small, SHEET)}
    assert (found["birch"].status, found["ash"].status) == ("not gradable", "missing")


def test_a_sheet_that_is_not_released_does_not_take_the_place_of_the_one_that_is(small, tmp_path):
    ahead = small_class(tmp_path / "ahead")
    releasing.release(ahead, ("cycle-2",))
    files = [("ash/1.ipynb", filled(small, "ash")), ("ash/2.ipynb", filled(ahead, "ash", name="cycle-2"))]
    taken, left = collecting.collect(small, [zipped(tmp_path / "upload.zip", files)])[::-1]
    assert (taken.status, taken.sheet) == (collecting.NEW, SHEET)
    assert (left.status, left.reason) == (collecting.LEFT, "cycle-2 has not been released in this class")
    assert by_learner(grading.grade_class(small, SHEET))["ash"].score == points()


# Hostile uploads.


def test_an_upload_writes_nothing_outside_and_unfolds_no_bomb(small, tmp_path):
    bomb = zipped(tmp_path / "b.zip", []).with_name("bomb.zip")
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("Ash Invented_1_/cycle-1.ipynb", b" " * 60_000_000)
        archive.writestr("../../../Birch Invented/cycle-1.ipynb", filled(small, "birch"))
        archive.writestr("/etc/Cedar Invented/cycle-1.ipynb", filled(small, "cedar"))
        link = zipfile.ZipInfo("Elm Invented/cycle-1.ipynb")
        link.external_attr = (stat.S_IFLNK | 0o777) << 16
        archive.writestr(link, "/etc/passwd")
    before = sorted(path for path in tmp_path.rglob("*") if small.path not in path.parents)
    done = {each.learner: each for each in collecting.collect(small, [bomb])}
    assert "unfolds to more than 5 MB" in done["ash"].reason
    assert (done["birch"].status, done["cedar"].status) == (collecting.NEW, collecting.NEW)
    assert "link" in done["elm"].reason
    assert sorted(path for path in tmp_path.rglob("*") if small.path not in path.parents) == before
    # What was refused is not taken for missing.
    found = {each.outcome.learner.id: each.outcome for each in checking.check(small, SHEET)}
    assert (found["ash"].status, found["elm"].status, found["fir"].status) == (
        "not gradable", "not gradable", "missing",
    )  # fmt: skip
    assert "unfolds to more than 5 MB" in found["ash"].reason


def test_a_zip_of_too_many_files_is_given_up(small, tmp_path, monkeypatch):
    monkeypatch.setattr("coldcab.classroom.archives.MOST_FILES", 50)
    upload = zipped(tmp_path / "upload.zip", [(f"ash/{number}.txt", "") for number in range(60)])
    with pytest.raises(ClassError, match="more than 50 files"):
        collecting.collect(small, [upload])


def packed(*files):
    """The bytes of a zip of these names and contents."""
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files:
            archive.writestr(name, content)
    return data.getvalue()


def zeros(most):
    """Zips of notebooks that are nothing but zeros, within a zip: some kilobytes that would unfold to ``most``."""
    inner = packed(*((f"{number}/cycle-1.ipynb", bytes(5_000_000)) for number in range(20)))
    return packed(*((f"{number}.zip", inner) for number in range(most // 100_000_000)))


@pytest.mark.parametrize("where", ["in a zip", "in a folder"])
@pytest.mark.parametrize(
    ("bomb", "reason"),
    [
        (lambda: packed(*((f"{number}.txt", b"") for number in range(25_000))), "more than 2,000 files or 50 MB"),
        (lambda: zeros(2_000_000_000), "more than 2,000 files or 50 MB"),
        (lambda: packed(("a.zip", bytes(110_000_000))), "unfolds to more than 100 MB"),
    ],
    ids=["many names", "zips of zeros", "one large file"],
)
def test_a_zip_that_holds_too_much_is_that_learners_alone(small, tmp_path, where, bomb, reason):
    files = [
        ("Ash Invented_1_/cycle-1.ipynb", filled(small, "ash")),
        ("Birch Invented_2_/cycle-1.zip", bomb()),
        ("Cedar Invented_3_/cycle-1.zip", packed(("cycle-1.ipynb", filled(small, "cedar")))),
    ]
    upload = zipped(tmp_path / "upload.zip", files)
    if where == "in a folder":
        with zipfile.ZipFile(upload) as archive:
            archive.extractall(upload := tmp_path / "upload")
    began = time.perf_counter()
    done = {each.learner: each for each in collecting.collect(small, [upload])}
    assert time.perf_counter() - began < 10
    assert (done["ash"].status, done["cedar"].status) == (collecting.NEW, collecting.NEW)
    assert done["birch"].status == collecting.LEFT
    assert reason in done["birch"].reason
    assert reason in by_learner(grading.grade_class(small, SHEET))["birch"].reason


@pytest.mark.parametrize("where", ["in a zip", "in a folder"])
@pytest.mark.parametrize(
    ("name", "count", "content"),
    [("{}.txt", 150, b""), ("{}.ipynb", 5, bytes(900_000)), ("{}/a.ipynb", 60, b"{}"), ("{}.zip", 60, b"")],
    ids=["many names", "zeros", "many folders", "many zips"],
)
def test_a_folder_that_holds_too_much_is_that_learners_alone(small, tmp_path, monkeypatch, where, name, count, content):
    for what, most in (("MOST_FILES", 100), ("MOST_FILES_WITHIN", 50), ("MOST_BYTES_WITHIN", 2_000_000)):
        monkeypatch.setattr(archives, what, most)
    upload = tmp_path / "upload.zip"
    with zipfile.ZipFile(upload, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for number in range(count):
            archive.writestr(f"Ash Invented_1_/{name.format(number)}", content)
        archive.writestr("Birch Invented_2_/cycle-1.ipynb", filled(small, "birch"))
    if where == "in a folder":
        upload = tmp_path / "upload"
        shutil.unpack_archive(tmp_path / "upload.zip", upload)
    done = collecting.collect(small, [upload], sheet=SHEET)
    assert [each.status for each in done if each.learner == "birch"] == [collecting.NEW]
    assert any("more than 50 files or 2 MB of this learner" in each.reason for each in done if each.learner == "ash")


def test_a_folder_without_a_bottom_is_given_up(small, tmp_path):
    place = tmp_path / "upload" / "Ash Invented_1_"
    for _ in range(60):
        place = place / "d"
    place.mkdir(parents=True)
    (tmp_path / "upload" / "birch.ipynb").write_text(filled(small, "birch"))
    done = {each.learner: each for each in collecting.collect(small, [tmp_path / "upload"], sheet=SHEET)}
    assert "more than 50 folders in one another" in done["ash"].reason
    assert done["birch"].status == collecting.NEW


def test_what_cannot_be_read_takes_no_place_from_what_can(small, tmp_path):
    files = [("ash_1_/cycle-1.ipynb", filled(small, "ash")), ("ash_1_/photos.zip", b"no zip")]
    done = collecting.collect(small, [zipped(tmp_path / "upload.zip", files)])
    assert [(each.status, each.reason) for each in done] == [(collecting.LEFT, "the zip cannot be read"), ("new", "")]


def test_two_of_the_same_time_are_not_called_missing(small, tmp_path):
    files = [("ash_1_/a.ipynb", filled(small, "ash")), ("ash_1_/b.ipynb", filled(small, "birch"))]
    collecting.collect(small, [zipped(tmp_path / "upload.zip", files)])
    assert "keep the one that counts" in by_learner(grading.grade_class(small, SHEET))["ash"].reason


def test_a_learner_chooses_no_time(small, tmp_path):
    """A name within a learner's own zip tells no time; within a zip of the platform it does."""
    own = packed(("2020-01-01 10-00-00 cycle-1.ipynb", filled(small, "ash")))
    collecting.collect(small, [zipped(tmp_path / "upload.zip", [("ash_1_/mine.zip", own)])])
    assert "2020" not in submission_files.time_of(small.inbox / "ash" / SHEET / "cycle-1.ipynb")
    (tmp_path / "all").mkdir()
    zipped(tmp_path / "all" / "week.zip", [("birch_2026-09-30-10-00-00_cycle-1.ipynb", filled(small, "birch"))])
    collecting.collect(small, [tmp_path / "all"])
    assert submission_files.time_of(small.inbox / "birch" / SHEET / "cycle-1.ipynb").startswith("2026-09-30 10:00")


def test_a_way_of_packing_that_takes_memory_is_not_tried(small, tmp_path):
    with zipfile.ZipFile(tmp_path / "upload.zip", "w", zipfile.ZIP_LZMA) as archive:
        archive.writestr("ash/cycle-1.ipynb", filled(small, "ash"))
    (done,) = collecting.collect(small, [tmp_path / "upload.zip"])
    assert "pack it as a plain zip" in done.reason


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04 no zip", b"x" * 1000])
def test_a_broken_zip_gets_one_sentence(small, tmp_path, data):
    (tmp_path / "upload.zip").write_bytes(data)
    with pytest.raises(ClassError, match="no zip file that can be read"):
        collecting.collect(small, [tmp_path / "upload.zip"])


def test_links_in_a_folder_are_not_followed(small, tmp_path):
    (tmp_path / "secret.ipynb").write_text(filled(small, "ash", said="SECRET"))
    (tmp_path / "sent" / "ash").mkdir(parents=True)
    (tmp_path / "sent" / "ash" / "cycle-1.ipynb").symlink_to(tmp_path / "secret.ipynb")
    (tmp_path / "sent" / "birch").symlink_to(tmp_path)
    done = collecting.collect(small, [tmp_path / "sent"])
    assert [each.learner for each in done] == ["ash", "birch"]
    assert {(each.status, each.reason) for each in done} == {(collecting.LEFT, "the file is a link to another place")}
    with pytest.raises(ClassError, match="no folder, zip or notebook"):
        collecting.collect(small, [tmp_path / "sent" / "birch"])


# The exchange, as nbgrader's own submit leaves it.


def submission(root, who, when, text, random="x1"):
    place = root / "cab" / "inbound" / f"{who}+{SHEET}+{when} UTC+{random}"
    place.mkdir(parents=True)
    (place / "cycle-1.ipynb").write_text(text)
    (place / "timestamp.txt").write_text(f"{when} UTC")
    (place / "submission_secret.txt").write_text(f"secret of {who}")
    return place


def test_the_exchange_is_collected_graded_and_given_back(small, tmp_path):
    root = tmp_path / "exchange"
    (small.path / "class.toml").write_text(f'term = "{small.term}"\ncourse = "cab"\nexchange = "{root}"\n')
    submission(root, "ash", "2026-10-01 08:00:00.000001", filled(small, "ash", demo.partly), "a")
    submission(root, "ash", "2026-10-01 09:00:00.000001", filled(small, "ash"), "b")
    submission(root, "nobody", "2026-10-01 09:00:00.000001", filled(small, "ash"))
    os.mkdir(root / "cab" / "inbound" / "birch+cycle-1+2026-10-01 08:00:00 UTC+c")
    done = collecting.collect_exchange(small, SHEET)
    assert sorted((each.learner, each.status) for each in done) == [
        ("", collecting.LEFT),
        ("ash", collecting.NEW),
        ("ash", collecting.OLDER),
    ]
    assert {each.status for each in collecting.collect_exchange(small, SHEET) if each.learner} == {
        collecting.SAME, collecting.OLDER,
    }  # fmt: skip
    put(small, "birch", filled(small, "birch"))
    found = by_learner(grading.grade_class(small, SHEET))
    assert found["ash"].score == points()
    assert (small.feedback / "ash" / SHEET / "submission_secret.txt").read_text() == "secret of ash"
    assert (small.feedback / "ash" / SHEET / "timestamp.txt").read_text() == "2026-10-01 09:00:00 UTC"
    releasing.release_to_exchange(small, SHEET)
    assert (root / "cab" / "outbound" / SHEET / "cycle-1.ipynb").is_file()
    releasing.feedback_to_exchange(small, SHEET)
    assert len(list((root / "cab" / "feedback").glob("*.html"))) == 1


def test_who_submits_without_end_loses_what_is_old(small, tmp_path, monkeypatch):
    monkeypatch.setattr(archives, "MOST_FILES_WITHIN", 5)
    root = tmp_path / "exchange"
    (small.path / "class.toml").write_text(f'term = "{small.term}"\ncourse = "cab"\nexchange = "{root}"\n')
    for minute in range(10, 30):
        submission(
            root, "ash", f"2026-10-01 08:{minute}:00", filled(small, "ash", demo.right if minute == 29 else demo.blank)
        )
    submission(root, "birch", "2026-10-01 08:00:00", filled(small, "birch"))
    done = collecting.collect_exchange(small, SHEET)
    assert [each.learner for each in done if each.status == collecting.NEW] == ["ash", "birch"]
    assert ["more than 5 files" in each.reason for each in done if each.status == collecting.LEFT] == [True]
    assert by_learner(grading.grade_class(small, SHEET))["ash"].score == points()


def test_a_submission_that_belongs_to_another_learner_is_refused(small, tmp_path, monkeypatch):
    root = tmp_path / "exchange"
    (small.path / "class.toml").write_text(f'term = "{small.term}"\ncourse = "cab"\nexchange = "{root}"\n')
    submission(root, "ash", "2026-10-01 09:00:00", filled(small, "ash"))
    monkeypatch.setattr("coldcab.classroom.collecting._owner", lambda entry: "birch")
    (done,) = collecting.collect_exchange(small, SHEET)
    assert (done.status, done.reason) == (collecting.LEFT, "it says ash, but it belongs to birch")


@pytest.mark.parametrize(
    "when",
    ["0001-01-01 00:00:00 UTC", "9999-12-31 23:59:59 -0800", "0001-01-01 00:00:00 +0500", "2931-01-01 00:00:00 UTC"],
)
def test_a_time_of_another_age_is_that_learners_alone(small, tmp_path, when):
    root = tmp_path / "exchange"
    (small.path / "class.toml").write_text(f'term = "{small.term}"\ncourse = "cab"\nexchange = "{root}"\n')
    place = submission(root, "ash", "2026-10-01 08:00:00", filled(small, "ash"))
    (place / "timestamp.txt").write_text(when)
    submission(root, "birch", "2026-10-01 09:00:00", filled(small, "birch"))
    done = {each.learner: each for each in collecting.collect_exchange(small, SHEET)}
    assert done["birch"].status == collecting.NEW
    assert done["ash"].reason.startswith(f"timestamp.txt says {when}, when nothing")
    put(small, "cedar", filled(small, "cedar")).with_name("timestamp.txt").write_text(when)
    found = by_learner(grading.grade_class(small, SHEET))
    assert found["birch"].score == points()
    for who in ("ash", "cedar"):
        assert found[who].status == "not gradable"
        assert "timestamp.txt says" in found[who].reason
    # A file of another day counts after all.
    upload = tmp_path / "cedar.ipynb"
    upload.write_text(filled(small, "cedar"))
    assert [each.status for each in collecting.collect(small, [upload], sheet=SHEET)] == [collecting.NEW]
    assert by_learner(grading.grade_class(small, SHEET))["cedar"].score == points()


def test_a_time_may_be_written_with_its_distance_from_utc(small):
    put(small, "ash", filled(small, "ash")).with_name("timestamp.txt").write_text("2026-10-01 09:00:00 -0500")
    grading.grade_class(small, SHEET)
    assert (small.submitted / "ash" / SHEET / "timestamp.txt").read_text() == "2026-10-01 14:00:00 UTC"


def test_a_file_of_another_age_is_named(small):
    os.utime(put(small, "ash", filled(small, "ash")), (-1e9, -1e9))
    (reason,) = {each.reason for each in grading.grade_class(small, SHEET) if each.learner.id == "ash"}
    assert "the file says the year 1938" in reason


# Due, late, twice.


def test_a_due_date_is_in_the_form_in_the_gradebook_and_in_the_check(small):
    from nbgrader.api import Gradebook

    text = (small.path / "class.toml").read_text().replace('zone = "UTC"', 'zone = "Europe/Vienna"')
    (small.path / "class.toml").write_text(text)
    said = RUNNER.invoke(app, ["release", SHEET, "--due", "2026-10-08 18:00", "--folder", str(small.path)])
    assert said.exit_code == 0, said.output
    assert "due 2026-10-08 18:00 (Europe/Vienna)" in said.output
    # In October Vienna is two hours ahead of UTC.
    assert "**Due:** Thursday 8 October 2026, 18:00 (Europe/Vienna, 16:00 UTC)" in small.form_file(SHEET).read_text()
    with Gradebook(small.gradebook_url) as gradebook:
        assert f"{gradebook.find_assignment(SHEET).duedate}" == "2026-10-08 16:00:00"
    late = put(small, "ash", filled(small, "ash"))
    os.utime(late, (datetime(2026, 10, 8, 17, tzinfo=UTC).timestamp(),) * 2)
    soon = put(small, "birch", filled(small, "birch"))
    os.utime(soon, (datetime(2026, 10, 8, 15, 59, tzinfo=UTC).timestamp(),) * 2)
    found = {each.outcome.learner.id: each for each in checking.check(small, SHEET)}
    assert found["ash"].seconds_late == 3600
    assert found["birch"].seconds_late == 0
    graded = by_learner(grading.grade_class(small, SHEET))
    assert (graded["ash"].seconds_late, graded["birch"].seconds_late) == (3600, 0)
    assert graded["ash"].score == points(), "without a rule in the configuration nothing is taken off"


def test_nbgraders_late_penalty_is_taken_off_if_the_configuration_says_so(small):
    configuration = small.path / "nbgrader_config.py"
    configuration.write_text(
        configuration.read_text() + "\nget_config().LateSubmissionPlugin.penalty_method = 'zero'\n"
    )
    (small.path / "class.toml").write_text(f'term = "{small.term}"\n[due]\ncycle-1 = "2020-01-01 00:00"\n')
    put(small, "ash", filled(small, "ash"))
    assert by_learner(grading.grade_class(small, SHEET))["ash"].score == 0
    assert f"{points():g} off for being late" in (small.feedback / "ash" / SHEET / "cycle-1.html").read_text()


def test_so_many_per_cent_a_day_are_taken_off_and_an_extension_gives_them_back(small):
    """Two days begun at 10 per cent are 20 per cent; an extension by one day leaves one day begun."""

    def told(*words):
        said = RUNNER.invoke(app, [*words, "--folder", str(small.path)])
        return " ".join(said.output.split())

    def score():
        return by_learner(grading.grade_class(small, SHEET, pages=False))["ash"].score

    assert "not due at any time" in told("extend", SHEET, "ash", "--until", "2026-10-09 18:00")
    due = '[due]\ncycle-1 = "2026-10-08 18:00"\n'
    (small.path / "class.toml").write_text(f'term = "{small.term}"\n{due}[late]\npercent_a_day = 10\nmost = 50\n')
    file = put(small, "ash", filled(small, "ash"))
    put(small, "birch", filled(small, "birch"))
    os.utime(file, (datetime(2026, 10, 9, 19, tzinfo=UTC).timestamp(),) * 2)
    assert score() == pytest.approx(0.8 * points())
    assert "ash may hand in cycle-1 until 2026-10-08 19:00 (UTC)" in told(
        "extend", SHEET, "Ash", "--until", "2026-10-08 19:00"
    )
    assert score() == pytest.approx(0.9 * points()), "24 hours late to the second: one day begun"
    assert checking.check(small, SHEET)[0].seconds_late == 24 * 3600
    off = points() * 0.1
    said = told("extend", SHEET, "ash", "--until", "2026-10-10")
    assert f"Taken off for being late: {off:g} points before, 0 now." in said
    assert by_learner(grading.survey(small, SHEET))["ash"].score == points(), "it needs no second command"
    assert score() == points()
    assert "Had time until 2026-10-10. " in reporting.write_report(small, (SHEET,))[0].read_text(encoding="utf-8")
    settings = small.settings
    assert (settings.extensions, settings.late.most) == ({SHEET: {"ash": "2026-10-10"}}, 50.0)
    told("extend", SHEET, "ash", "--back")
    assert score() == pytest.approx(0.8 * points())
    assert by_learner(grading.survey(small, SHEET))["birch"].score == pytest.approx(0.5 * points()), "at most half"
    changed = "have changed since late points were taken off"
    assert changed not in told("export")
    by_hand(small, "birch", 4)
    assert changed in told("export")
    told("feedback", SHEET)
    assert changed not in told("report")
    assert by_learner(grading.survey(small, SHEET))["birch"].score == pytest.approx(0.5 * (points() + 4))


def test_paper_is_not_late_because_it_is_typed_in_later(small):
    (small.path / "class.toml").write_text(f'term = "{small.term}"\n[due]\ncycle-1 = "2026-10-08 18:00"\n')
    paper.enter(small, SHEET, small.learners()[0], {})
    put(small, "birch", filled(small, "birch"))
    found = {each.outcome.learner.id: each.seconds_late for each in checking.check(small, SHEET)}
    assert found["ash"] == 0
    assert found["birch"] > 0


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ("[late]\npercent_a_day = 200", "[late] holds per cent, 0 to 100"),
        ("[late]\nper_day = 2", "[late] should hold"),
        ('late = "zero"', "[late] should hold"),
        ('[extensions]\ncycle-1 = "2026-10-12"', "[extensions.cycle-1] should hold"),
        ('[extensions.cycle-1]\nash = "soon"', "no date and time"),
    ],
)
def test_a_wrong_rule_for_late_sheets_gets_one_sentence(small, lines, says):
    (small.path / "class.toml").write_text(f'term = "{small.term}"\n{lines}\n')
    with pytest.raises(ClassError, match=re.escape(says)):
        _ = small.settings


@pytest.mark.parametrize(
    ("text", "zone", "says"),
    [("tomorrow", "UTC", "no date and time"), ("2026-10-08 18:00", "Mars/Base", "time zone 'Mars/Base' is not known")],
)
def test_a_wrong_due_date_gets_one_sentence(text, zone, says):
    with pytest.raises(ClassError, match=says):
        parse_due(text, zone)


def test_the_same_words_and_the_same_answers_are_named(small):
    said = "It is not full; recover what is in it and weigh it, then you know."
    put(small, "ash", filled(small, "ash", said=said))
    put(small, "birch", filled(small, "birch", said=said.upper()))
    put(small, "cedar", filled(small, "ash"))
    put(small, "elm", filled(small, "elm"))
    found = {each.outcome.learner.id: each.same_as for each in checking.check(small, SHEET)}
    assert found["ash"] == ("birch", "cedar")
    assert (found["birch"], found["cedar"], found["elm"]) == (("ash",), ("ash",), ())
    assert not list(small.submitted.iterdir()), "checking writes nothing"


def test_check_tells_what_is_new_since_the_last_grading(small):
    put(small, "ash", filled(small, "ash"))
    grading.grade_class(small, SHEET)
    put(small, "ash", filled(small, "ash", demo.partly))
    found = by_learner(each.outcome for each in checking.check(small, SHEET))
    assert (found["ash"].status, found["ash"].score) == ("to grade", points())
    said = RUNNER.invoke(app, ["check", "--folder", str(small.path)])
    assert "11 missing, 1 to grade" in " ".join(said.output.split())


# Going out.


def test_a_hand_out_tells_the_course_who_is_learning(small, tmp_path):
    made = hand_out(small, (SHEET,))
    assert [file.name for file in made] == [f"{learner.id}.zip" for learner in demo.ROSTER]
    before = made[0].read_bytes()
    assert hand_out(small, (SHEET,))[0].read_bytes() == before
    with zipfile.ZipFile(made[0]) as archive:
        archive.extractall(tmp_path / "course")
    who = learners.read(tmp_path / "course")
    assert (who.id, who.term) == ("ash", small.term)
    form = tmp_path / "course" / "graded" / SHEET / "cycle-1.ipynb"
    assert form.read_bytes() == small.form_file(SHEET).read_bytes()
    assert "Hand in the file graded/cycle-1/cycle-1.ipynb" in (tmp_path / "course" / "read-me.txt").read_text()


def test_pages_are_packed_by_learner(small):
    put(small, "ash", filled(small, "ash"))
    put(small, "birch", b"")
    grading.grade_class(small, SHEET)
    file, count = feedback_zip(small, SHEET)
    with zipfile.ZipFile(file) as archive:
        assert archive.namelist() == ["ash/cycle-1-feedback.html", "birch/cycle-1-feedback.html"]
        assert b"could not be marked" in archive.read("birch/cycle-1-feedback.html")
    assert count == 2


def test_feedback_writes_only_what_changed(small):
    for who in ("ash", "birch"):
        put(small, who, filled(small, who, said="Weigh it."))
    grading.grade_class(small, SHEET)
    assert feedback.write_pages(small, SHEET) == 0
    by_hand(small, "ash", 3, "Good.")
    assert feedback.write_pages(small, SHEET) == 1
    assert "3 of 4 points" in (small.feedback / "ash" / SHEET / "cycle-1.html").read_text()
    (small.feedback / "birch" / SHEET / "cycle-1.html").unlink()
    assert feedback.write_pages(small, SHEET) == 1


def test_an_upload_has_whole_scores_only_and_no_zero_for_nothing(small):
    put(small, "ash", filled(small, "ash", said="Weigh it."))
    put(small, "birch", filled(small, "birch"))
    put(small, "cedar", b"")
    grading.grade_class(small, SHEET)
    text, left = exporting.upload_table(small.learners(), [(SHEET, grading.survey(small, SHEET))])
    rows = {row["id"]: row[f"cycle-1 ({points() + 4:g} points)"] for row in csv.DictReader(io.StringIO(text))}
    assert (rows["ash"], rows["birch"], rows["cedar"], rows["elm"]) == ("", f"{points():g}", "", "")
    assert "ash, cycle-1: the written answer waits" in left
    by_hand(small, "ash", 4)
    text, left = exporting.upload_table(small.learners(), [(SHEET, grading.survey(small, SHEET))])
    assert (
        next(row for row in csv.DictReader(io.StringIO(text)) if row["id"] == "ash")[
            f"cycle-1 ({points() + 4:g} points)"
        ]
        == f"{points() + 4:g}"
    )


@pytest.mark.parametrize("name", ["=cmd|' /C calc'!A0", "+1", "-1", "@SUM(A1)", "\t=1", " =1", "＝1", "\r=1", "a\n=1"])
def test_no_name_of_a_roster_calculates_in_a_spreadsheet(name):
    text, _ = exporting.upload_table((Learner("ash", name, name, name),), [])
    row = next(csv.reader(io.StringIO(text.split("\n", 1)[1])))
    assert row[0] == "ash"
    for cell in row[1:]:
        assert cell.startswith("'") or cell[0].isalpha()
        assert "\n" not in cell


def test_a_roster_of_a_spreadsheet_with_semicolons_is_read(tmp_path):
    (tmp_path / "roster.csv").write_text("\ufeffID;First_Name;Last_Name\nash;Ash;Invented\n", encoding="utf-8")
    assert read_roster(tmp_path / "roster.csv") == (Learner("ash", "Ash", "Invented"),)


def test_settings_are_what_was_written(tmp_path):
    made = ClassFolder.create(
        tmp_path / "class", "t", roster=None, material=_material(tmp_path), zone="Europe/Vienna", course="cab"
    )
    settings = read_settings(made.path)
    assert (settings.term, settings.zone, settings.course, settings.gradebook) == ("t", "Europe/Vienna", "cab", "")


def _material(tmp_path):
    place = tmp_path / "material"
    (place / "lessons").mkdir(parents=True)
    (place / "nbgrader_config.py").write_text("")
    return place
