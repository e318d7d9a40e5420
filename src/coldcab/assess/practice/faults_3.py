"""Practice of lesson faults-3: two situations, probabilities by hand, one decision."""

from coldcab.assess import ideas_evidence
from coldcab.assess.forms.faults_3 import FORM
from coldcab.assess.items import Assignment

KEYS = {
    "situation 1": ideas_evidence.next_measurement(0),
    "situation 2": ideas_evidence.next_measurement(1, slow=True),
    "after the first reading": ideas_evidence.after(0),
    "after both readings": ideas_evidence.after(0, 1),
    "most likely now": ideas_evidence.most_likely(),
    "wasted on average": ideas_evidence.waste(*ideas_evidence.FIRST),
    "decision P": ideas_evidence.decision(*ideas_evidence.FIRST),
}

SHEET = Assignment(
    "practice-faults-3", FORM.title, 20, tuple(FORM.item(label) for label in KEYS)
).with_keys(KEYS)  # fmt: skip
