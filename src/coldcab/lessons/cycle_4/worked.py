"""Worked examples of lesson cycle-4: two machines step by step, and faults of valves side by side."""

from __future__ import annotations

from coldcab import air, refrigerants, units
from coldcab.faults import Fault
from coldcab.lessons.example import Example, example_table
from coldcab.machine import Conditions, Effects, nominal_charge, simulate
from coldcab.machine.fleet import FLEET
from coldcab.machine.valve import BULB_MOUNTINGS
from coldcab.words import _


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
        "liquid line 113 F, external equalizer"
    )
    return example_table(("what", "how", "result"), body, caption)


def block_step_by_step() -> Example:
    """An invented compact loader with R-1234yf: superheat behind its block valve, and by the wrong scale."""
    atmosphere = air.atmospheric_pressure(units.from_unit(4000, "length", "ft"))

    def saturation(psig: float, name: str = "R-1234yf") -> float:
        pressure = units.from_unit(psig, "pressure", "psig", atmosphere=atmosphere)
        return units.convert(refrigerants.saturation_temperature(name, pressure), "temperature", "F")

    at_block, wrong = saturation(37), saturation(37, "R-134a")
    body = [
        (_("pressure behind the block"), _("31 psig + 6 psi lost in the hose"), "37 psig"),
        (_("saturation there"), _("gauge pair, R-1234yf, 4,000 ft, 37 psig"), f"{at_block:.1f} F"),
        (_("superheat"), f"48 - {at_block:.1f}", f"{48 - at_block:.1f} F ({(48 - at_block) / 1.8:.1f} K)"),
        (
            _("by R-134a's scale"),
            f"48 - {wrong:.1f}",
            _("{superheat:.1f} F: too little").format(superheat=48 - wrong),
        ),
        (_("verdict"), _("manual of this invented machine: 9 to 16 F"), _("leave the valve alone")),
    ]
    caption = _("R-1234yf at 4,000 ft, invented: 31 psig at the compressor, 48 F on the suction line behind the block")
    return example_table((_("what"), _("how"), _("result")), body, caption, differences=(_("verdict"),))


SIDE_BY_SIDE: tuple[tuple[int, str, float, Effects | tuple[Fault, ...]], ...] = (
    (31, _("healthy"), 1.0, ()),
    (31, _("bulb bare in the bay"), 1.0, Effects(bulb_contact_loss=BULB_MOUNTINGS["strapped, left bare"])),
    (31, _("bulb off the pipe"), 1.0, Effects(bulb_contact_loss=BULB_MOUNTINGS["lifted off the pipe"])),
    (31, _("60 % of the charge"), 0.6, ()),
    (31, _("bulb has lost charge"), 1.0, (Fault("bulb charge lost", 0.5),)),
    (58, _("healthy"), 1.0, ()),
    (58, _("60 % of the charge"), 0.6, ()),
    (58, _("head has lost charge"), 1.0, (Fault("valve head charge lost", 0.5),)),
    (58, _("debris at the inlet"), 1.0, (Fault("valve screen plugged", 0.75),)),
    (58, _("stuck open"), 1.0, (Fault("valve stuck open", 0.6),)),
)
"""Machine, what is wrong, share of the charge, faults."""


def faults_side_by_side() -> Example:
    """What gauges, clip and glass show when a bulb valve or a block valve is sick, by the course's model."""
    outside = units.from_unit(85, "temperature", "F")
    day = Conditions(ambient=outside, relative_humidity=0.4, inlet_temperature=outside, inlet_relative_humidity=0.4)
    body, before = [], 0
    for number, name, share, faults in SIDE_BY_SIDE:
        machine = FLEET[number]
        charge = share * nominal_charge(machine, "R-134a")
        run = simulate(machine, day, refrigerant="R-134a", charge=charge, faults=faults)
        superheat = max(run.superheat, 0.0)
        body.append(
            (
                machine.name if number != before else "",
                name,
                _gauge(run.low_gauge),
                _gauge(run.high_gauge),
                f"{superheat * 1.8:.0f} F ({superheat:.0f} K)",
                _("has none") if machine.valve.block else run.glass,
                units.show(run.capacity, "power"),
            )
        )
        before = number
    head = ("machine", "what is wrong", "low side", "high side", "superheat", "glass", "cooling")
    return example_table(head, body, _("Two machines with R-134a on a day of 85 F, doors open, by this course's model"))


def _gauge(pressure: float) -> str:
    return f"{pressure / 6894.757:.0f} psig"
