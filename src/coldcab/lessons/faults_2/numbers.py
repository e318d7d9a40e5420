"""Cases of lesson faults-2: machines with faults, whose readings are to be predicted, compared and judged."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.faults import faults_for
from coldcab.machine import Readings
from coldcab.machine.fleet import FLEET
from coldcab.scenario import sick_machines
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import ON_R134A, Unit
from coldcab.scenario.showing import shown
from coldcab.scenario.sick_machines import Noted, in_words, note, psig
from coldcab.words import _

SEVERITY = 0.8
"""Severity of every fault but those whose severity is the question."""

FIRST_FAULTS = ("valve screen plugged", "suction hose collapsed", "bulb charge lost", "valve head charge lost")
"""Of the last two a machine has the one that fits its kind of valve."""
SECOND_FAULTS = ("worn compressor", "clutch or belt slipping", "condenser blocked", "heater valve leaking")
DRIER_SEVERITIES = (0.35, 0.6, 0.85)
"""Severities of the three machines with a restricted drier."""

LOW_SIDE_CULPRITS = ("charge low", "drier restricted", "valve screen plugged")
HEAD_CULPRITS = ("charge high", "condenser blocked", "air in the circuit", "hot air recirculated")
IN_THE_CAB = ("heater valve leaking", "low evaporator air")
IN_THE_CIRCUIT = ("worn compressor", "valve screen plugged", "condenser blocked")
NOT_COLD = _("“It does not cool.” {readings}")
LOUDEST = _("“Nothing works, it is terrible!”")
COMPLAINTS = (
    _("“It blows warm, the compressor is gone.”"),
    _("“It never was cold, put some gas in.”"),
    _("“It is the clutch, I can hear it.”"),
    _("“It was fine until last week.”"),
    _("“A new valve will do it.”"),
)


@dataclass(frozen=True)
class SignatureCase:
    """A day, a machine type, two faults to predict, and readings of machines of that type with faults."""

    unit: Unit
    ambient_fahrenheit: float
    engine_rpm: float
    fault_1: str
    fault_2: str
    blocked_psig: float  # high gauge of the machine with the blocked condenser
    driers: tuple[Noted, Noted, Noted]  # of machines A, B and C
    complaints: tuple[str, str, str]
    complaint_d: Noted
    complaint_e: Noted
    machine_f: Noted
    machine_g: Noted

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        return [
            (
                "machine",
                _("{machine}; every machine on this sheet is of its type").format(machine=self.unit.name),
            ),
            (
                "the day",
                _("{temperature}, humidity 40 %, sea level, doors open").format(
                    temperature=shown(f"{self.ambient_fahrenheit:g} F", "temperature")
                ),
            ),
            ("engine", _("{speed:,.0f} rpm, R-134a, right charge, blower on full").format(speed=self.engine_rpm)),
            ("fault 1, at 80 %", self.fault_1),
            ("fault 2, at 80 %", self.fault_2),
            (
                "condenser blocked",
                _("high side {pressure}").format(pressure=shown(f"{self.blocked_psig:g} psig", "pressure")),
            ),
            *(
                (f"machine {letter}", f"{complaint} {in_words(drier)}")
                for letter, complaint, drier in zip("ABC", self.complaints, self.driers, strict=True)
            ),
            ("complaint D", NOT_COLD.format(readings=in_words(self.complaint_d))),
            ("complaint E", NOT_COLD.format(readings=in_words(self.complaint_e))),
            ("machine F", in_words(self.machine_f)),
            ("machine G", in_words(self.machine_g)),
        ]


def draw_case(term: str, learner: str, *, assignment: str = "faults-2") -> SignatureCase:
    """Return the numbers of one learner.

    Faults and severities come from short lists, within which the readings tell the fault on every machine and day that
    can be drawn (a test goes through them).
    """
    draw = Draw(assignment, term, learner)
    unit = draw.pick("unit", ON_R134A)
    own = faults_for(FLEET[unit.number], sick_machines.REFRIGERANT)
    ambient, rpm = draw.pick("ambient", (84.0, 88.0, 102.0, 106.0)), draw.pick("engine", (1300.0, 1700.0))

    def run(fault: str, severity: float = SEVERITY) -> Readings:
        return sick_machines.run(unit.number, ambient, rpm, fault, severity)

    def look_at(fault: str, *names: str) -> Noted:
        return note(run(fault), *names)

    driers = draw.order("driers", DRIER_SEVERITIES)
    milder = [letter for letter, severity in zip("ABC", driers, strict=True) if severity != max(DRIER_SEVERITIES)]
    loudest, calm = draw.pick("loudest", milder), draw.order("complaints", COMPLAINTS)
    first, second = draw.order("place", (draw.pick("cab", IN_THE_CAB), draw.pick("circuit", IN_THE_CIRCUIT)))
    at_the_cab = ("low_gauge", "high_gauge", "suction_line_at_evaporator", "return_air", "vent")
    return SignatureCase(
        unit=unit,
        ambient_fahrenheit=ambient,
        engine_rpm=rpm,
        fault_1=draw.pick("starving", [fault for fault in FIRST_FAULTS if fault in own]),
        fault_2=draw.pick("other", SECOND_FAULTS),
        blocked_psig=psig(run("condenser blocked", draw.number("blocked", 0.5, 0.9, 0.1)).high_gauge),
        driers=tuple(note(run("drier restricted", one), "low_gauge", "drier_in", "drier_out") for one in driers),
        complaints=tuple(LOUDEST if letter == loudest else calm[place] for place, letter in enumerate("ABC")),
        complaint_d=look_at(first, *at_the_cab),
        complaint_e=look_at(second, *at_the_cab),
        machine_f=look_at(
            draw.pick("low side", LOW_SIDE_CULPRITS),
            *("low_gauge", "suction_line_at_evaporator", "drier_in", "drier_out", "glass"),
        ),
        machine_g=look_at(
            draw.pick("head", HEAD_CULPRITS),
            *("high_gauge", "liquid_line", "condenser_air_in", "condenser_air_out", "standing_pressure"),
        ),
    )
