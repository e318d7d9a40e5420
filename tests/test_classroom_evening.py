"""What an instructor without a day to spare stumbles over: mistyped names, odd uploads, and "why did I get 0 here?"."""

import csv
import json
import os
import re
import signal
import subprocess
import sys
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from nbgrader.api import Gradebook
from pypdf import PdfReader
from typer.testing import CliRunner

from classes import ENVIRONMENT, MATERIAL, by_learner, filled, put, small_class, zipped
from coldcab.assess import mark
from coldcab.classroom import (
    ClassError,
    checking,
    collecting,
    competencies,
    copies,
    demo,
    explaining,
    file_owner,
    formgrader,
    forms,
    grading,
    inbox,
    intake,
    material,
    needs,
    paper,
    sheets,
)
from coldcab.classroom.roster import Learner, read_roster, write_roster
from coldcab.classroom.rubrics import Rubrics
from coldcab.classroom.screen import ends_raise
from coldcab.classroom.settings import parse_due
from coldcab.cli.class_commands import app
from coldcab.desk import can_do
from coldcab.lessons import FORMS as LESSON_FORMS
from coldcab.lessons import LESSONS

RUNNER = CliRunner()
SHEET = "cycle-1"
SHEETS = list(LESSONS)


@pytest.fixture
def small(tmp_path):
    return small_class(tmp_path / "class")


def run(folder, *words):
    said = RUNNER.invoke(app, [*words, "--folder", str(folder.path)])
    assert said.exit_code == 0, said.output
    return " ".join(said.output.split())


# The roster.


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        (["ash,A,B,c", 'elm,E,"O Brien,e', "fir,F,G,h"], "opens in line 3 and does not close"),
        (["ash,A,B,c", "elm,E,Silva, Jr.,e"], "Line 3 of the roster"),
        (["ash,A,B,c", "", "Ash,E,F,g"], "'ash' in line 2 and 'Ash' in line 4"),
        (["ash,A,B,c", "a b,E,F,g"], "(line 3 of"),
    ],
)
def test_a_broken_line_is_named_by_its_number(tmp_path, lines, says):
    file = tmp_path / "roster.csv"
    file.write_text("\n".join(["id,first_name,last_name,email", *lines, ""]))
    with pytest.raises(ClassError) as caught:
        read_roster(file)
    assert says in str(caught.value)


def test_empty_columns_and_names_with_commas_are_no_matter(tmp_path):
    file = tmp_path / "roster.csv"
    file.write_text('id,first_name,last_name,email\nash,Ana,"Silva, Jr.",a@x,,\n\nelm,E,F,\n')
    assert read_roster(file) == (Learner("ash", "Ana", "Silva, Jr.", "a@x"), Learner("elm", "E", "F"))


# Names and dates.


def test_a_day_lasts_until_its_last_minute():
    zone = ZoneInfo("Europe/Vienna")
    assert parse_due("2026-11-30", "Europe/Vienna") == datetime(2026, 11, 30, 23, 59, tzinfo=zone)
    assert parse_due("2026-11-30 00:00", "Europe/Vienna") == datetime(2026, 11, 30, tzinfo=zone)


@pytest.mark.parametrize(
    ("wanted", "says"),
    [("cycle1", "did you mean 'cycle-1'?"), ("Cycle-1", "did you mean 'cycle-1'?"), ("cycle-2", "Release it first"),
     ("zzz", "there are cycle-1")],
)  # fmt: skip
def test_a_mistyped_sheet_is_guessed_and_one_not_yet_released_is_told(small, wanted, says):
    with pytest.raises(ClassError) as caught:
        small.choose((wanted,), small.released(), "Release it first.")
    assert says in str(caught.value)


# What came in.


@pytest.mark.parametrize("zone", ["UTC", "Asia/Tokyo", "America/Denver"])
def test_the_time_of_an_upload_is_the_same_in_every_zone(small, tmp_path, zone):
    settings = small.path / "class.toml"
    settings.write_text(f"{settings.read_text().replace('UTC', zone)}\n")
    assert small.settings.zone == zone
    early = zipped(tmp_path / "a.zip", [("ash/cycle-1.ipynb", filled(small, "ash", demo.partly))])
    late = zipped(tmp_path / "b.zip", [("ash/cycle-1.ipynb", filled(small, "ash"))], when=(2026, 10, 1, 14, 0, 0))

    def status(upload):
        return [each.status for each in collecting.collect(small, [upload])]

    assert [status(each) for each in (early, early, late, early, late)] == [
        ["new"], ["as before"], ["new"], ["older"], ["as before"],
    ]  # fmt: skip


@pytest.mark.parametrize("ending", [".ipynb.txt", ".ipynb.json", ".IPYNB.html"])
def test_an_ending_that_a_browser_put_behind_is_no_matter(small, tmp_path, ending):
    upload = zipped(tmp_path / "up.zip", [(f"Ash Invented_1_/cycle-1{ending}", filled(small, "ash"))])
    assert [(each.status, each.learner) for each in collecting.collect(small, [upload])] == [("new", "ash")]


def test_another_kind_of_file_is_told_where_it_is_all_that_came(small, tmp_path):
    files = [
        ("Ash Invented_1_/sheet.docx", b"PK"),
        ("Birch Invented_2_/cycle-1.ipynb", filled(small, "birch")),
        ("Birch Invented_2_/photo.jpg", b"\xff\xd8"),
        ("index.html", b"<p>"),
    ]
    done = collecting.collect(small, [zipped(tmp_path / "up.zip", files)])
    assert sorted((each.learner, each.status) for each in done) == [("ash", "left"), ("birch", "new")]
    checked = {each.outcome.learner.id: each.outcome for each in checking.check(small, SHEET)}
    assert (checked["ash"].status, "not a notebook" in checked["ash"].reason) == ("not gradable", True)
    again = zipped(tmp_path / "again.zip", [("Ash Invented_1_/cycle-1.ipynb", filled(small, "ash"))])
    collecting.collect(small, [again])
    assert by_learner(grading.survey(small, SHEET))["ash"].status == "to grade"


def test_a_photograph_among_the_sheets_of_one_evening_is_of_that_sheet():
    def came(*sheets):
        return collecting._nearly_all([collecting._Candidate(None, "ash", sheet) for sheet in sheets])

    assert came(*["cycle-2"] * 4, "cycle-1") == "cycle-2"
    assert came(*["cycle-2"] * 3, "cycle-1") == ""
    assert came() == ""


@pytest.mark.parametrize(
    ("name", "found"),
    [("Lukasz Zak_1_", "l"), ("Łukasz Żak_1_", "l"), ("Oyvind Asgard_2", "o"), ("zoe mueller_3", "z"),
     ("Zoe Muller", "z"), ("Zoë Müller", "z"), ("Sean O'Brien_4", "s"), ("Ana Silva, Jr._5", "a")],
)  # fmt: skip
def test_names_are_known_with_and_without_their_accents(name, found):
    people = (
        Learner("l", "Łukasz", "Żak"), Learner("o", "Øyvind", "Åsgård"), Learner("z", "Zoë", "Müller"),
        Learner("s", "Seán", "O’Brien"), Learner("a", "Ana", "Silva, Jr."),
    )  # fmt: skip
    assert file_owner.OwnerFinder(people).owner_of(("up.zip", name, "sheet.ipynb")) == (found, "")


def test_only_the_ids_of_unclear_files_have_to_be_filled_in(small, tmp_path):
    files = [("final FINAL.ipynb", filled(small, "ash")), ("Ash and Birch.ipynb", filled(small, "birch"))]
    upload, names = zipped(tmp_path / "up.zip", files), small.path / "names.csv"
    said = run(small, "collect", str(upload))
    assert "2 left for you" in said
    assert "--names names.csv" in said
    rows = list(csv.DictReader(names.read_text(encoding="utf-8-sig").splitlines()))
    assert [(row["file"], row["id"]) for row in rows] == [
        ("up.zip / final FINAL.ipynb", ""), ("up.zip / Ash and Birch.ipynb", ""),
    ]  # fmt: skip
    # As a spreadsheet of a country with decimal commas saves it, one id written.
    names.write_text("file;id;remark\nup.zip / final FINAL.ipynb;ash;\nup.zip / Ash and Birch.ipynb;;\n")
    said = run(small, "collect", str(upload), "--names", str(names))
    assert "1 new in the inbox; 1 left for you" in said
    assert file_owner.read_names(names) == (file_owner.Named("up.zip / final FINAL.ipynb", "ash"),)
    other = zipped(tmp_path / "other.zip", [("Elm Invented/x.ipynb", filled(small, "elm"))])
    assert "no file that came is called so (1 of the list" in run(small, "collect", str(other), "--names", str(names))


def test_a_folder_without_notebooks_is_told(small, tmp_path):
    (tmp_path / "empty").mkdir()
    said = RUNNER.invoke(app, ["collect", str(tmp_path / "empty"), "--folder", str(small.path)])
    assert said.exit_code == 1
    assert "No notebook (.ipynb) was found there" in said.output


# What the screen says.


def test_the_screen_names_people_and_the_next_step(small):
    assert f"Nobody has handed in {SHEET} yet." in run(small, "check")
    assert "there are no pages, because nothing has been marked" in run(small, "feedback")
    put(small, "ash", filled(small, "ash", said="Weigh it."))
    assert "Next: coldcab class grade cycle-1." in run(small, "check")
    said = run(small, "grade")
    assert "Ash Invented" in said
    assert "elm Elm Invented" in said.partition("Missing: ")[2]
    assert "Next: coldcab class desk cycle-1." in said


def test_a_time_that_is_past_is_told(small):
    assert "That time is past" in run(small, "release", SHEET, "--due", "2020-01-01")
    assert "That time is past" not in run(small, "release", SHEET, "--due", "2999-01-01")


# "Why did I get 0 here?"


@pytest.mark.parametrize("name", SHEETS)
def test_the_right_answers_of_a_learner_earn_all_points(name):
    """Written out, read again and marked by the marking itself, which knows nothing of how they were written."""
    key = material.key(MATERIAL, name)
    for learner in ("ash", "s-07"):
        case = key.case("2026-autumn", learner)
        for item in key.items:
            shown = explaining.written(item, item.answer(case), case)
            assert mark(item, shown, case).status == "right", (item.label, shown)


def test_the_key_of_one_learner_is_shown_beside_the_marks(small):
    put(small, "ash", filled(small, "ash", demo.idea(0)))
    assert "Nothing of this learner has been marked." in run(small, "key", SHEET, "ash")
    outcome = by_learner(grading.grade_class(small, SHEET))["ash"]
    said = run(small, "key", SHEET, "Ash Invented")
    for each in outcome.marks:
        assert f"{each.label}: {each.points:g} of {each.out_of:g} points" in said
        assert each.status == "right" or " ".join(each.feedback.split()) in said


def test_grading_says_whose_numbers_words_or_file_a_sheet_has(small):
    words = "One weighs the cylinder, because pressure says nothing of the mass in it."
    put(small, "ash", filled(small, "ash", said=words))
    put(small, "birch", filled(small, "birch", said=words.upper()))  # words alone
    put(small, "cedar", filled(small, "elm"))  # numbers alone: elm handed in nothing
    put(small, "fir", filled(small, "fir"))
    put(small, "hazel", filled(small, "fir"))  # numbers, and letter for letter
    put(small, "oak", filled(small, "oak", lambda item, case: item.choices[0] if item.choices else ""))
    put(small, "pine", filled(small, "pine", lambda item, case: item.choices[0] if item.choices else ""))
    found = by_learner(grading.grade_class(small, SHEET))
    said = {who: copies.suspicions(found[who]) for who in ("ash", "birch", "cedar", "fir", "hazel", "oak", "pine")}
    assert said == {
        "ash": ["the words are those of birch"],
        "birch": ["the words are those of ash"],
        "cedar": ["the answers fit the numbers of elm, not its own"],
        "fir": ["the file is that of hazel, letter for letter"],
        "hazel": ["the answers fit the numbers of fir, not its own", "the file is that of fir, letter for letter"],
        "oak": [],
        "pine": [],
    }
    again = by_learner(grading.grade_class(small, SHEET))
    assert {who: copies.suspicions(again[who]) for who in said} == said
    assert "talk first: hazel" in run(small, "export")


# A key that turned out wrong.


def points_of(folder, label):
    return {
        who: next((mark.points for mark in each.marks if mark.label == label), None)
        for who, each in by_learner(grading.survey(folder, SHEET)).items()
        if each.marks
    }


def test_a_key_is_mended_without_a_program_and_the_gainers_are_shown_before(small):
    key = material.key(small.path, SHEET)
    choice = next(item for item in key.items if item.choices)
    number = next(item for item in key.items if item.kind == "pressure" and item.ideas)
    idea = number.ideas[0].name

    def other(item, case):
        right = demo.right(item, case)
        return next(each for each in item.choices if each != right) if item.choices else demo.idea(0)(item, case)

    put(small, "ash", filled(small, "ash"))
    put(small, "birch", filled(small, "birch", other))
    put(small, "cedar", filled(small, "cedar", demo.blank))
    grading.grade_class(small, SHEET)
    before = points_of(small, choice.label)
    wrong = read_of(small, "birch", choice.label)
    said = run(small, "mend", SHEET, choice.label.upper(), "--accept", wrong)
    assert "birch" in said
    assert "1 gain, 0 lose, 2 as before. Nothing has been changed." in said
    assert points_of(small, choice.label) == before
    letters = ("mend", SHEET, "work to stop", "--accept", "C, A", "--folder", str(small.path))
    assert "means something else on each learner's sheet" in " ".join(RUNNER.invoke(app, letters).output.split())
    run(small, "mend", SHEET, choice.label, "--accept", wrong, "--do")
    run(small, "mend", SHEET, number.label, "--accept", idea, "--do")
    grading.grade_class(small, SHEET)
    assert points_of(small, choice.label) == {"ash": choice.points, "birch": choice.points, "cedar": 0}
    assert points_of(small, number.label) == {"ash": number.points, "birch": number.points, "cedar": 0}
    assert f"{wrong!r} counts, too" in run(small, "key", SHEET, "birch")
    run(small, "mend", SHEET, choice.label, "--drop", "--do")
    grading.grade_class(small, SHEET)
    assert set(points_of(small, choice.label).values()) == {choice.points}
    assert "2 lose" in run(small, "mend", SHEET, choice.label, "--back", "--do")
    grading.grade_class(small, SHEET)
    assert points_of(small, choice.label) == before


def read_of(folder, who, label):
    return next(mark.read for mark in by_learner(grading.survey(folder, SHEET))[who].marks if mark.label == label)


def test_a_tolerance_is_widened(small):
    item = next(each for each in material.key(small.path, SHEET).items if each.kind == "pressure")

    def beside(each, case):
        right = each.answer(case)
        return (
            f"{(right + 1.5 * each.tolerance.width(right)) / 1e3:.4f} kPa"
            if each is not None and each.label == item.label
            else ""
        )

    put(small, "ash", filled(small, "ash", beside))
    grading.grade_class(small, SHEET)
    assert points_of(small, item.label) == {"ash": 0}
    assert "1 gain, 0 lose" in run(small, "mend", SHEET, item.label, "--wider", "2", "--do")
    grading.grade_class(small, SHEET)
    assert points_of(small, item.label) == {"ash": item.points}
    assert "2 times as wide in this class" in run(small, "key", SHEET, "ash")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["no such line", "--full"], "There is no line 'no such line' on this sheet"),
        (["state at a", "--accept", "green"], "'green' is no answer that this line reads"),
        (["state at a", "--wider", "0.5"], "cannot be 0.5 times as wide"),
        (["state at a"], "Say what shall be"),
    ],
)
def test_a_decision_that_makes_no_sense_is_named(small, words, says):
    said = RUNNER.invoke(app, ["mend", SHEET, *words, "--folder", str(small.path)])
    assert said.exit_code == 1
    assert says in " ".join(said.output.split())


def test_open_rows_of_the_list_of_names_stay_over_a_second_upload(small, tmp_path):
    for number, name in enumerate(("one", "two", "two")):
        run(small, "collect", str(zipped(tmp_path / f"{number}.zip", [(f"{name}.ipynb", filled(small, "ash"))])))
    rows = list(csv.DictReader((small.path / "names.csv").read_text(encoding="utf-8-sig").splitlines()))
    assert [(row["file"], row["id"]) for row in rows] == [
        ("0.zip / one.ipynb", ""), ("1.zip / two.ipynb", ""), ("2.zip / two.ipynb", ""),
    ]  # fmt: skip


def test_what_was_said_of_a_file_says_nothing_of_another_one_that_is_called_so(small, tmp_path):
    def came(who, *words):
        return run(small, "collect", str(zipped(tmp_path / "up.zip", [("sheet.ipynb", filled(small, who))])), *words)

    def listed():
        return [(row.file, row.id, row.remark) for row in file_owner._rows_of(small.path / "names.csv")]

    names = ("--names", str(small.path / "names.csv"))
    came("ash")
    file_owner.write_names(small.path / "names.csv", [])
    open_row = (small.path / "names.csv").read_text(encoding="utf-8-sig")
    (small.path / "names.csv").write_text(open_row.replace("sheet.ipynb,", "sheet.ipynb,ash"))
    assert "1 new in the inbox; 0 left" in came("ash", *names)
    assert "0 new" not in came("birch", *names)
    assert [row[:2] for row in listed()] == [("up.zip / sheet.ipynb", "ash"), ("up.zip / sheet.ipynb", "")]
    assert "another file of this name was ash's" in listed()[1][2]
    assert not (small.inbox / "birch").exists()
    assert "1 there already; 0 left" in came("ash", *names)
    assert len(listed()) == 2, "it is still open whose the other one is"
    write_roster(
        small.roster, [Learner("sheet", "S", "Heet") if each.id == "birch" else each for each in small.learners()]
    )
    came("birch", *names)
    assert [row[:2] for row in listed()] == [("up.zip / sheet.ipynb", "ash")], "the roster tells whose it is"


def test_points_of_a_line_by_hand_stand_on_the_line_the_page_and_the_key(small):
    from nbgrader.api import Gradebook

    for who in ("ash", "birch"):
        put(small, who, filled(small, who))
    grading.grade_class(small, SHEET)
    item = material.key(small.path, SHEET).items[0]
    cell = intake.lines_checked(forms.form_of(small, SHEET)["cells"])[item.label]
    with Gradebook(small.gradebook_url) as book:
        for who, score in (("ash", 0.5), ("birch", item.points)):
            book.find_grade(cell, SHEET, SHEET, who).manual_score = score
        book.db.commit()
    run(small, "feedback", SHEET)
    pages = {who: (small.feedback / who / SHEET / f"{SHEET}.html").read_text() for who in ("ash", "birch")}
    said = f"Your instructor gives this line 0.5 of {item.points:g} points."
    assert said in pages["ash"]
    assert "Your instructor gives" not in pages["birch"], "the points that the marking gave need no word"
    assert f"{item.label}: 0.5 of {item.points:g} points, given by hand; {item.points:g} when it was marked" in run(
        small, "key", SHEET, "ash"
    )
    grading.grade_class(small, SHEET, again=True)
    assert said in (small.feedback / "ash" / SHEET / f"{SHEET}.html").read_text()


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        ("(see https://a.invalid/c_d).", '(see <a href="https://a.invalid/c_d">https://a.invalid/c_d</a>).'),
        ("<https://a.invalid/x>", '&lt;<a href="https://a.invalid/x">https://a.invalid/x</a> &gt;'),
        ("[x](https://a.invalid)", '[x](<a href="https://a.invalid">https://a.invalid</a>)'),
        ("![x](y) [x](javascript:z)", "![x](y) [x](javascript:z)"),
    ],
)
def test_an_address_in_a_written_answer_stays_one(small, words, shown):
    put(small, "ash", filled(small, "ash", said=words))
    grading.grade_class(small, SHEET)
    assert shown in (small.feedback / "ash" / SHEET / f"{SHEET}.html").read_text()


def test_the_key_tells_of_somebody_elses_numbers(small):
    put(small, "ash", filled(small, "birch"))
    put(small, "birch", filled(small, "birch"))
    grading.grade_class(small, SHEET)
    assert "fit the numbers of birch" in run(small, "key", SHEET, "ash")
    assert "fit the numbers" not in run(small, "key", SHEET, "birch")


@pytest.mark.parametrize(("words", "says"), [("Invented", "write the id"), ("nobody", "nobody called")])
def test_a_learner_who_is_not_clear_is_asked_for(small, words, says):
    with pytest.raises(ClassError) as caught:
        explaining.find_learner(small, words)
    assert says in str(caught.value)


def test_two_of_one_name_are_told_apart_by_id(small):
    write_roster(small.roster, (Learner("a1", "Jan", "Novák"), Learner("a2", "Jan", "Novak")))
    assert explaining.find_learner(small, "a2").id == "a2"
    with pytest.raises(ClassError):
        explaining.find_learner(small, "Jan Novák")


def test_a_page_says_where_it_was_asked_and_why(small):
    book = json.loads(filled(small, "ash", demo.wrong_unit))
    cell = next(cell for cell in book["cells"] if "".join(cell["source"]).startswith("%%answers"))
    text = "".join(cell["source"])
    label = text.split("\n")[1].partition(":")[0]
    cell["source"] = text.replace(f"{label}:", f"{label} zzz qqq:")
    put(small, "ash", json.dumps(book))
    grading.grade_class(small, SHEET)
    page = (small.feedback / "ash" / SHEET / f"{SHEET}.html").read_text()
    assert "Press <strong>Start this lesson" not in page, "how to fill it in no longer matters"
    assert "Nothing was written here." in page
    assert "could not be read, 0 of" in page
    assert page.index(f"{label}: not filled in") < page.index("<h2", page.index("<pre>")), "in the part that asks it"


# The desk.


def test_the_rubric_comes_with_the_model_answer(small):
    assert "Model answer" in Rubrics(str(small.path))(SHEET)
    assert material.rubric(small.path, "none") == ""


def test_the_desk_opens_at_the_answers_of_one_sheet():
    address = formgrader.address_of("http://127.0.0.1:1/lab?formgrader=true&token=abc", SHEET)
    assert address == "http://127.0.0.1:1/login?next=%2Fformgrader%2Fgradebook%2Fcycle-1%2Fcycle-1&token=abc"


@pytest.mark.skipif(not hasattr(signal, "SIGHUP"), reason="this system has no such signal")
def test_a_closed_terminal_ends_like_ctrl_c():
    before = signal.getsignal(signal.SIGHUP)
    with pytest.raises(KeyboardInterrupt), ends_raise():
        os.kill(os.getpid(), signal.SIGHUP)
    assert signal.getsignal(signal.SIGHUP) == before


@pytest.mark.parametrize("command", ["check", "report", "export"])
def test_small_commands_wait_for_nothing_that_they_do_not_need(small, command):
    """nbgrader alone takes most of a second to import; keys bring machines and units."""
    for who in ("ash", "birch"):
        put(small, who, filled(small, who))
    put(small, "cedar", filled(small, "ash"))  # whose it is was found when it was graded
    grading.grade_class(small, SHEET)
    program = (
        "import sys\nfrom coldcab.cli.class_commands import app\n"
        f"app(args=[{command!r}, '--folder', sys.argv[1]], standalone_mode=False)\n"
        "slow = {'nbgrader', 'nbconvert', 'nbformat', 'pint', 'CoolProp', 'matplotlib', 'coldcab.scenario'}\n"
        "print('loaded', sorted(slow & set(sys.modules)))"
    )
    said = subprocess.run(
        [sys.executable, "-c", program, str(small.path)], capture_output=True, text=True, env=ENVIRONMENT, check=True
    )
    assert said.stdout.splitlines()[-1] == "loaded []"


# A table for a platform.

PLATFORM = """
[upload]
who = ["platform_id", "name"]
columns = ["sheets", "outcomes", "safety"]
scores = "percent"
separator = ";"

[upload.headings]
platform_id = "User ID"
cycle-1 = "Cycle 1 (4711)"
"-" = "Gauges and charts"
"""


def test_a_table_in_a_platforms_own_columns_comes_back_as_it_went(small):
    roster = [f"{each.id},{each.first_name},Inv;ented,,u-{number}" for number, each in enumerate(small.learners())]
    small.roster.write_text("\n".join(["id,first_name,last_name,email,Platform_ID", *roster, ""]))
    (small.path / "class.toml").write_text((small.path / "class.toml").read_text() + PLATFORM)
    with_safety_lines(small, *SAFETY_LINES)
    put(small, "ash", filled(small, "ash"))
    put(small, "birch", filled(small, "birch", demo.partly))
    put(small, "cedar", filled(small, "cedar", said="It waits."))
    put(small, "elm", b"no notebook")
    outcomes = by_learner(grading.grade_class(small, SHEET))
    run(small, "export", "--to", "up.csv")
    rows = list(csv.DictReader((small.path / "up.csv").read_text().splitlines(), delimiter=";"))
    assert list(rows[0]) == ["User ID", "name", "Cycle 1 (4711)", "Gauges and charts", "safety lines (percent)"]
    by_id = {row["User ID"]: row for row in rows}
    ids = {who: dict(each.learner.more)["platform_id"] for who, each in outcomes.items()}
    for who, outcome in outcomes.items():
        cell = by_id[ids[who]]["Cycle 1 (4711)"]
        if who in ("ash", "birch"):
            assert float(cell) == pytest.approx(100 * outcome.score / outcome.out_of, rel=1e-3)
            assert by_id[ids[who]]["Gauges and charts"] == cell, "one sheet of that outcome is done"
        else:
            assert cell == "", "what waits, is missing or cannot be read is no zero"
    safe = {who: sum(m.status == "right" for m in each.marks if m.label in SAFETY_LINES)
            for who, each in outcomes.items() if each.marks}  # fmt: skip
    assert {who: float(by_id[ids[who]]["safety lines (percent)"]) for who in safe} == {
        who: 50.0 * count for who, count in safe.items()
    }
    assert by_id[ids["ash"]]["name"] == "Ash Inv;ented"
    table = small.path / "theirs.csv"
    table.write_text(re.sub(r'(?m)^(u-0;".*?";).*', r"\1;;", (small.path / "up.csv").read_text()) + "u-99;New;;;\n")
    said = run(small, "export", "--into", str(table), "--to", "filled.csv")
    assert "not in roster.csv, left as they are: u-99" in said
    assert (small.path / "filled.csv").read_text() == (small.path / "up.csv").read_text() + "u-99;New;;;\n"


def test_settings_of_the_upload_stay_when_a_due_date_is_set(small):
    (small.path / "class.toml").write_text((small.path / "class.toml").read_text() + PLATFORM)
    before = small.settings.upload
    run(small, "release", SHEET, "--due", "2099-10-08")
    assert small.settings.upload == before
    assert before.headings["cycle-1"] == "Cycle 1 (4711)"


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('columns = ["marks"]', "can be sheets, outcomes, safety, not marks"),
        ('scores = "stars"', 'are "points" or "percent"'),
        ('separator = "x"', "needs a comma"),
        ('colour = "red"', "knows no colour"),
        ('who = ["shoe size"]', "no such column"),
    ],
)
def test_an_upload_that_cannot_be_is_named(small, line, says):
    (small.path / "class.toml").write_text((small.path / "class.toml").read_text() + f"\n[upload]\n{line}\n")
    said = RUNNER.invoke(app, ["export", "--folder", str(small.path)])
    assert said.exit_code == 1
    assert says in " ".join(said.output.split())


def test_the_competency_table_is_that_of_the_course_and_its_lines_exist():
    page = " ".join((MATERIAL / "course.md").read_text().split())
    for each in competencies.competencies(MATERIAL):
        assert f"| {', '.join(each.sheets)} |" in page
        assert set(each.sheets) <= set(SHEETS)


def test_who_leaves_is_left_out_and_who_joins_later_misses_nothing(small):
    for who in ("ash", "birch"):
        put(small, who, filled(small, who))
    run(small, "release", SHEET, "--due", "2026-10-08 18:00")
    grading.grade_class(small, SHEET)
    joined = {"newt": "2026-10-08", "old": "2026-10-01"}
    new = [Learner(who, who.title(), more=(("joined", day),)) for who, day in joined.items()]
    write_roster(small.roster, (*(each for each in small.learners() if each.id != "birch"), *new))
    found = by_learner(grading.grade_class(small, SHEET))
    assert "birch" not in found
    assert (found["newt"].status, found["old"].status) == (inbox.JOINED_LATER, inbox.MISSING)
    for command in ("check", "grade"):
        assert "No longer on the roster, left out: birch." in run(small, command, SHEET)
    assert "newt, cycle-1: joined later" in run(small, "export")
    told = needs.need_a_word([(SHEET, grading.survey(small, SHEET))])
    assert "old" in told
    assert not {"newt", "birch"} & set(told)
    small.roster.write_text("id,joined\nash,soon\n")
    with pytest.raises(ClassError, match=r"In line 2 of .* 'soon' is no day"):
        small.learners()


# Lines about people's safety.

SAFETY_LINES = tuple(item.label for item in LESSON_FORMS[SHEET].items[:2])


def with_safety_lines(folder, *labels):
    """Let lines of the class's own sheet be safety lines."""
    keys = folder.path / "lessons" / SHEET / "keys.py"
    keys.write_text(keys.read_text() + SAFETY_FORM.format(sheet=SHEET, labels=labels))


SAFETY_FORM = """
from dataclasses import replace
from coldcab.lessons import FORMS
FORM = replace(FORMS["{sheet}"], items=tuple(
    replace(item, safety=item.label in {labels!r}) for item in FORMS["{sheet}"].items))
"""


def test_a_safety_line_must_be_right_to_pass(small):
    first, second = SAFETY_LINES
    with_safety_lines(small, first, second)
    put(small, "ash", filled(small, "ash"))
    but_first = filled(small, "birch", lambda item, case: "" if item.label == first else demo.right(item, case))
    put(small, "birch", but_first)
    found = by_learner(grading.grade_class(small, SHEET))
    assert found["ash"].unsafe == ()
    assert found["birch"].unsafe == (first,)
    page = {who: (small.feedback / who / SHEET / f"{SHEET}.html").read_text() for who in ("ash", "birch")}
    assert "Not passed yet" not in page["ash"]
    assert f"Not passed yet, whatever the points: {first}." in page["birch"]
    run(small, "report", SHEET)
    _, _, named = (small.report / "index.html").read_text().partition("a safety line is not right")
    assert "birch" in named
    assert "ash" not in named[: named.index("birch")]
    rows = {row["id"]: row for row in csv.DictReader((small.report / "scores.csv").read_text().splitlines())}
    assert (rows["ash"]["safety"], rows["birch"]["safety"], rows["elm"]["safety"]) == ("", first, "")
    columns = {who: (rows[who]["safety_right"], rows[who]["safety_lines"]) for who in ("ash", "birch", "elm")}
    lines = sum(each.safety for each in found["ash"].marks)
    assert columns == {"ash": (str(lines),) * 2, "birch": (str(lines - 1), str(lines)), "elm": ("", "")}
    scores = (small.report / "index.html").read_text().partition("<h3>Scores</h3>")[2]
    assert f"<td>{lines - 1} of {lines}</td>" in scores


def test_full_points_by_hand_make_a_safety_line_right(small):
    with_safety_lines(small, SAFETY_LINES[0])
    put(small, "birch", filled(small, "birch", demo.blank))
    assert by_learner(grading.grade_class(small, SHEET))["birch"].unsafe == (SAFETY_LINES[0],)
    cell = intake.lines_checked(forms.form_of(small, SHEET)["cells"])[SAFETY_LINES[0]]
    with Gradebook(small.gradebook_url) as book:
        grade = book.find_grade(cell, SHEET, SHEET, "birch")
        grade.manual_score = grade.max_score
        book.db.commit()
    assert by_learner(grading.survey(small, SHEET))["birch"].unsafe == ()


def test_the_sheet_says_which_lines_are_about_safety():
    told = 0
    for name, form in LESSON_FORMS.items():
        text = sheets.source_text(MATERIAL / "lessons" / name, name)
        safe = [item for item in form.items if item.safety]
        told += len(safe)
        assert all(f"**{item.label}** ({item.points:g}, safety):" in text for item in safe)
        assert ("must be right to pass this sheet" in text) == bool(safe)
    assert told


# Editions.


def test_a_class_of_another_edition_is_told_so_and_nothing_is_marked(small):
    (small.path / "lessons" / "edition.txt").unlink()
    put(small, "ash", filled(small, "ash"))
    for command in ("check", "grade", "release"):
        said = RUNNER.invoke(app, [command, SHEET, "--folder", str(small.path)])
        assert said.exit_code == 1
        assert "was made for edition 1 of the sheets" in " ".join(said.output.split())
    assert not (small.autograded / "ash").exists()


# Paper.


def test_a_sheet_on_paper_is_printed_typed_in_and_marked_as_the_notebook_is(small):
    run(small, "paper", SHEET)
    held = PdfReader(small.path / "paper" / f"{SHEET}.pdf")
    learners = {each.id: each for each in small.learners()}
    key = material.key(small.path, SHEET)
    pages = [" ".join(page.extract_text().split()) for page in held.pages]
    for who in learners:
        code = paper.code_of(small, SHEET, learners[who])
        own = [page for page in pages if page.find(f"{code} · {SHEET}") > 0]
        assert own[-1].endswith(f"page {len(own)} of {len(own)}"), "who has which pages stands in their foot"
        text = "".join("".join(own).split())
        for _, value in key.case(small.term, who).lines():
            assert "".join(value.split()) in text
        for item in key.items:
            assert f"{''.join(item.label.split())}({item.points:g}" in text
    case = key.case(small.term, "ash")
    right = [demo.right(item, case) for item in key.items]
    code = paper.code_of(small, SHEET, learners["ash"])
    typed = ["ash 00" if code != "ash 00" else "ash 01", code, "wrong", "<", *right, "I weigh it.", ""]
    said = RUNNER.invoke(app, ["enter", SHEET, "--folder", str(small.path)], input="\n".join(typed) + "\n")
    assert said.exit_code == 0, said.output
    assert "No sheet cycle-1 bears" in said.output
    assert "1 sheet typed in" in said.output
    put(small, "birch", filled(small, "birch", said="I weigh it, too."))
    found = by_learner(grading.grade_class(small, SHEET))
    assert [mark.status for mark in found["ash"].marks] == [mark.status for mark in found["birch"].marks]
    assert found["ash"].score == found["birch"].score
    assert found["ash"].to_read
    before = (small.inbox / "birch" / SHEET / f"{SHEET}.ipynb").read_bytes()
    again = "\n".join([paper.code_of(small, SHEET, learners["birch"]), "", ""])
    said = RUNNER.invoke(app, ["enter", SHEET, "--folder", str(small.path)], input=again)
    assert "handed in already" in said.output
    assert (small.inbox / "birch" / SHEET / f"{SHEET}.ipynb").read_bytes() == before


def typed_in(folder, *lines):
    said = RUNNER.invoke(app, ["enter", SHEET, "--folder", str(folder.path)], input="\n".join(lines) + "\n")
    assert said.exit_code == 0, said.output
    return said.output


def test_the_keyboard_goes_back_over_sheets_and_says_what_it_reads(small):
    ash, birch = (paper.code_of(small, SHEET, each) for each in small.learners()[:2])
    labels = paper.boxes(small, SHEET)
    empty = [""] * len(labels)
    state, number = labels.index("state at A"), labels.index("absolute pressure")
    first = {**dict(enumerate(empty)), state: "sat", number: "12 ohm"}
    # The first sheet, a part of the second, back over its beginning; then from the next code into the sheet before.
    said = typed_in(small, "<", ash, *first.values(), birch, *empty, "<", "weigh it", ash, *["31 psia", *empty[1:]], "")
    assert "No sheet has been typed in before" in said
    assert "read as saturated" in said
    assert "cannot be read as it stands: " in said
    assert "[sat]" in said, "typed once more, what stands there is shown and kept"
    assert "2 sheets typed in" in said
    found = {who: json.loads((small.inbox / who / SHEET / f"{SHEET}.ipynb").read_text()) for who in ("ash", "birch")}
    texts = {who: ["".join(cell["source"]) for cell in book["cells"]] for who, book in found.items()}
    assert "weigh it" in texts["birch"]
    assert any("absolute pressure: 31 psia\n" in text for text in texts["ash"])
    assert any("state at A: sat\n" in text for text in texts["ash"])


def test_a_competency_record_says_what_was_shown_by_which_sheet_and_when(small):
    put(small, "ash", filled(small, "ash"))
    put(small, "birch", filled(small, "birch", demo.partly))
    put(small, "cedar", filled(small, "cedar", said="It waits."))
    outcomes = by_learner(grading.grade_class(small, SHEET))
    run(small, "record")
    held = PdfReader(small.path / "paper" / "competency-records.pdf")
    sides = [" ".join(page.extract_text().split()) for page in held.pages]
    own = {each.id: next(side for side in sides if each.name in side) for each in small.learners()}
    day = f"{datetime.now(UTC):%Y-%m-%d}"
    for who in ("ash", "birch"):
        share = outcomes[who].score / outcomes[who].out_of
        assert f"{SHEET}, {day}, {100 * share:.0f} %" in own[who]
    for who in ("cedar", "elm"):
        assert day not in own[who], "what waits or is missing has shown nothing yet"
    whole = {each.id: " ".join(side for side in sides if each.name in side) for each in small.learners()}
    for each in (one for one in can_do.outcomes() if one.lesson == SHEET):
        marks = [found for found in outcomes["birch"].marks if found.label in each.lines]
        share = sum(found.points for found in marks) / sum(found.out_of for found in marks)
        safe = [found.status == "right" for found in marks if found.safety]
        right = f" {sum(safe)} of {len(safe)}" if safe else ""
        assert f"{each.words} {100 * share:.0f} %{right}" in whole["birch"]
        assert f"{each.words} 100 %" in whole["ash"]
        assert each.words not in whole["cedar"]
    assert f"Not shown yet: {SHEET}." in whole["elm"]
    rows = list(csv.DictReader((small.path / "paper" / "competency-records.csv").read_text().splitlines()))
    abilities = [each.words for each in can_do.outcomes() if each.lesson == SHEET]
    assert [(row["id"], row["outcome"]) for row in rows] == [
        (who, each) for who in ("ash", "birch") for each in abilities
    ]
    served = "; ".join(each.name for each in competencies.competencies(small.path) if SHEET in each.sheets)
    assert {(row["day"], row["tasks"]) for row in rows} == {(day, served)}
    assert {row["percent"] for row in rows if row["id"] == "ash"} == {"100"}
