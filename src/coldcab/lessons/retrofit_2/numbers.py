"""Cases of lesson retrofit-2: a machine that is flushed, tested with nitrogen, pumped down and left standing."""

from __future__ import annotations

import math
from dataclasses import dataclass

from coldcab import air, units
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.words import _

READING_MINUTES = tuple(range(0, 21, 2))
LETTERS = ("A", "B", "C", "D", "E", "F")
RISE_LETTERS = LETTERS[:5]
# hose: (valve cores left in, grams of water it is tried with)
WET_RIGS = {"3/16 in bore, 6 ft": (True, (4, 5, 6)), "3/8 in bore, 6 ft": (False, (6, 7, 8))}


FLUSHED = ("serpentine condenser", _("tube and fin evaporator"), "metal line", "hose")
NOT_FLUSHED = (
    "parallel-flow condenser", "receiver-drier", "accumulator", "expansion valve", "orifice tube", "compressor",
    "muffler", "in-line filter",
)  # fmt: skip
"""Parts that come to the bench after a compressor that shed metal; a sheet shows six of both."""

SCENES = (
    _("nitrogen bottle opened straight into the hose, no regulator"),
    _("shop air goes into an R-134a circuit to 150 psig for the leak test"),
    _("the nitrogen bottle is empty, so oxygen is taken for the leak test"),
    _("regulator set to 250 psig; the low side's plate says 190 psig"),
    _("wrench on a fitting, 120 psig of nitrogen still on the gauge"),
    _("the clutch is switched on to help the vacuum pump"),
    _("gasoline is poured into the evaporator as a flush"),
    _("solvent is blown out with shop air, a heater glows in the same bay"),
    _("nitrogen runs out of an open hose in a closed, small bay"),
    _("nitrogen through a regulator with a relief valve, set 20 psi below the lowest rating on any part"),
    _("nitrogen let out at the manifold, gauge at zero, then the wrench"),
    _("vacuum pump runs, the clutch is unplugged"),
    _("flush made for air conditioners, goggles and gloves on, doors open, no flame"),
    _("solvent pushed out with nitrogen at 30 psig into a vented catch bottle, goggles on"),
    _("bottle valve shut for the night, regulator backed off, pressure and temperature written down"),
    _("valve to the pump closed first, then the pump switched off"),
    _("vacuum broken with nitrogen through the regulator, to just above air pressure"),
)
"""What can be seen while a circuit is cleaned, tested and dried; a sheet shows six of them."""
STOPS = 9

NOTES = (
    _("valve shut for 20 min at 70 F: 380, then 410 micron and steady"),
    _("second vacuum after nitrogen, new drier, warm: 420, then 460 micron and steady for 20 min"),
    _("gauge at the far end, valve shut: 300, 320, 320 micron in 20 min"),
    _("pump ran 45 min by the clock; no micron gauge was there"),
    _("200 micron at the pump, its valve open; not shut yet"),
    _("valve shut: 350, 900, 1,450, 2,000 micron at equal times"),
    _("valve shut: 350, 3,200, 4,100, 4,150 micron at equal times"),
    _("manifold gauge shows 24.8 inHg vacuum at 5,000 ft"),
    _("held 400 micron for 20 min; the old drier is still on, it stood open for two days"),
    _("the gauge stops at 2,400 micron and will not go deeper; pump oil is milky"),
)
"""What was written down after the pump; a sheet shows six of them."""
READY = 3


@dataclass(frozen=True)
class TightnessCase:
    """One job from the flush to the rise test; numbers as the instruments show them."""

    unit: Unit
    altitude_feet: float
    held_fluid_ounces: float
    carry_over_fluid_ounces: float
    solvent_fluid_ounces: float
    flushes: int
    parts: tuple[str, ...]
    scenes: tuple[str, ...]
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
    notes: tuple[str, ...]

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
        rise = _("rise {letter}, every 2 min from 0 to {last} min")
        return [
            ("machine", self.unit.name),
            ("altitude of the yard", shown(f"{self.altitude_feet:,.0f} ft", "length")),
            ("flush: old oil inside", shown(f"{self.held_fluid_ounces:g} fl oz", "volume")),
            ("flush: stays inside after draining", shown(f"{self.carry_over_fluid_ounces:g} fl oz", "volume")),
            ("flush: fresh solvent each time", shown(f"{self.solvent_fluid_ounces:g} fl oz", "volume")),
            ("flush: times", f"{self.flushes}"),
            *((f"part {letter}", text) for letter, text in zip(LETTERS, self.parts, strict=True)),
            *((f"scene {letter}", text) for letter, text in zip(LETTERS, self.scenes, strict=True)),
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
                (
                    rise.format(letter=letter, last=READING_MINUTES[-1]),
                    " · ".join(f"{micron:,.0f}" for micron in one) + " micron",
                )
                for letter, one in zip(RISE_LETTERS, self.rises, strict=True)
            ),
            *((f"note {letter}", text) for letter, text in zip(LETTERS, self.notes, strict=True)),
        ]


def draw_case(term: str, learner: str, *, assignment: str = "retrofit-2") -> TightnessCase:
    """Return the numbers of one learner: cold nights, thin air, and five rises of different shapes."""
    draw = Draw(assignment, term, learner)
    altitude = draw.number("altitude", 1500, 6000, 100)
    atmosphere = air.atmospheric_pressure(units.from_unit(altitude, "length", "ft"))
    start = draw.number("start", 130, 170, 5)
    evening, morning = draw.number("evening", 84, 96, 1), draw.number("morning", 40, 50, 1)
    # What the cold leaves of the pressure, and a leak of some psi in two cases of three.
    cold = (units.from_unit(start, "pressure", "psig", atmosphere=atmosphere)) * (morning + 459.67) / (evening + 459.67)
    left = units.convert(cold, "pressure", "psig", atmosphere=atmosphere)
    lost = draw.number("lost", 0, 14, 1)
    air_inches = units.convert(atmosphere, "pressure", "inHg abs")
    hose = draw.pick("hose", tuple(WET_RIGS))
    shapes = ("leak", "moisture", "both", "tight")
    kinds = draw.order(
        "order of rises", ("tight", draw.pick("leaking", ("leak", "both")), draw.pick("wet", ("moisture", "both")),
                           draw.pick("fourth", shapes), draw.pick("fifth", shapes))
    )  # fmt: skip
    return TightnessCase(
        unit=draw.pick("unit", CONVERTED),
        altitude_feet=altitude,
        held_fluid_ounces=draw.number("held", 5, 8, 0.5),
        carry_over_fluid_ounces=draw.number("carry over", 2.0, 4.0, 0.25),
        solvent_fluid_ounces=draw.number("solvent", 8.0, 14.0, 0.5),
        flushes=int(draw.number("flushes", 2, 3, 1)),
        parts=draw.some("parts", FLUSHED, NOT_FLUSHED, (1, 2, 3)),
        scenes=draw.some("scenes", SCENES[:STOPS], SCENES[STOPS:], (2, 3, 4)),
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
        notes=draw.some("notes", NOTES[:READY], NOTES[READY:], (1, 2, 3)),
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
