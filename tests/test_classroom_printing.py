"""What a class prints: on letter and A4, legible, tagged, each page with its owner, and nobody's words act."""

import json
import re
import zipfile
from dataclasses import dataclass, replace
from html import unescape
from types import SimpleNamespace

import pytest
from pypdf import PdfReader
from typer.testing import CliRunner

from classes import filled, put, small_class
from coldcab.classroom import ClassError, demo, explaining, grading, handing_out, paper, reporting
from coldcab.classroom.printing import print_report, size_of
from coldcab.classroom.roster import Learner, read_roster, write_roster
from coldcab.classroom.settings import Settings, read_settings, write_settings
from coldcab.cli.class_commands import app
from coldcab.paper import SMALLEST
from test_units_order import metric_alone, strings, trade_alone

SHEET = "cycle-1"
WORDS = 'I say: #import "x" $x^2$ #panic() *bold* \\ `raw` [[a]] <script>alert(1)</script>\n\n# No title\n\n- one'
NAME = "Ångström #panic() $x$ *b*"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The demo's class with cycle-1 marked: right, partly right, wrong, hostile words and a hostile name."""
    made = small_class(tmp_path_factory.mktemp("printing") / "class")
    few = [each for each in read_roster(made.path / "roster.csv") if each.id in ("birch", "elm")]
    write_roster(made.path / "roster.csv", (Learner("ash", "Ash", NAME), *few))
    put(made, "ash", filled(made, "ash", said=WORDS))
    put(made, "birch", filled(made, "birch", demo.idea(1)))
    put(made, "elm", b"broken")
    grading.grade_class(made, SHEET)
    return made


PRINTED = {
    "report": ((SHEET,), "report/report.pdf"),
    "feedback": ((SHEET, "--print"), f"paper/feedback-{SHEET}.pdf"),
    "record": ((), "paper/competency-records.pdf"),
    "paper": ((SHEET,), f"paper/{SHEET}.pdf"),
}


SIDES = 8
"""So many are read: it is pypdf that takes the time, not typst."""


@dataclass(frozen=True)
class Read:
    """A paper as it is read back: the file, the words of its first sides, sizes of letters with what they say."""

    held: PdfReader
    sides: tuple[str, ...]
    sizes: tuple[tuple[float, str], ...]

    @property
    def words(self):
        return " ".join(self.sides)


def read(file):
    held, sizes = PdfReader(file), []

    def seen(text, matrix, place, _font, size):
        if text.strip():
            sizes.append((size * abs(place[3] * matrix[3]), text))

    sides = [" ".join(page.extract_text(visitor_text=seen).split()) for page in held.pages[:SIDES]]
    return Read(held, tuple(sides), tuple(sizes))


@pytest.fixture(scope="module")
def printed(folder):
    """Each paper, on letter: the class's time zone is UTC."""
    found = {}
    for command, (options, file) in PRINTED.items():
        said = CliRunner().invoke(app, [command, *options, "--folder", str(folder.path)])
        assert said.exit_code == 0, said.output
        assert file.rpartition("/")[2] in said.output
        found[command] = read(folder.path / file)
    return found


@pytest.mark.parametrize("command", PRINTED)
def test_each_paper_is_tagged_named_and_legible(printed, command):
    held = printed[command].held
    root = held.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en-US"
    assert held.metadata.title
    assert "pdfuaid" in root["/Metadata"].get_data().decode()
    assert {tuple(round(float(side)) for side in page.mediabox[2:]) for page in held.pages} == {(612, 792)}
    assert min(printed[command].sizes)[0] >= SMALLEST - 0.05, min(printed[command].sizes)


@pytest.mark.parametrize("command", ["feedback", "record", "paper"])
def test_each_page_says_whose_it_is(printed, command):
    for side in printed[command].sides:
        foot = side[-60:]
        assert not foot or " page " in foot, "a blank side has no foot"


def test_words_of_learners_stay_words(printed):
    feedback = "".join(printed["feedback"].words.split())
    for said in ('#import"x"', "$x^2$", "#panic()", "alert(1)"):
        assert said in feedback
    for command in ("feedback", "record", "paper"):
        assert "Ångström#panic()$x$*b*" in "".join(printed[command].words.split())


def test_report_and_feedback_say_on_paper_what_their_pages_say(folder, printed):
    report = printed["report"].words
    for said in ("Who needs a word", "Ideas the class has not got", "Not gradable: ask for the file again", "Scores"):
        assert said in report
    assert "right, 2 of 2 points" in printed["feedback"].words
    said = list(alternatives(printed["report"].held.trailer["/Root"]["/StructTreeRoot"]))
    assert any(words.startswith("Points. Learners by points: ") for words in said), "what a drawing shows, in words"


def alternatives(node):
    """The words for drawings in the tree of a tagged file."""
    node = node.get_object()
    if isinstance(node, list):
        for one in node:
            yield from alternatives(one)
    elif isinstance(node, dict):
        if "/Alt" in node:
            yield str(node["/Alt"])
        if "/K" in node:
            yield from alternatives(node["/K"])


@pytest.mark.parametrize(("zone", "asked", "size"), [
    ("UTC", None, "letter"), ("America/Chicago", None, "letter"), ("Europe/Vienna", None, "a4"),
    ("Europe/Vienna", False, "letter"), ("UTC", True, "a4"),
])  # fmt: skip
def test_the_size_of_the_paper_is_the_usual_one_or_the_one_that_was_asked_for(zone, asked, size):
    assert size_of(SimpleNamespace(settings=SimpleNamespace(zone=zone)), asked) == size


def test_the_curves_of_the_term_are_printed_beside_the_report(folder, printed):
    page = folder.path / "report" / "index.html"
    page.with_name("term.html").write_text("<h1>Over the term</h1><p>ash</p>", encoding="utf-8")
    assert print_report(folder, page, "a4").name == "report.pdf"
    made = PdfReader(page.with_name("term.pdf"))
    assert "Over the term" in made.pages[0].extract_text()
    assert [round(float(side)) for side in made.pages[0].mediabox[2:]] == [595, 842]


def test_no_feedback_to_print_is_said(folder, tmp_path):
    empty = small_class(tmp_path / "class")
    said = CliRunner().invoke(app, ["feedback", SHEET, "--print", "--folder", str(empty.path)])
    assert said.exit_code == 0
    assert "nothing has been marked" in said.output
    assert not (empty.path / "paper").exists()


# Units: a class has an order of its own, and all that it gives out is in it.


def words_of(page):
    """What a page says, piece by piece, but for what was typed and how it was read."""
    shown = re.sub(r"<(style|pre|code)\b.*?</\1>|<[^>]+>", "\n", page, flags=re.DOTALL)
    return [re.sub(r"Read as .*?\.(?=\s|$)", "", unescape(line)) for line in shown.splitlines()]


def without_typed(held):
    """The same contents of a paper without the examples of what can be typed, which stand in both units."""
    if isinstance(held, dict):
        return {} if held.get("code") else {key: without_typed(one) for key, one in held.items()}
    return [without_typed(one) for one in held] if isinstance(held, (list, tuple)) else held


SAID = "At 35 F it was cold."


def test_a_class_gives_out_everything_in_its_order_of_units(tmp_path, monkeypatch):
    """In trade units and, from the next run after it was changed, in SI; points are the same."""
    made, held = small_class(tmp_path / "class"), {}
    write_roster(made.path / "roster.csv", [Learner(name) for name in ("ash", "birch", "elm")])
    for learner, hand in {"ash": demo.idea(0), "birch": demo.wrong_unit, "elm": demo.idea(1)}.items():
        put(made, learner, filled(made, learner, hand, SAID))
    monkeypatch.setattr(paper, "write_pdf", lambda folder, file, template, contents, size: held.update(contents))
    points = []
    for system, alone in (("us", metric_alone), ("si", trade_alone)):
        write_settings(made.path, replace(made.settings, units=system))
        points.append([each.score for each in grading.grade_class(made, SHEET)])
        own = [path.read_text() for path in made.feedback.rglob("*.html")]
        assert [SAID in page for page in own] == [True] * 3, "what somebody wrote stays"
        texts = [
            text for page in (*own, reporting.write_report(made, (SHEET,))[0].read_text()) for text in words_of(page)
        ]
        paper.write_sheets(made, SHEET)
        texts += strings(without_typed([held["people"], held["parts"]]))
        numbers, lines = explaining.explain(made, SHEET, made.learners()[0])
        texts += [said for _label, said in numbers] + [line.right for line in lines if system == "si"]
        for text in texts:
            assert not alone(text.replace(SAID, "")), text
        assert sum(bool(re.search(r"\d (?:psig|kPa|F|C)\b.*\(", text)) for text in texts) > 40
        with zipfile.ZipFile(handing_out.hand_out(made, (SHEET,))[0]) as packed:
            assert json.loads(packed.read(".coldcab.json"))["units"] == system
    assert points[0] == points[1]


def test_the_units_of_a_class_are_kept_and_checked(tmp_path):
    write_settings(tmp_path, Settings("autumn", units="si"))
    assert read_settings(tmp_path).units == "si"
    (tmp_path / "class.toml").write_text('term = "autumn"\nunits = "metric"\n')
    with pytest.raises(ClassError, match="us or si, not 'metric'"):
        read_settings(tmp_path)
