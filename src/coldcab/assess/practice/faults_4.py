"""Practice of lesson faults-4: three machines of the practice tickets, whose causes are known at once."""

from coldcab.assess import ideas_clinic
from coldcab.assess.forms.faults_4 import FORM
from coldcab.assess.items import Assignment
from coldcab.scenario.clinic import practice_causes

_ALL = {
    "machine 1, high side": ideas_clinic.high_side(0),
    "machine 2, high side": ideas_clinic.high_side(1),
    **ideas_clinic.keys(0, practice_causes),
    **ideas_clinic.keys(1, practice_causes),
    **ideas_clinic.keys(2, practice_causes),
}
LEFT_OUT = ("machine 3, measurements", "machine 3, proof")

KEYS = {item.label: _ALL[item.label] for item in FORM.items if item.label in _ALL and item.label not in LEFT_OUT}

SHEET = Assignment(
    "practice-faults-4", FORM.title, 30, tuple(FORM.item(label) for label in KEYS)
).with_keys(KEYS)  # fmt: skip
