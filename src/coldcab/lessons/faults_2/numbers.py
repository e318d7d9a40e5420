"""Cases of lesson faults-2: machines with faults, whose readings are to be predicted, compared and judged."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.machine import Readings
from coldcab.machine.fleet import FLEET
from coldcab.scenario import sick_machines
from coldcab.scenario.draw import Draw
from coldcab.scenario.showing import shown

SEVERITY = 0.8
"""Severity of every fault but those whose severity is the question."""

STARVING = ("valve screen plugged", "suction hose collapsed", "bulb charge lost")
OTHERS = ("worn compressor", "clutch or belt slipping", "condenser blocked", "heater valve leaking")
STEPS = (0.35, 0.6, 0.85)
"""Severities of the three machines with a restricted drier."""

LOW_SIDE_CULPRITS = ("charge low", "drier restricted", "valve screen plugged")
HEAD_CULPRITS = ("charge high", "condenser blocked", "air in the circuit", "hot air recirculated")
IN_THE_CAB = ("heater valve leaking", "low evaporator air")
IN_THE_CIRCUIT = ("worn compressor", "valve screen plugged", "condenser blocked")
COMPLAINTS = (
    "“It blows warm, the compressor is gone.”",
    "“It never was cold, put some gas in.”",
    "“It is the clutch, I can hear it.”",
    "“It was fine until last week.”",
    "“A new valve will do it.”",
)


@dataclass(frozen=True)
class SignatureCase:
    """A day, a machine type, and the faults that were put into machines of that type."""

    number: int
    ambient_fahrenheit: float
    engine_rpm: float
    starving: str
    other: str
    blocked_severity: float
    driers: tuple[float, float, float]
    loudest: str
    complaints: tuple[str, str, str]
    first: str
    second: str
    low_side: str
    head: str

    def run(self, fault: str = "", severity: float = SEVERITY) -> Readings:
        """Return the readings of this machine on this day, healthy or with a fault."""
        return sick_machines.run(
            self.number, self.ambient_fahrenheit, self.engine_rpm, fault, severity if fault else 0.0
        )

    @property
    def blocked_psig(self) -> float:
        """High gauge of the machine with the blocked condenser, as it shows it."""
        return sick_machines.psig(self.run("condenser blocked", self.blocked_severity).high_gauge)

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        told, run = sick_machines.told, self.run
        rows = [
            ("machine", f"{FLEET[self.number].name}; every machine on this sheet is of its type"),
            (
                "the day",
                f"{shown(f'{self.ambient_fahrenheit:g} F', 'temperature')}, humidity 40 %, sea level, doors open",
            ),
            ("engine", f"{self.engine_rpm:,.0f} rpm, R-134a, right charge, blower on full"),
            ("fault 1, at 80 %", self.starving),
            ("fault 2, at 80 %", self.other),
            ("condenser blocked", f"high side {shown(f'{self.blocked_psig:g} psig', 'pressure')}"),
        ]
        for letter, severity, complaint in zip("ABC", self.driers, self.complaints, strict=True):
            readings = run("drier restricted", severity)
            rows.append((f"machine {letter}", f"{complaint} {told(readings, 'low_gauge', 'drier_in', 'drier_out')}"))
        for name, fault in (("complaint D", self.first), ("complaint E", self.second)):
            seen = told(run(fault), "low_gauge", "high_gauge", "suction_line_at_evaporator", "return_air", "vent")
            rows.append((name, f"“It does not cool.” {seen}"))
        low = told(run(self.low_side), "low_gauge", "suction_line_at_evaporator", "drier_in", "drier_out", "glass")
        rows.append(("machine F", low))
        head = run(self.head)
        names = ("high_gauge", "liquid_line", "condenser_air_in", "condenser_air_out", "standing_pressure")
        rows.append(("machine G", told(head, *names)))
        return rows


def draw_case(term: str, learner: str, *, assignment: str = "faults-2") -> SignatureCase:
    """Return the numbers of one learner.

    Faults and severities come from short lists, within which the signs asked for are the same for every machine and
    day that can be drawn (a test goes through all of them).
    """
    draw = Draw(assignment, term, learner)
    driers = draw.order("driers", STEPS)
    loudest = draw.pick("loudest", [letter for letter, step in zip("ABC", driers, strict=True) if step != max(STEPS)])
    first, second = draw.order("place", (draw.pick("cab", IN_THE_CAB), draw.pick("circuit", IN_THE_CIRCUIT)))
    calm = draw.order("complaints", COMPLAINTS)
    complaints = tuple(
        "“Nothing works, it is terrible!”" if letter == loudest else calm[place] for place, letter in enumerate("ABC")
    )
    return SignatureCase(
        number=draw.pick("unit", tuple(FLEET)),
        ambient_fahrenheit=draw.pick("ambient", (84.0, 88.0, 102.0, 106.0)),
        engine_rpm=draw.pick("engine", (1300.0, 1700.0)),
        starving=draw.pick("starving", STARVING),
        other=draw.pick("other", OTHERS),
        blocked_severity=draw.number("blocked", 0.5, 0.9, 0.1),
        driers=driers,
        loudest=loudest,
        complaints=complaints,
        first=first,
        second=second,
        low_side=draw.pick("low side", LOW_SIDE_CULPRITS),
        head=draw.pick("head", HEAD_CULPRITS),
    )
