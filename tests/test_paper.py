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
    with pytest.raises(Exception, match=r"title|alternative|alt text"):
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
