"""Everything on paper: one house style, and from words to a tagged PDF file, set by typst.

A template is a typst file beside the code that fills it. What somebody wrote reaches it as data alone, never as part
of the template: no name, answer or comment can act as markup.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from coldcab.quantities import ColdcabError
from coldcab.words import _

SIZES = {"letter": "us-letter", "a4": "a4"}
"""Sizes of paper and typst's names of them."""

Contents = Mapping[str, Any]
"""What is filled into a template, as JSON can hold it."""

SMALLEST = 9.0
"""Points; no word on any paper is smaller."""

NO_TYPST = _("The paper needs typst, which is not installed here: open the page in a browser and print it from there.")


def pdf(template: str, contents: Contents, size: str = "letter") -> bytes:
    """A tagged PDF file (PDF/UA-1, ISO 14289-1); without title, language or words for a drawing none is written.

    Parameters
    ----------
    template : typst's source; it imports the house style from ``house.typ`` and reads ``contents`` as ``d``.
    contents : what is filled in, with a ``title`` and, if there is one, an ``author``.
    size : "letter" or "a4".

    Raises
    ------
    ColdcabError
        If typst is not installed, there is no such size, or the page breaks a rule of PDF/UA-1.
    """
    if size not in SIZES:
        raise ColdcabError(_("The paper is letter or a4, not {size!r}.").format(size=size[:20]))
    try:
        import typst
    except ImportError:
        raise ColdcabError(NO_TYPST) from None
    text = json.dumps(_shown({"author": "coldcab", **contents, "size": SIZES[size]}), ensure_ascii=False)
    for tries in range(TRIES):
        try:
            return bytes(
                typst.compile(  # type: ignore[call-overload] # files by name are taken; its types do not say so
                    {"main.typ": template.encode(), "house.typ": house()},
                    font_paths=typefaces(),
                    ignore_system_fonts=all(letter < "\u0700" or "\u1e00" <= letter < FAR for letter in set(text)),
                    sys_inputs={"contents": text},
                    pdf_standards="ua-1",
                )
            )
        except typst.TypstError as error:
            lost = LOST.search(str(error))
            if lost is None or tries == TRIES - 1:
                raise ColdcabError(_("The paper could not be set: {why}").format(why=error)) from error
            text = _without(text, lost[1] if tries < TRIES - 2 else "")
    raise AssertionError("every try returns or raises")


TRIES = 12
"""How often letters that no typeface of the machine has are taken out one by one; after that, all far ones at once."""

FAR = "\u2e80"
"""From here on letters are those of East Asia, pictures and rare scripts."""

BLANK = "\u25a1"
"""What stands for a letter that cannot be set: an empty square."""

LOST = re.compile(r'the text `"(.*?)"` could not be displayed')
NO_LETTER = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ue000-\uf8ff\ufdd0-\ufdef\ufffe\uffff]")
"""Controls, halves of letters, and what has no letter by agreement."""


def _shown(value: Any) -> Any:
    """What is filled in, a blank for everything that is no letter."""
    if isinstance(value, str):
        return NO_LETTER.sub(BLANK, value)
    if isinstance(value, Mapping):
        return {name: _shown(one) for name, one in value.items()}
    return [_shown(one) for one in value] if isinstance(value, list | tuple) else value


def _without(text: str, letters: str) -> str:
    """A text with a blank for these letters; for all far ones, where none of them is in it."""
    gone = {letter for letter in letters if letter > "\x7f" and letter in text}
    return "".join(BLANK if letter in gone or (not gone and letter >= FAR) else letter for letter in text)


@cache
def house() -> bytes:
    """The house style: sizes of type, boxes to fill, hatching, the foot of a page."""
    return files("coldcab.paper").joinpath("house.typ").read_bytes()


def typefaces() -> list[str]:
    """Folders with the typeface of the paper, DejaVu Sans; letters that it has not are looked for on the machine."""
    return [str(Path(__file__).parent / "typeface")]


def is_there() -> bool:
    """Whether paper can be made here; a browser's own Python has no typst."""
    return find_spec("typst") is not None
