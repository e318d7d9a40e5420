"""Practice of lesson cycle-3: the air of the day, and a coil."""

from coldcab.assess import ideas_air
from coldcab.assess.forms.cycle_3 import FORM
from coldcab.assess.items import Assignment

KEYS = {
    "dew point": ideas_air.dew_point(),
    "humidity ratio": ideas_air.humidity_ratio(),
    "vent temperature": ideas_air.vent_temperature(),
    "heat taken by the coil": ideas_air.heat_taken(),
    "latent share": ideas_air.latent_share(),
    "condensate rate": ideas_air.condensate_rate(),
    "filter half blocked": ideas_air.filter_half_blocked(),
}

SHEET = Assignment(
    "practice-cycle-3", FORM.title, 15, tuple(FORM.item(label) for label in KEYS)
).with_keys(KEYS)  # fmt: skip
