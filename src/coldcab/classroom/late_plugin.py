"""What a late sheet loses: so many per cent of its points for each day begun."""

from __future__ import annotations

from nbgrader.plugins import BasePlugin
from traitlets import Float

from coldcab.classroom.late import share_off
from coldcab.classroom.settings import Late


class PerDay(BasePlugin):
    """A plugin of nbgrader's ``AssignLatePenalties``; ``class.toml`` sets it."""

    percent_a_day = Float(0.0, help="Per cent of the points taken off for each day begun.").tag(config=True)
    most = Float(100.0, help="Per cent that are taken off at most.").tag(config=True)

    def late_submission_penalty(self, student_id: str, score: float, total_seconds_late: float) -> float:
        """Return the points to take off."""
        return score * share_off(Late(self.percent_a_day, self.most), total_seconds_late)
