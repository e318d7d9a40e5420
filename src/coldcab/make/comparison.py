"""The model beside every printed figure that it can be set to, and the doubt that follows from the differences."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from coldcab.faults import Fault, faults_for
from coldcab.machine import Effects, Machine, nominal_charge, simulate
from coldcab.machine.doubt import SHARE
from coldcab.machine.fleet import FLEET
from coldcab.machine.readings import SEA_LEVEL, Readings
from coldcab.make import printed_figures, printed_rows
from coldcab.make.printed_rows import ABOVE, HIGH, LOW, REST, ROWS, VENT, Row
from coldcab.published import rows_of
from coldcab.quantities import FAHRENHEIT_DEGREE, FAHRENHEIT_ZERO, PSI

WORDS = {
    LOW: ("low side", "psig"),
    HIGH: ("high side", "psig"),
    VENT: ("vent", "F"),
    REST: ("both sides at rest", "psig"),
    ABOVE: ("condensing above the air", "F apart"),
}
"""Of each reading of a row, as the page says it, with its unit."""

TABLES = (
    "normal_gauges",
    "vent_temperature",
    "fault_gauges",
    "charge_curves",
    "component_volumes",
    "operating_points",
    "retrofit_changes",
)
"""Tables of printed figures of machines, in the order of the page."""


@dataclass(frozen=True)
class Check:
    """One machine beside one printed figure, in the printed unit; ``low`` None: at most ``high``."""

    row: str
    reading: str
    unit: str
    low: float | None
    high: float
    machine: int
    value: float

    @property
    def one_number(self) -> bool:
        """True for a printed number without a band: it has a difference, but no inside."""
        return self.low == self.high

    @property
    def inside(self) -> bool:
        """Whether the value, rounded as the band is printed, lies in it."""
        shown = (
            round(self.value)
            if self.unit in ("psig", "F", "psi", "F apart") and float(self.high).is_integer()
            else self.value
        )
        return (self.low is None or self.low <= shown) and shown <= self.high


def in_printed_units(found: Readings) -> dict[str, float]:
    """The readings that rows print, in psig and F."""
    above = found.high_saturation_temperature - found.ambient
    return {
        LOW: found.low_gauge / PSI,
        HIGH: found.high_gauge / PSI,
        VENT: found.vent / FAHRENHEIT_DEGREE - FAHRENHEIT_ZERO,
        ABOVE: above / FAHRENHEIT_DEGREE,
        REST: found.standing_pressure / PSI,
    }


def set_as(row: Row, machine: Machine) -> Readings | None:
    """A machine run as a row is set; None if it cannot be: another refrigerant, a fault that it cannot have."""
    own = machine.refrigerant
    refrigerant = row.refrigerant if own == "R-12" else own
    if row.refrigerant == "R-12" != own or (row.fault and row.fault not in faults_for(machine, own)):
        return None
    effects = Fault(row.fault, row.severity).apply(Effects()) if row.fault else Effects()
    charge = nominal_charge(machine, refrigerant)
    return simulate(machine, row.day, refrigerant=refrigerant, charge=charge, faults=effects.changed(**row.effects))


def checks_of(rows: Mapping[str, Row]) -> list[Check]:
    """Every machine that can be set to a row, beside each of its bands."""
    done = []
    for name, row in rows.items():
        for number, machine in FLEET.items():
            found = set_as(row, machine)
            if found is not None:
                values = in_printed_units(found)
                done += [
                    Check(name, reading, WORDS[reading][1], *band, number, values[reading])
                    for reading, band in row.bands.items()
                ]
    return done


@cache
def gauge_checks() -> tuple[Check, ...]:
    """All rows of gauges and vents."""
    return tuple(checks_of(ROWS))


@cache
def figure_checks() -> tuple[Check, ...]:
    """All other printed figures."""
    return tuple(
        Check(one.row, one.words, one.unit, one.low, one.high, number, value)
        for one in printed_figures.FIGURES
        for number, machine in FLEET.items()
        if (value := one.value(machine)) is not None
    )


# Doubt. A printed band is taken as what real machines of that kind show, none of its values likelier than another, and
# every row counts alike, those that contradict each other too. The doubt is what 68.3 in 100 of these values do not
# exceed, as one standard deviation of a normal curve; a quantile, for some manuals deny their own next page. Rows of
# sick machines are left out: their severity was chosen.

SIZE = "size"
WITHIN = 0.683
STEPS = 101


def _log_absolute(psig: float) -> float:
    return math.log(psig * PSI + SEA_LEVEL)


SCALES: dict[str, tuple[str, Callable[[float], float]]] = {
    LOW: (SIZE, lambda psig: psig * PSI),
    HIGH: (SHARE, _log_absolute),
    VENT: (SIZE, lambda fahrenheit: fahrenheit * FAHRENHEIT_DEGREE),
}
"""How the doubt of a reading goes: the head's with the pressure itself, the others' by their size."""


def distances(check: Check) -> np.ndarray:
    """How far evenly spread values of a printed band lie from the model's, on the scale of the reading."""
    assert check.low is not None
    scale = SCALES[check.reading][1]
    printed = np.array([scale(value) for value in np.linspace(check.low, check.high, STEPS)])
    return np.abs(printed - scale(check.value))


def doubts_from(checks: Iterable[Check]) -> dict[str, tuple[str, float, int]]:
    """By reading: how it goes, one standard deviation (Pa, K or a share) and the number of printed rows behind it.

    Each row counts once, whatever the number of machines that can be set to it.
    """
    found: dict[str, dict[str, list[np.ndarray]]] = {reading: {} for reading in SCALES}
    for one in checks:
        if one.reading in SCALES and not ROWS[one.row].fault:
            found[one.reading].setdefault(one.row, []).append(distances(one))
    return {
        reading: (SCALES[reading][0], _quantile(list(rows.values())), len(rows))
        for reading, rows in found.items()
        if rows
    }


def _quantile(rows: list[list[np.ndarray]]) -> float:
    """What `WITHIN` of all distances do not exceed, each row of one weight."""
    values = np.concatenate([np.concatenate(row) for row in rows])
    weights = np.concatenate([np.full(len(row) * STEPS, 1.0 / len(row)) for row in rows])
    order = np.argsort(values)
    shares = np.cumsum(weights[order]) / weights.sum()
    return float(np.interp(WITHIN, shares, values[order]))


# Files.


def _text(columns: tuple[str, ...], lines: Iterable[tuple[object, ...]], head: str) -> str:
    written = io.StringIO()
    table = csv.writer(written, lineterminator="\n")
    table.writerow(columns)
    table.writerows(lines)
    return f"# {head} Made by python -m coldcab.make truth.\n{written.getvalue()}"


def comparison_text() -> str:
    """The file of all checks: one line a machine and a printed figure."""
    lines = (
        (
            one.row,
            WORDS[one.reading][0] if one.reading in WORDS else one.reading,
            one.unit,
            "" if one.low is None else f"{one.low:g}",
            f"{one.high:g}",
            one.machine,
            f"{one.value:.4g}",
            "" if one.one_number else "yes" if one.inside else "no",
        )
        for one in (*gauge_checks(), *figure_checks())
    )
    columns = ("id", "reading", "unit", "low", "high", "machine", "model", "inside")
    return _text(columns, lines, "The invented machines beside printed figures, in the printed units.")


def _how_set(row: Row) -> str:
    """The day, the speed and what was changed, in a few words."""
    said = [f"{row.day.ambient / FAHRENHEIT_DEGREE - FAHRENHEIT_ZERO:.0f} F", f"{60 * row.day.engine_speed:,.0f} rpm"]
    said += [f"{row.fault} at {100 * row.severity:.0f} %"] if row.fault else []
    said += [row.refrigerant] if row.refrigerant != "R-134a" else []
    said += ["clutch kept in"] if row.effects else []
    return ", ".join(said)


def rows_text(tables: Path) -> str:
    """The file of all printed rows with their sources; ``tables`` is the folder in which they lie."""
    lines = []
    shown = {one.row for one in printed_figures.FIGURES}
    not_set = {k: why for k, why in (printed_rows.NOT_SET | printed_figures.NOT_SET).items() if k not in shown}
    for table in TABLES:
        for row in rows_of((tables / f"{table}.csv").read_text(encoding="utf-8")):
            name = row["id"]
            apart = ROWS[name].apart if name in ROWS else ""
            note = not_set.get(name, "") if name not in ROWS else apart
            place = "apart" if apart else "not set" if note else "set"
            lines.append((name, *(row[key] for key in ("quantity", "value", "unit", "condition", "source", "how_read")),
                          place, note, _how_set(ROWS[name]) if name in ROWS else ""))  # fmt: skip
    columns = ("id", "quantity", "printed", "unit", "condition", "source", "how_read", "place", "why", "set_as")
    return _text(columns, lines, "Printed figures of vehicle air conditioners, each with its source.")


def doubts_text() -> str:
    """The file from which `coldcab.machine.doubt` takes the doubt of each reading."""
    lines = (
        (reading, kind, f"{sigma:.4g}", rows) for reading, (kind, sigma, rows) in doubts_from(gauge_checks()).items()
    )
    columns = ("reading", "kind", "standard_deviation", "rows")
    head = "How far a real machine's readings lie from the model's: one standard deviation in Pa, K or a share."
    return _text(columns, lines, head)


def texts(tables: Path) -> dict[str, str]:
    """What is made, by its place in the package; ``tables`` is the folder of the printed tables."""
    return {
        "machine/doubts.csv": doubts_text(),
        "published/printed_rows.csv": rows_text(tables),
        "published/beside_the_model.csv": comparison_text(),
    }
