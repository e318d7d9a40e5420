"""Cases of lesson retrofit-3: one machine to convert, its day, its parts, a draft label, a history of leaks."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import units
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.service.retrofit import HOSES, OldMachine
from coldcab.words import _

FIELDS = ("technician", "company", "date", "lubricant maker", "lubricant amount")
"""What can be missing on the draft of a label."""
NOTHING = "nothing"

OILS_FOUND = {"mineral": _("mineral oil"), "POE": _("POE oil"), "unknown": _("oil of unknown type")}
"""Not PAG: what has worked with R-12 is attacked by its chlorine, and then two answers could be defended."""

HIGH_SIDE = {
    (True, True): _("a relief device, a high-pressure cut-out"),
    (True, False): _("a relief device, no high-pressure cut-out"),
    (False, True): _("no relief device, a high-pressure cut-out"),
    (False, False): _("no relief device, no high-pressure cut-out"),
}
"""What stands on the high side, by whether there is a relief device and a cut-out."""


@dataclass(frozen=True)
class ConversionCase:
    """One machine that is to run on R-134a; numbers as instruments and data sheet show them."""

    unit: Unit
    ambient_fahrenheit: float
    engine_rpm: float
    cutout_psig: float
    low_switch_psig: float
    hoses: str
    oil: str
    high_side: str
    draft: str  # of the new label, one field perhaps left blank
    leaking_unit: Unit
    leaking_refrigerant: str
    added_oz: tuple[float, ...]

    @property
    def charge_lb(self) -> float:
        """Charge of R-12 on the data sheet in lb, as printed there."""
        return round(float(units.convert(self.unit.charge, "mass", "lb")), 2)

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        return [
            ("machine", self.unit.name),
            ("data sheet", _("{charge} of R-12").format(charge=shown(f"{self.charge_lb:.2f} lb", "mass", decimals=2))),
            ("outside air", shown(f"{self.ambient_fahrenheit:g} F", "temperature")),
            ("engine", _("{speed:,.0f} rpm, all else as the instrument starts").format(speed=self.engine_rpm)),
            ("cut-out to be fitted", shown(f"{self.cutout_psig:g} psig", "pressure")),
            ("low switch, R-12", shown(f"{self.low_switch_psig:g} psig", "pressure")),
            ("hoses", self.hoses),
            ("oil", self.oil),
            ("high side", self.high_side),
            ("draft label", self.draft),
            (
                "other machine",
                _("{machine}: {refrigerant} added, {amounts}").format(
                    machine=self.leaking_unit.name,
                    refrigerant=self.leaking_refrigerant,
                    amounts=", ".join(shown(f"{ounces:g} oz", "mass", decimals=0) for ounces in self.added_oz),
                ),
            ),
        ]


def draw_case(term: str, learner: str, *, assignment: str = "retrofit-3") -> ConversionCase:
    """Return the numbers of one learner: a hot day, so that the condenser's margin counts."""
    draw = Draw(assignment, term, learner)
    unit, other = draw.order("unit", CONVERTED)[:2]
    visits = int(draw.number("visits", 3, 4, 1))
    hoses, oil, high_side = described(
        OldMachine(
            hoses=draw.pick("hoses", HOSES),
            hoses_sound=draw.pick("hoses sound", (True, True, False)),
            oil=draw.pick("oil", tuple(OILS_FOUND)),
            relief_device=draw.pick("relief", (True, True, False)),
            high_cutout=draw.pick("high cut-out", (True, False)),
        )
    )
    return ConversionCase(
        unit=unit,
        ambient_fahrenheit=draw.number("ambient", 95, 112, 1),
        engine_rpm=draw.number("engine", 1300, 2000, 50),
        cutout_psig=draw.number("cut-out", 315, 335, 5),
        low_switch_psig=draw.number("low switch", 20, 32, 1),
        hoses=hoses,
        oil=oil,
        high_side=high_side,
        draft=_draft(draw.pick("missing", (*FIELDS, NOTHING))),
        leaking_unit=other,
        leaking_refrigerant=draw.pick("leaking refrigerant", ("R-134a", "R-12")),
        added_oz=tuple(draw.number(f"added {visit}", 6, 20, 1) for visit in range(visits)),
    )


def _draft(missing: str) -> str:
    """The label as far as it is written, one of `FIELDS` left blank or none."""
    fields = [f"{name}: {'blank' if name == missing else 'written in'}" for name in FIELDS]
    fields[3:3] = ["refrigerant: R-134a", "charge: written in", "lubricant type: PAG"]
    return "; ".join(fields)


def described(machine: OldMachine) -> tuple[str, str, str]:
    """Return what the sheet says of a machine's hoses, oil and high side."""
    hoses = {"unknown": _("hoses of unknown make-up")}.get(machine.hoses, f"{machine.hoses} hoses")
    state = _("{hoses}, sound and dry") if machine.hoses_sound else _("{hoses}, cracked and oily at the crimps")
    high_side = HIGH_SIDE[machine.relief_device, machine.high_cutout]
    return state.format(hoses=hoses), OILS_FOUND[machine.oil], high_side
