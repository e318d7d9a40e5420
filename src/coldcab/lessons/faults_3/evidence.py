"""Pairs of faults that the gauges do not tell apart, and how often suspects show a sign: worked out once and stored.

Both tables come from the machine model. They are stored so that a learner's copy and the instructor's hold the same
numbers for ever. ``python -m coldcab.make evidence`` writes them anew; then every stored sheet changes with them.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any

from coldcab.faults import measurements, observables

RPM = 1500.0
GAUGES_AGAIN = "gauges once more"
AGAIN_MINUTES = 3.0
PLAIN = 3.0
"""Instrument doubts by which two readings must differ to be told apart plainly."""


BLIND = 1.0
"""Instrument doubts within which two readings cannot be told apart."""
LIKE_GAUGES = 2.0
"""Instrument doubts by which the gauges of a pair may differ at most; a careful eye would not swear to it."""


@dataclass(frozen=True)
class Pair:
    """Two faults with like gauges; ``offers`` are measurements that can be taken, ``part`` what could be swapped.

    ``severity`` is that of the first fault; that of the second follows from the gauges. Minutes of parts are invented.
    """

    name: str
    one: str
    two: str
    severity: float
    offers: tuple[str, str]
    part: str
    part_minutes: float
    days: tuple[float, ...] = (88.0, 100.0)
    note: str = ""


DROPS_OUT = "The gauges are those while the clutch is on; it drops out again and again. "
DRIER, VALVE = "fit a new drier and see", "fit a new valve and see"
STARVED = (
    Pair("drier or screen", "drier restricted", "valve screen plugged", 0.7, ("drier", "discharge line"), VALVE, 150.0),
    Pair("screen or hose", "valve screen plugged", "suction hose collapsed",
         0.6, ("suction hose", "glass"), VALVE, 150.0),
    Pair("air or screen", "low evaporator air", "valve screen plugged",
         0.8, ("vent", "glass"), VALVE, 150.0, (96.0, 104.0)),
    Pair("drier or kink", "drier restricted", "liquid line kinked", 0.8, ("drier", "suction hose"), DRIER, 150.0),
)  # fmt: skip
HEAD = (
    Pair("blocked or recirculated", "condenser blocked", "hot air recirculated", 0.5, ("condenser air", "glass"),
         "fit a new condenser and see", 240.0),
    Pair("blocked or fan", "condenser blocked", "condenser fan slow", 0.8, ("fan", "condenser air"),
         "fit a new condenser and see", 240.0),
    Pair("blocked or air", "condenser blocked", "air in the circuit", 0.8, ("condenser air", "standing pressure"),
         "recover, evacuate, charge anew and see", 180.0),
)  # fmt: skip
PULL = (
    Pair("worn or slipping", "worn compressor", "clutch or belt slipping", 0.8, ("hub speed", "glass"),
         "fit a new compressor and see", 300.0),
    Pair("stuck or worn", "valve stuck open", "worn compressor", 0.7, ("discharge line", "condenser air"),
         "fit a new compressor and see", 300.0, (96.0, 104.0)),
    Pair("slipping or worn", "clutch or belt slipping", "worn compressor", 0.6, ("hub speed", "fan"),
         "fit a new clutch and see", 120.0),
)  # fmt: skip
HIDDEN = (
    Pair("bulb or ice", "bulb charge lost", "moisture freezing", 0.8, ("valve warmed", "drier"), VALVE, 150.0),
    Pair("screen or ice", "valve screen plugged", "moisture freezing", 0.8, ("valve warmed", "glass"), VALVE, 150.0),
    Pair("thermostat or low switch", "thermostat opens early", "low-pressure switch opens early", 0.8,
         ("thermostat", "switches"), "fit a new clutch and see", 120.0, (96.0, 104.0), DROPS_OUT),
    Pair("thermostat or high switch", "thermostat opens early", "high-pressure switch opens early", 0.8,
         ("thermostat", "switches"), "fit a new clutch and see", 120.0, note=DROPS_OUT),
)  # fmt: skip
SITUATIONS = (STARVED, HEAD, PULL, HIDDEN)
PAIRS = {pair.name: pair for group in SITUATIONS for pair in group}


@dataclass(frozen=True)
class Seen:
    """What a measurement shows (SI, or a look) with the first and with the second fault."""

    one: dict[str, Any]
    two: dict[str, Any]

    def apart(self) -> float:
        """Largest difference in instrument doubts; a look that differs is plain."""
        found = 0.0
        for name, value in self.one.items():
            other = self.two[name]
            if isinstance(value, str):
                found = max(found, 2 * PLAIN if value != other else 0.0)
            else:
                found = max(found, abs(value - other) / observables[name].scatter)
        return found


def minutes(pair: Pair, offer: str) -> float:
    """Minutes that an offer costs; the part's are invented."""
    if offer == pair.part:
        return pair.part_minutes
    return AGAIN_MINUTES if offer == GAUGES_AGAIN else measurements[offer].minutes


@lru_cache(maxsize=1)
def _situations() -> dict[tuple[str, int, float], dict[str, tuple[Any, Any, Any]]]:
    found: dict[tuple[str, int, float], dict[str, tuple[Any, Any, Any]]] = {}
    for row in _rows("situations"):
        values = tuple(
            row[each] if row["reading"] == "glass" else float(row[each]) for each in ("healthy", "one", "two")
        )
        found.setdefault((row["pair"], int(row["unit"]), float(row["day_F"])), {})[row["reading"]] = values
    return found


def units_of(pair: Pair) -> tuple[tuple[int, float], ...]:
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
    LOW: "low side more than 6 psi (41 kPa) below healthy",
    LOW_UP: "low side more than 3 psi (21 kPa) above healthy",
    HIGH_UP: "high side more than 20 psi (138 kPa) above healthy",
    "high side low": "high side more than 15 psi (103 kPa) below healthy",
    "discharge hot": "discharge line more than 10 F (5.6 K) above healthy",
    "subcooled": "subcooling above 15 F (8.3 K)",
    "glass": "glass not clear",
}
TABLES = (
    SignTable("starved", ("charge low", "drier restricted", "valve screen plugged"), (LOW, "high side low", "glass")),
    SignTable("head", ("condenser blocked", "charge high", "air in the circuit"),
              (HIGH_UP, "discharge hot", "subcooled")),
    SignTable("pull", ("worn compressor", "clutch or belt slipping", "valve stuck open"),
              (LOW_UP, "high side low", "discharge hot")),
)  # fmt: skip
SUSPECTS = tuple(dict.fromkeys(suspect for table in TABLES for suspect in table.suspects))
STEP, LEAST = 0.05, 0.05
MACHINES_PER_SUSPECT = 400
SIGN_SEVERITIES = (0.4, 1.0)
SIGN_UNIT, SIGN_DAY = 31, 95.0


@lru_cache(maxsize=1)
def _likelihoods() -> dict[tuple[str, str, str], float]:
    return {(row["table"], row["sign"], row["suspect"]): float(row["share"]) for row in _rows("likelihoods")}


def _rows(name: str) -> list[dict[str, str]]:
    text = files("coldcab.lessons.faults_3").joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


# Working them out ------------------------------------------------------------------------------------------------


def situation_worked_out(pair: Pair, unit: int, day: float) -> dict[str, tuple[Any, Any, Any]]:
    """Readings of the healthy machine and of both faults, the second at the severity that gives the same gauges."""
    import numpy as np

    from coldcab.faults import Fault, observe
    from coldcab.machine import nominal_charge
    from coldcab.machine.fleet import FLEET
    from coldcab.scenario import sick_machines

    def look(*faults: Any) -> dict[str, Any]:
        return observe(
            FLEET[unit],
            sick_machines.day(day, RPM),
            refrigerant=sick_machines.REFRIGERANT,
            charge=nominal_charge(FLEET[unit], sick_machines.REFRIGERANT),
            faults=faults,
            noise=False,
        )

    names = [*measurements["gauges"].gives, *(name for offer in pair.offers for name in measurements[offer].gives)]
    one = look(Fault(pair.one, pair.severity))

    def gap(other: dict[str, Any]) -> float:
        return max(abs(other[name] - one[name]) / observables[name].scatter for name in names[:2])

    two = min((look(Fault(pair.two, float(severity))) for severity in np.linspace(0.2, 1.0, 41)), key=gap)
    well = look()
    return {name: (well[name], one[name], two[name]) for name in dict.fromkeys(names)} | {"gap": (gap(two),) * 3}


def likelihoods_worked_out() -> dict[str, dict[str, float]]:
    """How often each suspect shows each sign, among invented machines of one type with scattered readings."""
    import numpy as np

    from coldcab import units
    from coldcab.faults.atlas import HEALTHY, draw_cases
    from coldcab.faults.observables import scattered
    from coldcab.machine import nominal_charge
    from coldcab.machine.fleet import FLEET
    from coldcab.machine.readings import chart_temperature
    from coldcab.scenario import sick_machines

    name = sick_machines.REFRIGERANT
    machine = FLEET[SIGN_UNIT]
    cases = draw_cases(
        machine,
        sick_machines.day(SIGN_DAY, RPM),
        refrigerant=name,
        charge=nominal_charge(machine, name),
        names=(HEALTHY, *SUSPECTS),
        per_class=MACHINES_PER_SUSPECT,
        seed=1,
        severities=SIGN_SEVERITIES,
    )
    read = scattered(cases.seen, np.random.Generator(np.random.Philox(1)))
    well = sick_machines.run(SIGN_UNIT, SIGN_DAY, RPM)
    psi, degree = (
        units.from_unit(1.0, "pressure difference", "psi"),
        units.from_unit(1.0, "temperature difference", "F"),
    )
    subcooling = chart_temperature(name, read["high_gauge"]) - read["liquid_line"]
    shown = {
        LOW: read["low_gauge"] < well.low_gauge - 6 * psi,
        LOW_UP: read["low_gauge"] > well.low_gauge + 3 * psi,
        HIGH_UP: read["high_gauge"] > well.high_gauge + 20 * psi,
        "high side low": read["high_gauge"] < well.high_gauge - 15 * psi,
        "discharge hot": read["discharge_line"] > well.discharge_line + 10 * degree,
        "subcooled": subcooling > 15 * degree,
        "glass": read["glass"] != "clear",
    }
    return {
        sign: {
            suspect: float(np.clip(STEP * round(what[cases.classes == place].mean() / STEP), LEAST, 1.0 - LEAST))
            for place, suspect in enumerate(cases.names)
            if place
        }
        for sign, what in shown.items()
    }


def _written(values: tuple[Any, ...]) -> str:
    return ",".join(value if isinstance(value, str) else f"{value:.6g}" for value in values)


def main() -> None:
    """Write both tables."""
    from pathlib import Path

    from coldcab.machine.fleet import FLEET

    here = Path(__file__).parent
    made = "# Made by: python -m coldcab.make evidence\n"
    head = (
        "# Readings (SI, gauges in Pa gauge) of invented machines with R-134a from the machine model, 1,500 rpm, doors "
        "open,\n# 40 % humidity: healthy, with the first and with the second fault of a pair that has like gauges.\n"
    )
    lines = []
    for pair in PAIRS.values():
        for unit in FLEET:
            for day in pair.days:
                found = situation_worked_out(pair, unit, day)
                apart = [
                    Seen(*({n: found[n][k] for n in measurements[offer].gives} for k in (1, 2))).apart()
                    for offer in pair.offers
                ]
                if found.pop("gap")[0] > LIKE_GAUGES or apart[0] < PLAIN or BLIND < apart[1] < PLAIN:
                    continue
                lines += [f"{pair.name},{unit},{day:g},{name},{_written(values)}\n" for name, values in found.items()]
    text = head + made + "pair,unit,day_F,reading,healthy,one,two\n" + "".join(lines)
    (here / "situations.csv").write_text(text, encoding="utf-8")
    found = likelihoods_worked_out()
    rows = [
        f"{table.name},{sign},{suspect},{found[sign][suspect]:.2f}\n"
        for table in TABLES
        for sign in table.signs
        for suspect in table.suspects
    ]
    head = (
        "# How often invented machines with a fault (severity 0.4 to 1, scatter of machines, weather and instruments\n"
        "# included) show a sign; shares of machines by twentieths, never under 0.05 or over 0.95.\n"
    )
    text = head + made + "table,sign,suspect,share\n" + "".join(rows)
    (here / "likelihoods.csv").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
