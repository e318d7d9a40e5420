"""The graded forms as a learner's copy has them: lines without keys."""

from coldcab.assess.forms import cycle_1, cycle_2
from coldcab.assess.items import Assignment

FORMS: dict[str, Assignment] = {form.name: form for form in (cycle_1.FORM, cycle_2.FORM)}
