"""What can be measured on a machine, with what scatter, and what each measurement costs in minutes.

An observation is a plain mapping from the names below to SI values (glass and frost: a word, true or false); whatever
is missing, None or NaN was not measured. Hands-on tests are given as the change they bring: the same gauge is read
twice, so its own error cancels.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from difflib import get_close_matches
from types import MappingProxyType
from typing import Any, SupportsFloat, TypeAlias

import numpy as np

from coldcab.faults.catalogue import FaultError
from coldcab.machine import Readings
from coldcab.machine.readings import chart_temperature

BAR = 1e5

Observed: TypeAlias = float | str | bool
"""One observation: a value in SI, the word for the sight glass, or whether the fins carry frost."""

Seen: TypeAlias = Any
"""What a reading is of one run, or of each of many: a number, a look, or an array of them."""

GLASS_LOOKS = ("clear", "bubbles", "foam", "streaks", "still")
GLASS_ERROR = 0.08  # share of looks that are judged wrong [invented]
FROST_ERROR = 0.05
WARMED_BULB = 0.6  # share of the warm surroundings in the temperature of a bulb held in the hand
SPEED_STEP = 1.6  # ratio of the two engine speeds of the speed test


@dataclass(frozen=True)
class Observable:
    """One number (or look) that can be read: ``words``, ``kind`` of unit, standard deviation ``scatter`` in SI.

    Scatter covers instrument and hand: where the clip sits, how the needle is read [invented, typical of a shop].
    """

    name: str
    words: str
    kind: str
    scatter: float


observables: MappingProxyType[str, Observable] = MappingProxyType(
    {
        one.name: one
        for one in (
            Observable("low_gauge", "low gauge", "pressure", 0.08 * BAR),
            Observable("high_gauge", "high gauge", "pressure", 0.25 * BAR),
            Observable("vent", "air at the vent", "temperature", 0.8),
            Observable("return_air", "air to the coil", "temperature", 0.8),
            Observable("cab", "air in the cab", "temperature", 0.8),
            Observable("ambient", "air in the shade", "temperature", 0.5),
            Observable("suction_line_at_evaporator", "suction line at the evaporator", "temperature", 1.2),
            Observable("evaporator_inlet", "line into the evaporator", "temperature", 1.2),
            Observable("suction_line_at_compressor", "suction line at the compressor", "temperature", 1.2),
            Observable("discharge_line", "discharge line", "temperature", 3.0),
            Observable("drier_in", "line into the drier", "temperature", 0.5),
            Observable("drier_out", "line out of the drier", "temperature", 0.5),
            Observable("liquid_line", "liquid line before the valve", "temperature", 1.2),
            Observable("condenser_air_in", "air at the condenser's face", "temperature", 0.8),
            Observable("condenser_air_out", "air behind the condenser", "temperature", 1.5),
            Observable("standing_pressure", "standing pressure", "pressure", 0.12 * BAR),
            Observable("condensate", "water from the coil", "mass flow", 1.5e-4),
            Observable("clutch_duty", "share of the time the clutch is on", "fraction", 0.06),
            Observable("hub_slip", "hub slower than pulley by", "fraction", 0.015),
            Observable("glass", "sight glass", "look", GLASS_ERROR),
            Observable("coil_frost", "frost on the fins", "yes or no", FROST_ERROR),
            Observable("fan_share", "fan speed, share of what it should be", "fraction", 0.05),
            Observable("foreign_share", "R-12 by the identifier", "fraction", 0.04),
            Observable("low_gauge_bulb_reseated", "low gauge, change when the bulb is re-seated",
                       "pressure difference", 0.06 * BAR),
            Observable("low_gauge_bulb_warmed", "low gauge, change when the bulb is warmed",
                       "pressure difference", 0.06 * BAR),
            Observable("low_gauge_valve_warmed", "low gauge, change when the valve is warmed",
                       "pressure difference", 0.06 * BAR),
            Observable("vent_heater_pinched", "vent, change when the heater hose is pinched",
                       "temperature difference", 0.7),
            Observable("low_gauge_other_speed", "low gauge, change at the other speed",
                       "pressure difference", 0.06 * BAR),
            Observable("high_gauge_other_speed", "high gauge, change at the other speed",
                       "pressure difference", 0.2 * BAR),
            Observable("thermostat_opens_at", "thermostat opens at", "temperature", 1.0),
            Observable("high_switch_opens_at", "high-pressure switch opens at", "pressure", 0.4 * BAR),
            Observable("low_switch_opens_at", "low-pressure switch opens at", "pressure", 0.12 * BAR),
        )
    }
)  # fmt: skip
"""Everything that can be observed, by name. Pressures are gauge."""

LOOKS = ("glass", "coil_frost")
NUMBERS = tuple(name for name in observables if name not in LOOKS)
READ_OFF = tuple(name for name in observables if name in {field.name for field in fields(Readings)})
HANDS_ON = tuple(name for name in observables if name not in READ_OFF)
COMPONENT_TESTS = ("foreign_share", "thermostat_opens_at", "high_switch_opens_at", "low_switch_opens_at")
"""Of the hands-on tests those that try one part alone: they name their fault and say nothing else."""


@dataclass(frozen=True)
class Measurement:
    """Something a technician does: what it gives, the minutes it costs (PRICE_MARK), and a caution."""

    name: str
    words: str
    minutes: float
    gives: tuple[str, ...]
    caution: str = ""


PRICE_MARK = "assumption: minutes of a practised hand at an accessible machine, setting up included"
_BELT = "Moving belt and fan: stay clear, use a photo tachometer."
_BURN = "The line burns: glove on, clip on with the engine off."
_OFF = "Key off before you take a lead off."

measurements: MappingProxyType[str, Measurement] = MappingProxyType(
    {
        one.name: one
        for one in (
            Measurement("gauges", "connect both gauges", 8.0, ("low_gauge", "high_gauge"),
                        "Goggles and gloves: liquid refrigerant freezes skin."),
            Measurement("glass", "look at the sight glass", 1.0, ("glass",)),
            Measurement("vent", "thermometer in the vent", 2.0, ("vent",)),
            Measurement("cab air", "thermometer in the cab and before the coil", 3.0, ("cab", "return_air")),
            Measurement("shade", "thermometer in the shade", 2.0, ("ambient",)),
            Measurement("clutch", "watch the clutch for some minutes", 5.0, ("clutch_duty",), _BELT),
            Measurement("suction line", "clip on the suction line at the evaporator", 6.0,
                        ("suction_line_at_evaporator",)),
            Measurement("evaporator inlet", "clip behind the expansion valve", 7.0, ("evaporator_inlet",)),
            Measurement("suction hose", "clip on the suction line at the compressor", 3.0,
                        ("suction_line_at_compressor",), _BELT),
            Measurement("discharge line", "clip on the discharge line", 3.0, ("discharge_line",), _BURN),
            Measurement("drier", "clips before and after the drier", 4.0, ("drier_in", "drier_out")),
            Measurement("liquid line", "clip on the liquid line before the valve", 4.0, ("liquid_line",)),
            Measurement("condenser air", "thermometer before and behind the condenser", 4.0,
                        ("condenser_air_in", "condenser_air_out"), _BELT),
            Measurement("frost", "look at the evaporator's fins", 5.0, ("coil_frost",)),
            Measurement("condensate", "catch the water from the coil", 12.0, ("condensate",)),
            Measurement("standing pressure", "let the machine cool to the air and read the gauges", 60.0,
                        ("standing_pressure",)),
            Measurement("hub speed", "photo tachometer on pulley and hub", 4.0, ("hub_slip",), _BELT),
            Measurement("fan", "turn the fan by hand, then measure its speed", 5.0, ("fan_share",),
                        "Engine off and key out before a hand goes near the fan. " + _BELT),
            Measurement("identifier", "refrigerant identifier", 10.0, ("foreign_share",),
                        "Follow the identifier's manual; it lets out a small sample."),
            Measurement("other speed", "change the engine speed", 4.0,
                        ("low_gauge_other_speed", "high_gauge_other_speed"), "Park, brake and chock first."),
            Measurement("bulb re-seated", "clean, clamp and wrap the bulb", 20.0, ("low_gauge_bulb_reseated",),
                        "Engine off while you work at the bulb."),
            Measurement("bulb warmed", "warm the bulb, or a block valve's head, in the hand", 10.0,
                        ("low_gauge_bulb_warmed",), "Liquid may reach the compressor: a minute is enough."),
            Measurement("valve warmed", "warm the valve body with a wet cloth", 10.0, ("low_gauge_valve_warmed",),
                        "Warm water only, never a flame."),
            Measurement("heater pinched", "pinch the heater hose with a clamp", 4.0, ("vent_heater_pinched",),
                        "Hot coolant under pressure: use a proper clamp, glove on."),
            Measurement("thermostat", "thermostat's feeler in cold water", 20.0, ("thermostat_opens_at",), _OFF),
            Measurement("switches", "pressure switches on regulated nitrogen", 35.0,
                        ("high_switch_opens_at", "low_switch_opens_at"),
                        _OFF + " Use a regulator and stay below the marked limit."),
        )
    }
)  # fmt: skip
"""Everything that can be done, by name, with its price in minutes (see PRICE_MARK)."""


def read_off(readings: Readings) -> dict[str, Seen]:
    """What one run shows; works on numbers and on arrays."""
    seen = {name: getattr(readings, name) for name in READ_OFF}
    seen["hub_slip"] = 1.0 - readings.hub_speed / readings.pulley_speed
    return seen


def observations(readings: Readings | Mapping[str, object], refrigerant: str) -> dict[str, Observed]:
    """Checked observations from `Readings` or a mapping; what was not measured (None, NaN) is left out.

    A mapping may also give ``superheat_measured`` or ``subcooling_measured`` (K) beside the gauge they were worked out
    with, and ``hub_speed`` beside ``pulley_speed``. Raises `FaultError`.
    """
    if isinstance(readings, Readings):
        if isinstance(readings.status, np.ndarray):
            raise FaultError("These readings are of many runs; give those of one, for example readings[0].")
        given: dict[str, object] = read_off(readings)
    elif isinstance(readings, Mapping):
        given = _worked_back(dict(readings), refrigerant)
    else:
        raise FaultError(f"Readings must be a Readings or a mapping of names to values, not {type(readings).__name__}.")
    return {name: value for name, raw in given.items() if (value := checked(name, raw)) is not None}


def checked(name: object, value: object) -> Observed | None:
    """An observation's value as the atlas takes it, None if it was not measured; else `FaultError`."""
    if not isinstance(name, str) or name not in observables:
        raise FaultError(
            f"There is no reading named {str(name)[:60]!r}; the nearest is {nearest(name, observables)!r}."
        )
    if value is None or (isinstance(value, float | np.floating) and math.isnan(value)):
        return None
    words = observables[name].words
    if name == "glass":
        if value not in GLASS_LOOKS:
            raise FaultError(f"The {words} looks {', '.join(GLASS_LOOKS[:-1])} or {GLASS_LOOKS[-1]}, not {value!r}.")
        return value
    if name == "coil_frost":
        if not isinstance(value, bool | np.bool_):
            raise FaultError(f"The reading '{words}' is true or false, not {str(value)[:40]!r}.")
        return bool(value)
    number = _number(words, value)
    if math.isnan(number):
        return None
    limits = RANGES.get(observables[name].kind)
    if limits and not limits[0] <= number <= limits[1]:
        raise FaultError(
            f"The reading '{words}' is {number:g}, outside the range {limits[0]:g} to {limits[1]:g} {limits[2]}; "
            "check its unit."
        )
    return number


# By kind of unit: what a reading can be, scatter included.
RANGES = {
    "temperature": (200.0, 500.0, "K"),
    "pressure": (-1.1 * BAR, 60.0 * BAR, "Pa gauge"),
    "pressure difference": (-60.0 * BAR, 60.0 * BAR, "Pa"),
    "fraction": (-0.5, 1.5, "(1 is all of it)"),
    "mass flow": (-0.01, 0.1, "kg/s"),
    "temperature difference": (-100.0, 100.0, "K"),
}


def _number(words: str, value: object) -> float:
    try:
        if isinstance(value, str | bytes | bool | np.bool_) or not isinstance(value, SupportsFloat):
            raise TypeError
        number = float(value)
    except (TypeError, ValueError, OverflowError):
        raise FaultError(f"The reading '{words}' must be a number in SI units, not {str(value)[:40]!r}.") from None
    if math.isinf(number):
        raise FaultError(f"The reading '{words}' is infinite; give a number, or leave it out.")
    return number


def _worked_back(given: dict[str, object], refrigerant: str) -> dict[str, object]:
    """Superheat and subcooling turned back into the line temperature that was read, hub speed into slip."""

    def taken(name: str, remove: bool = False) -> float | None:
        value = given.pop(name, None) if remove else given.get(name)
        if value is None:
            return None
        number = _number(name.replace("_", " "), value)
        return None if math.isnan(number) else number

    for worked, gauge, line, sign in (
        ("superheat_measured", "low_gauge", "suction_line_at_evaporator", 1.0),
        ("subcooling_measured", "high_gauge", "liquid_line", -1.0),
    ):
        value = taken(worked, remove=True)
        if value is None or taken(line) is not None:
            continue
        pressure = taken(gauge)
        if pressure is None:
            raise FaultError(
                f"The {worked.split('_')[0]} was worked out with the {observables[gauge].words}; give that reading too."
            )
        given[line] = float(chart_temperature(refrigerant, pressure)) + sign * value
    hub, pulley = taken("hub_speed", remove=True), taken("pulley_speed", remove=True)
    if hub is not None and pulley:
        given.setdefault("hub_slip", 1.0 - hub / pulley)
    return given


def nearest(name: object, names: Iterable[str]) -> str:
    """The name most like what was written."""
    return get_close_matches(str(name), list(names), n=1, cutoff=0.0)[0]
