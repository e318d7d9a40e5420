"""The doubt to write beside each reading: how far a real machine's may lie from the model's, and from the gauge's.

The first part is not chosen: `doubts.csv` is made from the differences between printed readings of healthy machines and
the model's (``python -m coldcab.make truth``). It holds for a machine of which only the kind is known.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np

from coldcab.machine.ops import Value
from coldcab.machine.readings import INSTRUMENTS, SEA_LEVEL, Readings, chart_temperature
from coldcab.published import rows_of

SHARE = "share of the absolute pressure"
"""How the head's doubt goes; the others are given by their size."""

# Readings that nothing printed stands beside follow the saturation temperature of their side, kelvin for kelvin.
FOLLOWS = {
    "high_saturation_temperature": "high_gauge",
    "discharge_line": "high_gauge",
    "drier_in": "high_gauge",
    "drier_out": "high_gauge",
    "liquid_line": "high_gauge",
    "low_saturation_temperature": "low_gauge",
    "evaporator_inlet": "low_gauge",
    "suction_line_at_evaporator": "low_gauge",
    "suction_line_at_compressor": "low_gauge",
}
# Differences: both instruments, nothing from the sides (the model's error of one is in the other as well).
DIFFERENCES = {
    "superheat_measured": ("suction_line_at_evaporator", "low_gauge"),
    "subcooling_measured": ("liquid_line", "high_gauge"),
}


@dataclass(frozen=True)
class Doubt:
    """Of one reading, one standard deviation in Pa or K.

    ``printed``: how far a real machine's reading lies from the model's, 0 where no printed figure says anything;
    ``instrument``: of a shop's gauge or thermometer; ``known``: whether printed figures stand behind it.
    """

    printed: Value
    instrument: Value
    known: bool

    @property
    def both(self) -> Value:
        """The two together: root of the sum of squares."""
        return np.hypot(self.printed, self.instrument)


@cache
def printed_doubts() -> dict[str, tuple[str, float]]:
    """How the doubt of each printed reading goes (by size or by share), and its standard deviation (Pa, K, share)."""
    text = files(__package__).joinpath("doubts.csv").read_text(encoding="utf-8")
    return {row["reading"]: (row["kind"], float(row["standard_deviation"])) for row in rows_of(text)}


def doubt(readings: Readings) -> dict[str, Doubt]:
    """The doubt of every reading.

    Parameters
    ----------
    readings : of one run or of many.

    Returns
    -------
    By the reading's name a `Doubt`, one standard deviation in Pa or K: about 68 in 100 of what service manuals print
    for healthy machines lies within it of the model. Gauges and vent have printed figures of their own; line
    temperatures follow the saturation temperature of their side; for what is left only the instrument is known.
    """
    found = {}
    for name in (*INSTRUMENTS, *(name for name in FOLLOWS if name not in INSTRUMENTS), *DIFFERENCES):
        printed = _printed(readings, name)
        found[name] = Doubt(0.0 if printed is None else printed, _instrument(readings, name), printed is not None)
    return found


def common_errors(readings: Readings) -> tuple[dict[str, float], ...]:
    """What a real machine's readings share of their doubt: each part of it moves all of its readings together.

    Returns
    -------
    One mapping a part (low side, high side, vent): by reading one standard deviation in Pa or K. A head that stands
    higher than the model's is warmer in all its lines, so differences such as superheat and subcooling stay sharp.
    Readings of one run.
    """
    known = doubt(readings)
    return tuple(
        {name: float(known[name].printed) for name in (own, *(name for name, side in FOLLOWS.items() if side == own))}
        for own in printed_doubts()
    )


def _printed(readings: Readings, name: str) -> Value | None:
    if name in FOLLOWS:
        gauge = FOLLOWS[name]
        printed = _printed(readings, gauge)
        return None if printed is None else printed * _kelvins_per_pascal(readings, gauge)
    if name not in printed_doubts():
        return None
    kind, sigma = printed_doubts()[name]
    return sigma * (getattr(readings, name) + SEA_LEVEL) if kind == SHARE else sigma


def _instrument(readings: Readings, name: str) -> Value:
    if name in DIFFERENCES:
        line, gauge = DIFFERENCES[name]
        return np.hypot(INSTRUMENTS[line][1], INSTRUMENTS[gauge][1] * _kelvins_per_pascal(readings, gauge))
    if name in INSTRUMENTS:
        return INSTRUMENTS[name][1]
    return INSTRUMENTS[FOLLOWS[name]][1] * _kelvins_per_pascal(readings, FOLLOWS[name])


def _kelvins_per_pascal(readings: Readings, gauge: str) -> Value:
    """Slope of the saturation temperature at a gauge's reading."""
    step = 1e3  # Pa
    at = getattr(readings, gauge)
    higher, lower = (chart_temperature(readings.refrigerant, at + sign * step) for sign in (1.0, -1.0))
    return (higher - lower) / (2.0 * step)
