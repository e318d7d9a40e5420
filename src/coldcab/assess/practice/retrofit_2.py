"""Practice of lesson retrofit-2: one job from the rinse to the rise test."""

from coldcab.assess import ideas_tightness as ideas
from coldcab.assess.forms.retrofit_2 import FORM
from coldcab.assess.items import Assignment

KEYS = {
    "rinses needed": ideas.rinses_needed(),
    "gauge of a tight circuit": ideas.gauge_of_a_tight_circuit(),
    "fall not explained": ideas.fall_not_explained(),
    "water boils below": ideas.water_boils_below(),
    "pressure in the machine": ideas.pressure_in_the_machine(),
    "first rise": ideas.rise(0),
    "second rise": ideas.rise(1),
}

SHEET = Assignment(
    "practice-retrofit-2", FORM.title, 15, tuple(FORM.item(label) for label in KEYS)
).with_keys(KEYS)  # fmt: skip
