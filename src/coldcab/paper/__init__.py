"""Everything on paper: one house style, and from words to a tagged PDF file, set by typst.

A template is a typst file beside the code that fills it. What somebody wrote reaches it as data alone, never as part
of the template: no name, answer or comment can act as markup.
"""

from __future__ import annotations

import json
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
    text = json.dumps({"author": "coldcab", **contents, "size": SIZES[size]})
    try:
        made = typst.compile(  # type: ignore[call-overload] # files by name are taken; its types do not say so
            {"main.typ": template.encode(), "house.typ": house()},
            font_paths=typefaces(),
            ignore_system_fonts=all(letter < "\u0700" or "\u1e00" <= letter < "\u2e00" for letter in set(_said(text))),
            sys_inputs={"contents": text},
            pdf_standards="ua-1",
        )
    except typst.TypstError as error:
        raise ColdcabError(_("The paper could not be set: {why}").format(why=error)) from error
    return bytes(made)


def _said(text: str) -> str:
    """The letters of a JSON text, its escapes undone."""
    return json.dumps(json.loads(text), ensure_ascii=False)


@cache
def house() -> bytes:
    """The house style: sizes of type, boxes to fill, hatching, the foot of a page."""
    return files("coldcab.paper").joinpath("house.typ").read_bytes()


@cache
def typefaces() -> list[str]:
    """Folders with the typeface of the drawings; matplotlib carries it, and need not be loaded for that."""
    found = find_spec("matplotlib")
    if found is None or found.origin is None:
        return []
    return [str(Path(found.origin).parent / "mpl-data" / "fonts" / "ttf")]
