"""Cases of lesson cycle-2: one machine by four readings, compressors, sick loops, a shop's quotes and a plan."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from coldcab import air, cycle, refrigerants, units
from coldcab.quantities import FAHRENHEIT_DEGREE
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import FLEET, Unit
from coldcab.scenario.showing import shown
from coldcab.words import _

COMPRESSORS = tuple("ABCDE")
LOOPS = tuple("ABC")
QUOTES = tuple("ABCDEF")
STEPS = tuple("ABCDEF")

GOOD_EFFICIENCY = 0.65
"""Isentropic efficiency of the shop's good compressor; an assumption of the lesson."""

NEWEST = "R-1234yf"

OFFERS = (
    (
        _("15 F hotter than last week, head up 40 psi, condensing as far above the air as before: new condenser"),
        _("cools less at two than at eight, superheat and subcooling as in the morning: new valve"),
        _("R-134a on a hot day, discharge 204 F, the chart says 200 F: new compressor"),
    ),
    (
        _("R-1234yf discharges at 160 F, an R-134a machine beside it at 182 F: liquid comes back"),
        _("converted to R-134a, condenser clean, head a little above the R-12 figure: let some out"),
        _("R-134a at 182 F where its R-12 sheet says 190 F: liquid comes back"),
    ),
    (
        _("capacity low: cover a part of the condenser, for a higher head cools more"),
        _("discharge 45 F above the chart: add refrigerant to cool it"),
        _("superheat 55 F, evaporating low: add until the suction line is cold"),
    ),
    (
        _("condensing 70 F above the air, fins full of chaff: wash the condenser"),
        _("discharge 45 F above the chart, evaporating high, condensing low: test the compressor"),
        _("superheat 50 F, evaporating low: recover and weigh before the valve is blamed"),
        _("no superheat, compressor body cold: stop it, look at the bulb"),
        _("subcooling 30 F, head high, nobody knows the charge: recover and weigh"),
        _("head low for the day, superheat as ever, cab filter full of dust: clean the air side first"),
    ),
)
"""Quotes of a shop: a hot day taken for a fault, one refrigerant's figures for another, more helps; then sound ones."""

PLAN = (
    (
        _("engine off, thermometer clamped to the discharge line, then started"),
        _("engine running, discharge line felt with the hand first"),
    ),
    (
        _("engine off, both gauges level, then the hoses off"),
        _("engine running, high-side hose off quickly before much is lost"),
    ),
    (
        _("hoses and leads tied back from belt and fan before the start"),
        _("hoses laid over the belt for the two minutes of a reading"),
    ),
    (
        _("head climbs to the switch's limit: stopped, condenser and fan looked at"),
        _("head climbs to the switch's limit: switch bridged until the readings are written"),
    ),
    (
        _("key out, fan still, then the condenser washed"),
        _("condenser washed at idle, so that the fan pulls the water through"),
    ),
    (
        _("R-1234yf: gauges and hoses made for it, doors open, no flames near"),
        _("R-1234yf: read beside the gas heater, since nothing is opened"),
    ),
)
"""Steps of a reading on a hot day: as it is safe, and as it hurts somebody."""


@dataclass(frozen=True)
class Compressor:
    """A compressor at work, as clip and gauges show it; F."""

    refrigerant: str
    evaporating: float
    condensing: float
    superheat: float
    discharge: float


@dataclass(frozen=True)
class SickLoop:
    """One machine on the chart, by gauges and clips; F."""

    outside: float
    evaporating: float
    condensing: float
    superheat: float
    subcooling: float
    discharge: float


@dataclass(frozen=True)
class LoopCase:
    """What one learner judges; numbers as the instruments show them."""

    unit: Unit
    refrigerant: str
    altitude_feet: float
    low_side_psig: float
    high_side_psig: float
    suction_line_fahrenheit: float
    liquid_line_fahrenheit: float
    outside_fahrenheit: float
    hot_outside_fahrenheit: float
    hot_condensing_fahrenheit: float
    hot_liquid_fahrenheit: float
    compressors: tuple[Compressor, ...]
    healthy: SickLoop
    loops: tuple[SickLoop, ...]
    quotes: tuple[str, ...]
    plan: tuple[str, ...]

    @property
    def atmosphere(self) -> float:
        """Air pressure of the yard in Pa."""
        return air.atmospheric_pressure(units.from_unit(self.altitude_feet, "length", "ft"))

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        return [*self._machine(), *self._judged()]

    def _machine(self) -> list[tuple[str, str]]:
        return [
            ("machine", _("{machine}, {refrigerant}").format(machine=self.unit.name, refrigerant=self.refrigerant)),
            ("altitude of the yard", shown(f"{self.altitude_feet:,.0f} ft", "length")),
            ("low side", shown(f"{self.low_side_psig:g} psig", "pressure")),
            ("high side", shown(f"{self.high_side_psig:g} psig", "pressure")),
            ("suction line at the compressor", _degrees(self.suction_line_fahrenheit)),
            ("liquid line before the valve", _degrees(self.liquid_line_fahrenheit)),
            ("outside air at these readings", _degrees(self.outside_fahrenheit)),
            ("outside air this afternoon", _degrees(self.hot_outside_fahrenheit)),
            (
                "another afternoon, same suction",
                _("condensing at {condensing}, liquid line {liquid}").format(
                    condensing=_degrees(self.hot_condensing_fahrenheit), liquid=_degrees(self.hot_liquid_fahrenheit)
                ),
            ),
        ]

    def _judged(self) -> list[tuple[str, str]]:
        return [
            *(
                (
                    f"compressor {letter}",
                    _(
                        "{name}: evaporating {low:g} F, condensing {high:g} F, superheat {superheat:g} F; discharge "
                        "{discharge:g} F"
                    ).format(
                        name=one.refrigerant,
                        low=one.evaporating,
                        high=one.condensing,
                        superheat=one.superheat,
                        discharge=one.discharge,
                    ),
                )
                for letter, one in zip(COMPRESSORS, self.compressors, strict=True)
            ),
            ("the same machine, healthy, hot day", _loop(self.healthy)),
            *((f"loop {letter}", _loop(one)) for letter, one in zip(LOOPS, self.loops, strict=True)),
            *((f"quote {letter}", words) for letter, words in zip(QUOTES, self.quotes, strict=True)),
            *((f"step {letter}", words) for letter, words in zip(STEPS, self.plan, strict=True)),
        ]


def _degrees(value: float) -> str:
    return shown(f"{value:g} F", "temperature")


def _loop(one: SickLoop) -> str:
    return _(
        "outside {outside:g} F; evaporating {low:g} F, condensing {high:g} F, superheat {superheat:g} F, subcooling "
        "{subcooling:g} F, discharge {discharge:g} F"
    ).format(
        outside=one.outside,
        low=one.evaporating,
        high=one.condensing,
        superheat=one.superheat,
        subcooling=one.subcooling,
        discharge=one.discharge,
    )


@lru_cache(maxsize=65536)
def expected_discharge(refrigerant: str, evaporating: float, condensing: float, superheat: float) -> float:
    """Return the discharge temperature of the shop's good compressor by the chart, F; all arguments in F."""
    low, high = (units.from_unit(one, "temperature", "F") for one in (evaporating, condensing))
    loop = cycle.vapor_compression(
        refrigerant,
        evaporating_temperature=low,
        condensing_temperature=high,
        superheat=superheat * FAHRENHEIT_DEGREE,
        isentropic_efficiency=GOOD_EFFICIENCY,
    )
    return units.convert(loop.discharge_temperature, "temperature", "F")


# The clip off the chart by so many F (least, most), with so much superheat (least, most). Where liquid comes back it is
# off condensing instead: wet gas has the temperature of saturation, and a clip reads a few degrees low.
GOOD, WORN, WET = ((-8.0, 8.0), (10.0, 35.0)), ((30.0, 55.0), (10.0, 35.0)), ((-6.0, 1.0), (0.0, 2.0))
KINDS = (
    (WORN, WORN, WET, GOOD, GOOD),
    (WORN, WET, WET, GOOD, GOOD),
    (WORN, WET, GOOD, GOOD, GOOD),
    (WORN, WORN, WET, WET, GOOD),
)


def draw_compressors(draw: Draw) -> tuple[Compressor, ...]:
    """Return five compressors in an order of their own: worn, wet and good ones, R-12 and R-1234yf among them."""
    names = draw.order("refrigerants", ("R-12", "R-134a", NEWEST, "R-134a", NEWEST))
    found = []
    for place, (off, warm) in enumerate(draw.order("kinds", draw.pick("compressors", KINDS))):
        low, high = draw.number(f"low {place}", 26.0, 44.0, 1.0), draw.number(f"high {place}", 120.0, 150.0, 1.0)
        superheat = draw.number(f"warm {place}", *warm, 1.0)
        against = high if off == WET[0] else expected_discharge(names[place], low, high, superheat)
        discharge = float(round(against + draw.number(f"off {place}", *off, 1.0)))
        found.append(Compressor(names[place], low, high, superheat, discharge))
    return tuple(found)


HEALTHY = {"evaporating": (32, 37), "condensing": (134, 142), "superheat": (16, 18)}
"""A healthy machine at 95 F outside, doors open, as the course's machines show it; F, least and most."""


def draw_healthy(draw: Draw, refrigerant: str) -> SickLoop:
    """Return the loop of a healthy machine, its discharge as the chart says."""
    low, high, superheat = (draw.number(f"healthy {at}", *limits, 1.0) for at, limits in HEALTHY.items())
    return SickLoop(
        95.0, low, high, superheat, 3.0, float(round(expected_discharge(refrigerant, low, high, superheat)))
    )


# How a loop differs from the healthy one: evaporating, condensing, superheat (F added, least and most), subcooling,
# and how far its discharge is off the chart's, or off condensing where it floods; see the test that compares each with
# a machine that is solved.
PATTERNS = (
    ((-14, -7), (-11, -5), (26, 44), (2, 4), (-6, 6)),  # starved
    ((3, 8), (22, 36), (0, 9), (2, 4), (-6, 6)),  # the condenser
    ((-2, 2), (9, 17), (-2, 2), (22, 36), (-6, 6)),  # too much inside
    ((13, 20), (-24, -14), (12, 24), (0, 2), (45, 70)),  # the compressor
    ((2, 6), (-7, -2), (-18, -17), (3, 7), (-5, 1)),  # flooded
    ((-5, -2), (-15, -9), (-1, 3), (1, 4), (-6, 6)),  # air over the evaporator
    ((3, 8), (-2, 3), (3, 14), (2, 4), (-6, 6)),  # a hotter day
)
WETS, HOT = 4, 6  # the places of flooding and of the hotter day in PATTERNS


def draw_loops(draw: Draw, healthy: SickLoop, refrigerant: str) -> tuple[SickLoop, ...]:
    """Return three loops of one machine: sick ones, a hotter day perhaps among them."""
    found = []
    for place in range(len(LOOPS)):
        kind = draw.pick(f"pattern {place}", range(len(PATTERNS)))
        low, high, warm, cold, off = (
            draw.number(f"{name} {place}", *limits, 1.0)
            for name, limits in zip(("low", "high", "warm", "cold", "off"), PATTERNS[kind], strict=True)
        )
        hotter = draw.number(f"hotter {place}", 8.0, 12.0, 1.0) if kind == HOT else 0.0
        evaporating, condensing = healthy.evaporating + low, healthy.condensing + high + hotter
        superheat = max(healthy.superheat + warm, 0.0)
        against = condensing if kind == WETS else expected_discharge(refrigerant, evaporating, condensing, superheat)
        found.append(
            SickLoop(healthy.outside + hotter, evaporating, condensing, superheat, cold, float(round(against + off)))
        )
    return tuple(found)


def draw_plan(draw: Draw) -> tuple[str, ...]:
    """Return the steps in an order of their own, one of them as it hurts somebody."""
    wrong = draw.pick("wrong step", range(len(PLAN)))
    return draw.order("plan", [pair[place == wrong] for place, pair in enumerate(PLAN)])


def draw_quotes(draw: Draw) -> tuple[str, ...]:
    """Return six quotes in an order of their own, some of each kind."""
    counts = draw.pick("counts", ((1, 1, 1, 3), (2, 1, 1, 2), (1, 2, 1, 2), (1, 1, 2, 2)))
    taken = [
        text
        for place, (group, count) in enumerate(zip(OFFERS, counts, strict=True))
        for text in draw.order(f"quotes {place}", group)[:count]
    ]
    return draw.order("quotes", taken)


def draw_case(term: str, learner: str, *, assignment: str = "cycle-2") -> LoopCase:
    """Return the numbers of one learner: a healthy machine, and what is to be judged by the chart."""
    draw = Draw(assignment, term, learner)
    altitude = draw.number("altitude", 500, 6000, 100)
    atmosphere = air.atmospheric_pressure(units.from_unit(altitude, "length", "ft"))
    unit = draw.pick("unit", FLEET)
    own = unit.original_refrigerant
    refrigerant = draw.pick("refrigerant", ("R-12", "R-134a")) if own == "R-12" else own
    low, high = draw.number("low side", 24, 40, 1), draw.number("high side", 140, 190, 5)

    def saturation(gauge: float) -> float:
        pressure = units.from_unit(gauge, "pressure", "psig", atmosphere=atmosphere)
        return units.convert(refrigerants.saturation_temperature(refrigerant, pressure), "temperature", "F")

    condensing = saturation(high)
    liquid = float(round(condensing - draw.number("subcooling", 4, 14, 1)))
    hotter = draw.number("hotter", 8, 20, 1)
    hot_condensing = float(round(condensing + draw.number("another day", 12, 30, 1)))
    healthy = draw_healthy(draw, refrigerant)
    outside = float(round(condensing - draw.number("above the air", 36, 48, 1)))
    return LoopCase(
        unit=unit,
        refrigerant=refrigerant,
        altitude_feet=altitude,
        low_side_psig=low,
        high_side_psig=high,
        suction_line_fahrenheit=float(round(saturation(low) + draw.number("superheat", 10, 34, 1))),
        liquid_line_fahrenheit=liquid,
        outside_fahrenheit=outside,
        hot_outside_fahrenheit=outside + hotter,
        hot_condensing_fahrenheit=hot_condensing,
        hot_liquid_fahrenheit=hot_condensing - draw.number("hot subcooling", 3, 10, 1),
        compressors=draw_compressors(draw),
        healthy=healthy,
        loops=draw_loops(draw, healthy, refrigerant),
        quotes=draw_quotes(draw),
        plan=draw_plan(draw),
    )
