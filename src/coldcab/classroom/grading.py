"""From the inbox to scores and feedback pages: one process, one gradebook, nobody's code is run."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from coldcab.assess import Mark
from coldcab.classroom import intake
from coldcab.classroom.folder import ClassFolder, Learner, environment_on_path, own_folder
from coldcab.classroom.marker import Marker
from coldcab.classroom.releasing import form_of
from coldcab.classroom.running import load_configuration, one_gradebook_engine, quiet, run_converter
from coldcab.learner import write_whole

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


def find_hand_in(folder: ClassFolder, name: str, learner: Learner) -> Path:
    """Return the file that a learner handed in: from the inbox, else what was taken in before.

    Taken in by us, or by nbgrader's own exchange.

    Raises
    ------
    FileNotFoundError
        If nothing was handed in.
    intake.NotGradable
        If there is something, but not one plain notebook.
    """
    try:
        return intake.find_notebook(folder.inbox, learner.id, name)
    except FileNotFoundError:
        return intake.find_notebook(folder.submitted, learner.id, name)


def take_in(folder: ClassFolder, name: str, learner: Learner) -> tuple[dict[str, Any], intake.Submission, str]:
    """Return the clean notebook of one learner, what was read, and when it came as nbgrader writes it.

    Raises
    ------
    FileNotFoundError
        If nothing was handed in.
    intake.NotGradable
        If it cannot be read.
    """
    form = form_of(folder, name)
    file = find_hand_in(folder, name, learner)
    cells = intake.parse_notebook(intake.read_plain_file(file))
    submission = intake.read_submission(cells, form["cells"], name)
    return intake.fill_form(form, submission.texts), submission, intake.time_of(file)


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
    from nbgrader.converters import GenerateFeedback
    from nbgrader.coursedir import CourseDirectory

    form_of(folder, name)
    folder.enter_learners()
    marker = Marker(folder, name)
    configuration = load_configuration(folder)
    outcomes: list[Outcome] = []
    astray: list[str] = []
    with environment_on_path(), one_gradebook_engine(), quiet():
        place = CourseDirectory(config=configuration)
        place.assignment_id = place.notebook_id = name
        autograde = _quick_autograde()(coursedir=place, config=configuration)
        feedback = GenerateFeedback(coursedir=place, config=configuration)
        autograde.force = feedback.force = True
        version = _version(folder, name)
        for learner in folder.learners():
            progress(learner.id)
            outcome, clean = examine(folder, marker, name, learner)
            if blocked := _blocked(folder, learner, name):
                outcome, clean = replace(outcome, status="not gradable", reason=blocked), None
                astray.append(learner.id)
            if clean is not None:
                place.student_id = learner.id
                state = hashlib.sha256((version + clean.text).encode()).hexdigest()
                outcome = _mark(folder, name, outcome, clean, state, autograde, again)
            outcomes.append(outcome)
        if pages and any(outcome.status in ("graded", "unchanged") for outcome in outcomes):
            # Points by hand and comments may have come since, so all pages are made afresh.
            place.student_id, place.student_id_exclude = "*", ",".join(astray)
            run_converter(feedback, "a feedback page could not be made")
    return with_scores(folder, name, (*outcomes, *strangers(folder, name)))


def _mark(
    folder: ClassFolder, name: str, outcome: Outcome, clean: Clean, state: str, autograde: Any, again: bool
) -> Outcome:
    """Write down and mark one clean submission, unless that was done before."""
    from nbgrader.converters import NbGraderException

    learner = outcome.learner
    record = own_folder(folder.path, "records", name) / f"{learner.id}.json"
    if not again and _is_done(folder, record, state, name, learner):
        return replace(outcome, status="unchanged")
    try:
        submitted = own_folder(folder.path, "submitted", learner.id, name)
        write_whole(submitted / "timestamp.txt", clean.time.encode())
        write_whole(submitted / f"{name}.ipynb", clean.text.encode())
        autograde.start()
        write_whole(record, json.dumps({"state": state}).encode())
    except BaseException as error:
        if not record.is_file():
            _forget(folder, name, learner)
        if not isinstance(error, (NbGraderException, SystemExit)):
            raise
        return replace(outcome, status="not gradable", reason=_STOPPED.format(name, learner.id))
    return outcome


def _blocked(folder: ClassFolder, learner: Learner, name: str) -> str:
    """Why nothing may be written for a learner: a folder of theirs leads elsewhere by a link. Else nothing."""
    for part in ("submitted", "autograded", "feedback"):
        for place in (folder.path / part / learner.id, folder.path / part / learner.id / name):
            if place.is_symlink():
                return f"{place.relative_to(folder.path)} is a link; remove it, then grade again"
    return ""


_STOPPED = "nbgrader stopped at it; to see why, run: nbgrader autograde {0} --student {1} --force"


def _forget(folder: ClassFolder, name: str, learner: Learner) -> None:
    """Take a half-marked submission out of the gradebook, where it would look like an earned zero.

    Not if somebody gave points by hand: those are kept.
    """
    from nbgrader.api import Gradebook, MissingEntry

    with Gradebook(folder.gradebook_url) as gradebook, suppress(MissingEntry):
        notebooks = gradebook.find_submission(name, learner.id).notebooks
        if all(grade.manual_score is None for notebook in notebooks for grade in notebook.grades):
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


@dataclass(frozen=True)
class Clean:
    """A submission as it goes on: the text of the notebook file, and when it came."""

    text: str
    time: str


def examine(folder: ClassFolder, marker: Marker, name: str, learner: Learner) -> tuple[Outcome, Clean | None]:
    """Read and mark one submission, writing nothing; return the outcome and, if it can be read, the clean notebook."""
    try:
        book, submission, time = take_in(folder, name, learner)
    except FileNotFoundError:
        stray = intake.stray_notebooks(folder.inbox, learner.id, folder.assignments())
        hint = f"there is {', '.join(stray)} in the inbox; if it is this sheet, put it into {learner.id}/{name}/"
        return Outcome(learner, "missing", remarks=(hint,) if stray else ()), None
    except intake.NotGradable as error:
        return Outcome(learner, "not gradable", str(error)), None
    sheet = marker.sheet(book)
    try:
        marks = marker.marks(sheet, learner.id)
        fits = marker.fits(sheet, marks, learner.id)
    except (ValueError, ArithmeticError) as error:
        # A key that stumbles over one answer must not stop the class; the learner loses nothing by it.
        return Outcome(learner, "not gradable", f"a key of {name} stumbles over an answer ({error})"), None
    remarks = (*submission.remarks, *sheet.problems)
    outcome = Outcome(learner, "graded", remarks=remarks, marks=marks, fits=fits)
    return outcome, Clean(json.dumps(book, indent=1, ensure_ascii=False, sort_keys=True) + "\n", time)


def strangers(folder: ClassFolder, name: str) -> tuple[Outcome, ...]:
    """Return what lies in the inbox under an id that is not on the roster."""
    known = {learner.id for learner in folder.learners()}
    reason = "this id is not on the roster; rename the folder to the learner's id, or add the id to roster.csv"
    return tuple(
        Outcome(Learner(intake.plain(entry.name)), "not gradable", reason)
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
            outcome = replace(outcome, score=score, out_of=out_of, to_read=to_read)
            if outcome.status in ("not gradable", "missing"):
                outcome = replace(outcome, remarks=(*outcome.remarks, "the score is of what was handed in before"))
        found.append(outcome)
    return tuple(found)


def survey(folder: ClassFolder, name: str) -> tuple[Outcome, ...]:
    """Return the outcomes as they stand, writing nothing; for the report."""
    marker = Marker(folder, name)
    outcomes = (examine(folder, marker, name, learner)[0] for learner in folder.learners())
    return with_scores(folder, name, (*outcomes, *strangers(folder, name)))
