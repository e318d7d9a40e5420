"""Printed figures that are no gauge or vent reading of one run: charge, volumes, power, what a conversion changes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np

from coldcab.machine import Conditions, Machine, Readings, nominal_charge, simulate, simulate_many
from coldcab.make.printed_rows import SERVICE
from coldcab.quantities import FAHRENHEIT_DEGREE, PSI

HOT = Conditions(ambient=316.15, relative_humidity=0.25, inlet_temperature=308.15)  # 43 C: full load
SHARES = np.array([0.4, 0.5, 0.6, 0.7, 0.79, 0.8, 0.86, 0.9, 0.93, 1.0, 1.1])


@dataclass(frozen=True)
class Figure:
    """A printed figure: where it stands, its words and unit, the band (``low`` None: at most ``high``; both alike: one
    number without a band) and the model's value, None for a machine that it is not about."""

    row: str
    words: str
    unit: str
    low: float | None
    high: float
    value: Callable[[Machine], float | None]


def modern(machine: Machine) -> str:
    """The refrigerant that most figures are for: R-134a, or the machine's own."""
    return "R-134a" if machine.refrigerant == "R-12" else machine.refrigerant


@cache
def _run(machine: Machine, day: Conditions, refrigerant: str) -> Readings:
    return simulate(machine, day, refrigerant=refrigerant, charge=nominal_charge(machine, refrigerant))


@cache
def _curve(machine: Machine) -> Readings:
    refrigerant = modern(machine)
    charge = SHARES * nominal_charge(machine, refrigerant)
    return simulate_many(machine, SERVICE, refrigerant=refrigerant, charge=charge)


def _head_at(share: float) -> Callable[[Machine], float]:
    def value(machine: Machine) -> float:
        head = np.interp([share, 1.0], SHARES, _curve(machine).high_gauge)
        return float(100.0 * head[0] / head[1])

    return value


def _lost_at_40(machine: Machine) -> float:
    capacity = _curve(machine).capacity
    return float(100.0 * (1.0 - capacity[0] / capacity.max()))


def _share_of_charge(*parts: str) -> Callable[[Machine], float]:
    def value(machine: Machine) -> float:
        found = _run(machine, SERVICE, modern(machine))
        return float(100.0 * sum(found.masses[part] for part in parts) / found.charge)

    return value


def _milliliters_per_gram(machine: Machine) -> float:
    return 1e3 * machine.receiver.volume / nominal_charge(machine, "R-134a")


def _label(*names: str) -> Callable[[Machine], float | None]:
    """kg of R-134a, for machines whose name says that they are meant."""

    def value(machine: Machine) -> float | None:
        return nominal_charge(machine, "R-134a") if machine.name.endswith(names) else None

    return value


def _power(engine_rpm: float, pulley_ratio: float | None = None) -> Callable[[Machine], float]:
    """W at the belt on a day of 43 C; the compressor's speed is that of an engine with ``pulley_ratio``."""

    def value(machine: Machine) -> float:
        speed = engine_rpm / 60 * (1.0 if pulley_ratio is None else pulley_ratio / machine.compressor.pulley_ratio)
        day = Conditions(**(vars(HOT) | {"engine_speed": speed}))
        return float(_run(machine, day, modern(machine)).power)

    return value


def _converted(difference: Callable[[Readings, Readings], float]) -> Callable[[Machine], float | None]:
    """From the run on R-12 to that on R-134a, for machines built for R-12."""

    def value(machine: Machine) -> float | None:
        if machine.refrigerant != "R-12":
            return None
        return float(difference(_run(machine, SERVICE, "R-12"), _run(machine, SERVICE, "R-134a")))

    return value


VAPOR = ("compressor", "discharge hose", "suction hose")
FIGURES = (
    Figure("CC001", "head at 79 % of the charge, of that at 100 %", "%", 98.0, 98.7, _head_at(0.79)),
    Figure("CC001", "head at 93 % of the charge, of that at 100 %", "%", 98.0, 98.7, _head_at(0.93)),
    Figure("CC003", "capacity lost at 40 % of the label", "%", None, 25.0, _lost_at_40),
    Figure("CC005", "receiver", "mL/g", 0.54, 0.54, _milliliters_per_gram),
    Figure("CC007", "receiver", "mL/g", 0.56, 0.56, _milliliters_per_gram),
    Figure("CC009", "in the receiver", "% of charge", 25.0, 25.0, _share_of_charge("receiver-drier")),
    Figure("CC011", "receiver", "mL/g", 0.32, 0.32, _milliliters_per_gram),
    Figure("CC015", "charge of a tractor", "kg", 0.95, 1.05, _label("tractor")),
    Figure("CC023", "charge of a tractor", "kg", 1.8, 1.8, _label("tractor")),
    Figure("CC025", "charge of a motor grader", "kg", 1.7, 1.7, _label("motor grader")),
    Figure("CV005", "in the condenser", "% of charge", 25.0, 40.0, _share_of_charge("condenser")),
    Figure("CV005", "in the receiver", "% of charge", 20.0, 35.0, _share_of_charge("receiver-drier")),
    Figure("CV005", "in the liquid line", "% of charge", 10.0, 15.0, _share_of_charge("liquid line")),
    Figure("CV005", "in the evaporator", "% of charge", 10.0, 15.0, _share_of_charge("evaporator")),
    Figure("CV005", "in parts with vapor", "% of charge", 10.0, 15.0, _share_of_charge(*VAPOR)),
    Figure("OP003", "power of the compressor", "W", 4018.0, 4018.0, _power(2000.0 / 1.3, 1.3)),
    Figure("OP007", "power of the compressor", "W", 3590.0, 3590.0, _power(2065.0 / 1.3, 1.3)),
    Figure("OP011", "power of the compressor", "W", 1000.0, 1000.0, _power(500.0)),
    Figure("OP013", "power of the compressor", "W", 3833.0, 3833.0, _power(1500.0)),
    Figure("OP015", "power of the compressor", "W", 6666.0, 6666.0, _power(2500.0)),
    Figure(
        "R001", "high side up after conversion", "psi", None, 43.0,
        _converted(lambda old, new: (new.high_gauge - old.high_gauge) / PSI),
    ),
    Figure(
        "R003", "vent up after conversion", "F apart", None, 3.6,
        _converted(lambda old, new: (new.vent - old.vent) / FAHRENHEIT_DEGREE),
    ),
    Figure(
        "R005", "capacity after conversion", "% more", -9.0, 9.0,
        _converted(lambda old, new: 100.0 * (new.capacity / old.capacity - 1.0)),
    ),
    Figure("FG029", "high-pressure switch opens", "psig", 356.0, 412.0, lambda m: m.switches.high_cutout / PSI),
    Figure("FG031", "high-pressure switch opens", "psig", 398.0, 398.0, lambda m: m.switches.high_cutout / PSI),
)  # fmt: skip
"""In the order of the tables charge_curves, component_volumes, operating_points, retrofit_changes and fault_gauges."""

NOT_SET: dict[str, str] = {
    "CC013": "what a desiccant holds, no figure of a circuit",
    "CC017": "a car of 430 g; the smallest machine holds 620 g",
    "CC019": "advice, no figure of a machine",
    "CC021": "advice, no figure of a machine",
    "CC027": "a mower; none of the machines is like it",
    "CV001": "how exactly a mass was measured",
    "CV003": "hoses of a fire truck",
    "OP001": "the vehicle and its compressor are not stated",
    "OP005": "compressor at 4,000 rpm: above what the machines are run at",
    "OP009": "compressor at 3,515 rpm: above what the machines are run at",
    "OP017": "no conditions stated",
    "R007": "two makes of different design",
}
"""Rows of those tables that no machine can be set to, and why."""
