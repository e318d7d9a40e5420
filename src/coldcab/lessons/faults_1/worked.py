"""Worked examples of lesson faults-1: a circuit under load, a coil and its temperature, a pressure sensor."""

from __future__ import annotations

from coldcab import units
from coldcab.lessons.example import Example, example_table
from coldcab.service.clutch_wiring import (
    LOAD_POINTS,
    MINUS,
    PLUS,
    Wiring,
    copper_in_fahrenheit,
    probe,
)
from coldcab.words import _

COLD, HOT = 75.0, 210.0  # F
COLD_OHM = 3.7
SUPPLY, SIGNAL = 4.92, 1.71  # V


def circuit_under_load() -> Example:
    """A ground side that loses, found from the middle outward; an invented machine."""
    state = probe(
        Wiring(fault="clutch ground wire corroded", coil_temperature=units.from_unit(140.0, "temperature", "F"))
    )

    def across(red: str, black: str) -> str:
        return f"{state.across(red, black):.2f} V"

    feed, ground = LOAD_POINTS[3], LOAD_POINTS[4]
    body = (
        (_("battery, clutch on"), across(PLUS, MINUS), _("battery and alternator are fine")),
        (_("clutch coil, its own two terminals"), across(feed, ground), _("too little: something takes the rest")),
        (_("whole feed side: battery plus to feed terminal"), across(PLUS, feed), _("fine, so leave the feed side")),
        (_("ground terminal to battery minus"), across(ground, MINUS), _("far too much: the ground side")),
        (_("engine block to battery minus"), across(LOAD_POINTS[5], MINUS), _("fine: the strap is good")),
        (_("ground terminal to engine block"), across(ground, LOAD_POINTS[5]), _("the clutch ground wire is bad")),
    )
    caption = _("Unit 31, the combine, 12 V, engine running; readings and machine are invented")
    return example_table((_("two points"), _("meter"), _("what it says")), body, caption)


def coil_by_temperature() -> Example:
    """Ohms and amperes of a coil that gets hot, and its temperature from its ohms."""
    hot = round(copper_in_fahrenheit(COLD_OHM, COLD, HOT), 2)
    volts = 12.4
    found = 5.0
    body = (
        (
            _("coil at 210 F (99 C)"),
            f"{COLD_OHM} ohm × (390 + {HOT:g}) ÷ (390 + {COLD:g})",
            f"{hot:.2f} ohm",
        ),
        (_("current, 12.4 V between its terminals"), f"{volts} V ÷ {hot:.2f} ohm", f"{volts / hot:.2f} A"),
        (_("current of the cold coil"), f"{volts} V ÷ {COLD_OHM} ohm", f"{volts / COLD_OHM:.2f} A"),
        (
            _("coil found with 5.0 ohm: its temperature"),
            f"5.0 ÷ {COLD_OHM} × (390 + {COLD:g}) − 390",
            f"{found / COLD_OHM * (390 + COLD) - 390:.0f} F",
        ),
    )
    caption = _("A coil of 3.7 ohm at 75 F (24 C), invented")
    return example_table((_("what"), _("how"), _("result")), body, caption)


def sensor_step_by_step() -> Example:
    """A ratiometric sensor with a supply that is not just 5 V."""
    share = round(SIGNAL / SUPPLY, 3)  # each line goes on with what the line before it shows
    part = round((share - 0.1) / 0.8, 3)
    body = (
        (_("share of the supply"), f"{SIGNAL} V ÷ {SUPPLY} V", f"{share:.3f}"),
        (_("above a tenth"), f"{share:.3f} − 0.1", f"{share - 0.1:.3f}"),
        (_("share of the range"), f"{share - 0.1:.3f} ÷ 0.8", f"{part:.3f}"),
        (_("pressure"), f"{part:.3f} × 500 psig", f"{500 * part:.0f} psig"),
    )
    caption = _("Supply 4.92 V, signal 1.71 V, range 500 psig; invented")
    return example_table((_("what"), _("how"), _("result")), body, caption)
