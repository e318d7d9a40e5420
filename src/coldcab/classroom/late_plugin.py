"""What a late sheet loses: so many per cent of its points for each day begun."""

from __future__ import annotations

import math

from nbgrader.plugins import BasePlugin
from traitlets import Float

DAY = 86_400


class PerDay(BasePlugin):
    """A plugin of nbgrader's ``AssignLatePenalties``; ``class.toml`` sets it."""

    percent_a_day = Float(0.0, help="Per cent of the points taken off for each day begun.").tag(config=True)
    most = Float(100.0, help="Per cent that are taken off at most.").tag(config=True)

    def late_submission_penalty(self, student_id: str, score: float, total_seconds_late: float) -> float:
        """Return the points to take off."""
        return score * min(self.most, self.percent_a_day * math.ceil(total_seconds_late / DAY)) / 100
