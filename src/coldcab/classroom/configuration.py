"""What nbgrader must know to run a class: which steps replace its own, and where keys and pages lie."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from coldcab.classroom.pages import TEMPLATES
from coldcab.classroom.rubrics import Rubrics
from coldcab.classroom.settings import gradebook_url, read_settings

DEFAULT_COURSE = "default_course"
"""nbgrader's own name for a course that has none."""


def configure(config: Any, *, folder: str | Path, term: str | None = None) -> None:
    """Set up nbgrader for the class in ``folder``; called from its ``nbgrader_config.py``.

    Marking reads the sheets as text in the place of running the notebook; releasing empties the answers; what a
    learner wrote is made harmless before a browser shows it; feedback pages load nothing from elsewhere.

    Parameters
    ----------
    config
        The object that ``get_config()`` returns.
    folder
        The class folder.
    term
        The term, where it is not to be read from the settings of the folder.
    """
    import nbgrader
    from nbgrader import preprocessors as stock

    from coldcab.classroom import preprocessors as steps
    from coldcab.classroom.late_plugin import PerDay
    from coldcab.classroom.marked_notebook import Harmless

    folder = Path(folder).resolve()
    settings = read_settings(folder)
    term = term or settings.term
    config.CourseDirectory.root = str(folder)
    config.CourseDirectory.db_url = gradebook_url(folder)
    # A database that keeps its word refuses a sheet whose course has no name.
    config.CourseDirectory.course_id = settings.course or DEFAULT_COURSE
    if settings.exchange:
        config.Exchange.root = settings.exchange
    for step in (steps.BlankAnswers, steps.FreshForm, steps.MarkSheets):
        config[step.__name__].folder = str(folder)
        config[step.__name__].term = term
    config.GradesAndStates.folder = str(folder)
    config.GenerateAssignment.preprocessors = [
        stock.IncludeHeaderFooter,
        steps.BlankAnswers,
        stock.LockCells,
        stock.ClearOutput,
        stock.CheckCellMetadata,
        stock.ComputeChecksums,
        steps.SaveCellsAtOnce,
    ]
    if settings.late.percent_a_day:
        config.AssignLatePenalties.plugin_class = PerDay
        config.PerDay.percent_a_day, config.PerDay.most = settings.late.percent_a_day, settings.late.most
    # The fresh form is ours, so nothing is left that nbgrader would have to overwrite, rename or check again.
    config.Autograde.sanitize_preprocessors = [steps.FreshForm]
    config.Autograde.autograde_preprocessors = [
        steps.MarkSheets,
        steps.SaveScores,
        stock.AssignLatePenalties,
        steps.PlainWords,
        Harmless,
    ]
    config.GenerateFeedback.preprocessors = [steps.GradesAndStates]
    # The first folder that has a template wins: ours holds the feedback page, and the formgrader without the
    # formula renderer that nbgrader's own page fetches from elsewhere.
    formgrader = Path(nbgrader.__file__).parent / "server_extensions" / "formgrader"
    config.HTMLExporter.extra_template_basedirs = [str(TEMPLATES), str(formgrader / "templates")]
    # Ours extends nbgrader's page of a submission by its way from this folder, and shows the rubric beside it.
    config.HTMLExporter.extra_template_paths = [str(formgrader)]
    config.HTMLExporter.filters = {"rubric": Rubrics(str(folder))}
