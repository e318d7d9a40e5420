"""What nbgrader must know to run a class: which steps replace its own, and where keys and pages lie."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from coldcab.classroom.folder import read_term

TEMPLATES = Path(__file__).parent / "templates"


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
    from nbconvert.preprocessors.sanitize import SanitizeHTML
    from nbgrader import preprocessors as stock

    from coldcab.classroom import steps

    folder = Path(folder).resolve()
    term = term or read_term(folder)
    config.CourseDirectory.root = str(folder)
    for step in (steps.BlankAnswers, steps.FreshForm, steps.MarkSheets):
        config[step.__name__].folder = str(folder)
        config[step.__name__].term = term
    config.GenerateAssignment.preprocessors = [
        stock.IncludeHeaderFooter,
        steps.BlankAnswers,
        stock.LockCells,
        stock.ClearOutput,
        stock.CheckCellMetadata,
        stock.ComputeChecksums,
        stock.SaveCells,
    ]
    # The fresh form is ours, so nothing is left that nbgrader would have to overwrite, rename or check again.
    config.Autograde.sanitize_preprocessors = [steps.FreshForm]
    config.Autograde.autograde_preprocessors = [
        steps.MarkSheets,
        steps.SaveScores,
        stock.AssignLatePenalties,
        steps.PlainWords,
        SanitizeHTML,
    ]
    config.SanitizeHTML.enabled = True
    # What our own feedback and the forms' text are made of; everything else is shown as text.
    config.SanitizeHTML.tags = ["a", "b", "br", "code", "em", "i", "li", "ol", "p", "strong", "ul"]
    config.SanitizeHTML.tags += ["table", "tbody", "td", "th", "thead", "tr"]
    config.GenerateFeedback.preprocessors = [steps.GradesAndStates]
    # The first folder that has a template wins: ours holds the feedback page, and the formgrader without the
    # formula renderer that nbgrader's own page fetches from elsewhere.
    nbgrader_templates = Path(nbgrader.__file__).parent / "server_extensions" / "formgrader" / "templates"
    config.HTMLExporter.extra_template_basedirs = [str(TEMPLATES), str(nbgrader_templates)]
