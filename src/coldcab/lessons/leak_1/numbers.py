"""Cases of lesson leak-1: what a machine has lost, a test of it, eight spots under the probe, notes of hunts."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.scenario.draw import Draw
from coldcab.scenario.showing import shown
from coldcab.words import _

SPOTS = tuple("ABCDEFGH")
MACHINES = tuple("ABCDEF")
PARTS = (_("condenser"), _("evaporator"), _("hoses"), _("receiver-drier"))

# Notes from hunts of the shop; what each is worth stands with the instructor.
NOTES = (
    _("added two cans in May; it cooled again"),
    _("black light one hour after the dye went in: no glow anywhere"),
    _("black light after three weeks of work: glow at a crimp that was wiped clean before"),
    _("bubbles at a valve core; wiped off, they grew again"),
    _("detector alarmed at six places and in the middle of the bay; nobody aired it"),
    _("detector, bay aired, fan off: three alarms in three passes at one fitting, none a hand away"),
    _("foam at a shaft seal, nitrogen in, hub at rest; wiped off, it grew again"),
    _("gauge of the nitrogen test 6 psi lower in the morning; no temperature was written"),
    _("oil film on the compressor and on the bracket below it"),
    _("soap everywhere on a circuit at 0 psig: no bubbles"),
    _("strongest smell at the open window, beside the recovery machine"),
    _("tracer detector, 200 psig, bay aired: alarms each time at one hose end, silent beside it"),
    _("nitrogen held overnight, own hoses soaped, corrected for temperature: fall four times what readings can be off"),
    _("class-4 detector found nothing on a round in a windy yard"),
)
"""Fourteen; a sheet shows eight of them."""

FINDINGS = (
    _("bay aired, fan off: three alarms in three passes at the coil's drain; caps and rear panel off, all else silent"),
    _("every open place soaped under nitrogen and silent; the hold test leaks; tracer alarms at the roof vents only"),
    _("dye glows in the drain water of the roof coil after three weeks"),
    _("open places cleared with tracer gas; wet oil runs out of the coil's drain and the tracer detector alarms there"),
    _("roof lid already off for the blower; tracer alarms at the coil below, dash trim in the way"),
    _("detector alarms everywhere, at the drain and in the middle of the bay; nobody aired it"),
    _("circuit at 0 psig; the detector is silent at every open place, so it is thought to be the coil"),
    _("low charge; nobody has looked under the caps of the valves or behind the cab yet"),
    _("bubbles at the shaft seal; after the repair the hold test is tight as far as it sees"),
    _("the customer says it is always the coil on this type; nothing was tested"),
)
"""Ten; a sheet shows six of them."""


@dataclass(frozen=True)
class Spot:
    """A place under the probe: what leaks there (g/yr) and the share that the tip catches (%)."""

    grams_a_year: float
    caught_percent: float


@dataclass(frozen=True)
class Method:
    """A way to search as the shop's records have it: how often it names the place (%), and its minutes."""

    percent: float
    minutes: float


@dataclass(frozen=True)
class LeakCase:
    """One machine that lost refrigerant, and notes of other hunts; numbers as the instruments show them."""

    charged_ounces: float
    found_ounces: float
    months: float
    ratings_psig: tuple[float, ...]  # of PARTS
    manual_psig: float
    evening_psig: float
    evening_fahrenheit: float
    morning_psig: float
    morning_fahrenheit: float
    volume_liters: float
    doubt_psi: float
    hours: float
    bubble_grams_a_year: float
    bubble_millimeters: float
    ppm: float
    suction_milliliters: float  # a minute
    detector_class: float
    spots: tuple[Spot, ...]
    dye_grams_a_year: float
    oil_percent: float
    full_ounces: float
    least_ounces: float
    left_grams_a_year: float
    methods: tuple[Method, ...]
    notes: tuple[str, ...]
    findings: tuple[str, ...]

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        return [*self._machine(), *self._tests(), *self._probe(), *self._time(), *self._records()]

    def _machine(self) -> list[tuple[str, str]]:
        ratings = ", ".join(
            f"{part} {shown(f'{psig:g} psig', 'pressure')}" for part, psig in zip(PARTS, self.ratings_psig, strict=True)
        )
        return [
            ("charged by weight", shown(f"{self.charged_ounces:g} oz", "mass")),
            (
                "recovered",
                _("{mass}, {months:g} months later").format(
                    mass=shown(f"{self.found_ounces:g} oz", "mass"), months=self.months
                ),
            ),
            ("plates", ratings),
            (
                _("its manual says"),
                _("leak test at {pressure}").format(pressure=shown(f"{self.manual_psig:g} psig", "pressure")),
            ),
        ]

    def _tests(self) -> list[tuple[str, str]]:
        return [
            (
                "hold test, evening",
                _reading(self.evening_psig, self.evening_fahrenheit),
            ),
            (
                "hold test, morning",
                _("{reading}; sea level").format(reading=_reading(self.morning_psig, self.morning_fahrenheit)),
            ),
            (
                "another hold test",
                _("circuit {liters:g} L, stood {hours:g} h, readings can be off by {doubt:g} psi, near 68 F").format(
                    liters=self.volume_liters, hours=self.hours, doubt=self.doubt_psi
                ),
            ),
            (
                "soap",
                _("leak {grams:g} g/yr of R-134a, bubbles let go at {wide:g} mm").format(
                    grams=self.bubble_grams_a_year, wide=self.bubble_millimeters
                ),
            ),
        ]

    def _probe(self) -> list[tuple[str, str]]:
        return [
            (
                "air in the bay",
                _("{ppm:g} ppm of R-134a; the probe draws {suction:g} mL a minute").format(
                    ppm=self.ppm, suction=self.suction_milliliters
                ),
            ),
            ("detector", _("class {grams:g} g/yr, another bay, clean air").format(grams=self.detector_class)),
            *(
                (
                    f"spot {letter}",
                    _("leaks {grams:g} g/yr, the tip catches {share:g} %").format(
                        grams=spot.grams_a_year, share=spot.caught_percent
                    ),
                )
                for letter, spot in zip(SPOTS, self.spots, strict=True)
            ),
        ]

    def _time(self) -> list[tuple[str, str]]:
        return [
            (
                "dye",
                _("leak {grams:g} g/yr, {share:g} % oil in what leaves, seen from 0.05 g of oil").format(
                    grams=self.dye_grams_a_year, share=self.oil_percent
                ),
            ),
            (
                "a leak left for later",
                _("{grams:g} g/yr; full charge {full}, cools well down to {least}").format(
                    grams=self.left_grams_a_year,
                    full=shown(f"{self.full_ounces:g} oz", "mass"),
                    least=shown(f"{self.least_ounces:g} oz", "mass"),
                ),
            ),
        ]

    def _records(self) -> list[tuple[str, str]]:
        return [
            *(
                (
                    f"method {letter}",
                    _("named the place in {percent:g} % of the shop's hunts, {minutes:g} min").format(
                        percent=method.percent, minutes=method.minutes
                    ),
                )
                for letter, method in zip(MACHINES, self.methods, strict=True)
            ),
            *((f"note {letter}", note) for letter, note in zip(SPOTS, self.notes, strict=True)),
            *((f"machine {letter}", finding) for letter, finding in zip(MACHINES, self.findings, strict=True)),
        ]


def _reading(psig: float, fahrenheit: float) -> str:
    return f"{shown(f'{psig:g} psig', 'pressure')}, {shown(f'{fahrenheit:g} F', 'temperature')}"


def draw_spots(draw: Draw, grams: float) -> tuple[Spot, ...]:
    """Return eight spots about a class (g/yr): large and near, large and far from the tip, and small ones."""
    near, far = int(draw.number("near spots", 2, 4, 1)), int(draw.number("far spots", 2, 3, 1))
    found = []
    for place in range(len(SPOTS)):
        if place < near:
            leak, share = draw.number(f"leak {place}", 3.0, 9.0, 0.5), draw.number(f"share {place}", 50.0, 100.0, 10.0)
        elif place < near + far:
            leak, share = draw.number(f"leak {place}", 1.5, 4.0, 0.5), draw.number(f"share {place}", 5.0, 20.0, 5.0)
        else:
            leak, share = draw.number(f"leak {place}", 0.3, 0.8, 0.1), draw.number(f"share {place}", 60.0, 100.0, 10.0)
        found.append(Spot(round(leak * grams, 1), share))
    return draw.order("order of spots", found)


def draw_methods(draw: Draw) -> tuple[Method, ...]:
    """Return six methods of the shop's records; no two are within a tenth in chance a minute or equal in a number."""
    percents = draw.order("chances", (15.0, 25.0, 35.0, 45.0, 60.0, 75.0))
    minutes = draw.order("minutes", (4.0, 7.0, 13.0, 22.0, 37.0, 90.0))
    return tuple(Method(one, other) for one, other in zip(percents, minutes, strict=True))


def draw_case(term: str, learner: str, *, assignment: str = "leak-1") -> LeakCase:
    """Return the numbers of one learner."""
    draw = Draw(assignment, term, learner)
    evening, night = draw.number("evening", 80.0, 100.0, 1.0), draw.number("night", 24.0, 38.0, 1.0)
    ratings = [draw.number("lowest rating", 160.0, 290.0, 5.0)]
    # The sheet shows nobody testing above the lowest plate.
    evening_psig = ratings[0] - draw.number("below the lowest plate", 5.0, 45.0, 1.0)
    colder = (evening_psig + 14.696) * (evening - night + 459.67) / (evening + 459.67) - 14.696
    morning_psig = round(2 * (colder - draw.number("fall", 2.0, 9.0, 0.25))) / 2
    charged = draw.number("charged", 36.0, 64.0, 2.0)
    ratings += [ratings[0] + draw.number(f"rating {place}", 60.0, 300.0, 10.0) for place in range(3)]
    full = draw.number("full", 40.0, 64.0, 2.0)
    grams = draw.pick("class", (4.0, 7.0, 14.0))
    return LeakCase(
        charged_ounces=charged,
        found_ounces=round(charged * draw.number("share found", 0.35, 0.8, 0.01)),
        months=draw.pick("months", (3.0, 4.0, 5.0, 7.0, 8.0, 9.0)),
        ratings_psig=draw.order("order of ratings", ratings),
        manual_psig=ratings[0] + draw.number("manual", 15.0, 50.0, 5.0),
        evening_psig=evening_psig,
        evening_fahrenheit=evening,
        morning_psig=morning_psig,
        morning_fahrenheit=evening - night,
        volume_liters=draw.number("volume", 1.6, 4.8, 0.2),
        doubt_psi=draw.number("doubt", 0.6, 2.4, 0.2),
        hours=draw.number("hours", 8.0, 20.0, 1.0),
        bubble_grams_a_year=draw.number("bubble leak", 14.0, 80.0, 1.0),
        bubble_millimeters=draw.number("bubble", 2.5, 4.5, 0.5),
        ppm=draw.number("ppm", 8.0, 200.0, 2.0),
        suction_milliliters=draw.number("suction", 120.0, 300.0, 10.0),
        detector_class=grams,
        spots=draw_spots(draw, grams),
        dye_grams_a_year=draw.number("dye leak", 20.0, 240.0, 5.0),
        oil_percent=draw.number("oil", 2.0, 5.0, 0.5),
        full_ounces=full,
        least_ounces=round(full * draw.number("least", 0.6, 0.8, 0.01)),
        left_grams_a_year=draw.number("left leak", 60.0, 400.0, 5.0),
        methods=draw_methods(draw),
        notes=draw.order("notes", NOTES)[: len(SPOTS)],
        findings=draw.order("findings", FINDINGS)[: len(MACHINES)],
    )
