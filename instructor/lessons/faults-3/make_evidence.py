"""Work out the tables of lesson faults-3: ``python -m coldcab.make evidence`` (three minutes).

It writes ``situations.csv`` and ``likelihoods.csv`` into the package; every stored sheet changes with them.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from coldcab import units
from coldcab.faults import Fault, measurements, observables, observe
from coldcab.faults.atlas import HEALTHY, draw_cases
from coldcab.faults.observables import scattered
from coldcab.lessons.faults_3 import evidence
from coldcab.lessons.faults_3.evidence import HIGH_UP, LOW, LOW_UP, PAIRS, RPM, SUSPECTS, TABLES, Pair, Seen
from coldcab.lessons.keys import keys_module
from coldcab.machine import nominal_charge
from coldcab.machine.fleet import FLEET
from coldcab.machine.readings import chart_temperature
from coldcab.quantities import PSI
from coldcab.scenario import sick_machines

KEYS = keys_module(Path(__file__).parent)
PACKAGE = Path(evidence.__file__).parent
BLIND = 1.0
"""Instrument doubts within which two readings cannot be told apart."""
LIKE_GAUGES = 2.0
"""Instrument doubts by which the gauges of a pair may differ at most; a careful eye would not swear to it."""
SEVERITIES = {
    "drier or screen": 0.7,
    "screen or hose": 0.6,
    "air or screen": 0.8,
    "drier or kink": 0.8,
    "blocked or recirculated": 0.5,
    "blocked or fan": 0.8,
    "blocked or air": 0.8,
    "worn or slipping": 0.8,
    "stuck or worn": 0.7,
    "slipping or worn": 0.6,
    "bulb or ice": 0.8,
    "screen or ice": 0.8,
    "thermostat or low switch": 0.8,
    "thermostat or high switch": 0.8,
}
"""Severity of the first fault of a pair; that of the second follows from the gauges."""
TWENTIETH, LEAST = 0.05, 0.05
MACHINES_PER_SUSPECT = 400
SIGN_SEVERITIES = (0.4, 1.0)
SIGN_UNIT, SIGN_DAY = 31, 95.0
MADE = "# Made by: python -m coldcab.make evidence\n"
SITUATIONS_HEAD = (
    "# Readings (SI, gauges in Pa gauge) of invented machines with R-134a from the machine model, 1,500 rpm, doors\n"
    "# open, 40 % humidity: healthy, with the first and with the second fault of a pair that has like gauges.\n"
)
LIKELIHOODS_HEAD = (
    "# How often invented machines with a fault (severity 0.4 to 1, scatter of machines, weather and instruments\n"
    "# included) show a sign; shares of machines by twentieths, never under 0.05 or over 0.95.\n"
)


def look(unit: int, day: float, *faults: Fault) -> dict[str, Any]:
    """All that can be measured on a machine, without the instruments' scatter."""
    return observe(
        FLEET[unit],
        sick_machines.day(day, RPM),
        refrigerant=sick_machines.REFRIGERANT,
        charge=nominal_charge(FLEET[unit], sick_machines.REFRIGERANT),
        faults=faults,
        noise=False,
    )


def situation(pair: Pair, unit: int, day: float) -> dict[str, tuple[Any, Any, Any]]:
    """Readings of the healthy machine and of both faults, the second at the severity that gives the same gauges.

    Under ``gap`` stands how far its gauges still are from the first one's, in instrument doubts.
    """
    gauges = measurements["gauges"].gives
    names = dict.fromkeys((*gauges, *(name for offer in pair.offers for name in measurements[offer].gives)))
    one = look(unit, day, Fault(pair.one, SEVERITIES[pair.name]))

    def gap(other: dict[str, Any]) -> float:
        return max(abs(other[name] - one[name]) / observables[name].scatter for name in gauges)

    severities = np.linspace(0.2, 1.0, 41)
    two = min((look(unit, day, Fault(pair.two, float(severity))) for severity in severities), key=gap)
    healthy = look(unit, day)
    return {name: (healthy[name], one[name], two[name]) for name in names} | {"gap": (gap(two),) * 3}


def likelihoods() -> dict[str, dict[str, float]]:
    """How often each suspect shows each sign, among invented machines of one type with scattered readings."""
    name, machine = sick_machines.REFRIGERANT, FLEET[SIGN_UNIT]
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
    healthy = sick_machines.run(SIGN_UNIT, SIGN_DAY, RPM)
    degree = units.from_unit(1.0, "temperature difference", "F")
    subcooling = chart_temperature(name, read["high_gauge"]) - read["liquid_line"]
    shows = {
        LOW: read["low_gauge"] < healthy.low_gauge - 6 * PSI,
        LOW_UP: read["low_gauge"] > healthy.low_gauge + 3 * PSI,
        HIGH_UP: read["high_gauge"] > healthy.high_gauge + 20 * PSI,
        "high side low": read["high_gauge"] < healthy.high_gauge - 15 * PSI,
        "discharge hot": read["discharge_line"] > healthy.discharge_line + 10 * degree,
        "subcooled": subcooling > 15 * degree,
        "glass": read["glass"] != "clear",
    }

    def share(sign: str, place: int) -> float:
        mean = shows[sign][cases.classes == place].mean()
        return float(np.clip(TWENTIETH * round(mean / TWENTIETH), LEAST, 1.0 - LEAST))

    return {sign: {suspect: share(sign, place) for place, suspect in enumerate(cases.names) if place} for sign in shows}


def is_kept(pair: Pair, found: dict[str, tuple[Any, Any, Any]]) -> bool:
    """Whether gauges are alike, the first offer tells the two apart plainly, and the second does so or not at all."""

    def doubts_between(offer: str) -> float:
        one, two = ({name: found[name][place] for name in measurements[offer].gives} for place in (1, 2))
        return float(KEYS.doubts_between(Seen(one, two)))

    first, second = map(doubts_between, pair.offers)
    return found["gap"][0] <= LIKE_GAUGES and first >= KEYS.PLAIN and not BLIND < second < KEYS.PLAIN


def situation_lines() -> list[str]:
    """Rows of ``situations.csv``."""
    lines = []
    for pair in PAIRS.values():
        for unit in FLEET:
            for day in pair.days:
                found = situation(pair, unit, day)
                if is_kept(pair, found):
                    del found["gap"]
                    rows = ((name, ",".join(map(written, values))) for name, values in found.items())
                    lines += [f"{pair.name},{unit},{day:g},{name},{values}\n" for name, values in rows]
    return lines


def written(value: Any) -> str:
    """A look as it is, a number with six digits."""
    return value if isinstance(value, str) else f"{value:.6g}"


def main() -> None:
    """Write both tables."""
    text = SITUATIONS_HEAD + MADE + "pair,unit,day_F,reading,healthy,one,two\n" + "".join(situation_lines())
    (PACKAGE / "situations.csv").write_text(text, encoding="utf-8")
    found = likelihoods()
    rows = [
        f"{table.name},{sign},{suspect},{found[sign][suspect]:.2f}\n"
        for table in TABLES
        for sign in table.signs
        for suspect in table.suspects
    ]
    text = LIKELIHOODS_HEAD + MADE + "table,sign,suspect,share\n" + "".join(rows)
    (PACKAGE / "likelihoods.csv").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
