"""From the inbox to scores and feedback pages: one process, one gradebook, nobody's code is run."""

from __future__ import annotations

import hashlib
import json
import logging
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from coldcab.assess import CHOICE, Assignment, Mark, Sheet, agrees, grade, load_reference, merge_sheets
from coldcab.classroom import intake
from coldcab.classroom.folder import (
    CONFIGURATION,
    ClassError,
    ClassFolder,
    Learner,
    environment_on_path,
    own_folder,
)
from coldcab.learner import write_whole

REFERENCE_LEARNER, REFERENCE_TERM = "reference", "open"
"""For whom the source notebooks are solved; a sheet with these numbers was copied from the model answers."""

ENOUGH = 3
"""Numbers that must fit somebody else's case before it is called more than chance."""

Progress = Callable[[str], None]


@dataclass(frozen=True)
class Outcome:
    """What became of one learner's sheet.

    ``status`` is graded, unchanged, not gradable, or missing; ``reason`` says why it is not gradable.
    """

    learner: Learner
    status: str
    reason: str = ""
    remarks: tuple[str, ...] = ()
    marks: tuple[Mark, ...] = ()
    fits: str = ""
    score: float | None = None
    out_of: float | None = None
    to_read: bool = False


def load_configuration(folder: ClassFolder) -> Any:
    """Return nbgrader's configuration of the class, as nbgrader's own commands read it."""
    from traitlets.config.loader import PyFileConfigLoader

    return PyFileConfigLoader(CONFIGURATION, path=str(folder.path)).load_config()


@contextmanager
def one_gradebook_engine() -> Iterator[None]:
    """Let nbgrader use one database engine for a whole run.

    nbgrader opens the gradebook nine times for each submission, and SQLAlchemy would compile every statement again
    each time. The database's own safety (its sync) is left as it is.
    """
    from nbgrader import api

    made = api.create_engine
    api.create_engine = lru_cache(maxsize=4)(made)
    try:
        yield
    finally:
        api.create_engine = made


@contextmanager
def quiet() -> Iterator[None]:
    """Keep nbgrader's progress lines off the screen; what matters is raised or shown in the table."""
    from sqlalchemy.exc import SAWarning

    logger = logging.getLogger("traitlets")
    before, logger.disabled = logger.disabled, True
    try:
        with warnings.catch_warnings():
            # nbgrader adds objects to a session a little late; SQLAlchemy says so each time.
            warnings.simplefilter("ignore", SAWarning)
            yield
    finally:
        logger.disabled = before


def release(folder: ClassFolder, names: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Make the forms of the named assignments, or of all; return their names."""
    from nbgrader.converters import GenerateAssignment
    from nbgrader.coursedir import CourseDirectory

    chosen = folder.choose(names, folder.assignments(), "Its notebook belongs in source/<name>/<name>.ipynb.")
    configuration = load_configuration(folder)
    with environment_on_path(), one_gradebook_engine(), quiet():
        for name in chosen:
            place = CourseDirectory(config=configuration)
            place.assignment_id = name
            maker = GenerateAssignment(coursedir=place, config=configuration)
            maker.force = True
            _run(maker, f"the form of {name} could not be made")
    return chosen


def _run(converter: Any, what: str) -> None:
    from nbgrader.converters import NbGraderException

    try:
        converter.start()
    except (NbGraderException, SystemExit) as error:
        raise ClassError(f"{what[:1].upper()}{what[1:]}: {error}") from error


def form_of(folder: ClassFolder, name: str) -> dict[str, Any]:
    """Return the released form of an assignment.

    Raises
    ------
    ClassError
        If it has not been released.
    """
    file = folder.form_file(name)
    if not file.is_file():
        raise ClassError(f"{name} has not been released in this class; run: coldcab class release {name}")
    return json.loads(file.read_text(encoding="utf-8"))


def take_in(folder: ClassFolder, name: str, learner: Learner) -> tuple[dict[str, Any], intake.Submission]:
    """Return the clean notebook of one learner, and what was read.

    Raises
    ------
    FileNotFoundError
        If nothing was handed in.
    intake.NotGradable
        If it cannot be read.
    """
    form = form_of(folder, name)
    file = intake.find_notebook(folder.inbox, learner.id, name)
    cells = intake.parse_notebook(intake.read_plain_file(file))
    submission = intake.read_submission(cells, form["cells"], name)
    return intake.fill_form(form, submission.texts), submission


class Marker:
    """Marks sheets of one assignment, and finds out whose numbers a sheet fits."""

    def __init__(self, folder: ClassFolder, name: str) -> None:
        references = load_reference(folder.reference)
        if name not in references:
            raise ClassError(f"{name} has no key in {folder.reference}; add reference/{name.replace('-', '_')}.py.")
        self.assignment: Assignment = references[name]
        self.term = folder.term
        self._numeric = [item for item in self.assignment.items if item.kind != CHOICE]
        cases = {learner.id: self.assignment.case(folder.term, learner.id) for learner in folder.learners()}
        model = self.assignment.case(REFERENCE_TERM, REFERENCE_LEARNER)
        cases[f"{REFERENCE_LEARNER} (the model answers)"] = model
        self._targets = {who: (case, [item.answer(case) for item in self._numeric]) for who, case in cases.items()}

    def sheet(self, book: dict[str, Any]) -> Sheet:
        """Return the answers of a clean notebook."""
        labels = [item.label for item in self.assignment.items]
        return merge_sheets(intake.sheet_texts(book["cells"]), labels)

    def marks(self, sheet: Sheet, learner: str) -> tuple[Mark, ...]:
        """Mark a sheet with the learner's own numbers."""
        return grade(self.assignment, sheet, self.assignment.case(self.term, learner))

    def fits(self, sheet: Sheet, learner: str) -> str:
        """Return the id whose numbers a sheet fits clearly better than the learner's own, or nothing."""
        answers = [sheet.answers.get(item.label, "") for item in self._numeric]
        if sum(map(bool, answers)) < ENOUGH:
            return ""

        def right(case: Any, targets: list[Any]) -> int:
            lines = zip(self._numeric, answers, targets, strict=True)
            return sum(agrees(item, answer, target, case) for item, answer, target in lines)

        mine = self.assignment.case(self.term, learner)
        own = right(mine, [item.answer(mine) for item in self._numeric])
        if own > len(self._numeric) - ENOUGH:
            return ""
        others = ((right(*target), who) for who, target in self._targets.items() if who != learner)
        most, who = max(others, default=(0, ""))
        return who if most >= max(ENOUGH, own + 2) else ""


@lru_cache(maxsize=1)
def _quick_autograde() -> type:
    """nbgrader's Autograde, opening the gradebook once where it opens it five times before each submission."""
    from nbgrader.api import Gradebook
    from nbgrader.converters import Autograde

    class QuickAutograde(Autograde):
        def init_assignment(self, assignment_id: str, student_id: str) -> None:
            # Learners are in the gradebook already, and a clean submission is one notebook without other files.
            timestamp = self.coursedir.get_existing_timestamp(self._format_source(assignment_id, student_id))
            when = {"timestamp": timestamp} if timestamp else {}
            with Gradebook(self.coursedir.db_url, self.coursedir.course_id) as gradebook:
                gradebook.update_or_create_submission(assignment_id, student_id, **when)

    return QuickAutograde


def grade_class(
    folder: ClassFolder,
    name: str,
    *,
    again: bool = False,
    pages: bool = True,
    progress: Progress = lambda text: None,
) -> tuple[Outcome, ...]:
    """Take in, mark and give feedback on one assignment.

    Whoever is done stays done when the run is stopped; a second run marks only what is new, unless ``again``.
    ``pages`` says whether feedback pages are written, too.

    Returns
    -------
    tuple
        One outcome for each learner of the roster, and for each folder in the inbox that the roster does not know.
    """
    from nbgrader.converters import GenerateFeedback, NbGraderException
    from nbgrader.coursedir import CourseDirectory

    form_of(folder, name)
    folder.enter_learners()
    marker = Marker(folder, name)
    configuration = load_configuration(folder)
    outcomes: list[Outcome] = []
    with environment_on_path(), one_gradebook_engine(), quiet():
        place = CourseDirectory(config=configuration)
        place.assignment_id = name
        autograde = _quick_autograde()(coursedir=place, config=configuration)
        feedback = GenerateFeedback(coursedir=place, config=configuration)
        autograde.force = feedback.force = True
        version = _version(folder, name)
        for learner in folder.learners():
            progress(learner.id)
            outcome, book = examine(folder, marker, name, learner)
            if book is not None:
                text = json.dumps(book, indent=1, ensure_ascii=False, sort_keys=True) + "\n"
                state = hashlib.sha256((version + text).encode()).hexdigest()
                record = own_folder(folder.path, "records", name) / f"{learner.id}.json"
                place.student_id = learner.id
                try:
                    if again or not _is_done(folder, record, state, name, learner):
                        target = own_folder(folder.path, "submitted", learner.id, name) / f"{name}.ipynb"
                        write_whole(target, text.encode())
                        autograde.start()
                        write_whole(record, json.dumps({"state": state}).encode())
                    else:
                        outcome = _with(outcome, status="unchanged")
                except (NbGraderException, SystemExit):
                    _forget(folder, name, learner)
                    outcome = _with(outcome, status="not gradable", reason=_STOPPED.format(name, learner.id))
            outcomes.append(outcome)
        if pages and any(outcome.status in ("graded", "unchanged") for outcome in outcomes):
            # Points by hand and comments may have come since, so all pages are made afresh.
            place.student_id = "*"
            _run(feedback, "a feedback page could not be made")
    return with_scores(folder, name, (*outcomes, *strangers(folder, name)))


_STOPPED = "nbgrader stopped at it; to see why, run: nbgrader autograde {0} --student {1} --force"


def _with(outcome: Outcome, **changes: Any) -> Outcome:
    return replace(outcome, **changes)


def _forget(folder: ClassFolder, name: str, learner: Learner) -> None:
    """Take a half-marked submission out of the gradebook, where it would look like an earned zero."""
    from nbgrader.api import Gradebook, MissingEntry

    with Gradebook(folder.gradebook_url) as gradebook, suppress(MissingEntry):
        gradebook.remove_submission(name, learner.id)


def _version(folder: ClassFolder, name: str) -> str:
    """What besides the learner's words decides a score: form, keys, term, and the package that marks."""
    import coldcab

    digest = hashlib.sha256(folder.form_file(name).read_bytes())
    for file in sorted(folder.reference.glob("*.py")):
        digest.update(file.read_bytes())
    return f"{digest.hexdigest()} {folder.term} {coldcab.__version__} "


def _is_done(folder: ClassFolder, record: Path, state: str, name: str, learner: Learner) -> bool:
    marked = folder.autograded / learner.id / name / f"{name}.ipynb"
    if not (record.is_file() and marked.is_file()):
        return False
    try:
        return json.loads(record.read_text(encoding="utf-8")).get("state") == state
    except (ValueError, OSError, AttributeError):
        return False


def examine(folder: ClassFolder, marker: Marker, name: str, learner: Learner) -> tuple[Outcome, dict[str, Any] | None]:
    """Read and mark one submission without writing anything; return the outcome and, if readable, the clean notebook."""
    try:
        book, submission = take_in(folder, name, learner)
    except FileNotFoundError:
        return Outcome(learner, "missing"), None
    except intake.NotGradable as error:
        return Outcome(learner, "not gradable", str(error)), None
    sheet = marker.sheet(book)
    outcome = Outcome(
        learner,
        "graded",
        remarks=(*submission.remarks, *sheet.problems),
        marks=marker.marks(sheet, learner.id),
        fits=marker.fits(sheet, learner.id),
    )
    return outcome, book


def strangers(folder: ClassFolder, name: str) -> tuple[Outcome, ...]:
    """Return what lies in the inbox under an id that is not on the roster."""
    known = {learner.id for learner in folder.learners()}
    reason = "this id is not on the roster; rename the folder to the learner's id, or add the id to roster.csv"
    return tuple(
        Outcome(Learner(entry.name), "not gradable", reason)
        for entry in sorted(folder.inbox.iterdir())
        if entry.name not in known and not entry.name.startswith(".")
    )


def with_scores(folder: ClassFolder, name: str, outcomes: tuple[Outcome, ...]) -> tuple[Outcome, ...]:
    """Add to each outcome the score that the gradebook has."""
    from nbgrader.api import Gradebook

    with environment_on_path(), Gradebook(folder.gradebook_url) as gradebook:
        scores = {
            each.student_id: (each.score, each.max_score, each.needs_manual_grade)
            for each in gradebook.assignment_submissions(name)
        }
    found = []
    for outcome in outcomes:
        if outcome.learner.id in scores:
            score, out_of, to_read = scores[outcome.learner.id]
            outcome = _with(outcome, score=score, out_of=out_of, to_read=to_read)
            if outcome.status in ("not gradable", "missing"):
                outcome = _with(outcome, remarks=(*outcome.remarks, "the score is of what was handed in before"))
        found.append(outcome)
    return tuple(found)


def survey(folder: ClassFolder, name: str) -> tuple[Outcome, ...]:
    """Return the outcomes as they stand, writing nothing; for the report."""
    marker = Marker(folder, name)
    outcomes = (examine(folder, marker, name, learner)[0] for learner in folder.learners())
    return with_scores(folder, name, (*outcomes, *strangers(folder, name)))
