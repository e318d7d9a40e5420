"""Pairs of faults that the gauges do not tell apart, and how often suspects show a sign, as stored tables.

They were worked out once with the machine model and are stored so that a learner's copy and the instructor's hold the
same numbers for ever.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any

from coldcab.faults import measurements
from coldcab.words import _

RPM = 1500.0
GAUGES_AGAIN = "gauges once more"
AGAIN_MINUTES = 3.0
VOLTMETER, ADD_A_CAN, WAIT = _("voltmeter across each switch"), _("add a can and see"), _("let it work a day and see")
OTHER_MINUTES = {GAUGES_AGAIN: AGAIN_MINUTES, VOLTMETER: 5.0, ADD_A_CAN: 15.0, WAIT: 30.0}
"""Minutes of what is no measurement of the model; invented."""


@dataclass(frozen=True)
class Pair:
    """Two faults with like gauges; ``offers`` are measurements that can be taken, ``part`` what could be swapped.

    Minutes of parts are invented.
    """

    name: str
    one: str
    two: str
    offers: tuple[str, str]
    part: str
    part_minutes: float
    days: tuple[float, ...] = (88.0, 100.0)
    drops_out: bool = False
    """Whether the clutch drops out again and again, so that the gauges are means over its cycle."""


DRIER, VALVE = "fit a new drier and see", "fit a new valve and see"
STARVED = (
    Pair("drier or screen", "drier restricted", "valve screen plugged", ("drier", "discharge line"), VALVE, 150.0),
    Pair("screen or hose", "valve screen plugged", "suction hose collapsed",
         ("suction hose", "glass"), VALVE, 150.0),
    Pair("air or screen", "low evaporator air", "valve screen plugged",
         ("vent", "glass"), VALVE, 150.0, (100.0, 104.0)),
    Pair("drier or kink", "drier restricted", "liquid line kinked", ("drier", "suction hose"), DRIER, 150.0),
)  # fmt: skip
HEAD = (
    Pair("blocked or recirculated", "condenser blocked", "hot air recirculated", ("condenser air", "glass"),
         "fit a new condenser and see", 240.0),
    Pair("blocked or fan", "condenser blocked", "condenser fan slow", ("fan", "condenser air"),
         "fit a new condenser and see", 240.0),
    Pair("blocked or air", "condenser blocked", "air in the circuit", ("condenser air", "standing pressure"),
         "recover, evacuate, charge anew and see", 180.0),
)  # fmt: skip
PULL = (
    Pair("worn or slipping", "worn compressor", "clutch or belt slipping", ("hub speed", "glass"),
         "fit a new compressor and see", 300.0),
    Pair("stuck or worn", "valve stuck open", "worn compressor", ("discharge line", "condenser air"),
         "fit a new compressor and see", 300.0, (88.0, 96.0)),
    Pair("slipping or worn", "clutch or belt slipping", "worn compressor", ("hub speed", "fan"),
         "fit a new clutch and see", 120.0),
)  # fmt: skip
HIDDEN = (
    Pair("bulb or ice", "bulb charge lost", "moisture freezing", ("valve warmed", "drier"), VALVE, 150.0),
    Pair("screen or ice", "valve screen plugged", "moisture freezing", ("valve warmed", "glass"), VALVE, 150.0),
    Pair("thermostat or low switch", "thermostat opens early", "low-pressure switch opens early",
         ("thermostat", "switches"), "fit a new clutch and see", 120.0, (92.0, 96.0), True),
    Pair("thermostat or high switch", "thermostat opens early", "high-pressure switch opens early",
         ("thermostat", "switches"), "fit a new clutch and see", 120.0, (92.0, 100.0), True),
)  # fmt: skip
SITUATIONS = (STARVED, HEAD, PULL, HIDDEN)
PAIRS = {pair.name: pair for group in SITUATIONS for pair in group}


@dataclass(frozen=True)
class Seen:
    """What a measurement shows (SI, or a look) with the first and with the second fault."""

    one: dict[str, Any]
    two: dict[str, Any]


def minutes(pair: Pair, offer: str) -> float:
    """Minutes that an offer costs; the part's are invented."""
    if offer == pair.part:
        return pair.part_minutes
    return OTHER_MINUTES[offer] if offer in OTHER_MINUTES else measurements[offer].minutes


def offered(pair: Pair) -> tuple[str, ...]:
    """Return six things to do next; where the clutch drops out, one of them is a voltmeter."""
    return (*pair.offers, GAUGES_AGAIN, pair.part, ADD_A_CAN, VOLTMETER if pair.drops_out else WAIT)


@lru_cache(maxsize=1)
def _situations() -> dict[tuple[str, int, float], dict[str, tuple[Any, Any, Any]]]:
    found: dict[tuple[str, int, float], dict[str, tuple[Any, Any, Any]]] = {}
    for row in _rows("situations"):
        values = tuple(
            row[each] if row["reading"] == "glass" else float(row[each]) for each in ("healthy", "one", "two")
        )
        found.setdefault((row["pair"], int(row["unit"]), float(row["day_F"])), {})[row["reading"]] = values
    return found


def machines_of(pair: Pair) -> tuple[tuple[int, float], ...]:
    """Units and days (F) for which a pair is stored."""
    return tuple((unit, day) for name, unit, day in _situations() if name == pair.name)


def healthy(pair: Pair, unit: int, day: float) -> dict[str, Any]:
    """Gauges of the healthy machine of that day, SI."""
    rows = _situations()[pair.name, unit, day]
    return {name: rows[name][0] for name in measurements["gauges"].gives}


def seen(pair: Pair, unit: int, day: float, offer: str) -> Seen:
    """What an offered measurement shows with either fault; "gauges" and `GAUGES_AGAIN` are the two gauges."""
    rows = _situations()[pair.name, unit, day]
    names = measurements["gauges" if offer == GAUGES_AGAIN else offer].gives
    return Seen({name: rows[name][1] for name in names}, {name: rows[name][2] for name in names})


# How often suspects show a sign ----------------------------------------------------------------------------------


@dataclass(frozen=True)
class SignTable:
    """Three suspects and signs: how often each suspect shows each sign (shares of machines, by twentieths)."""

    name: str
    suspects: tuple[str, str, str]
    signs: tuple[str, str, str]

    def shares(self, sign: int) -> tuple[float, ...]:
        """Likelihoods of a sign, in the order of the suspects."""
        return tuple(_likelihoods()[self.name, self.signs[sign], suspect] for suspect in self.suspects)


LOW, HIGH_UP, LOW_UP = "low side low", "high side high", "low side high"
SIGN_WORDS = {
    LOW: _("low side more than 12 psi (83 kPa) below healthy"),
    LOW_UP: _("low side more than 8 psi (55 kPa) above healthy"),
    HIGH_UP: _("high side more than 40 psi (276 kPa) above healthy"),
    "high side low": _("high side more than 45 psi (310 kPa) below healthy"),
    "discharge hot": _("discharge line more than 20 F (11.1 K) above healthy"),
    "subcooled": _("subcooling above 15 F (8.3 K)"),
    "glass": _("glass not clear"),
}
TABLES = (
    SignTable("starved", ("drier restricted", "charge low", "valve screen plugged"), (LOW, "high side low", "glass")),
    SignTable("head", ("charge high", "air in the circuit", "condenser blocked"),
              (HIGH_UP, "discharge hot", "subcooled")),
    SignTable("pull", ("worn compressor", "clutch or belt slipping", "valve stuck open"),
              (LOW_UP, "high side low", "discharge hot")),
)  # fmt: skip
SUSPECTS = tuple(dict.fromkeys(suspect for table in TABLES for suspect in table.suspects))


@lru_cache(maxsize=1)
def _likelihoods() -> dict[tuple[str, str, str], float]:
    return {(row["table"], row["sign"], row["suspect"]): float(row["share"]) for row in _rows("likelihoods")}


def _rows(name: str) -> list[dict[str, str]]:
    text = files("coldcab.lessons.faults_3").joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
