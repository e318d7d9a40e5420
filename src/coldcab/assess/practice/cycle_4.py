"""Practice of lesson cycle-4: superheat, subcooling, the bulb, and what the valve does next."""

from coldcab.assess import ideas_valve
from coldcab.assess.forms.cycle_4 import FORM
from coldcab.assess.items import Assignment

KEYS = {
    "superheat at the coil": ideas_valve.superheat(),
    "subcooling before the valve": ideas_valve.subcooling(),
    "bulb pressure": ideas_valve.bulb_pressure(),
    "valve after A": ideas_valve.valve_after(0),
    "valve after B": ideas_valve.valve_after(1),
    "bulb off the pipe": ideas_valve.bulb_off_the_pipe(),
    "clear glass": ideas_valve.clear_glass(),
}

SHEET = Assignment(
    "practice-cycle-4", FORM.title, 15, tuple(FORM.item(label) for label in KEYS)
).with_keys(KEYS)  # fmt: skip
