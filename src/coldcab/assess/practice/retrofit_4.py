"""Practice of lesson retrofit-4: from the rule to the last can, and the charge from a curve."""

from coldcab.assess import ideas_charging
from coldcab.assess.forms.retrofit_4 import FORM
from coldcab.assess.items import Assignment

KEYS = {
    "starting charge": ideas_charging.starting_charge(),
    "heel in a can": ideas_charging.heel_key(),
    "liquid in the hose": ideas_charging.hose_key(),
    "number of cans": ideas_charging.number_of_cans(),
    "last can lighter by": ideas_charging.last_can(),
    "charge from the curve": ideas_charging.charge_from_the_curve(),
    "clear glass proves": ideas_charging.clear_glass(),
}

SHEET = Assignment(
    "practice-retrofit-4", FORM.title, 15, tuple(FORM.item(label) for label in KEYS)
).with_keys(KEYS)  # fmt: skip
