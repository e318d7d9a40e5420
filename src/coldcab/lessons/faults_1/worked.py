"""Worked examples of lesson faults-1: the clutch and the controls."""

from __future__ import annotations

from coldcab import published, units
from coldcab.lessons.example import Example, example_table
from coldcab.quantities import FREEZING, POUND_FORCE
from coldcab.service.clutch import Circuit, Coil, coil_resistance, magnetic_pull
from coldcab.words import _

PRINTED_CELSIUS = ("40", "60", "80", "100", "125", "150")
"""Rows of the printed table that the lesson shows, C."""


def copper_against_a_table() -> Example:
    """Printed correction factors for copper beside those of the course, from 25 C.

    Source: the head of the table copper_resistance.
    """
    body = []
    for row in published.rows("copper_resistance"):
        if row["source"] == "B" and row["at"] in PRINTED_CELSIUS:
            celsius = float(row["at"])
            cold, hot = (coil_resistance(one + FREEZING, resistance_at_20=1.0) for one in (25.0, celsius))
            body.append((f"{celsius * 1.8 + 32:.0f} F ({celsius:.0f} C)", row["value"], f"{hot / cold:.3f}"))
    head = (_("copper at"), _("printed"), _("this course"))
    return example_table(head, body, _("Resistance of copper over that at 77 F (25 C)"))


def pull_of_a_pole() -> Example:
    """A worked magnet of a public forum beside the course's own answer. Source: the head of copper_resistance."""
    row = next(row for row in published.rows("copper_resistance") if row["source"] == "C")
    force = magnetic_pull(float(row["at"]), 6e-4)
    body = [
        (
            _("{field} T on 2 cm by 3 cm").format(field=row["at"]),
            f"{row['value']} N",
            f"{force:.1f} N ({force / POUND_FORCE:.1f} lbf)",
        )
    ]
    return example_table(
        (_("pole face"), _("printed"), _("this course")), body, _("Pull between two parallel pole faces")
    )


def voltage_walk() -> Example:
    """One invented circuit, walked along with a meter."""
    state = Circuit(coil=Coil(resistance=3.6)).state(
        source=13.8, coil_temperature=units.from_unit(200.0, "temperature", "F"), added={"relay contacts": 1.2}
    )
    body, before = [], 13.8
    for one in state.drops[:-1]:
        after = round(float(one.after), 2)
        body.append((_("behind the {part}").format(part=one.link.name), f"{after:.2f} V", f"{before - after:.2f} V"))
        before = after
    ground = round(float(state.drops[-1].before), 2)
    body.append(
        (
            _("coil, ground terminal"),
            f"{ground:.2f} V",
            _("{voltage:.2f} V across the coil").format(voltage=before - ground),
        )
    )
    body.append((_("battery minus"), "0.00 V", _("{voltage:.2f} V in the ground strap").format(voltage=ground)))
    hot = state.coil_resistance
    coil = round(before - ground, 2)
    relay = round(next(float(one.drop) for one in state.drops if one.link.name == "relay contacts"), 2)
    body += [
        (_("coil at 200 F (93 C)"), "3.6 × (234.5 + 93.3) ÷ (234.5 + 20)", f"{hot:.2f} ohm"),
        (_("current"), f"{coil:.2f} V ÷ {hot:.2f} ohm", f"{coil / hot:.2f} A"),
        (_("relay contacts"), f"{relay:.2f} V ÷ {coil / hot:.2f} A", f"{relay / (coil / hot):.2f} ohm"),
    ]
    caption = _("Meter's minus on the battery's minus, plus lead moved along; battery 13.8 V, clutch on, invented")
    return example_table((_("place"), _("reading"), _("lost since the last")), body, caption)
