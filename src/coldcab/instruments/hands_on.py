"""Tests by hand at a running machine: what each is called, and how its outcome is said."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from coldcab.faults import measurements
from coldcab.instruments.controls import gauge_words

NO_TEST = "none"
Say = Callable[[float, str], str]


def _gauge(seen: Mapping[str, Any], side: str, change: str, system: str) -> str:
    before = seen[f"{side}_gauge"]
    after = before + seen[change]
    return f"{side} side {gauge_words(before, system)} before, {gauge_words(after, system)} with it"


def _low(change: str) -> Callable[[Mapping[str, Any], str, Say], str]:
    return lambda seen, system, _: _gauge(seen, "low", change, system)


def _share(seen: Mapping[str, Any], name: str) -> str:
    return f"{100 * seen[name]:.0f} %"


# Name of the measurement, and how its outcome is said from all that could be observed.
_OUTCOME: dict[str, Callable[[Mapping[str, Any], str, Say], str]] = {
    "bulb warmed": _low("low_gauge_bulb_warmed"),
    "bulb re-seated": _low("low_gauge_bulb_reseated"),
    "valve warmed": _low("low_gauge_valve_warmed"),
    "heater pinched": lambda seen, _, say: (
        f"vent {say(seen['vent'], 'temperature')} before, "
        f"{say(seen['vent'] + seen['vent_heater_pinched'], 'temperature')} with it"
    ),
    "other speed": lambda seen, system, _: "; ".join(
        _gauge(seen, side, f"{side}_gauge_other_speed", system) for side in ("low", "high")
    ),
    "hub speed": lambda seen, *_: f"the hub turns {_share(seen, 'hub_slip')} slower than the pulley",
    "fan": lambda seen, *_: f"the fan turns at {_share(seen, 'fan_share')} of its proper speed",
    "identifier": lambda seen, *_: f"{_share(seen, 'foreign_share')} of it is the other refrigerant",
    "thermostat": lambda seen, _, say: f"it opens at {say(seen['thermostat_opens_at'], 'temperature')}",
    "switches": lambda seen, system, _: (
        f"the high one opens at {gauge_words(seen['high_switch_opens_at'], system)}, "
        f"the low one at {gauge_words(seen['low_switch_opens_at'], system)}"
    ),
}

TESTS = {measurements[name].words: name for name in _OUTCOME}
"""Tests by hand, as the learner chooses them, and the measurement that each is."""


def outcome(test: str, seen: Mapping[str, Any], system: str, say: Say) -> str:
    """What a test has shown, in one or two sentences, with its caution.

    Parameters
    ----------
    test : one of `TESTS`.
    seen : all that could be observed (`coldcab.faults.observe`).
    system : "us" or "si".
    say : writes a value of a kind in the learner's units.
    """
    measurement = measurements[TESTS[test]]
    caution = f" Caution: {measurement.caution}" if measurement.caution else ""
    shown = _OUTCOME[TESTS[test]](seen, system, say)
    return f"{test.capitalize()} ({measurement.minutes:.0f} min): {shown}.{caution}"
