"""All words for people as one list for a translator: a template of GNU gettext, ``words.pot``."""

from __future__ import annotations

import io
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import write_po

from coldcab.assess import Assignment


def catalog(package: Path, sheets: tuple[Assignment, ...]) -> Catalog:
    """Return every text in ``_(...)`` of the package, every line of the sheets, and what their keys say.

    Parameters
    ----------
    package
        The folder of the package.
    sheets
        Graded sheets with their keys.
    """
    found = Catalog(project="coldcab", creation_date=None, revision_date=None, fuzzy=False)
    for file, line, message, comments, _context in extract_from_dir(
        package, method_map=[("**.py", "python"), ("**.j2", "jinja2.ext:babel_extract")], keywords={"_": None}
    ):
        found.add(message, locations=[(file, line)], auto_comments=comments)
    for sheet in sheets:
        found.add(sheet.title, locations=[(f"{sheet.name}, title", 1)])
        for label, _text in sheet.case("open", "reference").lines():
            found.add(label, locations=[(f"{sheet.name}, numbers", 1)])
        for item in sheet.items:
            for text in (item.prompt, item.hint, *item.choices):
                if text:
                    found.add(text, locations=[(f"{sheet.name}, {item.label}", 1)])
            for idea in item.ideas:
                for text in (idea.name, idea.feedback):
                    found.add(text, locations=[(f"{sheet.name}, {item.label}, a wrong idea", 1)])
    return found


def template(package: Path, sheets: tuple[Assignment, ...]) -> str:
    """Return the catalog as the text of a template, sorted, without dates, so that it changes only with the words."""
    stream = io.BytesIO()
    write_po(stream, catalog(package, sheets), width=118, sort_output=True, omit_header=True, no_location=False)
    return stream.getvalue().decode()
