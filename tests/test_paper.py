"""Paper: what is printed can be read by everybody, and what somebody wrote stays words."""

from __future__ import annotations

import re
import sys
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

import coldcab
from coldcab import paper
from coldcab.paper.markup import blocks
from coldcab.quantities import ColdcabError

TEMPLATES = sorted(Path(coldcab.__file__).parent.rglob("*.typ"))

PLAIN = """#import "house.typ": *
#show: house
= #d.title
#for said in d.said [- #said]
#raw(d.title)
"""

HOSTILE = (
    '#import "house.typ": *', "#panic()", '#read("/etc/passwd")', "$ x^2", "$x$ `raw` *bold* _soft_", "\\", "\\#",
    "= Title", "- list", "<label>", "@reference", "]]", "[", '"', "//", "/*", "~", "https://example.org/#a",
    "{{ x }}", "</script>", "Zoë Ångström",
)  # fmt: skip
RARE = ("王小明", "محمد", "a\u202eb", "\U0001f600", "\x07", "\ue000")
"""Letters that not every machine has a typeface for, and signs that turn the way of writing or are none at all."""


def test_a_class_whose_letters_no_typeface_has_is_printed_all_the_same():
    # Twenty letters one after the other, of which this machine has none, and one that it has.
    said = ["".join(chr(0x4E00 + 7 * place + each) for each in range(2)) + "Łódź" for place in range(20)]
    text = PdfReader(BytesIO(paper.pdf(PLAIN, {"title": "Class", "said": said}))).pages[0].extract_text()
    assert text.count("Łódź") == 20


def test_what_somebody_wrote_stays_words():
    contents = {"title": HOSTILE[0], "author": HOSTILE[1], "said": [*HOSTILE, *RARE]}
    held = PdfReader(BytesIO(paper.pdf(PLAIN, contents)))
    text = "".join(held.pages[0].extract_text().split())
    for said in HOSTILE:
        assert "".join(said.split()) in text
    assert held.metadata.title == HOSTILE[0]
    assert held.metadata.author == HOSTILE[1]


def test_a_page_is_tagged_and_says_its_title_and_language():
    held = PdfReader(BytesIO(paper.pdf(PLAIN, {"title": "Unit 12", "said": ["one"]}, "a4")))
    root = held.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en-US"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert "pdfuaid:part" in root["/Metadata"].get_data().decode().replace("<", " ").replace(">", " ")
    assert [round(float(side)) for side in held.pages[0].mediabox[2:]] == [595, 842]


@pytest.mark.parametrize(
    "wrong", [PLAIN.replace("#show: house", '#set text(lang: "en")'), PLAIN + "#image(bytes(d.picture))"]
)
def test_a_page_without_title_or_words_for_its_drawing_is_not_written(wrong):
    picture = '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><rect width="9" height="9"/></svg>'
    with pytest.raises(ColdcabError, match=r"could not be set: PDF/UA-1 error: .*(title|alt)"):
        paper.pdf(wrong, {"title": "Unit 12", "said": [], "picture": picture})


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: path.name)
def test_no_word_is_smaller_than_nine_points(template):
    # A template names the sizes of the house; none is written in points but there, in lengths of type.
    text = template.read_text(encoding="utf-8")
    sizes = [float(size) for size in re.findall(r"size(?:: |[a-z-]* = )([0-9.]+)pt", text)]
    sizes += [float(size) for size in re.findall(r"^#let \w+ = ([0-9.]+)pt$", text, re.MULTILINE)]
    assert all(size >= paper.SMALLEST for size in sizes), sizes
    assert sizes or template.name != "house.typ"
    assert not re.findall(r"size: [0-9.]+(?:em|%)", text)


def test_without_typst_one_sentence_says_what_to_do(monkeypatch):
    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(ColdcabError, match="print it from there"):
        paper.pdf(PLAIN, {"title": "Unit 12", "said": []})


def test_a_size_of_paper_that_is_not_there():
    with pytest.raises(ColdcabError, match="letter or a4"):
        paper.pdf(PLAIN, {"title": "Unit 12", "said": []}, "legal")


# From a page of our own to blocks.

PAGE = """<html><head><title>not shown</title><style>p {}</style></head><body>
<h1>Class <em>report</em><a class="anchor-link" href="#x">¶</a></h1>
<p>One &lt;b&gt; and   <strong>two</strong><br>three</p>
<p></p>
<div class="mark right"><p><strong>right</strong></p></div>
<ol><li>first <code>9.5 psi</code></li><li><p>second</p></li></ol>
<table><thead><tr><th>a</th><th>b</th></tr></thead><tbody><tr><td>1</td></tr></tbody></table>
<pre>x: 1
y: 2
</pre>
<svg role="img" aria-label="Points. 3 &amp; more" font-family="system-ui" viewBox="0 0 9 9"><text x="1">P</text></svg>
<details><summary>More</summary>loose words</details>
</body></html>"""


def plain(runs):
    return "".join(run["text"] for run in runs)


def test_a_page_becomes_blocks_in_its_order():
    heading, words, box, items, table, code, drawing, more, loose = blocks(PAGE)
    assert (heading["level"], plain(heading["runs"])) == (1, "Class report")
    assert [run["text"] for run in words["runs"]] == ["One <b> and ", "two", "\n", "three"]
    assert [run.get("bold", False) for run in words["runs"]] == [False, True, False, False]
    assert box["role"] == "mark right"
    assert items["ordered"]
    assert [plain(item[0]["runs"]) for item in items["items"]] == ["first 9.5 psi", "second"]
    assert table["head"][0][0][0]["bold"]
    assert [plain(cell) for cell in table["rows"][0]] == ["1", ""]
    assert code["text"] == "x: 1\ny: 2"
    assert drawing["alt"] == "Points. 3 & more"
    assert "system-ui" not in drawing["svg"]
    assert (plain(more["runs"]), plain(loose["runs"])) == ("More", "loose words")


def test_a_wide_table_of_marks_is_set_as_several_with_the_names_before_each():
    row = "".join(f"<td>{place}</td>" for place in range(31))
    tables = blocks(f"<table class='grid'><thead><tr>{row}</tr></thead><tr>{row}</tr></table>")
    assert [len(table["widths"]) for table in tables] == [11, 11, 11]
    assert {plain(table["rows"][0][0]) for table in tables} == {"0"}
    assert [plain(cell) for table in tables for cell in table["rows"][0][1:]] == [str(place) for place in range(1, 31)]


def test_a_drawing_in_a_table_stays_in_its_place():
    (table,) = blocks('<table><tr><td>ash</td><td><svg aria-label="from 0.4 to 0.8"></svg></td></tr></table>')
    assert table["rows"][0][1][0]["alt"] == "from 0.4 to 0.8"


def test_headings_go_down_one_level_at_a_time():
    text = "<h3>a</h3><div class='mark'><h5>b</h5></div><ul><li><h6>c</h6></li></ul><h1></h1><h3>d</h3>"
    found = blocks(text)
    headings = [found[0], found[1]["inside"][0], found[2]["items"][0][0], found[3]]
    assert [one["level"] for one in headings] == [1, 2, 3, 3]
    assert len(found) == 4, "a heading without words is none"
    assert blocks("<h2>a</h2>", under=1)[0]["level"] == 2
    assert paper.pdf(ALL_BLOCKS, {"title": "All", "blocks": found, "people": []}).startswith(b"%PDF")


ALL_BLOCKS = """#import "house.typ": *
#show: house
#set-blocks(d.blocks)
#each-from-a-front-side(d.people, one => one, one => [= #one])
"""


@pytest.fixture(scope="module")
def everything():
    contents = {"title": "All", "blocks": blocks(PAGE * 2), "people": ["ash", "birch"]}
    return PdfReader(BytesIO(paper.pdf(ALL_BLOCKS, contents)))


def test_every_kind_of_block_is_set(everything):
    text = " ".join(" ".join(page.extract_text() for page in everything.pages).split())
    for words in ("Class report", "One <b> and two", "1. first 9.5 psi", "x: 1", "More", "loose words"):
        assert words in text
    assert "not shown" not in text


def test_the_papers_of_two_people_never_share_a_leaf(everything):
    sides = {who: number for number, page in enumerate(everything.pages) for who in ("ash", "birch")
             if f"{who} page 1 of 1" in " ".join(page.extract_text().split())}  # fmt: skip
    assert sides["birch"] % 2 == 0, "an even number of sides lies before it"
    assert sides["ash"] // 2 != sides["birch"] // 2


def test_no_letter_that_is_set_is_smaller_than_nine_points(everything):
    found = []

    def seen(text, _matrix, place, _font, size):
        if text.strip():
            found.append(size * abs(place[3]))

    everything.pages[0].extract_text(visitor_text=seen)
    assert len(found) > 10
    assert min(found) >= paper.SMALLEST - 0.01
