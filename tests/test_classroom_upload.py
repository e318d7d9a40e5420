"""Scores for a platform: what stands in which column, and filled into tables as platforms export them, all invented."""

import csv
import io
import re

import pytest

from coldcab.classroom import ClassError, exporting, platform_table
from coldcab.classroom.competencies import Competency
from coldcab.classroom.inbox import Outcome
from coldcab.classroom.roster import Learner
from coldcab.classroom.settings import SETTINGS, Upload, read_settings, set_due, set_extension

ASH = Learner("ash", "Zoë", "Ångström, Jr.", "Ash@Example.invalid", (("platform_id", "0042"),))
BIRCH = Learner("birch", "Ana", 'de "la" Sample', "birch@example.invalid", (("platform_id", "u-7"),))
CEDAR = Learner("cedar", "=cmd()", "Invented", "", (("platform_id", "u-8"),))
ELM = Learner("elm", "Elm", "Invented", "elm@example.invalid")
CLASS = (ASH, BIRCH, CEDAR, ELM)
SHEETS = (
    ("oil-1", (
        Outcome(ASH, "graded", score=9.0, out_of=12.0, taken_off=3.0), Outcome(BIRCH, "graded", score=0.0, out_of=12.0),
        Outcome(CEDAR, "graded", score=5.0, out_of=12.0, to_read=True), Outcome(ELM, "missing"),
    )),
    ("oil-2", (Outcome(ASH, "graded", score=1.0, out_of=8.0), *(Outcome(each, "missing") for each in CLASS[1:]))),
)  # fmt: skip
TASKS = (
    Competency("L", "7.1.4", "flush", ("oil-1",)),
    Competency("L", "7.1.5", "oil", ("oil-1", "oil-2")),
    Competency("L", "9", "brakes", ("brakes-1",)),
)


def table_of(upload, **more):
    text, left = exporting.upload_table(CLASS, SHEETS, upload=upload, tasks=TASKS, **more)
    return list(csv.DictReader(io.StringIO(text), delimiter=upload.separator)), left


def test_a_zero_is_a_zero_and_nothing_is_nothing():
    rows, left = table_of(Upload())
    assert [row["oil-1 (12 points)"] for row in rows] == ["9", "0", "", ""]
    assert left[0] == "birch, oil-2: missing"
    assert "cedar, oil-1: the written answer waits" in left


@pytest.mark.parametrize(("scores", "flush", "oil"), [
    ("points", ("7.1.4 flush (12 points)", "12"), ("7.1.5 oil (20 points)", "13")),
    ("percent", ("7.1.4 flush (percent)", "100"), ("7.1.5 oil (percent)", "65")),
])  # fmt: skip
def test_an_outcome_is_what_somebody_can_do_however_late_it_came(scores, flush, oil):
    """Worked by hand: 9 of 12 after 3 were taken off for being late are 12 of 12; with 1 of 8 they are 13 of 20."""
    rows, _ = table_of(Upload(columns=("outcomes",), scores=scores))
    assert list(rows[0])[-2:] == [flush[0], oil[0]]
    assert [rows[0][heading] for heading, _ in (flush, oil)] == [flush[1], oil[1]]
    assert rows[3][flush[0]] == ""


def test_the_decimal_sign_is_the_one_that_the_platform_reads():
    halves = [
        ("oil-1", [Outcome(who, "graded", score=score, out_of=12.0) for who, score in ((ASH, 8.5), (BIRCH, 10.0))])
    ]
    for scores, cells in (("points", ["8,5", "10"]), ("percent", ["70,83", "83,33"])):
        upload = Upload(who=("id",), scores=scores, separator=";", decimal=",")
        text, _ = exporting.upload_table((ASH, BIRCH), halves, upload=upload)
        assert [line.split(";")[1] for line in text.splitlines()[1:]] == cells


def test_points_that_can_be_had_stand_in_the_heading_before_anybody_is_marked():
    text, _ = exporting.upload_table((ELM,), [("oil-1", (Outcome(ELM, "missing"),))], most={"oil-1": 33.0})
    assert text.splitlines()[0].endswith("oil-1 (33 points)")


@pytest.mark.parametrize("headings", [
    {"oil-1": "Oil", "oil-2": "Oil"}, {"oil-1": "Oil", "7.1.5": "Oil"}, {"oil-1": "email"},
])  # fmt: skip
def test_two_columns_of_one_name_are_refused(headings):
    upload = Upload(columns=("sheets", "outcomes"), headings=headings)
    with pytest.raises(ClassError, match="Two columns of the upload are called"):
        table_of(upload)


def test_a_heading_for_what_no_upload_has_is_named():
    upload = Upload(who=("platform_id",), headings={"oil1": "O", "oil-1": "O", "safety": "S", "7.1.5": "T", "id": "I",
                                                    "Platform_ID": "U"})  # fmt: skip
    assert exporting.unknown_headings(upload, ("oil-1", "oil-2"), TASKS) == ["oil1", "id"]
    assert exporting.heading_of("platform_id", upload) == "U"


def test_whom_the_platform_cannot_tell_is_named():
    assert exporting.unnamed(CLASS, Upload(who=("platform_id", "email"))) == ["no platform_id in roster.csv: elm"]
    assert exporting.unnamed((ASH, ASH), Upload(who=("last_name", "email"))) == [
        "the same email, ash@example.invalid: ash, ash"
    ]
    assert exporting.unnamed(CLASS, Upload(who=("name",))) == []


# Filled into a platform's own table.

POINTS_POSSIBLE = ["", "Points possible", "", "12", "8", ""]
HEAD = ["User ID", "Learner", "E-mail", 'Übung 1, "Öl" (4711)', "Oil; 2", "Total"]
ROWS = [
    ["u-7", 'Ana de "la" Sample', "BIRCH@example.invalid", "", "3", "-"],
    ["0042", "Ångström, Zoë", "ash@example.invalid", "-", "", "=D2+E2"],
    ["u-99", "Somebody Else", "else@example.invalid", "7", "7", ""],
    ["u-8", "Invented, =cmd()", "", "4", "", ""],
]
HEADINGS = {"platform_id": "User ID", "email": "e-mail", "oil-1": HEAD[3], "oil-2": HEAD[4]}
WHO = Upload(who=("platform_id", "email"), headings=HEADINGS)


def exported(separator, ends="\n", rows=(HEAD, POINTS_POSSIBLE, *ROWS)):
    return exporting.table_text(rows, separator, ends)


def filled(text, upload=WHO, learners=CLASS):
    return platform_table.fill(text, learners, exporting.upload_cells(SHEETS, upload, TASKS), upload)


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize(("encoding", "ends"), [("utf-8", "\n"), ("utf-8-sig", "\r\n"), ("utf-16", "\r\n")])
@pytest.mark.parametrize("who", [("platform_id", "email"), ("email",)])
def test_a_platforms_own_table_comes_back_with_the_scores_in_it(tmp_path, separator, encoding, ends, who):
    file = tmp_path / "export.csv"
    file.write_bytes(exported(separator, ends).encode(encoding))
    text = platform_table.read_table(file)
    found = filled(text, Upload(who=who, headings=HEADINGS))
    rows = list(csv.reader(io.StringIO(found.text.removeprefix("\ufeff"), newline=""), delimiter=separator))
    expected = [HEAD, POINTS_POSSIBLE, *(list(row) for row in ROWS)]
    expected[2][3], expected[3][3:5] = "0", ["9", "1"]
    assert rows == expected, "but for the scores, every cell is as it was"
    assert found.count == 3
    assert found.text.startswith("\ufeff") == (encoding == "utf-8-sig")
    assert ("\r\n" in found.text) == (ends == "\r\n")
    assert filled(found.text, Upload(who=who, headings=HEADINGS)).text == found.text, "again, it changes nothing"


def test_who_is_only_there_or_only_here_is_named():
    said = filled(exported(",")).said
    assert "not in roster.csv, left as they are: Points possible, u-99" in said
    assert "no platform_id in roster.csv, so not filled in: elm" in said
    pine = Learner("pine", more=(("platform_id", "u-1"),))
    assert "not in the table: pine" in filled(exported(","), learners=(*CLASS, pine)).said


def test_who_stands_there_twice_gets_nothing():
    twice = filled(exported(",", rows=(HEAD, *ROWS, ROWS[1])))
    assert "ash stands there 2 times; nothing was filled in" in twice.said
    assert twice.count == 1
    same = Learner("pine", more=(("platform_id", "0042"),))
    both = filled(exported(","), learners=(*CLASS, same))
    assert "the same platform_id, so not filled in: ash, pine" in both.said
    assert both.count == 1


def test_first_and_last_name_together_tell_people_apart():
    head = ["First name", "Surname", "Oil 1"]
    upload = Upload(who=("first_name", "last_name"), headings={"first_name": head[0], "last_name": "surname",
                                                               "oil-1": head[2]})  # fmt: skip
    found = filled(exported(",", rows=(head, ["zoë", "Ångström,  Jr.", ""], ["Zoë", "Invented", ""])), upload)
    assert [row.split(",")[-1] for row in found.text.splitlines()] == ["Oil 1", "9", ""]
    assert found.columns == ("Oil 1",)
    assert "no column of the table is called 'oil-2 (8 points)'. Its columns are" in " ".join(found.said)


@pytest.mark.parametrize(("head", "says"), [
    (["User ID", "Oil"], "None of"), (["Person", HEAD[3]], "Nothing in the table says whose a row is"),
    (["User ID", HEAD[3], HEAD[3]], "2 columns of the table are called"), ([""], "none of the columns to fill"),
])  # fmt: skip
def test_a_table_that_cannot_be_filled_says_why(head, says):
    with pytest.raises(ClassError, match=f"(?i){re.escape(says)}"):
        filled(exported(",", rows=(head, ["u-7", "", ""])))


def test_what_is_no_table_is_said(tmp_path):
    for name, data in {"book.xlsx": b"PK\x03\x04\xff\xff", "latin.csv": "é".encode("latin-1")}.items():
        (tmp_path / name).write_bytes(data)
        with pytest.raises(ClassError, match="export it as CSV in UTF-8"):
            platform_table.read_table(tmp_path / name)
    with pytest.raises(ClassError, match="There is no table at"):
        platform_table.read_table(tmp_path / "gone.csv")
    with pytest.raises(ClassError, match="none of the columns"):
        filled("")
    with pytest.raises(ClassError, match="export it once more"):
        filled('User ID,"' + "x" * 200_000)


# What class.toml says of it.


@pytest.mark.parametrize(("lines", "says"), [
    ('[Upload]\nscores = "percent"', "knows no 'Upload'; did you mean 'upload'?"),
    ('colour = "red"', "knows no 'colour'; there are term, zone"),
    ("[upload.headings]\ncycle-1 = 4711", "[upload.headings] should hold lines such as"),
    ('[upload]\nheadings = ["a"]', "[upload.headings] should hold lines such as"),
    ('[upload]\ndecimal = "x"', 'decimal of [upload] is "." or ","'),
    ("[upload]\nwho = [1]", 'such as  who = ["email"]'),
    ('[upload]\nscores = percent', "at line 4"),
    ('[upload]\n[upload]', "a heading in brackets stands once"),
])  # fmt: skip
def test_a_setting_that_cannot_be_read_is_named(tmp_path, lines, says):
    (tmp_path / SETTINGS).write_text(f'term = "t"\n\n{lines}\n')
    with pytest.raises(ClassError, match=re.escape(says)):
        read_settings(tmp_path)


def test_one_name_needs_no_brackets_and_capitals_are_no_matter(tmp_path):
    (tmp_path / SETTINGS).write_text('term = "t"\n[upload]\nwho = "Platform_ID"\ncolumns = "safety"\n', "utf-8-sig")
    assert read_settings(tmp_path).upload == Upload(who=("platform_id",), columns=("safety",))


WRITTEN = """# Ours.
term = "t"   # autumn
[due]
cycle-1 = "2026-10-08"  # a Thursday

# Late.
[late]
percent_a_day = 10      # of the points earned
"""


def test_one_line_is_changed_and_what_a_person_wrote_stays(tmp_path):
    """Comments, order and spaces stay; what is new comes last in its table."""
    file = tmp_path / SETTINGS
    file.write_text(WRITTEN)
    set_due(tmp_path, "cycle-2", "2026-10-15 18:00")
    set_due(tmp_path, "cycle-1", "2026-10-09")
    set_due(tmp_path, "my.sheet", "2026-10-16")
    set_extension(tmp_path, "cycle-1", "s.07", "2026-10-12")
    lines = 'cycle-1 = "2026-10-09"\ncycle-2 = "2026-10-15 18:00"\n"my.sheet" = "2026-10-16"\n'
    changed = WRITTEN.replace('cycle-1 = "2026-10-08"  # a Thursday\n', lines)
    assert file.read_text() == changed + '\n[extensions.cycle-1]\n"s.07" = "2026-10-12"\n'
    set_extension(tmp_path, "cycle-1", "s.07", "")
    assert file.read_text() == changed + "\n[extensions.cycle-1]\n"
    assert read_settings(tmp_path).due["my.sheet"] == "2026-10-16"


@pytest.mark.parametrize(
    "text", ['term = "t"\ndue = {cycle-1 = "2026-10-08"}\n', 'term = "t"\ndue.cycle-1 = "2026-10-08"\n']
)
def test_what_is_written_another_way_is_written_anew(tmp_path, text):
    (tmp_path / SETTINGS).write_text(text)
    set_due(tmp_path, "cycle-2", "2026-10-15")
    assert read_settings(tmp_path).due == {"cycle-1": "2026-10-08", "cycle-2": "2026-10-15"}
