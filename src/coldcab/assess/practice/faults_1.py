"""Practice of lesson faults-1: a coil at work, the voltage on its way, a switch that opened."""

from coldcab.assess import ideas_clutch
from coldcab.assess.forms.faults_1 import FORM
from coldcab.assess.items import Assignment

KEYS = {
    "coil resistance hot": ideas_clutch.coil_resistance_hot(),
    "current hot": ideas_clutch.current_hot(),
    "voltage lost": ideas_clutch.voltage_lost(),
    "part that takes it": ideas_clutch.bad_part(),
    "voltage across it": ideas_clutch.voltage_across(),
    "its resistance": ideas_clutch.its_resistance(),
    "switch that opened": ideas_clutch.switch_that_opened(),
}

SHEET = Assignment(
    "practice-faults-1", FORM.title, 15, tuple(FORM.item(label) for label in KEYS)
).with_keys(KEYS)  # fmt: skip
