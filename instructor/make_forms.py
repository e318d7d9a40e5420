"""Fill the source notebooks and make the blank forms: ``python instructor/make_forms.py [sheet ...]``.

Run it after a form, a key, the drawing of numbers or a source notebook has changed. It writes

- into ``instructor/source`` the reference answers: for the learner id ``reference`` in the term ``open``, written as a
  person would, so that the solved source can be marked like any other sheet; nothing else there is touched;
- into ``course/graded`` the forms that come with the course, exactly as the class would release them.
"""

from __future__ import annotations

import json
import sys
import tempfile
from pathlib import Path

from coldcab.assess import MAGIC, load_reference
from coldcab.classroom.demo import right, sheet_text
from coldcab.classroom.folder import OPEN_TERM, ClassFolder
from coldcab.classroom.marker import REFERENCE_LEARNER, REFERENCE_TERM
from coldcab.classroom.releasing import form_of, release

HERE = Path(__file__).parent


def fill_sources(material: Path = HERE, names: tuple[str, ...] = ()) -> None:
    """Write the reference answers into the source notebooks named, or into all."""
    for name, assignment in load_reference(material / "reference").items():
        if names and name not in names:
            continue
        case = assignment.case(REFERENCE_TERM, REFERENCE_LEARNER)
        path = material / "source" / name / f"{name}.ipynb"
        book = json.loads(path.read_text(encoding="utf-8"))
        for cell in book["cells"]:
            text = "".join(cell["source"])
            if cell["cell_type"] == "code" and text.startswith(MAGIC):
                cell["source"] = sheet_text(text, assignment, case, right).splitlines(keepends=True)
        path.write_text(_written(book), encoding="utf-8")


def forms(material: Path = HERE, names: tuple[str, ...] = ()) -> dict[str, str]:
    """Return the text of the forms named, or of all, by their names."""
    with tempfile.TemporaryDirectory() as place:
        folder = ClassFolder.create(Path(place) / "class", OPEN_TERM, roster=None, material=material)
        return {name: _written(form_of(folder, name)) for name in release(folder, names)}


def _written(book: dict) -> str:
    return json.dumps(book, indent=1, ensure_ascii=False, sort_keys=True) + "\n"


def main(names: tuple[str, ...] = ()) -> None:
    """Fill the sources, then make the forms of the course."""
    fill_sources(names=names)
    for name, text in forms(names=names).items():
        path = HERE.parent / "course" / "graded" / name / f"{name}.ipynb"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        print(f"{name}: source filled, form written")


if __name__ == "__main__":
    main(tuple(sys.argv[1:]))
