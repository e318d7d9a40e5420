"""Practice of lesson faults-2: signs of two faults, the worst of three, two suspects."""

from coldcab.assess import ideas_signs
from coldcab.assess.forms.faults_2 import FORM
from coldcab.assess.items import Assignment

KEYS = {
    "fault 1, low side": ideas_signs.direction("starving", "low_gauge"),
    "fault 1, high side": ideas_signs.direction("starving", "high_gauge"),
    "fault 1, superheat": ideas_signs.direction("starving", "superheat_measured"),
    "high side above healthy": ideas_signs.above_healthy(),
    "worst drier": ideas_signs.worst_drier(),
    "complaint D": ideas_signs.circuit_or_cab(0),
    "low side suspect": ideas_signs.low_side_suspect(),
}

SHEET = Assignment(
    "practice-faults-2", FORM.title, 20, tuple(FORM.item(label) for label in KEYS)
).with_keys(KEYS)  # fmt: skip
