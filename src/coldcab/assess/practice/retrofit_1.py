"""Practice of lesson retrofit-1: one cylinder, one scale, one container, one identifier, one case of law."""

from coldcab.assess import ideas_recovery as ideas
from coldcab.assess.forms.retrofit_1 import FORM
from coldcab.assess.items import Assignment

KEYS = {
    "allowed net mass": ideas.allowed_net_mass(),
    "level in the warm truck": ideas.warm_fill(),
    "mass recovered": ideas.mass_recovered(),
    "air in the container": ideas.air_in_container(),
    "after the identifier": ideas.after_identifier(),
    "case 1": ideas.law_case(1),
    "case 2": ideas.law_case(2),
}

SHEET = Assignment(
    "practice-retrofit-1", FORM.title, 15, tuple(FORM.item(label) for label in KEYS)
).with_keys(KEYS)  # fmt: skip
