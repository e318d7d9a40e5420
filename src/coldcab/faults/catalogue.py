"""The catalogue of faults: what each does to the machine, how usual it is, and the test that settles it.

Severity runs from 0 (healthy) to 1 (the worst that still leaves something to measure). How a number follows from it:

- "straight": healthy + (worst - healthy) severity;
- "closing": the free area of a passage is 1 / (1 + k severity). A pressure loss goes with 1 / area^2, so a factor on a
  resistance K is (1 + k severity)^2. Most of an area can close before anything shows, and this law spends little of the
  lever there;
- "early": healthy + (worst - healthy) sqrt(severity), for what hides at first (a charge that the receiver makes up for,
  a valve that cannot close below the opening it needs);
- "at once": the worst value for any severity above 0 (a clutch engages or it does not).

The worst values are [invented], chosen so that a machine still runs and shows something. Base rates are relative
numbers of complaints, an ASSUMPTION: no survey of such machines was found. Replace them by a shop's own.
"""

from __future__ import annotations

import difflib
import math
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import numpy as np

from coldcab.machine import Effects
from coldcab.machine.effects import HEALTHY as HEALTHY_EFFECTS

HEALTHY = "healthy"
BASE_RATE_MARK = "assumption: no survey of such machines was found; use the shop's own records when it has them"
SEVERITY_RANGE = (0.0, 1.0)


class FaultError(ValueError):
    """A fault, reading or price that cannot be used; the message is one plain sentence."""


@dataclass(frozen=True)
class Change:
    """How one field of `Effects` follows from severity: to ``worst`` by the law ``form`` (see the module)."""

    field: str
    worst: float
    form: str = "straight"

    def value(self, severity: Any) -> Any:
        """The field's value for a severity (number or array), healthy at 0."""
        healthy, worst = getattr(HEALTHY_EFFECTS, self.field), self.worst
        if self.form == "closing":
            if healthy == 0.0:  # share that is closed
                return 1.0 - 1.0 / (1.0 + (1.0 / (1.0 - worst) - 1.0) * severity)
            if worst < 1.0:  # share that is free
                return 1.0 / (1.0 + (1.0 / worst - 1.0) * severity)
            return (1.0 + (math.sqrt(worst) - 1.0) * severity) ** 2  # factor on a resistance
        if self.form == "early":
            return healthy + (worst - healthy) * severity**0.5
        if self.form == "at once":
            return np.where(severity > 0.0, worst, healthy)[()]
        return healthy + (worst - healthy) * severity


@dataclass(frozen=True)
class Entry:
    """One fault of the catalogue.

    ``meaning`` says what it does, ``changes`` which `Effects` it sets, ``base_rate`` how usual it is (relative, see
    BASE_RATE_MARK), ``test`` how to settle it, ``group`` the faults that no gauge and no thermometer tells from it,
    ``caution`` where the test or the fault can hurt. ``only`` lists the refrigerants it is modelled for.
    """

    name: str
    meaning: str
    changes: tuple[Change, ...]
    base_rate: float
    test: str
    group: str
    caution: str = ""
    only: tuple[str, ...] | None = None

    def effects(self, severity: Any) -> dict[str, Any]:
        """Values of the fields it changes at a severity (number or array) from 0 to 1."""
        return {change.field: change.value(severity) for change in self.changes}

    def fits(self, refrigerant: str) -> bool:
        """True if the machine model carries this fault with that refrigerant."""
        return self.only is None or refrigerant in self.only


REFRIGERANT = (
    "Recover the refrigerant before you open the circuit; never vent it. Wear goggles and gloves. Follow the machine's "
    "manual, local law and certified practice."
)
BELT = "Keep hands, sleeves and leads away from belts and fan. Park, brake and chock the machine first."
HOT = "Coolant hoses and the discharge line burn. Wear gloves."
LIVE = "Take the leads off with the key off. A jumped switch protects nothing: never leave one in place."

_ENTRIES = (
    Entry(
        "charge low",
        "Refrigerant has leaked out. The receiver hides the loss until it is nearly empty; then gas reaches the valve.",
        (Change("charge", 0.2, "early"),),
        25.0,
        "Look at the sight glass with the machine warm. If it bubbles, find the leak, recover and weigh what is left.",
        "charge low",
        REFRIGERANT,
    ),
    Entry(
        "charge high",
        "Too much refrigerant. The receiver is full and liquid stands in the condenser, which leaves it less room to "
        "condense.",
        (Change("charge", 1.6, "early"),),
        6.0,
        "Compare the liquid line with the high gauge: strong subcooling, and a standing pressure that fits the table. "
        "Recover and weigh.",
        "charge high",
        REFRIGERANT,
    ),
    Entry(
        "air in the circuit",
        "Air was left in or let in. It gathers in the condenser and adds its own pressure to that of the refrigerant.",
        (Change("air_mass", 0.008),),
        5.0,
        "Let the machine stand until it is as warm as the air. A standing pressure above the table means air or a "
        "foreign refrigerant; an identifier tells which.",
        "air in the circuit",
        REFRIGERANT,
    ),
    Entry(
        "condenser blocked",
        "Dust, chaff or mud keep air out of the condenser. The high side must get hotter to give off its heat.",
        (Change("condenser_air", 0.35),),
        12.0,
        "Look through the fins against a light. The air that leaves is much hotter than the air that enters.",
        "condenser air",
        BELT,
    ),
    Entry(
        "condenser fan slow",
        "The fan's belt slips or its motor is weak. Less air passes the condenser.",
        (Change("fan", 0.45),),
        4.0,
        "Stop the engine, turn the fan by hand and check the belt; then measure the fan's speed.",
        "condenser air",
        BELT,
    ),
    Entry(
        "hot air recirculated",
        "A missing seal or baffle lets the condenser breathe the warm air that it has just given off.",
        (Change("recirculation", 0.45),),
        3.0,
        "Hold a thermometer at the face of the condenser: the air there is clearly warmer than in the shade.",
        "hot air recirculated",
        BELT,
    ),
    Entry(
        "worn compressor",
        "Valves and rings leak. Hot gas slips back and is compressed again, so less is pumped and it leaves hotter.",
        (Change("volumetric", 0.75), Change("leak_area", 1.4e-6)),
        4.0,
        "Low side high and high side low, with a hot discharge line and a hub that turns as fast as its pulley.",
        "worn compressor",
        HOT,
    ),
    Entry(
        "clutch or belt slipping",
        "The compressor turns slower than it should. It pumps less, and the discharge line is cooler than before.",
        (Change("slip", 0.5),),
        3.0,
        "Measure the speed of pulley and hub with an optical meter. A hub that lags slips.",
        "clutch or belt slipping",
        BELT,
    ),
    Entry(
        "clutch does not engage",
        "No current reaches the coil, or the coil is open. The compressor stands still and both gauges agree.",
        (Change("clutch", 0.0, "at once"),),
        6.0,
        "Measure the voltage at the coil with the system switched on, then follow the circuit back switch by switch.",
        "clutch does not engage",
        LIVE,
    ),
    Entry(
        "valve screen plugged",
        "Dirt closes the screen before the valve's port. The evaporator is starved.",
        (Change("screen", 0.07, "closing"),),
        3.0,
        "Warm the bulb and the valve body. If nothing changes, recover the refrigerant and look at the inlet screen.",
        "valve shut",
        REFRIGERANT,
    ),
    Entry(
        "valve stuck shut",
        "The valve's pin cannot lift far. The evaporator is starved however warm the bulb gets.",
        (Change("valve_maximum", 0.12, "closing"),),
        2.0,
        "Warm the bulb. If the low side does not rise and the screen is clean, replace the valve.",
        "valve shut",
        REFRIGERANT,
    ),
    Entry(
        "bulb charge lost",
        "The bulb or its thin tube has leaked. With little pressure on the diaphragm the valve hardly opens.",
        (Change("bulb_charge", 0.35),),
        1.5,
        "Warm the bulb in the hand. A valve whose bulb is empty does not answer; look for a kinked or rubbed tube.",
        "valve shut",
    ),
    Entry(
        "moisture freezing",
        "Water in the circuit freezes in the valve's port. The machine cools, stops, and cools again after a rest.",
        (Change("ice", 0.9, "closing"),),
        2.5,
        "Warm the valve body with a cloth and warm water. If the low side comes back, it was ice: dry the circuit.",
        "valve shut",
        REFRIGERANT,
    ),
    Entry(
        "valve stuck open",
        "The valve passes too much. Liquid leaves the evaporator and can reach the compressor.",
        (Change("valve_minimum", 1.0, "early"),),
        2.0,
        "Re-seat and insulate the bulb. If superheat stays near nothing, the valve itself is stuck.",
        "valve open",
        "Liquid in the suction line can break the compressor: keep the run short.",
    ),
    Entry(
        "bulb loose or bare",
        "The bulb feels the warm engine bay instead of the suction line. The valve opens too far.",
        (Change("bulb_contact_loss", 0.5),),
        2.0,
        "Clean the line, clamp the bulb and wrap it. If the low side falls and superheat returns, that was it.",
        "valve open",
        BELT,
    ),
    Entry(
        "drier restricted",
        "The desiccant or strainer is clogged. Liquid loses pressure in the drier, flashes and turns cold behind it.",
        (Change("drier", 200.0, "closing"),),
        3.0,
        "Measure the line before and after the drier. A step down in temperature, or sweat and frost, gives it away.",
        "drier restricted",
        REFRIGERANT,
    ),
    Entry(
        "liquid line kinked",
        "A dent or kink between drier and valve. Liquid loses pressure there, flashes and turns cold.",
        (Change("liquid_line", 100.0, "closing"),),
        0.6,
        "Feel along the liquid line for a cold spot; compare its temperature behind the drier and before the valve.",
        "liquid line kinked",
        REFRIGERANT,
    ),
    Entry(
        "suction hose collapsed",
        "The hose's lining closes the passage. The compressor sucks against it; the evaporator gets less flow.",
        (Change("suction", 25.0, "closing"),),
        0.7,
        "Feel for a cold spot along the suction hose. The line warms less on its way than it should.",
        "suction hose collapsed",
        REFRIGERANT,
    ),
    Entry(
        "discharge hose restricted",
        "The hose between compressor and condenser is narrowed. The port before it shows more than the condenser has.",
        (Change("discharge", 45.0, "closing"),),
        0.5,
        "The high gauge is high but the liquid line is not warm, and the standing pressure fits the table.",
        "discharge hose restricted",
        HOT + " " + REFRIGERANT,
    ),
    Entry(
        "low evaporator air",
        "A clogged filter, a dirty coil or a weak blower. The air is cold, but there is not enough of it.",
        (Change("blower", 0.35),),
        8.0,
        "Feel the air at the vents, look at the filter. The vent is colder than usual while the cab stays warm.",
        "low evaporator air",
    ),
    Entry(
        "heater valve leaking",
        "Hot coolant runs through the heater core behind the evaporator. The circuit is well, the air is warmed again.",
        (Change("heater_leak", 0.2),),
        4.0,
        "Pinch the heater hose with a proper clamp. If the vent turns cold, the heater valve leaks.",
        "heater valve leaking",
        HOT,
    ),
    Entry(
        "evaporator oil-logged",
        "Too much oil coats the evaporator's tubes from the inside. The refrigerant boils worse, the low side falls.",
        (Change("boiling", 0.2),),
        1.5,
        "Low side low with normal superheat and a vent warmer than usual. Weigh the oil that comes out at recovery.",
        "evaporator oil-logged",
        REFRIGERANT,
    ),
    Entry(
        "foreign refrigerant",
        "R-12 was left in, or added to, an R-134a charge. The blend has a higher pressure than either alone.",
        (Change("foreign_share", 0.5),),
        2.0,
        "Use a refrigerant identifier. Standing pressure above the table looks just like air.",
        "foreign refrigerant",
        REFRIGERANT + " Keep a mixed charge in its own marked cylinder.",
        only=("R-134a",),
    ),
    Entry(
        "high-pressure switch opens early",
        "The switch's set point has fallen. It stops the clutch at a high side that is still normal.",
        (Change("high_switch", -16e5),),
        1.0,
        "Watch the high gauge when the clutch drops out, or test the switch on nitrogen with a meter.",
        "high-pressure switch opens early",
        LIVE + " Use a regulator on nitrogen, and stay below the switch's marked limit.",
    ),
    Entry(
        "low-pressure switch opens early",
        "The switch's set point has risen. It stops the clutch at a low side that is still normal.",
        (Change("low_switch", 2.2e5),),
        1.5,
        "Watch the low gauge when the clutch drops out. It should be near the marked cut-out, not far above.",
        "low-pressure switch opens early",
        LIVE,
    ),
    Entry(
        "thermostat never opens",
        "The contacts stick. On a mild day the fins freeze, air stops passing, and cooling fades after an hour.",
        (Change("thermostat", -50.0),),
        1.5,
        "Put the feeler in ice water with a little salt: the contact must open a little below freezing.",
        "thermostat never opens",
        LIVE,
    ),
    Entry(
        "thermostat opens early",
        "The thermostat stops the clutch while the fins are still warm. The cab never gets cold.",
        (Change("thermostat", 12.0),),
        1.5,
        "Watch the vent when the clutch drops out, or put the feeler in cold water beside a thermometer.",
        "thermostat opens early",
        LIVE,
    ),
)

catalogue: MappingProxyType[str, Entry] = MappingProxyType({entry.name: entry for entry in _ENTRIES})
"""Every fault by its name."""

HEALTHY_RATE = 6.0
"""Relative number of complaints with nothing wrong in the circuit (assumption): sun, doors, a hot day."""


def entry(name: Any) -> Entry:
    """The catalogue's entry. Raises `FaultError`, naming the nearest, if there is none."""
    if isinstance(name, str):
        found = catalogue.get(name.strip().lower())
        if found:
            return found
        near = difflib.get_close_matches(name.lower(), catalogue, n=1, cutoff=0.0)
        if near:
            raise FaultError(f"There is no fault named {name[:60]!r}; the nearest is {near[0]!r}.")
    raise FaultError(f"A fault is named by a text such as 'charge low', not {str(name)[:40]!r}.")


def group(name: str) -> str:
    """The group of a fault: those that no gauge and no thermometer tells apart. "healthy" is its own."""
    return HEALTHY if name == HEALTHY else entry(name).group


SHARES = ("foreign_share", "recirculation", "slip", "ice", "bulb_contact_loss", "heater_leak")


def combine(effects: Effects, changes: dict[str, Any]) -> Effects:
    """Effects with a fault's changes on top: factors multiply, offsets add, shares leave (1 - a)(1 - b)."""
    values: dict[str, Any] = {}
    for field, value in changes.items():
        before = getattr(effects, field)
        if field in SHARES:
            values[field] = 1.0 - (1.0 - before) * (1.0 - value) if np.any(before) else value
        elif field == "valve_minimum":
            values[field] = np.maximum(before, value)[()]
        elif getattr(HEALTHY_EFFECTS, field) == 1.0:
            values[field] = before * value
        else:
            values[field] = before + value
    return effects.changed(**values)


@dataclass(frozen=True)
class Fault:
    """A fault of the catalogue at a severity from 0 (healthy) to 1.

    ``simulate(..., faults=(Fault("drier restricted", 0.7),))`` runs a machine with it. Raises `FaultError`.
    """

    name: str
    severity: float = 1.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "name", entry(self.name).name)
        object.__setattr__(self, "severity", checked_severity(self.severity))

    @property
    def entry(self) -> Entry:
        """Its entry in the catalogue."""
        return catalogue[self.name]

    def apply(self, effects: Effects) -> Effects:
        """The effects with this fault on top of them."""
        changes = {field: float(value) for field, value in self.entry.effects(self.severity).items()}
        return combine(effects, changes)


def checked_severity(severity: Any) -> float:
    """A severity as a float from 0 to 1, else `FaultError`."""
    low, high = SEVERITY_RANGE
    try:
        if isinstance(severity, str | bytes | bool):
            raise TypeError
        number = float(severity)
    except (TypeError, ValueError, OverflowError):
        raise FaultError(f"Severity must be a number from 0 to 1, not {str(severity)[:40]!r}.") from None
    if not low <= number <= high:
        raise FaultError(f"Severity {number:g} is outside the range 0 (healthy) to 1 (worst); choose a value in it.")
    return number
