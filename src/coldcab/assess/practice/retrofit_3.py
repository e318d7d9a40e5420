"""Practice of lesson retrofit-3: one machine to convert, from the day's pressures to parts and leaks."""

from coldcab.assess import ideas_conversion as ideas
from coldcab.assess.forms.retrofit_3 import FORM
from coldcab.assess.items import Assignment

KEYS = {
    "high side with R-134a": ideas.high_side(),
    "change in cooling capacity": ideas.capacity_change(),
    "starting charge": ideas.starting_charge(),
    "new low-pressure setting": ideas.low_switch(),
    "hoses": ideas.hoses(),
    "oil": ideas.oil(),
    "CO2 equivalent of the leaks": ideas.leak_cost(),
}

SHEET = Assignment(
    "practice-retrofit-3", FORM.title, 15, tuple(FORM.item(label) for label in KEYS)
).with_keys(KEYS)  # fmt: skip
