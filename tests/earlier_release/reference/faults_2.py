"""Reference solution of the graded sheet faults-2: the keys of practice, and those of the lines that only it has."""

from coldcab.assess.forms.faults_2 import FORM
from coldcab.assess.practice.faults_2 import KEYS

from coldcab.assess import ideas_signs

ASSIGNMENT = FORM.with_keys(
    KEYS
    | {
        "fault 2, low side": ideas_signs.direction("other", "low_gauge", may_stay=True),
        "fault 2, high side": ideas_signs.direction("other", "high_gauge", may_stay=True),
        "fault 2, vent air": ideas_signs.direction("other", "vent"),
        "complaint E": ideas_signs.circuit_or_cab(1),
        "high side suspect": ideas_signs.head_suspect(),
    }
)
