"""Practice of lesson oil-1: viscosity, a blend, oil by weight, a residue, an open can, one pair."""

from coldcab.assess import ideas_oil
from coldcab.assess.forms.oil_1 import FORM
from coldcab.assess.items import Assignment

KEYS = {
    "viscosity when running": ideas_oil.viscosity_when_running(),
    "viscosity of the blend": ideas_oil.viscosity_of_blend(),
    "oil on the scale": ideas_oil.oil_on_the_scale(),
    "mineral oil share": ideas_oil.share_of_mineral_oil(),
    "times the moisture limit": ideas_oil.times_the_moisture_limit(),
    "verdict on the oil": ideas_oil.verdict_on_the_oil(),
}

SHEET = Assignment(
    "practice-oil-1", FORM.title, 15, tuple(FORM.item(label) for label in KEYS)
).with_keys(KEYS)  # fmt: skip
