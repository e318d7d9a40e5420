"""nbgrader's tables as far as we read and write them: names and types of columns, without nbgrader itself.

Importing nbgrader brings its servers and takes most of a second, which every small command would wait for. A test
compares each table with nbgrader's own.
"""

from __future__ import annotations

from sqlalchemy import Boolean, DateTime, Float, Interval, String, Text, column, table

ASSIGNMENT = table("assignment", column("id", String), column("name", String), column("duedate", DateTime))
NOTEBOOK = table("notebook", column("id", String), column("name", String), column("assignment_id", String))
CELL = table(
    "base_cell", column("id", String), column("name", String), column("notebook_id", String), column("type", String)
)
GRADE_CELL = table("grade_cells", column("id", String), column("max_score", Float))
TASK_CELL = table("task_cells", column("id", String), column("max_score", Float))
STUDENT = table(
    "student",
    column("id", String),
    column("first_name", String),
    column("last_name", String),
    column("email", String),
)
SUBMISSION = table(
    "submitted_assignment",
    column("id", String),
    column("assignment_id", String),
    column("student_id", String),
    column("timestamp", DateTime),
    column("extension", Interval),
)
SUBMITTED_NOTEBOOK = table(
    "submitted_notebook",
    column("id", String),
    column("assignment_id", String),
    column("notebook_id", String),
    column("flagged", Boolean),
    column("late_submission_penalty", Float),
)
GRADE = table(
    "grade",
    column("id", String),
    column("notebook_id", String),
    column("cell_id", String),
    column("auto_score", Float),
    column("manual_score", Float),
    column("extra_credit", Float),
    column("needs_manual_grade", Boolean),
)
COMMENT = table(
    "comment",
    column("id", String),
    column("notebook_id", String),
    column("cell_id", String),
    column("auto_comment", Text),
    column("manual_comment", Text),
)

TABLES = (
    ASSIGNMENT, NOTEBOOK, CELL, GRADE_CELL, TASK_CELL, STUDENT, SUBMISSION, SUBMITTED_NOTEBOOK, GRADE, COMMENT,
)  # fmt: skip
