"""Reference solution of the graded sheet faults-3: the keys of practice, and those of the lines that only it has."""

from coldcab.assess.forms.faults_3 import FORM
from coldcab.assess.practice.faults_3 import KEYS

from coldcab.assess import ideas_evidence

ASSIGNMENT = FORM.with_keys(
    KEYS
    | {
        "situation 3": ideas_evidence.next_measurement(2),
        "situation 4": ideas_evidence.next_measurement(3, slow=True),
        "a further reading": ideas_evidence.further_reading(),
        "decision Q": ideas_evidence.decision(*ideas_evidence.SECOND),
    }
)
