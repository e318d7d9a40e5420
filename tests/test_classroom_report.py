"""The report: figures against independent ones, words for an instructor, and a page that a few and many can read."""

import itertools
import re
import shutil

import nbformat
import numpy as np
import pytest
from scipy import stats

from classes import MATERIAL, REFERENCE, book_of, by_hand, by_learner, filled, large_class, points, put, small_class
from coldcab import course
from coldcab.classroom import ClassError, ClassFolder, demo, grading, inbox, material, needs, plots, reporting
from coldcab.classroom import statistics as figures
from coldcab.classroom.asking import Class
from coldcab.classroom.competencies import whole
from coldcab.classroom.passages import passage_for
from coldcab.lessons import LESSONS

SHEET = "cycle-1"


@pytest.fixture(scope="module")
def graded(tmp_path_factory):
    """Twenty-four learners in eight ways, one of them copied, one blank, one unreadable, one broken, one missing."""
    folder = large_class(tmp_path_factory.mktemp("report") / "class", 24)
    put(folder, "learner-0020", filled(folder, "learner-0000"))
    put(folder, "learner-0021", filled(folder, "learner-0021", demo.blank))
    put(folder, "learner-0022", b"broken")
    shutil.rmtree(folder.inbox / "learner-0023")
    grading.grade_class(folder, SHEET)
    return folder


@pytest.fixture(scope="module")
def sheet(graded):
    return reporting.report_on(graded, SHEET)


@pytest.fixture(scope="module")
def page(graded):
    return reporting.write_report(graded, (SHEET,))[0].read_text()


# Figures.


def test_alpha_is_the_mean_of_all_split_halves():
    # L. J. Cronbach, Psychometrika 16 (1951), p. 304 ff.: alpha is the mean of the split-half coefficients of Rulon
    # and Flanagan, 4 cov(a, b) / var(a + b), over all splits into equal halves. Exact, so only rounding is allowed.
    marks = np.random.default_rng(7).integers(0, 3, (40, 6)).cumsum(axis=1).astype(float)
    halves = []
    for first in itertools.combinations(range(6), 3):
        a = marks[:, list(first)].sum(axis=1)
        b = marks.sum(axis=1) - a
        halves.append(4 * np.cov(a, b)[0, 1] / np.var(a + b, ddof=1))
    assert figures.reliability(marks) == pytest.approx(np.mean(halves), rel=1e-12)


def test_alpha_of_right_and_wrong_is_kuder_and_richardsons():
    # G. F. Kuder and M. W. Richardson, Psychometrika 2 (1937), formula 20, k/(k-1) (1 - sum(pq)/variance), to which
    # alpha comes down where points are 0 or 1. Both variances are those of the whole group here. Exact.
    marks = np.array([[1, 1, 1, 1], [1, 1, 1, 0], [1, 1, 0, 0], [1, 0, 0, 0], [0, 0, 0, 0]], dtype=float)
    share = marks.mean(axis=0)
    expected = 4 / 3 * (1 - (share * (1 - share)).sum() / marks.sum(axis=1).var())
    assert figures.reliability(marks) == pytest.approx(expected, rel=1e-12)
    # By hand: shares 0.8 0.6 0.4 0.2, sum(pq) 0.8, totals 4 3 2 1 0 with variance 2: 4/3 (1 - 0.4) = 0.8.
    assert expected == pytest.approx(0.8)


@pytest.mark.parametrize("marks", [np.zeros((0, 3)), np.ones((1, 3)), np.ones((9, 1)), np.ones((9, 3))])
def test_alpha_that_cannot_be_told_is_not_told(marks):
    assert figures.reliability(marks) is None


def test_discrimination_is_the_correlation_with_the_rest():
    marks = np.random.default_rng(3).integers(0, 3, (30, 5)).astype(float)
    for number, found in enumerate(figures.discriminations(marks)):
        rest = np.delete(marks, number, axis=1).sum(axis=1)
        # SciPy computes the same definition; rounding only.
        assert found == pytest.approx(stats.pearsonr(marks[:, number], rest).statistic, rel=1e-9)
    assert figures.discriminations(np.ones((5, 2))) == [None, None]


def lines(*columns, statuses=None):
    marks = np.array(columns, dtype=float).T
    said = np.array(statuses, dtype=object).T if statuses else np.where(marks > 0, "right", "wrong")
    return figures.analyze([f"line {number}" for number in range(len(columns))], [1.0] * len(columns), marks, said)


def test_a_line_on_which_the_good_do_worse_is_named():
    good = [1] * 10 + [0] * 10
    found = lines(good, good, good, [0] * 10 + [1] * 10)
    assert "who is good at the rest do worse on it" in " ".join(found[3].remarks)
    assert not [line for line in found[:3] if "who is good" in " ".join(line.remarks)]


def test_lines_that_nobody_or_everybody_gets_are_named():
    some = [1, 0] * 10
    found = lines(some, [0] * 20, [1] * 20)
    assert "hardly anybody gets it" in " ".join(found[1].remarks)
    assert "nearly everybody gets it" in " ".join(found[2].remarks)
    assert found[0].difficulty == 0.5


def test_lines_that_are_not_read_left_empty_or_answered_strangely_are_named():
    some, half = [1, 0] * 10, ["right"] * 10
    found = lines(some, some, some, statuses=[half + ["unreadable"] * 10, half + ["blank"] * 10, half + ["wrong"] * 10])
    for line, words in zip(found, ("could not be read", "left it empty", "no known idea explains"), strict=True):
        assert words in " ".join(line.remarks)
    assert found[1].tried == 10


def test_of_few_sheets_nothing_is_said_about_lines():
    found = lines([1, 0, 1], [0, 1, 0])
    assert [line.discrimination for line in found] == [None, None]
    assert not any(line.remarks for line in found)


# What the report counts.


def test_the_figures_are_those_of_the_gradebook(graded, sheet):
    book = book_of(graded)
    counted = [each.learner.id for each in sheet.outcomes if each.marks and not each.fits]
    assert "learner-0020" not in counted, "copied numbers say nothing about the lines"
    assert sheet.left_out == 1
    for line in sheet.lines:
        cell = f"cycle-1-{'-'.join(line.label.lower().split())}"
        earned = [book[who, "grade", cell][0] for who in counted]
        most = max(each.out_of for each in sheet.outcomes[0].marks if each.label == line.label)
        assert line.difficulty == pytest.approx(np.mean(earned) / most)
        assert line.sheets == len(counted)
        assert line.right + line.ideas + line.wrong + line.blank + line.unreadable == line.sheets
    assert sheet.alpha is not None
    assert 0 < sheet.alpha <= 1


def test_ideas_are_ranked_by_learners_and_lead_to_a_passage(sheet):
    counts = [len(idea.learners) for idea in sheet.ideas]
    assert counts == sorted(counts, reverse=True)
    assert counts[0] > 1
    assert len(sheet.ideas[0].learners) == len(set(sheet.ideas[0].learners))
    assert all(idea.passage.startswith("Pressure and temperature, “") for idea in sheet.ideas)


PLACES = {name: material.taught_in(MATERIAL, name) for name in LESSONS}


@pytest.mark.parametrize(
    ("name", "label", "idea", "heading"),
    [
        # Judged by a person who read the lessons.
        ("cycle-1", "absolute pressure", "gauge taken for absolute", "Why: gauge, absolute, vacuum"),
        ("cycle-1", "standing pressure", "pressure falls with the charge", "Handle it: the parked machine"),
        ("cycle-1", "R-12 saturation temperature", "the other refrigerant's scale", "Why: saturation"),
        ("cycle-2", "discharge temperature", "ideal discharge taken for real", "Why: what the discharge tells"),
    ],
)
def test_the_passage_speaks_of_the_idea(name, label, idea, heading):
    held = next(each for each in REFERENCE[name].item(label).ideas if each.name == idea)
    about = f"{idea} {idea} {label} {held.feedback}"
    assert passage_for(name, about, course.folder(), PLACES[name][label]).endswith(f", “{heading}”")


def test_a_passage_of_another_lesson():
    found = passage_for("faults-4", "", course.folder(), PLACES["faults-4"]["machine 1, high side"])
    assert found == "Signatures, “Why: how bad is it?”"


def test_a_line_that_nobody_placed_is_found_by_its_words():
    words = "liquid swells in a full cylinder until the liquid reaches the top"
    found = passage_for("retrofit-1", words, course.folder())
    assert re.search(r"“(Why: a cylinder is never full|Handle it: let the liquid rise)”", found)
    # The same where a lesson was changed and its heading is gone.
    assert passage_for("retrofit-1", words, course.folder(), ["Gone"]) == found


@pytest.mark.parametrize("name", LESSONS)
def test_every_line_is_placed_where_a_lesson_explains(name):
    key = material.key(MATERIAL, name)
    assert list(PLACES[name]) == [item.label for item in key.items]
    for label, places in PLACES[name].items():
        for place in places:
            # Nothing to compare with, so only the place itself can be found.
            heading = place if place in passage_for(name, "", course.folder(), [place]) else place.partition(": ")[2]
            assert f"“{heading}”" in passage_for(name, "", course.folder(), [place]), f"{name}, {label}: {place}"


def test_broken_places_are_named(tmp_path):
    file = tmp_path / "lessons" / "cycle-1" / "passages.toml"
    file.parent.mkdir(parents=True)
    assert material.taught_in(tmp_path, "cycle-1") == {}
    file.write_text("[cycle-1\n")
    with pytest.raises(ClassError, match=r"passages\.toml cannot be read"):
        material.taught_in(tmp_path, "cycle-1")
    file.write_text("'absolute pressure' = 7\n")
    with pytest.raises(ClassError, match="nothing about lines of cycle-1"):
        material.taught_in(tmp_path, "cycle-1")


def test_a_sheet_without_a_lesson_leads_nowhere():
    assert passage_for("brakes-7", "anything", course.folder()) == ""


def test_who_needs_a_word_is_told_with_the_reason(sheet):
    said = needs.need_a_word([(SHEET, sheet.outcomes)])
    assert "the answers fit the numbers of learner-0000, not its own; talk before you judge" in said["learner-0020"]
    assert said["learner-0021"] == ["handed in empty"]
    assert said["learner-0022"][0].startswith("not gradable: the file is not a notebook")
    assert said["learner-0023"] == ["nothing handed in"]
    assert "nothing on it could be read; look at the sheet together" in said["learner-0007"]
    assert not [why for why in said.get("learner-0000", ()) if "points" in why], "all right, the words still waiting"


def test_one_who_fell_behind_their_own_sheets_is_told():
    def outcome(score):
        return inbox.Outcome(demo.ROSTER[0], "graded", score=score, out_of=10.0)

    scores = {"a": 9.0, "b": 9.0, "c": 5.0}
    sheets = [(name, [outcome(score)]) for name, score in scores.items()]
    assert needs.need_a_word(sheets) == {"ash": ["c: far below this learner's other sheets"]}


def test_a_reason_is_said_once_for_all_its_sheets_and_the_greatest_need_first():
    def outcome(who, **about):
        return inbox.Outcome(demo.ROSTER[who], "graded", out_of=10.0, **about)

    names = "abcde"
    sheets = [
        (name, [outcome(0, score=9.0, unsafe=("tin",)), outcome(1, score=9.0, copied=("the file is that of ash",))])
        for name in names
    ]
    sheets[4][1].append(outcome(2, score=1.0, unsafe=("hose",), seconds_late=7200.0))
    said = needs.need_a_word(sheets)
    assert list(said.items()) == [
        ("birch", ["a, b, c and 2 more: the file is that of ash; talk before you judge"]),
        ("ash", ["a, b, c and 2 more: not passed, safety"]),
        ("cedar", ["e: not passed, safety: hose", "e: 1 of 10 points", "e: 2 hours late"]),
    ]


# Never graded without a score.


def test_waiting_words_are_called_waiting(graded, sheet, page):
    waiting = [each for each in sheet.outcomes if each.to_read]
    assert waiting
    assert {reporting.standing(each) for each in waiting} == {"graded; written: waiting"}
    assert "graded; written: waiting" in page
    assert f"of which {len(waiting)} have a written answer waiting" in page


def test_nobody_is_called_graded_without_a_score(graded, tmp_path):
    folder = ClassFolder.open(shutil.copytree(graded.path, tmp_path / "class"))
    from nbgrader.api import Gradebook

    with Gradebook(folder.gradebook_url) as gradebook:
        gradebook.remove_submission(SHEET, "learner-0000")
    found = by_learner(grading.survey(folder, SHEET))
    assert (found["learner-0000"].status, found["learner-0000"].score) == ("to grade", None)
    assert not [each for each in found.values() if each.status == "graded" and each.score is None]
    assert by_learner(grading.grade_class(folder, SHEET))["learner-0000"].score == points()


def test_a_sheet_of_which_nothing_could_be_read_is_remarked(sheet, page):
    outcome = by_learner(sheet.outcomes)["learner-0007"]
    assert (outcome.score, outcome.unread, outcome.blank) == (0, True, False)
    assert "Nothing on it could be read." in page
    assert "Handed in empty." in page


# The page.


def test_every_plot_has_its_words(page):
    drawings = re.findall(r"<svg.*?</svg>", page, flags=re.DOTALL)
    assert len(drawings) == 4
    for drawing in drawings:
        assert 'role="img"' in drawing
        words = re.search(r'aria-label="([^"]*)"', drawing).group(1)
        assert len(words) > 20
        assert "<title>" in drawing
        assert "<desc>" in drawing


def test_plots_say_what_they_show():
    drawing = plots.histogram("Points", [0, 5, 10, 10], 10)
    assert "1 with 0 to 1; 1 with 5 to 6; 2 with 9 to 10" in drawing
    drawing = plots.bars("Title", [("<b>", 1, "1 & more")], 2)
    assert "<b>" not in drawing
    assert "&lt;b&gt;: 1 &amp; more" in drawing


def test_the_page_has_all_that_an_instructor_asks(page):
    for words in ("Who needs a word", "read again", "Reliability (Cronbach", "share of points", "Numbers of somebody"):
        assert words in page
    assert "<script" not in page


@pytest.mark.parametrize("count", [1, 5])
def test_a_few_learners_get_a_report_too(tmp_path, count):
    folder = large_class(tmp_path / "class", count)
    empty = reporting.write_report(folder, (SHEET,))[0].read_text()
    assert f"{count} handed in and not graded yet" in empty
    grading.grade_class(folder, SHEET)
    text = reporting.write_report(folder, (SHEET,))[0].read_text()
    assert f"{count} graded" in text
    assert "too few" in text


def test_a_class_in_which_nobody_handed_in_gets_a_report(tmp_path):
    folder = small_class(tmp_path / "class")
    assert "12 missing" in reporting.write_report(folder, (SHEET,))[0].read_text()


def test_the_notebook_asks_the_class_live(graded, monkeypatch):
    file = reporting.write_report(graded, (SHEET,))[2]
    book = nbformat.read(file, as_version=4)
    nbformat.validate(book)
    monkeypatch.chdir(file.parent)
    names, shown = {}, []
    for cell in book.cells:
        if cell.cell_type == "code":
            *before, last = cell.source.split("\n")
            exec("\n".join(before), names)
            if last.startswith("class_."):
                shown.append(eval(last, names))
            else:
                exec(last, names)
    assert len(shown) == 4
    assert "learner-0003" in shown[0]._repr_html_()
    assert "absolute pressure" in repr(shown[1])
    by_hand(graded, "learner-0001", 4)
    assert f"{points() + 4:g} of {points() + 4:g}" in repr(names["class_"].scores(SHEET))


def test_the_term_is_a_chart_in_the_notebook(graded):
    chart, sheet = Class(graded.path).curves(), reporting.report_on(graded, SHEET)
    # Sheets whose written answer waits for a person have no whole score yet.
    shares = [outcome.score / outcome.out_of for outcome in sheet.outcomes if whole(outcome)]
    assert 0 < len(shares) < len(sheet.scored)
    assert repr(chart) == f"all sheets, mean of each sheet: cycle-1 {np.mean(shares):.0%} of {len(shares)}"
    lines = chart.figure.axes[0].lines
    assert len(lines) == len(shares) + 1
    assert lines[-1].get_ydata()[0] == pytest.approx(100 * np.mean(shares))
    assert chart._repr_png_().startswith(b"\x89PNG")
    with pytest.raises(ClassError, match="No sheet of this class serves 'brakes'; there are all sheets"):
        Class(graded.path).curves("brakes")
