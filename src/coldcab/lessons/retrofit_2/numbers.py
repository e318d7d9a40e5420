"""Cases of lesson retrofit-2: a machine that is rinsed, tested with nitrogen, pumped down and left standing."""

from __future__ import annotations

import math
from dataclasses import dataclass

from coldcab import air, units
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.words import _

READING_MINUTES = tuple(range(0, 21, 2))
# What stays inside and what comes in, fl oz: pairs for which no number of rinses ends close to a target.
RINSES = ((2.5, 10.0), (3.0, 12.0), (3.5, 8.0), (3.5, 9.0), (4.0, 9.0), (4.0, 10.0))
# hose: (valve cores left in, grams of water it is tried with)
WET_RIGS = {"3/16 in bore, 6 ft": (True, (4, 5, 6)), "3/8 in bore, 6 ft": (False, (6, 7, 8))}


@dataclass(frozen=True)
class TightnessCase:
    """One job from the rinse to the rise test; numbers as the instruments show them."""

    unit: Unit
    altitude_feet: float
    held_fluid_ounces: float
    carry_over_fluid_ounces: float
    solvent_fluid_ounces: float
    target_percent: float
    parts: str  # as the sheet lists them
    start_psig: float
    evening_fahrenheit: float
    morning_psig: float
    morning_fahrenheit: float
    pumping_fahrenheit: float
    vacuum_inches: float
    water_grams: float
    drying_fahrenheit: float
    hose: str
    rises: tuple[tuple[float, ...], ...]  # micron, at READING_MINUTES

    @property
    def atmosphere(self) -> float:
        """Air pressure of the yard in Pa."""
        return air.atmospheric_pressure(units.from_unit(self.altitude_feet, "length", "ft"))

    @property
    def cores(self) -> bool:
        """Whether the valve cores are left in."""
        return WET_RIGS[self.hose][0]

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        nitrogen = _("{pressure}, circuit {temperature}")
        wet = (
            _("{water:g} g of water, {temperature}, pump 3 cfm, hose {hose}, valve cores left in")
            if self.cores
            else _("{water:g} g of water, {temperature}, pump 3 cfm, hose {hose}, valve cores taken out")
        )
        rises = (
            _("first rise, micron, every 2 min from 0 to {last} min"),
            _("second rise, micron, every 2 min from 0 to {last} min"),
            _("third rise, micron, every 2 min from 0 to {last} min"),
        )
        return [
            ("machine", self.unit.name),
            ("altitude of the yard", shown(f"{self.altitude_feet:,.0f} ft", "length")),
            ("rinse: old oil inside", shown(f"{self.held_fluid_ounces:g} fl oz", "volume")),
            ("rinse: stays inside after draining", shown(f"{self.carry_over_fluid_ounces:g} fl oz", "volume")),
            ("rinse: fresh solvent each time", shown(f"{self.solvent_fluid_ounces:g} fl oz", "volume")),
            ("rinse: old oil that may stay", f"{self.target_percent:g} %"),
            ("parts on the bench", self.parts),
            *(
                (
                    when,
                    nitrogen.format(
                        pressure=shown(f"{psig:g} psig", "pressure"), temperature=shown(f"{warm:g} F", "temperature")
                    ),
                )
                for when, psig, warm in (
                    ("nitrogen in the evening", self.start_psig, self.evening_fahrenheit),
                    ("nitrogen in the morning", self.morning_psig, self.morning_fahrenheit),
                )
            ),
            ("on the pump: machine", shown(f"{self.pumping_fahrenheit:g} F", "temperature")),
            ("on the pump: vacuum gauge", f"{self.vacuum_inches:.1f} inHg vacuum"),
            (
                "wet machine",
                wet.format(
                    water=self.water_grams,
                    temperature=shown(f"{self.drying_fahrenheit:g} F", "temperature"),
                    hose=self.hose,
                ),
            ),
            *(
                (label.format(last=READING_MINUTES[-1]), " · ".join(f"{micron:,.0f}" for micron in readings))
                for label, readings in zip(rises, self.rises, strict=True)
            ),
        ]


def draw_case(term: str, learner: str, *, assignment: str = "retrofit-2") -> TightnessCase:
    """Return the numbers of one learner: cold nights, thin air, and three rises of different shape."""
    draw = Draw(assignment, term, learner)
    altitude = draw.number("altitude", 1500, 6000, 100)
    atmosphere = air.atmospheric_pressure(units.from_unit(altitude, "length", "ft"))
    start = draw.number("start", 130, 170, 5)
    evening, morning = draw.number("evening", 84, 96, 1), draw.number("morning", 40, 50, 1)
    # What the cold leaves of the pressure, and a leak of some psi in two cases of three.
    cold = (units.from_unit(start, "pressure", "psig", atmosphere=atmosphere)) * (morning + 459.67) / (evening + 459.67)
    left = units.convert(cold, "pressure", "psig", atmosphere=atmosphere)
    lost = draw.pick("lost", (0, 0, 3, 4, 5, 6))
    air_inches = units.convert(atmosphere, "pressure", "inHg abs")
    hose = draw.pick("hose", tuple(WET_RIGS))
    carry_over, solvent = draw.pick("rinse", RINSES)
    drier = draw.pick("drier", ("receiver-drier", "accumulator"))
    last = draw.pick("rinsable", ("serpentine condenser", "metal line"))
    kinds = draw.order("kinds of rises", ("leak", "moisture", "both", "tight"))[:3]
    return TightnessCase(
        unit=draw.pick("unit", CONVERTED),
        altitude_feet=altitude,
        held_fluid_ounces=draw.number("held", 5, 8, 0.5),
        carry_over_fluid_ounces=carry_over,
        solvent_fluid_ounces=solvent,
        target_percent=draw.pick("target", (1.0, 5.0)),
        parts=", ".join(draw.order("parts", ("compressor", drier, "parallel-flow condenser", last))),
        start_psig=start,
        evening_fahrenheit=evening,
        morning_psig=float(math.floor(left) - lost),
        morning_fahrenheit=morning,
        pumping_fahrenheit=draw.number("pumping", 52, 88, 1),
        vacuum_inches=round(air_inches - draw.number("absolute", 0.6, 3.0, 0.1), 1),
        water_grams=float(draw.pick("water", WET_RIGS[hose][1])),
        drying_fahrenheit=draw.number("drying", 52, 62, 2),
        hose=hose,
        rises=tuple(_rise(draw, kind, place) for place, kind in enumerate(kinds)),
    )


def _rise(draw: Draw, kind: str, place: int) -> tuple[float, ...]:
    """Readings in micron to the gauge's 10: a line, a bend, both or neither, with a little scatter."""
    start = draw.number(f"start {place}", 250, 400, 10)
    line = {"leak": draw.number(f"line {place}", 60, 450, 5), "both": draw.number(f"slope {place}", 150, 300, 5)}
    bend = {
        "moisture": draw.number(f"bend {place}", 3000, 8500, 50),
        "both": draw.number(f"knee {place}", 3000, 5000, 50),
    }
    constant = draw.number(f"constant {place}", 1.8, 2.8, 0.1)
    found = []
    for minutes in READING_MINUTES:
        scatter = draw.number(f"scatter {place} {minutes}", -10, 10, 5)
        value = start + line.get(kind, 0.0) * minutes + bend.get(kind, 0.0) * (1.0 - math.exp(-minutes / constant))
        found.append(round((value + scatter) / 10.0) * 10.0)
    return tuple(found)
