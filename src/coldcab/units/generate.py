"""Writes ``factors.json``: how large each unit is, as pint says. Learners do not wait for pint to start."""

from __future__ import annotations

import json
from pathlib import Path

from coldcab.units.conversion import BARE, FACTORS
from coldcab.units.table import KIND_ROWS, WORDS, Unit


def all_units() -> tuple[Unit, ...]:
    """Every unit that can be written, once."""
    known = (unit for units in WORDS.values() for unit in units)
    return tuple({(unit.kind, unit.expression): unit for unit in (*known, *BARE.values())}.values())


def factors() -> dict[str, dict[str, tuple[float, float]]]:
    """Scale and offset of every unit, by kind and expression, so that SI value = number * scale + offset."""
    import pint

    quantity = pint.UnitRegistry().Quantity
    found: dict[str, dict[str, tuple[float, float]]] = {}
    for unit in all_units():
        target, expression = KIND_ROWS[unit.kind][2], unit.expression
        offset = 0.0
        if unit.kind == "temperature":
            offset = float(quantity(0.0, expression).to(target).magnitude)
            difference = expression if expression in ("kelvin", "degR") else f"delta_{expression}"
            scale = float(quantity(1.0, difference).to("kelvin").magnitude)
        else:
            scale = float(quantity(expression).to(target).magnitude)
        found.setdefault(unit.kind, {})[expression] = (scale, offset)
    return found


def text() -> str:
    """What belongs in the file."""
    return json.dumps(factors(), indent=1, sort_keys=True) + "\n"


def main() -> Path:
    """Write the file and return its path."""
    place = Path(__file__).with_name(FACTORS)
    place.write_text(text(), encoding="utf-8")
    return place


if __name__ == "__main__":
    print(main())
