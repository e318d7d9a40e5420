"""Which way every reading moves with every fault: computed, never written down.

A change counts as up or down when it is larger than what the instrument resolves (its scatter in `observables`).

Where this differs from accepted rules, and why
-----------------------------------------------
Published rules for rooftop units (fixed orifice, no receiver; Rossi and Braun 1997, Li and Braun 2003) hold here but
for these, where a receiver and an expansion valve change the physics:

- *Subcooling.* Without a receiver the liquid stands in the condenser and its amount decides the subcooling. A receiver
  drains the condenser: subcooling stays near nothing until it is full. So low evaporator air leaves it alone
  (rule: "-"), and a blocked condenser too, but for what a fuller receiver adds when it is bad ("+"). Behind a
  restriction the liquid line is cold because liquid flashes there: worked out with the high gauge that reads as high
  subcooling (rule: "+"), and the liquid that waits fills the receiver. With a low charge it is the other way: the
  condenser's outlet loses its little subcooling (rule: "-"), but gas that flashes on the way to the valve cools the
  line and hides that from the clip before it.
- *Superheat with a blocked condenser or a worn compressor.* A fixed orifice passes more when the head or the low side
  rises, so superheat falls (rule: "-"). A valve closes a little and holds it, to a kelvin and a half. At their worst
  both raise the low side so far that the bulb's gas charge is at its limit: the valve closes, superheat rises ("+").
- *Low side with little evaporator air.* The rule ("-") is right until the fins are as cold as the thermostat allows;
  then the clutch rests more often and the low side stays ("0").
- *Discharge temperature and worn compressor.* The rule ("-") rests on the falling superheat of a fixed orifice. Here
  the valve holds most of it, and the gas that leaks back is compressed again: the line gets hotter ("+").
- *A small leak.* The rules see it in every reading. A receiver makes up for it: nothing but the glass changes until it
  is nearly empty.

Service charts and manuals, likewise:

- *Overcharge.* Charts say low side normal to high. The valve keeps the low side where it was ("0").
- *A valve that is nearly shut.* One manual has the high side normal. A starved evaporator brings less heat to give
  off, so it falls ("-"), whatever the receiver holds.
- *A blocked high side.* Manuals say low side low and high side high. What blocks the flow between compressor and
  condenser raises the high gauge; the low side hardly notices. What blocks it behind the receiver starves the low
  side, and the receiver takes up the liquid that waits: the high side falls with the heat. Both together belong to the
  drier's inlet: the liquid that waits stands in the condenser. There, too, the low side falls only when it is bad.
  Before that the cold liquid even helps, and neither clip on the drier tells anything: what enters the receiver is as
  cold as its own pressure asks for.
- *A valve stuck open.* "Very cold, frost": the line behind the evaporator is wet and cold, as cold as the evaporator,
  although the evaporator itself is a little warmer than before.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from coldcab.faults.catalogue import Entry, FaultError, catalogue, checked_severity, combine, faults_for
from coldcab.faults.observables import observables
from coldcab.machine import Conditions, Effects, Machine, Readings, simulate_many
from coldcab.machine.effects import NAMES
from coldcab.quantities import Value
from coldcab.refrigerants import resolve

SEVERITY = 0.8
SEVERITY_STEP = 0.05


@dataclass(frozen=True)
class Quantity:
    """Something worked out from readings: ``words``, ``kind`` of unit, what is resolved (SI), how it is worked out."""

    name: str
    words: str
    kind: str
    resolved: float
    value: Callable[[Readings], Value]


def _scatter(*names: str) -> float:
    """Scatter of a difference of readings."""
    return math.hypot(*(observables[name].scatter for name in names))


def _reading(name: str) -> Quantity:
    one = observables[name]
    return Quantity(name, one.words, one.kind, one.scatter, lambda readings: getattr(readings, name))


_LOOKS = {"clear": 0.0, "bubbles": 1.0, "foam": 2.0, "streaks": 3.0, "still": 0.0}
_DIFFERENCE = "temperature difference"

QUANTITIES: MappingProxyType[str, Quantity] = MappingProxyType(
    {
        one.name: one
        for one in (
            _reading("low_gauge"),
            _reading("high_gauge"),
            Quantity("compression_ratio", "compression ratio", "ratio", 0.25, lambda r: r.compression_ratio),
            Quantity("evaporating_temperature", "evaporating temperature", "temperature", 0.8,
                     lambda r: r.evaporating_temperature),
            Quantity("condensing_temperature", "condensing temperature", "temperature", 0.8,
                     lambda r: r.condensing_temperature),
            Quantity("superheat_measured", "superheat as worked out", _DIFFERENCE, 1.5, lambda r: r.superheat_measured),
            Quantity("superheat", "true superheat", _DIFFERENCE, 1.5, lambda r: r.superheat),
            Quantity("evaporator_inlet_rise", "line into the evaporator above the low gauge's saturation", _DIFFERENCE,
                     1.5, lambda r: r.evaporator_inlet - r.low_saturation_temperature),
            Quantity("suction_superheat", "superheat at the compressor", _DIFFERENCE, 1.5,
                     lambda r: r.suction_line_at_compressor - r.low_saturation_temperature),
            Quantity("subcooling_measured", "subcooling before the valve, as worked out", _DIFFERENCE, 1.5,
                     lambda r: r.subcooling_measured),
            Quantity("subcooling", "true subcooling at the condenser's outlet", _DIFFERENCE, 0.5,
                     lambda r: r.subcooling),
            _reading("discharge_line"),
            Quantity("drier_drop", "temperature drop over the drier", _DIFFERENCE, _scatter("drier_in", "drier_out"),
                     lambda r: r.drier_in - r.drier_out),
            Quantity("liquid_line_drop", "temperature drop from drier to valve", _DIFFERENCE,
                     _scatter("drier_out", "liquid_line"), lambda r: r.drier_out - r.liquid_line),
            Quantity("suction_hose_rise", "temperature rise along the suction hose", _DIFFERENCE,
                     _scatter("suction_line_at_evaporator", "suction_line_at_compressor"),
                     lambda r: r.suction_line_at_compressor - r.suction_line_at_evaporator),
            _reading("vent"),
            Quantity("coil_air_drop", "air drop over the coil", _DIFFERENCE, _scatter("vent", "return_air"),
                     lambda r: r.return_air - r.vent),
            Quantity("condenser_face", "air at the condenser above the shade", _DIFFERENCE,
                     _scatter("condenser_air_in", "ambient"), lambda r: r.condenser_air_in - r.ambient),
            Quantity("condenser_air_rise", "air rise over the condenser", _DIFFERENCE,
                     _scatter("condenser_air_in", "condenser_air_out"),
                     lambda r: r.condenser_air_out - r.condenser_air_in),
            _reading("standing_pressure"),
            Quantity("glass", "sight glass (clear, bubbles, foam, streaks)", "look", 0.5,
                     lambda r: np.vectorize(_LOOKS.get, otypes=[float])(r.glass)),
            _reading("clutch_duty"),
            Quantity("hub_slip", "hub slower than pulley", "fraction", observables["hub_slip"].scatter,
                     lambda r: 1.0 - r.hub_speed / r.pulley_speed),
            _reading("condensate"),
            Quantity("capacity", "cooling capacity", "power", 150.0, lambda r: r.capacity),
            Quantity("power", "power at the belt", "power", 75.0, lambda r: r.power),
        )
    }
)  # fmt: skip
"""What the sign table covers; resolutions of what is no single reading are rounded from the scatter of its parts."""


@dataclass(frozen=True)
class Sign:
    """One cell: ``sign`` "-", "0" or "+"; the change behind it and the healthy value, SI."""

    sign: str
    change: float
    healthy: float

    def __str__(self) -> str:
        return self.sign


@dataclass(frozen=True)
class SignTable:
    """Signs of all faults, ``table["drier restricted"]["drier_drop"]``, and the status the machine is in."""

    severity: float
    rows: dict[str, dict[str, Sign]]
    statuses: dict[str, str]

    def __getitem__(self, name: str) -> dict[str, Sign]:
        if name not in self.rows:
            raise FaultError(f"The sign table has no row {str(name)[:60]!r}; it has {', '.join(self.rows)}.")
        return self.rows[name]

    def row(self, name: str, *quantities: str) -> str:
        """Signs of some quantities in one word, for example "-+0"."""
        return "".join(self[name][quantity].sign for quantity in quantities)


def signs(
    machine: Machine,
    conditions: Conditions,
    *,
    refrigerant: str,
    charge: float,
    severity: float = SEVERITY,
) -> SignTable:
    """The sign of every quantity's change with every fault at a severity, against the healthy machine.

    Arguments as for `coldcab.machine.simulate`; ``charge`` is the right one. See the module for what is resolved and
    for differences from accepted rules. Raises FaultError and MachineError.
    """
    severity = checked_severity(severity)
    own = [catalogue[name] for name in faults_for(machine, resolve(refrigerant))]
    found = simulate_many(machine, conditions, refrigerant=refrigerant, charge=charge, faults=_one_each(own, severity))
    values = {name: np.asarray(one.value(found), dtype=float) for name, one in QUANTITIES.items()}
    rows = {}
    for number, one in enumerate(own, start=1):
        rows[one.name] = {
            name: _sign(float(value[number]), float(value[0]), QUANTITIES[name].resolved)
            for name, value in values.items()
        }
    return SignTable(severity, rows, {one.name: str(found.status[k]) for k, one in enumerate(own, start=1)})


def _one_each(entries: list[Entry], severity: float) -> Effects:
    """Effects of a healthy machine and then of each fault alone."""
    single = [combine(Effects(), one.effects(severity)) for one in entries]
    stacked = {name: np.array([getattr(one, name) for one in (Effects(), *single)], dtype=float) for name in NAMES}
    return replace(Effects(), **stacked)


def _sign(value: float, healthy: float, resolved: float) -> Sign:
    change = value - healthy
    mark = "0" if not abs(change) > resolved else ("+" if change > 0 else "-")
    return Sign(mark, change, healthy)
