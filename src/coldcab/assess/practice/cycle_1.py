"""Practice of lesson cycle-1: the questions of the graded sheet that build on each other, with other numbers."""

from coldcab.assess import ideas_pressure as pressure
from coldcab.assess.forms.cycle_1 import FORM
from coldcab.assess.items import Assignment

KEYS = {
    "absolute pressure": pressure.absolute_pressure(lambda case: case.low_side_psig),
    "absolute pressure during evacuation": pressure.absolute_pressure_in_vacuum(lambda case: case.vacuum_inches),
    "R-12 saturation temperature": pressure.saturation_temperature(
        "R-12", "R-134a", lambda case: case.low_side_psig, tolerance=1.2, altitude=True
    ),
    "state at A": pressure.line_state(0),
    "state at B": pressure.line_state(1),
    "state at C": pressure.line_state(2),
    "air pressure in the cylinder": pressure.air_pressure(),
    "standing pressure": pressure.standing_pressure(),
}

SHEET = Assignment(
    "practice-cycle-1", FORM.title, 12, tuple(FORM.item(label) for label in KEYS)
).with_keys(KEYS)  # fmt: skip
