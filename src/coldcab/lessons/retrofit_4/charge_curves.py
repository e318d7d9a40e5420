"""Charge curves of the shop's machines as they were written down: they come from the machine model, once.

The table is stored so that a learner's copy and the instructor's hold the same numbers for ever, whatever happens to
the model. ``python -m coldcab.make curves`` writes it anew; then every stored sheet changes with it.
"""

from __future__ import annotations

import csv
from functools import lru_cache
from importlib.resources import files
from typing import NamedTuple

from coldcab import units

DAYS = (85.0, 100.0)
"""Outside air in F on the days on which the curves were taken: doors open, 40 % humidity, 1,500 rpm."""

FIRST, FURTHEST = 12.0, 1.12  # oz of the first row; share of the first clear head at which the last row is taken
ENOUGH = 45.0  # oz above which a machine is charged in larger steps
STEPS = (4.0, 6.0)  # oz


class Row(NamedTuple):
    """One line of a charge curve."""

    ounces: float
    high_psig: float
    vent_fahrenheit: float
    glass: str


@lru_cache(maxsize=1)
def _table() -> dict[tuple[int, float], tuple[Row, ...]]:
    text = files("coldcab.lessons.retrofit_4").joinpath("charge_curves.csv").read_text(encoding="utf-8")
    found: dict[tuple[int, float], list[Row]] = {}
    for line in csv.DictReader(row for row in text.splitlines() if not row.startswith("#")):
        row = Row(float(line["oz"]), float(line["high_psig"]), float(line["vent_F"]), line["glass"])
        found.setdefault((int(line["unit"]), float(line["day_F"])), []).append(row)
    return {key: tuple(rows) for key, rows in found.items()}


def charge_curve(unit: int, day: float) -> tuple[Row, ...]:
    """The rows written down for a unit on a day of `DAYS` (F); R-134a."""
    return _table()[unit, day]


def worked_out(unit: int, day: float) -> tuple[Row, ...]:
    """The same from the machine model, rounded as the instruments show them."""
    import numpy as np

    from coldcab.machine import Conditions, nominal_charge, simulate_many
    from coldcab.machine.fleet import FLEET

    machine = FLEET[unit]
    ounce = units.from_unit(1.0, "mass", "oz")
    proper = nominal_charge(machine, "R-134a") / ounce
    ounces = np.arange(FIRST, 1.7 * proper, STEPS[proper > ENOUGH])
    ambient = units.from_unit(day, "temperature", "F")
    conditions = Conditions(ambient=ambient, inlet_temperature=ambient, inlet_relative_humidity=0.40)
    found = simulate_many(machine, conditions, refrigerant="R-134a", charge=ounces * ounce)
    heads = np.round(units.convert(found.high_gauge, "pressure difference", "psi"))
    vents = np.round(units.convert(found.vent, "temperature", "F"))
    clear = float(heads[list(found.glass).index("clear")])
    rows = []
    for row in zip(ounces.tolist(), heads.tolist(), vents.tolist(), found.glass.tolist(), strict=True):
        rows.append(Row(*row))
        if row[1] > FURTHEST * clear:
            break
    return tuple(rows)


def main() -> None:
    """Write the table."""
    from pathlib import Path

    from coldcab.scenario.fleet import ON_R134A

    head = (
        "# Charge curves of the invented machines with R-134a, from the machine model; doors open, 40 % humidity, "
        "1,500 rpm.\n# Made by: python -m coldcab.make curves\nunit,day_F,oz,high_psig,vent_F,glass\n"
    )
    lines = [
        f"{unit},{day:g},{row.ounces:g},{row.high_psig:g},{row.vent_fahrenheit:g},{row.glass}\n"
        for unit in (one.number for one in ON_R134A)
        for day in DAYS
        for row in worked_out(unit, day)
    ]
    Path(__file__).with_suffix(".csv").write_text(head + "".join(lines), encoding="utf-8")


if __name__ == "__main__":
    main()
