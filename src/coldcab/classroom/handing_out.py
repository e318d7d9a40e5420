"""A zip for every learner: the form where it belongs, and who they are, for classes without a server."""

from __future__ import annotations

import io
import json
import zipfile
from pathlib import Path

from coldcab.classroom.folder import ClassFolder, Learner, own_folder, write_file

_FIRST_DAY = (1980, 1, 1, 0, 0, 0)
"""The time of every file in a zip: the same hand-out is the same bytes."""

READ_ME = """\
{name}, term {term}

1. Unpack this zip into the folder of your course (the one with start-here.ipynb).
   Without the course: install coldcab, then run: coldcab open
2. Open the course and go to {sheets}.
3. Fill in the sheet. Save it. Hand in the file {files}.
{due}
"""


def hand_out(folder: ClassFolder, names: tuple[str, ...]) -> tuple[Path, ...]:
    """Write ``hand-out/<id>.zip`` for every learner; return where they are.

    Each holds the forms, the learner's id and term as the course reads them, and a page of plain words.
    """
    place = own_folder(folder.path, "hand-out")
    forms = {name: folder.form_file(name).read_bytes() for name in names}
    made = []
    for learner in folder.learners():
        file = place / f"{learner.id}.zip"
        write_file(file, _zip(folder, learner, forms))
        made.append(file)
    return tuple(made)


def _zip(folder: ClassFolder, learner: Learner, forms: dict[str, bytes]) -> bytes:
    due = {name: folder.settings.due_time(name) for name in forms}
    said = [
        f"   {name} is due {moment:%Y-%m-%d %H:%M} ({folder.settings.zone})." for name, moment in due.items() if moment
    ]
    paths = {name: f"graded/{name}/{name}.ipynb" for name in forms}
    words = READ_ME.format(
        name=learner.name,
        term=folder.term,
        sheets=" and ".join(forms),
        files=" and ".join(paths.values()),
        due="\n".join(said),
    )
    who = json.dumps({"id": learner.id, "term": folder.term, "units": folder.units}, indent=2) + "\n"
    parts = {"read-me.txt": words.encode(), ".coldcab.json": who.encode()}
    parts |= {paths[name]: data for name, data in forms.items()}
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts.items():
            entry = zipfile.ZipInfo(name, _FIRST_DAY)
            entry.compress_type, entry.external_attr = zipfile.ZIP_DEFLATED, 0o644 << 16
            archive.writestr(entry, data)
    return packed.getvalue()


def feedback_zip(folder: ClassFolder, name: str) -> tuple[Path, int]:
    """Write ``feedback/<name>.zip`` with the page of every learner; return where it is and how many are in it."""
    packed, count = io.BytesIO(), 0
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for learner in folder.learners():
            page = folder.feedback / learner.id / name / f"{name}.html"
            if not page.is_file() or any(part.is_symlink() for part in (page, page.parent, page.parent.parent)):
                continue
            entry = zipfile.ZipInfo(f"{learner.id}/{name}-feedback.html", _FIRST_DAY)
            entry.compress_type, entry.external_attr = zipfile.ZIP_DEFLATED, 0o644 << 16
            archive.writestr(entry, page.read_bytes())
            count += 1
    file = folder.feedback / f"{name}.zip"
    write_file(file, packed.getvalue())
    return file, count
