"""nbgrader's gradebook, written and read directly: one transaction a submission, one query for a whole class.

The tables and their meaning are nbgrader's own, so that formgrader, its export and its other commands go on working.
nbgrader's objects load one row at a time, which takes minutes where a class is large; these few statements take
milliseconds. Points and comments that a person gave are never written here.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import uuid4
from zoneinfo import ZoneInfo

from coldcab.classroom.folder import ClassFolder
from coldcab.classroom.roster import ROSTER_COLUMNS
from coldcab.classroom.settings import ClassError

PATIENCE = 60
"""Seconds to wait for another program that writes to the same gradebook; the database's own default is 5."""

TRIES = 5
"""How often one submission is written anew when another grader wrote the same rows in between."""


# formgrader puts names into its pages as they are: what looks like markup there would act. Its own signs are replaced.
_NO_MARKUP = str.maketrans({"<": "‹", ">": "›", "&": "+", '"': "”", "'": "’", "`": "’", "\\": "/"})


@dataclass(frozen=True)
class Submission:
    """What is written about one submission.

    ``time`` is when it was handed in, in UTC without a zone, as nbgrader keeps it. ``scores`` are points by the name of
    the cell, None where a person has to look. ``untouched`` cells are as they were in the form; in ``unchanged`` ones
    the words are those that were marked before, so that points by hand need no second look. Points of cells
    ``to_confirm`` count, and wait for a person to look.
    """

    learner: str
    time: datetime
    scores: Mapping[str, float | None]
    untouched: Collection[str] = ()
    unchanged: Collection[str] = ()
    to_confirm: Collection[str] = ()


@dataclass(frozen=True)
class Points:
    """What the gradebook says about one cell of one submission; ``waits`` for a person to look.

    ``marked`` are the points that the marking gave, whatever a person made of them.
    """

    score: float
    out_of: float
    waits: bool
    by_hand: bool = False
    marked: float | None = None

    @property
    def changed(self) -> bool:
        """Whether a person gave other points than the marking did."""
        return self.by_hand and self.marked is not None and self.score != self.marked


@dataclass(frozen=True)
class Entry:
    """One submission in the gradebook."""

    points: dict[str, Points] = field(default_factory=dict)
    comments: dict[str, str | None] = field(default_factory=dict)
    penalty: float = 0.0
    seconds_late: float = 0.0
    time: str = ""

    def day(self, zone: str) -> str:
        """Return the day on which it was handed in, in this time zone; nothing where no time is known."""
        if not self.time:
            return ""
        moment = datetime.fromisoformat(self.time).replace(tzinfo=UTC)
        return f"{moment.astimezone(ZoneInfo(zone)):%Y-%m-%d}"

    @property
    def score(self) -> float:
        """Return the points so far, late penalty taken off."""
        return sum(each.score for each in self.points.values()) - self.penalty

    @property
    def out_of(self) -> float:
        """Return the points that can be had."""
        return sum(each.out_of for each in self.points.values())

    @property
    def waits(self) -> bool:
        """Whether something waits for a person to look."""
        return any(each.waits for each in self.points.values())


def _new_id() -> str:
    """Return the id of a new row, as nbgrader makes it."""
    return uuid4().hex


def _engine(url: str) -> Any:
    from sqlalchemy import create_engine

    patience = {"timeout": PATIENCE} if url.startswith("sqlite") else {}
    return create_engine(url, connect_args=patience)


class SheetBook:
    """The part of the gradebook that belongs to one sheet, kept open for a whole run.

    Raises
    ------
    ClassError
        If the sheet has not been released with this gradebook.
    """

    def __init__(self, engine: Any, name: str) -> None:
        from sqlalchemy import select

        from coldcab.classroom import gradebook_tables as tables

        self.engine, self.name = engine, name
        self.submissions, self.notebooks = tables.SUBMISSION, tables.SUBMITTED_NOTEBOOK
        self.grades, self.comments = tables.GRADE, tables.COMMENT
        self.cells, self.grade_cells, self.task_cells = tables.CELL, tables.GRADE_CELL, tables.TASK_CELL
        assignments, sources = tables.ASSIGNMENT, tables.NOTEBOOK
        with engine.connect() as connection:
            found = connection.execute(
                select(assignments.c.id, assignments.c.duedate, sources.c.id)
                .join(sources, sources.c.assignment_id == assignments.c.id)
                .where(assignments.c.name == name, sources.c.name == name)
            ).first()
            if found is None:
                raise ClassError(f"The gradebook does not know {name}; run: coldcab class release {name}")
            self.assignment_id, self.due, self.notebook_id = found
            rows = connection.execute(
                select(self.cells.c.id, self.cells.c.name, self.cells.c.type).where(
                    self.cells.c.notebook_id == self.notebook_id
                )
            ).all()
        self.graded = {row.name: row.id for row in rows if row.type in ("GradeCell", "TaskCell")}
        self.answered = {row.name: row.id for row in rows if row.type in ("SolutionCell", "TaskCell")}

    def write(self, submissions: Iterable[Submission]) -> None:
        """Write the scores of some submissions, all or none; whatever a person gave by hand stays."""
        from sqlalchemy.exc import IntegrityError, OperationalError

        submissions = tuple(submissions)
        for left in reversed(range(TRIES)):
            try:
                with self.engine.begin() as connection:
                    for submission in submissions:
                        self._write(connection, submission)
                return
            except (IntegrityError, OperationalError):
                # Another grader wrote the same submission in between: what it wrote is now read and updated.
                if not left:
                    raise

    def _write(self, connection: Any, submission: Submission) -> None:
        notebook = self._notebook_of(connection, self._row_of(connection, submission))
        self._write_grades(connection, notebook, submission)
        self._write_comments(connection, notebook, submission)

    def _row_of(self, connection: Any, submission: Submission) -> str:
        """Return the id of a submission's row, with the time of this hand-in; it is made if it is not there."""
        from sqlalchemy import insert, select, update

        table, learner, time = self.submissions, submission.learner, submission.time
        found = connection.execute(
            select(table.c.id, table.c.timestamp).where(
                table.c.assignment_id == self.assignment_id, table.c.student_id == learner
            )
        ).first()
        if found is None:
            row = {"id": _new_id(), "assignment_id": self.assignment_id, "student_id": learner, "timestamp": time}
            connection.execute(insert(table), row)
            return row["id"]
        if found.timestamp != time:
            connection.execute(update(table).where(table.c.id == found.id).values(timestamp=time))
        return found.id

    def _notebook_of(self, connection: Any, submission: str) -> str:
        """Return the id of the row of a submission's notebook; it is made if it is not there."""
        from sqlalchemy import insert, select

        table = self.notebooks
        found = connection.execute(
            select(table.c.id).where(table.c.assignment_id == submission, table.c.notebook_id == self.notebook_id)
        ).scalar()
        if found is None:
            found = _new_id()
            row = {"id": found, "assignment_id": submission, "notebook_id": self.notebook_id, "flagged": False}
            connection.execute(insert(table), row)
        return found

    def _write_grades(self, connection: Any, notebook: str, submission: Submission) -> None:
        there = self._rows(connection, self.grades, notebook)
        new, changed = [], []
        for name, cell in self.graded.items():
            score, row = submission.scores.get(name), there.get(cell)
            looked_at = row is not None and row.manual_score is not None
            waits = score is None or looked_at or name in submission.to_confirm
            if looked_at and not row.needs_manual_grade and row.auto_score == score:
                waits = name not in submission.unchanged and score is None
            entry = {"auto_score": score, "needs_manual_grade": waits}
            if row is None:
                new.append(entry | {"id": _new_id(), "cell_id": cell, "notebook_id": notebook})
            elif (row.auto_score, row.needs_manual_grade) != (score, waits):
                changed.append({f"new_{key}": value for key, value in entry.items()} | {"row": row.id})
        self._put(connection, self.grades, new, changed, ("auto_score", "needs_manual_grade"))

    def _write_comments(self, connection: Any, notebook: str, submission: Submission) -> None:
        there = self._rows(connection, self.comments, notebook)
        new, changed = [], []
        for name, cell in self.answered.items():
            words, row = ("No response." if name in submission.untouched else None), there.get(cell)
            if row is None:
                new.append({"id": _new_id(), "cell_id": cell, "notebook_id": notebook, "auto_comment": words})
            elif row.auto_comment != words:
                changed.append({"new_auto_comment": words, "row": row.id})
        self._put(connection, self.comments, new, changed, ("auto_comment",))

    def _rows(self, connection: Any, table: Any, notebook: str) -> dict[str, Any]:
        from sqlalchemy import select

        found = connection.execute(select(table).where(table.c.notebook_id == notebook)).all()
        return {row.cell_id: row for row in found}

    def _put(self, connection: Any, table: Any, new: list[dict], changed: list[dict], columns: tuple[str, ...]) -> None:
        """Write new rows, and the columns of those that changed; each statement is compiled once for all of them."""
        from sqlalchemy import bindparam, insert, update

        if new:
            connection.execute(insert(table), new)
        if changed:
            values = {name: bindparam(f"new_{name}") for name in columns}
            connection.execute(update(table).where(table.c.id == bindparam("row")).values(**values), changed)

    def give(self, learner: str, cell: str, score: float) -> None:
        """Give one line of a learner other points than the marking did, as a person does in formgrader.

        Raises
        ------
        ClassError
            If nothing of this learner has been marked.
        """
        from sqlalchemy import select, update

        grades, notebooks, submissions = self.grades, self.notebooks, self.submissions
        row = (
            select(grades.c.id)
            .join(notebooks, notebooks.c.id == grades.c.notebook_id)
            .join(submissions, submissions.c.id == notebooks.c.assignment_id)
            .where(submissions.c.assignment_id == self.assignment_id, submissions.c.student_id == learner)
            .where(grades.c.cell_id == self.graded.get(cell))
        )
        with self.engine.begin() as connection:
            found = connection.execute(row).scalar()
            if found is None:
                raise ClassError(f"Nothing of {learner} has been marked on {self.name}; grade it first.")
            connection.execute(
                update(grades).where(grades.c.id == found).values(manual_score=score, needs_manual_grade=False)
            )

    def learners(self) -> frozenset[str]:
        """Return who has a submission of this sheet in the gradebook."""
        from sqlalchemy import select

        table = self.submissions
        with self.engine.connect() as connection:
            found = connection.execute(select(table.c.student_id).where(table.c.assignment_id == self.assignment_id))
            return frozenset(found.scalars())

    def entries(self) -> dict[str, Entry]:
        """Return every submission of the sheet by learner, in three queries however large the class is."""
        from sqlalchemy import func, select

        submissions, notebooks, grades, comments = self.submissions, self.notebooks, self.grades, self.comments
        whole = select().select_from(submissions).join(notebooks, notebooks.c.assignment_id == submissions.c.id)
        whole = whole.where(submissions.c.assignment_id == self.assignment_id)
        found: dict[str, Entry] = {}
        with self.engine.connect() as connection:
            heads = whole.with_only_columns(
                submissions.c.student_id,
                submissions.c.timestamp,
                submissions.c.extension,
                notebooks.c.late_submission_penalty,
            )
            for who, time, extension, penalty in connection.execute(heads):
                due = self.due + extension if self.due and extension else self.due
                late = max(0.0, (time - due).total_seconds()) if time and due else 0.0
                found[who] = Entry(penalty=penalty or 0.0, seconds_late=late, time=f"{time or ''}")
            points = (
                whole.join(grades, grades.c.notebook_id == notebooks.c.id)
                .join(self.cells, self.cells.c.id == grades.c.cell_id)
                .outerjoin(self.grade_cells, self.grade_cells.c.id == grades.c.cell_id)
                .outerjoin(self.task_cells, self.task_cells.c.id == grades.c.cell_id)
            ).with_only_columns(
                submissions.c.student_id,
                self.cells.c.name,
                grades.c.auto_score,
                grades.c.manual_score,
                grades.c.extra_credit,
                grades.c.needs_manual_grade,
                func.coalesce(self.grade_cells.c.max_score, self.task_cells.c.max_score),
            )
            for who, name, auto, manual, extra, waits, out_of in connection.execute(points):
                base = manual if manual is not None else auto
                score = 0.0 if base is None else base + (extra or 0.0)
                found[who].points[name] = Points(score, out_of or 0.0, bool(waits), manual is not None, auto)
            words = (
                whole.join(comments, comments.c.notebook_id == notebooks.c.id).join(
                    self.cells, self.cells.c.id == comments.c.cell_id
                )
            ).with_only_columns(
                submissions.c.student_id, self.cells.c.name, comments.c.auto_comment, comments.c.manual_comment
            )
            for who, name, auto, manual in connection.execute(words):
                found[who].comments[name] = manual if manual is not None else auto
        return found

    def set_extensions(self, until: Mapping[str, datetime | None]) -> None:
        """Write down who may hand in until when, in UTC without a zone; None: when everybody may.

        Who has handed in nothing has no row yet, and is met again after the next hand-in.
        """
        from sqlalchemy import select, update

        table = self.submissions
        mine = table.c.assignment_id == self.assignment_id
        with self.engine.begin() as connection:
            rows = connection.execute(select(table.c.id, table.c.student_id, table.c.extension).where(mine)).all()
            for row in rows:
                if row.student_id not in until:
                    continue
                moment = until[row.student_id]
                more = moment - self.due if moment is not None and self.due is not None else None
                if (row.extension or None) != (more or None):
                    connection.execute(update(table).where(table.c.id == row.id).values(extension=more))

    def set_due(self, moment: datetime | None) -> None:
        """Write down when the sheet is due, in UTC without a zone."""
        from sqlalchemy import update

        from coldcab.classroom.gradebook_tables import ASSIGNMENT as table

        if moment == self.due:
            return
        with self.engine.begin() as connection:
            connection.execute(update(table).where(table.c.id == self.assignment_id).values(duedate=moment))
        self.due = moment


@contextmanager
def sheet_book(folder: ClassFolder, name: str) -> Iterator[SheetBook]:
    """Open the gradebook for one sheet.

    Raises
    ------
    ClassError
        If the database does not answer, or does not know the sheet.
    """
    with _opened(folder) as engine:
        yield SheetBook(engine, name)


@contextmanager
def _opened(folder: ClassFolder) -> Iterator[Any]:
    from sqlalchemy.exc import ArgumentError, OperationalError

    try:
        engine = _engine(folder.gradebook_url)
    except (ArgumentError, ModuleNotFoundError) as error:
        raise ClassError(f"The gradebook's address cannot be used ({_first_line(error)}); see class.toml.") from None
    try:
        yield engine
    except OperationalError as error:
        raise ClassError(
            f"The gradebook does not answer ({_first_line(error)}); see that its database runs, then try again."
        ) from error
    finally:
        engine.dispose()


def _first_line(error: Exception) -> str:
    text = str(getattr(error, "orig", None) or error).strip().splitlines()
    return text[0] if text else type(error).__name__


def enter_roster(folder: ClassFolder) -> None:
    """Write the roster into the gradebook, which is made if it is not there."""
    from sqlalchemy import insert, inspect, select, update
    from sqlalchemy.exc import IntegrityError

    from coldcab.classroom.gradebook_tables import STUDENT as table

    learners = folder.learners()
    with _opened(folder) as engine:
        if not inspect(engine).has_table("alembic_version"):
            _make(engine)
        for left in reversed(range(TRIES)):
            with engine.connect() as connection:
                known = {row.id: row for row in connection.execute(select(table)).all()}
            new, changed = [], []
            for learner in learners:
                entry = {name: getattr(learner, name).translate(_NO_MARKUP) for name in ROSTER_COLUMNS}
                row = known.get(learner.id)
                if row is None:
                    new.append(entry)
                elif any((getattr(row, name) or "") != text for name, text in entry.items()):
                    changed.append(entry)
            try:
                with engine.begin() as connection:
                    if new:
                        connection.execute(insert(table), new)
                    for entry in changed:
                        connection.execute(update(table).where(table.c.id == entry["id"]).values(**entry))
                return
            except IntegrityError:
                if not left:
                    raise


def _make(engine: Any) -> None:
    """Make nbgrader's tables, and write down their version as nbgrader does; it asks another program for that."""
    import nbgrader
    from alembic.script import ScriptDirectory
    from nbgrader.api import Base, Course
    from sqlalchemy import insert, text

    head = ScriptDirectory(str(Path(nbgrader.__file__).parent / "alembic")).get_current_head()
    Base.metadata.create_all(engine)
    with engine.begin() as connection:
        connection.execute(text("CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL)"))
        connection.execute(text("INSERT INTO alembic_version (version_num) VALUES (:head)"), {"head": head})
        connection.execute(insert(Course.__table__), {"id": "default_course"})
