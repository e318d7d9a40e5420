"""Cases of lesson retrofit-4: cans and hose, a charge curve, readings after charging, and what other people do."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import air, units
from coldcab.lessons.retrofit_4.charge_curves import DAYS, Row, charge_curve
from coldcab.lessons.retrofit_4.wordings import CHARGED, GLASS, LOG, MOMENTS
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.words import _

LETTERS = ("A", "B", "C", "D", "E", "F", "G", "H")
FEW = LETTERS[:6]
CAN_OUNCES = 12.0
CAN_CUBIC_INCHES = 22.0
HOSE_INCHES = 3 / 16

READ_AFTERWARDS = (
    ("low side", "pressure", "psig"),
    ("high side", "pressure", "psig"),
    ("vent", "temperature", "F"),
    ("superheat", "temperature difference", "F"),
    ("subcooling", "temperature difference", "F"),
)
"""What is read after charging: name, kind, unit."""

SHORT = 0.5
"""Share of the wanted charge where the scale is short: there every curve still has bubbles."""
PATTERNS = (
    ((0, 0, 0, 0, 0), "clear", 1.0),
    ((0, 0, 0, 0, 1), "clear", 1.0),
    ((-1, 0, 1, 1, 0), "bubbles", SHORT),
    ((-1, 0, 1, 1, 0), "bubbles", 1.0),
    ((0, 0, 1, 0, 0), "clear", 1.0),
)
"""Where each reading lies: inside its band (0), above its upper end (1) or below its lower one (-1); the glass; the
share of the wanted charge that is in."""

SHORT_OF_WHOLE_CANS = (0.0, 0.25, 0.5, 0.75, 1.0, 4.0, 4.5, 5.0, 5.5, 6.0, 6.5, 7.0)
"""Ounces: near to a whole number of cans, or well away from it."""
CHARGE_SHARES = (0.80, 0.95)
"""Of the R-12 charge: between the usual rules of thumb and the ratio of the liquid densities."""


@dataclass(frozen=True)
class ChargingCase:
    """A converted machine that is charged with R-134a; numbers as scale, gauges and thermometers show them."""

    unit: Unit
    altitude_feet: float
    specification_ounces: float  # of R-12 on the old data sheet
    charge_ounces: float  # wanted in the circuit
    low_side_psig: float  # when a can has given what it gives
    can_fahrenheit: float
    hose_feet: float
    day_fahrenheit: float
    bands: tuple[tuple[float, float], ...]  # in the order and units of READ_AFTERWARDS
    readings: tuple[float, ...]
    glass: str
    weighed_ounces: float  # when these readings were taken
    label_ounces: float  # of R-1234yf, another machine
    recovered_ounces: float
    charged: tuple[str, ...]
    sayings: tuple[str, ...]
    log: tuple[str, ...]
    moments: tuple[str, ...]

    @property
    def atmosphere(self) -> float:
        """Air pressure of the yard in Pa."""
        return air.atmospheric_pressure(units.from_unit(self.altitude_feet, "length", "ft"))

    @property
    def curve(self) -> tuple[Row, ...]:
        """The charge curve that was taken on this machine."""
        return charge_curve(self.unit.number, self.day_fahrenheit)

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        found = [
            ("machine", _("{machine}, changed to R-134a").format(machine=self.unit.name)),
            ("altitude of the yard", shown(f"{self.altitude_feet:,.0f} ft", "length")),
            ("R-12 charge on the old data sheet", shown(f"{self.specification_ounces:g} oz", "mass")),
            ("R-134a wanted in the circuit", shown(f"{self.charge_ounces:g} oz", "mass")),
            ("small can, full", shown(f"{CAN_OUNCES:g} oz", "mass")),
            ("room inside a can", shown(f"{CAN_CUBIC_INCHES:g} cu in", "volume")),
            ("low side and can at the end", shown(f"{self.low_side_psig:g} psig", "pressure")),
            ("can and hose at the end", shown(f"{self.can_fahrenheit:g} F", "temperature")),
            ("hose, full of liquid", _("{length:g} ft long, 3/16 in wide inside").format(length=self.hose_feet)),
        ]
        day = shown(f"{self.day_fahrenheit:g} F", "temperature")
        found.append(("the curve was taken on", _("another day, {day} outside").format(day=day)))
        found += [
            (
                f"curve, {row.ounces:g} oz",
                _("{pressure}, vent {vent}, glass {glass}").format(
                    pressure=shown(f"{row.high_psig:g} psig", "pressure"),
                    vent=shown(f"{row.vent_fahrenheit:g} F", "temperature"),
                    glass=row.glass,
                ),
            )
            for row in self.curve
        ]
        for (name, kind, unit), (low, high), value in zip(READ_AFTERWARDS, self.bands, self.readings, strict=True):
            read, ends = (
                " to ".join(_in_both_systems(one, kind, unit) for one in some) for some in ((value,), (low, high))
            )
            found.append((f"after charging, {name}", f"{read}; healthy today: {ends}"))
        found.append(("after charging, glass", self.glass))
        found.append(
            (
                "after charging, weighed in",
                f"{shown(f'{self.weighed_ounces:g} oz', 'mass')} of {shown(f'{self.charge_ounces:g} oz', 'mass')}",
            )
        )
        found.append(
            (
                "R-1234yf machine",
                _("label {label}; {recovered} recovered, leak repaired, vacuum holds").format(
                    label=shown(f"{self.label_ounces:g} oz", "mass"),
                    recovered=shown(f"{self.recovered_ounces:g} oz", "mass"),
                ),
            )
        )
        for word, texts in (
            ("charged", self.charged),
            ("glass", self.sayings),
            ("log", self.log),
            ("moment", self.moments),
        ):
            found += [(f"{word} {letter}", text) for letter, text in zip(LETTERS, texts, strict=False)]
        return found


def _in_both_systems(value: float, kind: str, unit: str) -> str:
    return shown(f"{value:g} {unit}", kind)


def draw_case(term: str, learner: str, *, assignment: str = "retrofit-4") -> ChargingCase:
    """Return the numbers of one learner."""
    draw = Draw(assignment, term, learner)
    unit = draw.pick("unit", CONVERTED)
    specification = float(round(units.convert(unit.charge, "mass", "oz")))
    charge = draw.pick("wanted", charges_that_fit(specification))
    bands = (
        _band(draw, "low side", 26, 31, 10),
        _band(draw, "high side", 185, 215, 30, step=5),
        _band(draw, "vent", 44, 50, 10),
        _band(draw, "superheat", 4, 7, 14),
        _band(draw, "subcooling", 0, 2, 9),
    )
    places, glass, share = draw.pick("what is the matter", PATTERNS)
    label = draw.number("label", 20, 42, 1)
    states = draw.order("states", (0, 0, 0, 0, 1, 1, 1, 1))
    bad, sound = MOMENTS
    readings = tuple(
        _reading(draw, name, band, place)
        for (name, *_more), band, place in zip(READ_AFTERWARDS, bands, places, strict=True)
    )
    return ChargingCase(
        unit=unit,
        altitude_feet=draw.number("altitude", 0, 5000, 100),
        specification_ounces=specification,
        charge_ounces=charge,
        low_side_psig=draw.number("low side at the end", 20, 44, 1),
        can_fahrenheit=draw.number("can", 70, 100, 1),
        hose_feet=draw.number("hose", 5, 8, 0.5),
        day_fahrenheit=draw.pick("day", DAYS),
        bands=bands,
        readings=readings,
        glass=glass,
        weighed_ounces=charge if share == 1.0 else float(round(share * charge)),
        label_ounces=label,
        recovered_ounces=float(round(label * draw.number("recovered", 0.3, 0.7, 0.01))),
        charged=draw.order("charged", CHARGED)[:6],
        sayings=draw.order("sayings", GLASS)[:6],
        log=draw.order("log", tuple(pair[state] for pair, state in zip(LOG, states, strict=True))),
        moments=draw.order("order of moments", (draw.pick("moment", bad), *draw.order("moments", sound)[:5])),
    )


def charges_that_fit(specification: float) -> tuple[float, ...]:
    """Charges of R-134a (oz) that fit a data sheet for R-12, by the usual rules.

    Each is either so near to a whole number of cans that hose and heels cost one more, or well away from it.
    """
    least, most = (share * specification for share in CHARGE_SHARES)
    every = (CAN_OUNCES * cans - short for cans in range(1, 8) for short in SHORT_OF_WHOLE_CANS)
    return tuple(sorted(one for one in every if least <= one <= most))


def _band(draw: Draw, name: str, low: float, high: float, width: float, *, step: float = 1) -> tuple[float, float]:
    bottom = draw.number(f"band {name}", low, high, step)
    return bottom, bottom + width


def _reading(draw: Draw, name: str, band: tuple[float, float], place: int) -> float:
    low, high = band
    margin = 0.2 * (high - low)
    if place == 0:
        return float(round(low + margin + draw.fraction(f"reading {name}") * (high - low - 2 * margin)))
    beyond = draw.number(f"beyond {name}", 6, 14, 1)
    return high + beyond if place > 0 else low - beyond
