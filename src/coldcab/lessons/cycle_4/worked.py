"""Worked examples of lesson cycle-4: superheat by two sets of tables, and one machine step by step."""

from __future__ import annotations

from coldcab import air, published, refrigerants, units
from coldcab.lessons.example import Example, example_table
from coldcab.quantities import FREEZING
from coldcab.words import _

AWAY = 7.0
"""K between the line and saturation in the examples: superheat on the low side, subcooling on the high side."""

HIGH_SIDE = 900.0  # kPa; above it a pressure stands for the high side


def superheat_by_two_tables() -> Example:
    """Superheat and subcooling from printed saturation tables, beside those of this course."""
    body = []
    for row in published.rows("saturation_printed"):
        kilopascal, printed = float(row["pressure_kPa_absolute"]), float(row["saturation_C"])
        computed = refrigerants.saturation_temperature(row["refrigerant"], 1e3 * kilopascal) - FREEZING
        high = kilopascal > HIGH_SIDE
        line = round(printed + (-AWAY if high else AWAY))
        by_table, by_course = (abs(one - line) for one in (printed, computed))
        body.append(
            (
                row["source"],
                row["refrigerant"],
                f"{kilopascal:.0f} kPa",
                f"{line}\N{NO-BREAK SPACE}C",
                "subcooling" if high else "superheat",
                f"{by_table:.2f} K",
                f"{by_course:.2f} K",
                f"{by_course - by_table:+.2f}\N{NO-BREAK SPACE}K",
            )
        )
    head = ("table", "refrigerant", "absolute pressure", "line", "quantity", "by that table", "this course", "apart")
    return example_table(head, body, _("The same readings with an older table and with this course"))


def superheat_step_by_step() -> Example:
    """One invented machine with long hoses: superheat, subcooling and the spring, with every step on the way."""
    atmosphere = air.atmospheric_pressure(units.from_unit(5000, "length", "ft"))
    name = "R-134a"

    def saturation(psig: float) -> float:
        pressure = units.from_unit(psig, "pressure", "psig", atmosphere=atmosphere)
        return units.convert(refrigerants.saturation_temperature(name, pressure), "temperature", "F")

    coil, wrong, liquid = saturation(33), saturation(28), saturation(176)
    kelvin = units.from_unit(49, "temperature", "F")
    bulb = units.convert(refrigerants.saturation_pressure(name, kelvin), "pressure", "psig", atmosphere=atmosphere)
    air_psi = units.convert(atmosphere, "pressure", "psia")
    body = [
        (_("pressure at the coil's outlet"), _("28 psig + 5 psi lost in the hose"), "33 psig"),
        ("saturation there", _("gauge pair at 5,000 ft, 33 psig"), f"{coil:.1f} F"),
        (_("superheat at the coil"), f"49 - {coil:.1f}", f"{49 - coil:.1f} F ({(49 - coil) / 1.8:.1f} K)"),
        (
            _("with the hose forgotten"),
            _("49 - {wrong:.1f}, saturation at 28 psig").format(wrong=wrong),
            f"{49 - wrong:.1f} F: too much",
        ),
        (_("pressure before the valve"), _("184 psig - 8 psi lost on the way"), "176 psig"),
        ("saturation there", _("gauge pair at 5,000 ft, 176 psig"), f"{liquid:.1f} F"),
        ("subcooling", f"{liquid:.1f} - 113", f"{liquid - 113:.1f} F ({(liquid - 113) / 1.8:.1f} K)"),
        ("bulb, absolute", "property reader, 49 F", f"{bulb + air_psi:.1f} psia"),
        (
            _("bulb, as a gauge shows it"),
            _("{bulb:.1f} - {around:.1f} psi of air at 5,000 ft").format(bulb=bulb + air_psi, around=air_psi),
            f"{bulb:.1f} psig",
        ),
        (
            "spring",
            f"{bulb:.1f} - 33",
            _("{bulb:.1f} psi ({bulb_2:.0f} kPa)").format(bulb=bulb - 33, bulb_2=(bulb - 33) * 6.894757),
        ),
    ]
    caption = _(
        "R-134a at 5,000 ft, invented: 28 and 184 psig at the compressor, 49 F beside the bulb, "
        "liquid line 113 F, external equaliser"
    )
    return example_table(("what", "how", "result"), body, caption)
