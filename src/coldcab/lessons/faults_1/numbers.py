"""Cases of lesson faults-1: a clutch circuit under load, readings half taken, switches, a clutch that is blamed."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import units
from coldcab.lessons.faults_1.jobs import NOTES, PAIRS, PROPOSALS, SITUATIONS
from coldcab.quantities import PSI
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import FLEET, Unit
from coldcab.scenario.showing import shown
from coldcab.service.clutch import LINKS, USUAL_GAP, Circuit, Coil, Link, coil_resistance
from coldcab.service.clutch_wiring import LOAD_POINTS, SYSTEMS, sensor_signal
from coldcab.words import _

LETTERS = tuple("ABCDEFGH")
PAIR_LETTERS = tuple("ABCDEFGHI")
PARTS = tuple(link.name for link in LINKS)
"""Parts of the load circuit in their order; the last two are on the ground side."""
NO_PART = _("none of them")
ON_24_VOLTS = (7, 18, 26)
"""Units of the shop with two batteries in series [invented]."""

CONNECTIONS = (_("clutch connector"), _("fuse holder"), _("ground strap"), _("relay socket"), _("battery clamp"))
CONTACTS = (
    _("relay contacts"),
    _("A/C switch in the clutch feed"),
    _("key switch"),
    _("thermostat in the clutch feed"),
)
THERMOSTAT_SPAN = 10.0  # F between opening and closing [invented, typical]
STOPS = ("low", "high", "fins", "bad switch", "bad thermostat", "bad fan")
WORK = ("compressor", "cause", "wiring", "clutch", "gap", "nothing")


@dataclass(frozen=True)
class SwitchReadings:
    """Machine D: what gauge, thermometer and voltmeter show, and the set points of its data sheet."""

    psig: float
    fins: float  # F
    across_switch: float  # V
    across_thermostat: float
    across_fan: float
    low_opens: float  # psig
    high_opens: float
    fan_closes: float
    thermostat_opens: float  # F
    thermostat_closes: float


@dataclass(frozen=True)
class Blamed:
    """Machine E, whose clutch is blamed."""

    turns_freely: bool
    debris: bool
    ohm: float
    fahrenheit: float  # of the coil while it was measured
    volts: float  # between the coil's own terminals, under load
    gap_inches: float
    switch_open: bool


@dataclass(frozen=True)
class ClutchCase:
    """What meter, gauges and hands find; numbers as the instruments show them."""

    unit: Unit
    system: str
    cold_ohm: float
    cold_fahrenheit: float
    hot_fahrenheit: float
    battery: float  # V, engine running
    behind: tuple[float, ...]  # V against the battery's minus at LOAD_POINTS
    situations: tuple[int, int]  # of machines B and C
    situation_words: tuple[str, str]
    pairs: tuple[str, ...]
    drops: tuple[tuple[str, float], ...]
    supply: float  # V
    signal: float  # V
    span_psig: float
    switches: SwitchReadings
    blamed: Blamed
    notes: tuple[str, ...]
    proposals: tuple[str, ...]

    @property
    def atmosphere(self) -> float:
        """Air pressure around the gauges in Pa: no answer depends on it."""
        return units.STANDARD_ATMOSPHERE

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        return [*self._circuit(), *self._half_measured(), *self._pressure(), *self._fifth(), *self._letters()]

    def _circuit(self) -> list[tuple[str, str]]:
        return [
            (
                "machine A",
                _("{machine}, {system}; clutch on, engine running; meter's black lead on battery minus").format(
                    machine=self.unit.name, system=self.system
                ),
            ),
            (
                "clutch coil, lead off",
                _("{ohm:.1f} ohm at {cold}; at work it is at {hot}").format(
                    ohm=self.cold_ohm,
                    cold=shown(f"{self.cold_fahrenheit:g} F", "temperature"),
                    hot=shown(f"{self.hot_fahrenheit:g} F", "temperature"),
                ),
            ),
            ("battery plus", f"{self.battery:.2f} V"),
            *((point, f"{volts:.2f} V") for point, volts in zip(LOAD_POINTS, self.behind, strict=True)),
            ("battery minus", "0.00 V"),
        ]

    def _half_measured(self) -> list[tuple[str, str]]:
        return [
            *((f"machine {letter}", words) for letter, words in zip("BC", self.situation_words, strict=True)),
            *((f"points {letter}", pair) for letter, pair in zip(PAIR_LETTERS, self.pairs, strict=True)),
            *(
                (f"drop {letter}", f"{part}, clutch on: {volts:.2f} V")
                for letter, (part, volts) in zip(LETTERS, self.drops, strict=True)
            ),
        ]

    def _pressure(self) -> list[tuple[str, str]]:
        found = self.switches
        return [
            (
                "pressure sensor",
                _(
                    "supply {supply:.2f} V, signal {signal:.2f} V; a tenth of the supply at 0 psig, "
                    "nine tenths at {full}"
                ).format(supply=self.supply, signal=self.signal, full=shown(f"{self.span_psig:g} psig", "pressure")),
            ),
            (
                "machine D, data sheet",
                _("switch opens below {low} and above {high}, fan contact closes above {fan}").format(
                    low=shown(f"{found.low_opens:g} psig", "pressure"),
                    high=shown(f"{found.high_opens:g} psig", "pressure"),
                    fan=shown(f"{found.fan_closes:g} psig", "pressure"),
                ),
            ),
            (
                "machine D, thermostat",
                _("opens below {cold}, closes again above {warm}").format(
                    cold=shown(f"{found.thermostat_opens:g} F", "temperature"),
                    warm=shown(f"{found.thermostat_closes:g} F", "temperature"),
                ),
            ),
            (
                "machine D, found",
                _("liquid line {pressure}, fins {fins}").format(
                    pressure=shown(f"{found.psig:g} psig", "pressure"),
                    fins=shown(f"{found.fins:g} F", "temperature"),
                ),
            ),
            (
                "machine D, across",
                _("pressure switch {one:.2f} V, thermostat {two:.2f} V, fan contact {three:.2f} V").format(
                    one=found.across_switch, two=found.across_thermostat, three=found.across_fan
                ),
            ),
        ]

    def _fifth(self) -> list[tuple[str, str]]:
        found = self.blamed
        open_switch = _("pressure switch open, 4 psig in the liquid line")
        gap = units.convert(USUAL_GAP[0], "length", "in"), units.convert(USUAL_GAP[1], "length", "in")
        return [
            (
                "machine E, key off",
                _("hub {hub}; oil {oil}").format(
                    hub=_("turns freely") if found.turns_freely else _("stiff and rough"),
                    oil=_("with metal flakes") if found.debris else _("clean"),
                ),
            ),
            (
                "machine E, coil",
                _("{ohm:.1f} ohm at {warm}; the manual says 3.6 ohm at 68 F (20 C)").format(
                    ohm=found.ohm, warm=shown(f"{found.fahrenheit:g} F", "temperature")
                ),
            ),
            (
                "machine E, under load",
                _("{volts:.1f} V at the coil, 13.8 V at the battery; {switches}").format(
                    volts=found.volts, switches=open_switch if found.switch_open else _("all switches closed")
                ),
            ),
            (
                "machine E, air gap",
                _("{gap}; the manual says {least:.3f} to {most:.3f} in").format(
                    gap=shown(f"{found.gap_inches:.3f} in", "length"), least=gap[0], most=gap[1]
                ),
            ),
        ]

    def _letters(self) -> list[tuple[str, str]]:
        return [
            *((f"note {letter}", note) for letter, note in zip(LETTERS, self.notes, strict=True)),
            *((f"plan {letter}", plan) for letter, plan in zip(LETTERS, self.proposals, strict=True)),
        ]


def draw_drops(draw: Draw) -> tuple[tuple[str, float], ...]:
    """Eight drops about their limits; some contacts lie between the limit of a connection and their own."""
    found = []
    parts = (*draw.order("connections", CONNECTIONS)[:4], *CONTACTS)
    for place, part in enumerate(parts):
        contact = part in CONTACTS
        bad = place in (0, 4) or draw.number(f"bad drop {place}", 0, 99, 1) < 45
        low, high = (0.36, 0.95) if contact else (0.14, 0.28) if place % 2 == 0 else (0.35, 0.9)
        if not bad:
            low, high = (0.13, 0.26) if contact else (0.01, 0.07)
        if place == 5:  # always one that is fine for contacts and too much for a connection
            low, high = 0.13, 0.26
        found.append((part, draw.number(f"drop {place}", low, high, 0.01)))
    return draw.order("order of drops", found)


def draw_switches(draw: Draw, full: float) -> SwitchReadings:
    """Machine D: one of `STOPS`."""
    stop = draw.pick("stop", STOPS)
    low, high, fan = draw.number("low", 25, 35, 1), draw.number("high", 365, 400, 5), draw.number("fan", 200, 240, 5)
    freezing = draw.number("thermostat", 32, 35, 1)
    psig = {
        "low": draw.number("psig low", 4, 18, 1),
        "high": draw.number("psig high", 405, 425, 5),
        "bad fan": draw.number("psig fan", 260, 340, 5),
    }.get(stop, draw.number("psig", 120, 185, 5))
    fins = draw.number("fins cold", 26, 30, 1) if stop == "fins" else draw.number("fins", 48, 66, 1)
    closed = draw.number("closed", 0.02, 0.08, 0.01)
    fan_open = psig <= fan or stop == "bad fan"
    return SwitchReadings(
        psig,
        fins,
        full if stop in ("low", "high", "bad switch") else 0.0 if stop in ("fins", "bad thermostat") else closed,
        full if stop in ("fins", "bad thermostat") else 0.0 if stop in ("low", "high", "bad switch") else closed,
        full if fan_open else closed,
        low,
        high,
        fan,
        freezing,
        freezing + THERMOSTAT_SPAN,
    )


def draw_blamed(draw: Draw) -> Blamed:
    """Machine E: one kind of `WORK`; its coil is warm, so that ohms alone say nothing."""
    work = draw.pick("work", WORK)
    warm = draw.number("coil warm", 60, 210, 5)
    copper = float(coil_resistance(units.from_unit(warm, "temperature", "F"), resistance_at_20=3.6))
    share = draw.number("share", 0.45, 0.68, 0.01) if work == "clutch" else draw.number("share", 0.97, 1.03, 0.01)
    stiff = draw.pick("stiff or metal", (True, False)) if work == "compressor" else None
    volts = {
        "cause": 0.0, "wiring": draw.number("weak", 8.5, 11.5, 0.1), "clutch": draw.number("loaded", 13.0, 13.3, 0.1)
    }.get(work, draw.number("good", 13.2, 13.6, 0.1))  # fmt: skip
    wide = draw.number("wide gap", 0.045, 0.062, 0.001)
    return Blamed(
        turns_freely=stiff is not True,
        debris=stiff is False,
        ohm=round(copper * share, 1),
        fahrenheit=warm,
        volts=volts,
        gap_inches=wide if work == "gap" else draw.number("gap", 0.018, 0.029, 0.001),
        switch_open=work == "cause",
    )


def draw_signal(draw: Draw) -> tuple[float, float, float]:
    """Supply (V), signal (V) and full pressure (psig) of a sensor whose supply is not just 5 V."""
    supply = 5.0 + draw.pick("above or below", (-1.0, 1.0)) * draw.number("off", 0.12, 0.3, 0.01)
    span = draw.pick("span", (435.0, 500.0, 600.0))
    psig = span * draw.pick("half", (draw.number("lower", 0.16, 0.38, 0.005), draw.number("upper", 0.62, 0.85, 0.005)))
    return round(supply, 2), round(sensor_signal(psig * PSI, supply=round(supply, 2), span=span * PSI), 2), span


def draw_case(term: str, learner: str, *, assignment: str = "faults-1") -> ClutchCase:
    """Return the numbers of one learner."""
    draw = Draw(assignment, term, learner)
    unit = draw.pick("unit", FLEET)
    system = "24 V" if unit.number in ON_24_VOLTS else "12 V"
    times = 2.0 if system == "24 V" else 1.0
    cold = draw.number("coil", 3.2, 4.2, 0.1) * times * times
    cold_f, hot = draw.number("cold", 45, 95, 1), draw.number("hot", 175, 250, 1)
    battery = round(SYSTEMS[system].running + times * draw.number("battery", -0.4, 0.4, 0.05), 2)
    bad = draw.pick("bad part", (*PARTS, NO_PART))
    links = tuple(Link(link.name, draw.number(f"sound {link.name}", 0.006, 0.018, 0.002), link.side) for link in LINKS)
    at_20 = cold / float(coil_resistance(units.from_unit(cold_f, "temperature", "F"), resistance_at_20=1.0))
    grown = draw.number("grown", 0.7, 2.2, 0.1) * times * times
    state = Circuit(links, Coil(resistance=at_20)).state(
        source=battery,
        coil_temperature=units.from_unit(hot, "temperature", "F"),
        added={} if bad == NO_PART else {bad: grown},
    )
    after = [float(one.after) for one in state.drops if one.link.side == "feed"]
    before = [float(one.before) for one in state.drops if one.link.side == "ground"]
    which = draw.order("situations", range(len(SITUATIONS)))[:2]
    full, lost = battery - 0.1 * times, times * draw.number("lost", 2.4, 3.9, 0.1)
    supply, signal, span = draw_signal(draw)
    return ClutchCase(
        unit=unit,
        system=system,
        cold_ohm=round(cold, 1),
        cold_fahrenheit=cold_f,
        hot_fahrenheit=hot,
        battery=battery,
        behind=tuple(round(volts, 2) for volts in (*after, *before)),
        situations=(which[0], which[1]),
        situation_words=tuple(
            SITUATIONS[place].format(full=f"{full:.1f} V", lost=f"{lost:.1f} V", left=f"{full - lost:.1f} V")
            for place in which
        ),
        pairs=draw.order("pairs", PAIRS),
        drops=draw_drops(draw),
        supply=supply,
        signal=signal,
        span_psig=span,
        switches=draw_switches(draw, round(full, 2)),
        blamed=draw_blamed(draw),
        notes=draw.order("notes", NOTES)[: len(LETTERS)],
        proposals=draw.order("proposals", PROPOSALS)[: len(LETTERS)],
    )
