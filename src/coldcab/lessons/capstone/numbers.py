"""Cases of the capstone: one machine from the complaint to the signed record."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import air, units
from coldcab.quantities import POUND
from coldcab.scenario import sick_machines
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.scenario.sick_machines import Noted, in_words, note
from coldcab.words import _

FOUND = ("charge low", "worn compressor", "valve screen plugged")
LEFT = ("", "charge low", "condenser blocked")
"""What the machine has when it is handed over; nothing is the aim."""

LABEL_FIELDS = ("date", "lubricant amount", "refrigerant charge", "technician and company")
CONDENSERS = ("serpentine", "parallel flow")
SEVERE = 1.0
CAN_OUNCES = 12.0
RPM = 1500.0

RECOVERED_OF_A_LEAK = _("{recovered}; the shaft seal let the rest go after these readings")
OPENED_WITH_DEBRIS = _("metal debris at the condenser's inlet; {condenser} condenser")
OPENED_CLEAN = _("clean oil, no metal at the condenser's inlet; {condenser} condenser")


@dataclass(frozen=True)
class RebuildCase:
    """A machine built for R-12 that gets another compressor and R-134a; numbers as the shop's instruments show them."""

    unit: Unit
    altitude_feet: float
    ambient_fahrenheit: float
    engine_rpm: float
    as_found: Noted  # on R-12
    sheet_charge_ounces: float
    recovered_ounces: float
    seal_let_go: bool  # after the readings as found
    water_capacity_pounds: float
    tare_pounds: float
    debris: bool
    condenser: str
    sheet_oil_fluid_ounces: float
    drained_fluid_ounces: float
    drier_fluid_ounces: float
    condenser_fluid_ounces: float
    rinsed_fluid_ounces: float
    residue_fluid_ounces: float  # what stays on the walls
    brought_fluid_ounces: float
    test_psig: float
    evening_fahrenheit: float
    morning_fahrenheit: float
    heel_ounces: float
    hose_ounces: float
    as_left: Noted  # on R-134a
    label: tuple[str, ...]

    @property
    def atmosphere(self) -> float:
        """Air pressure of the yard in Pa."""
        return air.atmospheric_pressure(units.from_unit(self.altitude_feet, "length", "ft"))

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        return [*self._before(), *self._oil(), *self._after()]

    def _before(self) -> list[tuple[str, str]]:
        recovered = RECOVERED_OF_A_LEAK if self.seal_let_go else "{recovered}"
        return [
            ("machine", _("{machine}, built for R-12, will run on R-134a").format(machine=self.unit.name)),
            ("the yard", shown(f"{self.altitude_feet:,.0f} ft", "length")),
            (
                "test day",
                _(
                    "{temperature}, humidity 40 %, doors open, engine {speed:,.0f} rpm; gauges corrected to sea level"
                ).format(temperature=shown(f"{self.ambient_fahrenheit:g} F", "temperature"), speed=self.engine_rpm),
            ),
            ("as found, on R-12", in_words(self.as_found)),
            ("R-12 on the data sheet", shown(f"{self.sheet_charge_ounces:g} oz", "mass")),
            ("R-12 recovered", recovered.format(recovered=shown(f"{self.recovered_ounces:g} oz", "mass"))),
            (
                "recovery cylinder",
                _("for R-12, WC {water}, TW {tare}").format(
                    water=shown(f"{self.water_capacity_pounds:g} lb", "mass"),
                    tare=shown(f"{self.tare_pounds:g} lb", "mass"),
                ),
            ),
            ("opened", (OPENED_WITH_DEBRIS if self.debris else OPENED_CLEAN).format(condenser=self.condenser)),
        ]

    def _oil(self) -> list[tuple[str, str]]:
        return [
            ("oil on the data sheet", shown(f"{self.sheet_oil_fluid_ounces:g} fl oz", "volume")),
            ("drained from the old compressor", shown(f"{self.drained_fluid_ounces:g} fl oz", "volume")),
            ("left with the old drier", shown(f"{self.drier_fluid_ounces:g} fl oz", "volume")),
            ("came out of the condenser", shown(f"{self.condenser_fluid_ounces:g} fl oz", "volume")),
            (
                "rinsed out of the other parts that stay",
                _("{rinsed}; about {residue:g} fl oz of the old oil stay on the walls").format(
                    rinsed=shown(f"{self.rinsed_fluid_ounces:.1f} fl oz", "volume"), residue=self.residue_fluid_ounces
                ),
            ),
            ("drained from the new compressor, put back", shown(f"{self.brought_fluid_ounces:g} fl oz", "volume")),
        ]

    def _after(self) -> list[tuple[str, str]]:
        return [
            (
                "nitrogen, in the evening",
                _("{pressure} at {evening}; next morning the circuit has {morning}").format(
                    pressure=shown(f"{self.test_psig:g} psig", "pressure"),
                    evening=shown(f"{self.evening_fahrenheit:g} F", "temperature"),
                    morning=shown(f"{self.morning_fahrenheit:g} F", "temperature"),
                ),
            ),
            (
                "cans",
                _("{can:g} oz each; {heel:g} oz stay in each emptied can, {hose:g} oz in the hose").format(
                    can=CAN_OUNCES, heel=self.heel_ounces, hose=self.hose_ounces
                ),
            ),
            ("as left, on R-134a", in_words(self.as_left)),
            ("the label says", ", ".join(self.label)),
        ]


def draw_case(term: str, learner: str, *, assignment: str = "capstone") -> RebuildCase:
    """Return the numbers of one learner."""
    draw = Draw(assignment, term, learner)
    unit, ambient = draw.pick("unit", CONVERTED), draw.pick("ambient", (88.0, 95.0, 102.0))
    found, left, missing = draw.pick("found", FOUND), draw.pick("left", LEFT), draw.pick("missing", LABEL_FIELDS)

    def look_at(fault: str, refrigerant: str, *names: str) -> Noted:
        severity = SEVERE if fault else 0.0
        return note(sick_machines.run(unit.number, ambient, RPM, fault, severity, refrigerant), *names)

    sheet = float(round(unit.charge / POUND * 16))
    oil, drained = draw.number("oil", 8.0, 11.0, 0.5), draw.number("drained", 2.0, 3.5, 0.1)
    drier, condenser = draw.number("drier", 0.6, 1.0, 0.1), draw.number("condenser oil", 0.9, 1.4, 0.1)
    # A converted machine may keep a twentieth of its mineral oil; the rest is rinsed out.
    residue = draw.number("residue", 0.3, 0.4, 0.1)
    return RebuildCase(
        unit=unit,
        altitude_feet=draw.number("altitude", 3500, 7000, 100),
        ambient_fahrenheit=ambient,
        engine_rpm=RPM,
        as_found=look_at(
            found, "R-12", *("low_gauge", "high_gauge", "suction_line_at_evaporator", "drier_in", "drier_out", "glass")
        ),
        sheet_charge_ounces=sheet,
        recovered_ounces=float(round(sheet * draw.number("recovered", 0.2, 0.4, 0.01))),
        seal_let_go=found != "charge low",
        water_capacity_pounds=draw.number("water capacity", 23.8, 47.6, 0.2),
        tare_pounds=draw.number("tare", 13.0, 26.0, 0.5),
        debris=draw.pick("debris", (True, False)),
        condenser=draw.pick("condenser", CONDENSERS),
        sheet_oil_fluid_ounces=oil,
        drained_fluid_ounces=drained,
        drier_fluid_ounces=drier,
        condenser_fluid_ounces=condenser,
        rinsed_fluid_ounces=round(oil - drained - drier - condenser - residue, 1),
        residue_fluid_ounces=residue,
        brought_fluid_ounces=draw.number("brought", 1.6, 2.4, 0.1),
        test_psig=draw.number("test", 140, 160, 1),
        evening_fahrenheit=draw.number("evening", 84, 98, 1),
        morning_fahrenheit=draw.number("morning", 52, 64, 1),
        heel_ounces=draw.number("heel", 0.15, 0.25, 0.05),
        hose_ounces=draw.number("hose", 1.3, 1.7, 0.1),
        as_left=look_at(
            left, "R-134a", *("low_gauge", "high_gauge", "vent", "condenser_air_in", "condenser_air_out", "glass")
        ),
        label=("R-134a", *(field for field in LABEL_FIELDS if field != missing), "lubricant type and maker"),
    )
