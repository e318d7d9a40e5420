"""What a feedback page says beside the marks: how a line is worked out, where it is taught, what was asked again.

Nothing here comes from a key: a hint stands on the form, a passage in the lesson.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field, replace

from coldcab import course, lessons
from coldcab.classroom import material, records
from coldcab.classroom.autograder import MarkingPackage
from coldcab.classroom.folder import ClassFolder
from coldcab.classroom.inbox import NOT_GRADABLE, Outcome, look
from coldcab.classroom.passages import places_named
from coldcab.classroom.second_looks import Request, all_requests, file_name, request_text
from coldcab.units import in_order


@dataclass(frozen=True)
class Notes:
    """What stands on a page beside the marks.

    ``ways`` says of each line how it is worked out, ``passages`` where it is taught. ``newer`` is why a later file
    of this learner could not be read. ``units`` come first in the form's own words.
    """

    ways: dict[str, str] = field(default_factory=dict)
    passages: dict[str, str] = field(default_factory=dict)
    asked: tuple[Request, ...] = ()
    newer: str = ""
    request_file: str = ""
    units: str = "us"

    @property
    def state(self) -> str:
        """Return all of it as text, for the fingerprint of a page."""
        return json.dumps(asdict(self), sort_keys=True)

    def request(self, sheet: str, lines: Iterable[str]) -> str:
        """Return a request for another look that a learner has only to give reasons in."""
        return request_text(sheet, lines)

    def asked_about(self, line: str) -> list[Request]:
        """Return what the learner has asked about a line."""
        return [each for each in self.asked if each.line == line]


class SheetNotes:
    """The notes of all pages of one sheet."""

    def __init__(self, folder: ClassFolder, name: str) -> None:
        self.name = name
        form = lessons.FORMS[name].items if name in lessons.FORMS else ()
        taught = material.taught_in(folder.path, name)
        ways = {item.label: in_order(item.hint, folder.units) for item in form if item.hint}
        named = {label: places_named(name, course.folder(), places) for label, places in taught.items()}
        self._all = Notes(
            ways, {label: in_order(said, folder.units) for label, said in named.items() if said}, units=folder.units
        )
        self._asked = all_requests(folder, name)

    def of(self, learner: str, newer: str = "") -> Notes:
        """Return the notes on the page of one learner."""
        asked = self._asked.get(learner, ())
        newer = for_the_learner(newer)
        return replace(self._all, asked=asked, newer=newer, request_file=file_name(self.name, learner))


def refused(outcomes: Mapping[str, Outcome]) -> dict[str, str]:
    """Return why the files of some learners could not be marked, by learner."""
    return {who: each.reason for who, each in outcomes.items() if each.status == NOT_GRADABLE}


def refused_now(folder: ClassFolder, name: str) -> dict[str, str]:
    """Return the same as it stands, writing nothing and reading no file anew."""
    package = MarkingPackage.of(folder, name)
    found: dict[str, str] = {}
    for learner in folder.learners():
        seen = look(folder, name, learner)
        if isinstance(seen, Outcome):
            found |= refused({learner.id: seen})
        elif why := records.refusal(folder, name, learner.id, records.state_of(package, seen)):
            found[learner.id] = why
    return found


def for_the_learner(reason: str) -> str:
    """Return what was wrong with a file; what stands behind a semicolon tells the instructor what to do."""
    return reason.partition(";")[0]
