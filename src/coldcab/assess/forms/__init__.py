"""The graded forms as a learner's copy has them: lines without keys; one module a lesson, each with a ``FORM``."""

from collections.abc import Mapping

from coldcab.assess.items import Assignment
from coldcab.lessons import Pages

FORMS: Mapping[str, Assignment] = Pages("coldcab.assess.forms", "FORM")
