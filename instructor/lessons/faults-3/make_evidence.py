"""Work out the tables of lesson faults-3: ``python -m coldcab.make evidence`` (two minutes).

It writes ``situations.csv`` and ``likelihoods.csv`` into the package; every stored sheet changes with them.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

from coldcab import units
from coldcab.faults import measurements, observables
from coldcab.faults.atlas import HEALTHY
from coldcab.faults.cases import draw_cases
from coldcab.faults.catalogue import combine, entry
from coldcab.faults.observing import run_all, scattered
from coldcab.lessons.faults_3 import evidence
from coldcab.lessons.faults_3.evidence import HIGH_UP, LOW, LOW_UP, PAIRS, RPM, SUSPECTS, TABLES, Pair, Seen
from coldcab.lessons.keys import keys_module
from coldcab.machine import nominal_charge
from coldcab.machine.effects import HEALTHY as NOTHING
from coldcab.machine.fleet import FLEET
from coldcab.machine.readings import chart_temperature
from coldcab.quantities import PSI
from coldcab.scenario import sick_machines
from coldcab.scenario.fleet import ON_R134A

KEYS = keys_module(Path(__file__).parent)
PACKAGE = Path(evidence.__file__).parent
BLIND = 1.0
"""Instrument doubts within which two readings cannot be told apart."""
LIKE_GAUGES = 2.0
"""Instrument doubts by which the gauges of a pair may differ at most; a careful eye would not swear to it."""
SICK = 4.0
"""Instrument doubts by which a gauge of either suspect lies off the healthy one's: nobody would take it for well."""
DROPS_OUT = 0.9
"""Share of the time the clutch is on, at most, on a machine whose clutch drops out."""
SEVERITIES = {
    "drier or screen": 0.56,
    "screen or hose": 0.46,
    "air or screen": 0.6,
    "drier or kink": 0.7,
    "blocked or recirculated": 0.3,
    "blocked or fan": 0.5,
    "blocked or air": 0.4,
    "worn or slipping": 0.6,
    "stuck or worn": 1.0,
    "slipping or worn": 0.86,
    "bulb or ice": 0.7,
    "screen or ice": 0.6,
    "thermostat or low switch": 0.66,
    "thermostat or high switch": 0.8,
}
"""Severity of the first fault of a pair; that of the second follows from the gauges."""
STEPS = np.round(np.arange(0.1, 1.001, 0.02), 2)
"""Severities among which that of the second fault is looked for."""
TWENTIETH, LEAST = 0.05, 0.05
MACHINES_PER_SUSPECT = 2000
SIGN_SEVERITIES = (0.2, 1.0)
SIGN_UNIT, SIGN_DAY = 31, 95.0
MADE = "# Made by: python -m coldcab.make evidence\n"
SITUATIONS_HEAD = (
    "# Readings (SI, gauges in Pa gauge) of invented machines with R-134a from the machine model, 1,500 rpm, doors\n"
    "# open, 40 % humidity: healthy, with the first and with the second fault of a pair that has like gauges.\n"
)
LIKELIHOODS_HEAD = (
    "# How often invented machines with a fault (severity 0.2 to 1, scatter of machines, weather and instruments\n"
    "# included) show a sign; shares of machines by twentieths, never under 0.05 or over 0.95.\n"
)


@lru_cache(maxsize=256)
def sweep(unit: int, day: float, fault: str = "") -> dict[str, Any]:
    """All that can be measured on a machine at every step of severity, or healthy, without the instruments' scatter."""
    effects = combine(NOTHING, entry(fault).effects(STEPS)) if fault else NOTHING
    machine, name = FLEET[unit], sick_machines.REFRIGERANT
    count = STEPS.size if fault else 1
    return run_all(machine, sick_machines.day(day, RPM), name, nominal_charge(machine, name), effects, count)[1]


def look(unit: int, day: float, fault: str = "", step: int = 0) -> dict[str, Any]:
    """What is measured at one step of severity."""
    return {name: np.asarray(values)[step].item() for name, values in sweep(unit, day, fault).items()}


def gap(one: dict[str, Any], other: dict[str, Any]) -> float:
    """How far the gauges of two machines are from each other at most, in instrument doubts; NaN is never near."""
    found = max(abs(other[name] - one[name]) / observables[name].scatter for name in measurements["gauges"].gives)
    return float(np.nan_to_num(found, nan=np.inf))


def situation(pair: Pair, unit: int, day: float) -> dict[str, tuple[Any, Any, Any]]:
    """Readings of the healthy machine and of both faults, the second at the severity that gives the same gauges.

    Under ``gap`` stands how far its gauges still are from the first one's, under ``sick`` how far either is from the
    healthy machine's, both in instrument doubts, under ``duty`` the larger share of the time that the clutch is on.
    """
    names = dict.fromkeys(name for offer in ("gauges", *pair.offers) for name in measurements[offer].gives)
    healthy = look(unit, day)
    one = look(unit, day, pair.one, int(np.abs(STEPS - SEVERITIES[pair.name]).argmin()))
    two = min((look(unit, day, pair.two, step) for step in range(STEPS.size)), key=lambda other: gap(one, other))
    return {name: (healthy[name], one[name], two[name]) for name in names} | {
        "gap": (gap(one, two),) * 3,
        "sick": (min(gap(healthy, one), gap(healthy, two)),) * 3,
        "duty": (max(one["clutch_duty"], two["clutch_duty"]),) * 3,
    }


def likelihoods() -> dict[str, dict[str, float]]:
    """Share of machines with each suspect that show each sign: invented ones of one type, with scattered readings."""
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
        LOW: read["low_gauge"] < healthy.low_gauge - 12 * PSI,
        LOW_UP: read["low_gauge"] > healthy.low_gauge + 8 * PSI,
        HIGH_UP: read["high_gauge"] > healthy.high_gauge + 40 * PSI,
        "high side low": read["high_gauge"] < healthy.high_gauge - 45 * PSI,
        "discharge hot": read["discharge_line"] > healthy.discharge_line + 20 * degree,
        "subcooled": subcooling > 15 * degree,
        "glass": read["glass"] != "clear",
    }

    return {
        sign: {
            name: float(shows[sign][cases.classes == place].mean()) for place, name in enumerate(cases.names) if place
        }
        for sign in shows
    }


def twentieths(share: float) -> float:
    """A share as the table gives it."""
    return float(np.clip(TWENTIETH * round(share / TWENTIETH), LEAST, 1.0 - LEAST))


def is_kept(pair: Pair, found: dict[str, tuple[Any, Any, Any]]) -> bool:
    """Whether gauges are alike, the first offer tells the two apart plainly, and the second does so or not at all."""

    def doubts_between(offer: str) -> float:
        one, two = ({name: found[name][place] for name in measurements[offer].gives} for place in (1, 2))
        return float(KEYS.doubts_between(Seen(one, two)))

    first, second = map(doubts_between, pair.offers)
    gauges = found["gap"][0] <= LIKE_GAUGES and found["sick"][0] >= SICK
    drops_out = not pair.drops_out or found["duty"][0] <= DROPS_OUT
    return gauges and drops_out and first >= KEYS.PLAIN and not BLIND < second < KEYS.PLAIN


def fits(pair: Pair, unit: int) -> bool:
    """Whether a machine can have both faults of a pair."""
    return all(entry(name).fits(sick_machines.REFRIGERANT, FLEET[unit]) for name in (pair.one, pair.two))


def situation_lines() -> list[str]:
    """Rows of ``situations.csv``."""
    lines = []
    for pair in PAIRS.values():
        for unit in (one.number for one in ON_R134A if fits(pair, one.number)):
            for day in pair.days:
                found = situation(pair, unit, day)
                if is_kept(pair, found):
                    rows = ((name, ",".join(map(written, found[name]))) for name in found if name in observables)
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
        f"{table.name},{sign},{suspect},{twentieths(found[sign][suspect]):.2f}\n"
        for table in TABLES
        for sign in table.signs
        for suspect in table.suspects
    ]
    text = LIKELIHOODS_HEAD + MADE + "table,sign,suspect,share\n" + "".join(rows)
    (PACKAGE / "likelihoods.csv").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
