"""Practice of lesson cycle-2: one running machine, from the gauges to the capacity."""

from coldcab.assess import ideas_loop
from coldcab.assess.forms.cycle_2 import FORM
from coldcab.assess.items import Assignment

KEYS = {
    "compression ratio": ideas_loop.compression_ratio(),
    "refrigerating effect": ideas_loop.refrigerating_effect(),
    "compressor work": ideas_loop.compressor_work(),
    "cooling COP": ideas_loop.cooling_cop(),
    "discharge temperature": ideas_loop.discharge_temperature(),
    "mass flow": ideas_loop.mass_flow(),
    "cooling capacity": ideas_loop.cooling_capacity(),
}

SHEET = Assignment(
    "practice-cycle-2", FORM.title, 15, tuple(FORM.item(label) for label in KEYS)
).with_keys(KEYS)  # fmt: skip
