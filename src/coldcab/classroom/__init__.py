"""The instructor's side: a class folder that nbgrader understands, and grading that runs nobody's code."""

from coldcab.classroom.configuration import configure
from coldcab.classroom.folder import ClassError, ClassFolder, Learner

__all__ = ["ClassError", "ClassFolder", "Learner", "configure"]
