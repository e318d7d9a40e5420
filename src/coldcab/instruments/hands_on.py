"""Tests by hand at a running machine: what each is called, and how its outcome is written."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from coldcab.faults import measurements
from coldcab.instruments.controls import gauge_words
from coldcab.machine import Machine
from coldcab.words import _

NO_TEST = "none"
Write = Callable[[float, str], str]
Outcome = Callable[[Mapping[str, Any], str, Write], str]


def _gauges(template: str, side: str, change: str) -> Outcome:
    """How a side's gauge moves with a test."""

    def outcome(seen: Mapping[str, Any], system: str, write: Write) -> str:
        before = seen[f"{side}_gauge"]
        return template.format(before=gauge_words(before, system), after=gauge_words(before + seen[change], system))

    return outcome


def _share(template: str, name: str) -> Outcome:
    return lambda seen, system, write: template.format(share=100 * max(seen[name], 0.0))  # it scatters about none


def _heater_pinched(seen: Mapping[str, Any], system: str, write: Write) -> str:
    before, after = seen["vent"], seen["vent"] + seen["vent_heater_pinched"]
    return _("vent {before} before, {after} with it").format(
        before=write(before, "temperature"), after=write(after, "temperature")
    )


def _other_speed(seen: Mapping[str, Any], system: str, write: Write) -> str:
    sides = (_gauges(template, side, f"{side}_gauge_other_speed") for side, template in SIDES.items())
    return "; ".join(side(seen, system, write) for side in sides)


def _thermostat(seen: Mapping[str, Any], system: str, write: Write) -> str:
    return _("it opens at {at}").format(at=write(seen["thermostat_opens_at"], "temperature"))


def _switches(seen: Mapping[str, Any], system: str, write: Write) -> str:
    high, low = (gauge_words(seen[f"{side}_switch_opens_at"], system) for side in ("high", "low"))
    return _("the high one opens at {high}, the low one at {low}").format(high=high, low=low)


SIDES = {"low": _("low side {before} before, {after} with it"), "high": _("high side {before} before, {after} with it")}
_OUTCOME: dict[str, Outcome] = {
    "bulb warmed": _gauges(SIDES["low"], "low", "low_gauge_bulb_warmed"),
    "bulb re-seated": _gauges(SIDES["low"], "low", "low_gauge_bulb_reseated"),
    "valve warmed": _gauges(SIDES["low"], "low", "low_gauge_valve_warmed"),
    "heater pinched": _heater_pinched,
    "other speed": _other_speed,
    "hub speed": _share(_("the hub turns {share:.0f} % slower than the pulley"), "hub_slip"),
    "fan": _share(_("the fan turns at {share:.0f} % of its proper speed"), "fan_share"),
    "identifier": _share(_("{share:.0f} % of it is the other refrigerant"), "foreign_share"),
    "thermostat": _thermostat,
    "switches": _switches,
}
"""Name of the measurement, and how its outcome is written from all that could be observed."""

SEEN = _("{test} ({minutes:.0f} min): {outcome}.")
SEEN_WITH_CAUTION = _("{test} ({minutes:.0f} min): {outcome}. Caution: {caution}")

TESTS = {measurements[name].words: name for name in _OUTCOME}
"""Tests by hand, as the learner chooses them, and the measurement that each is."""


WANTS_A_BULB = ("bulb re-seated",)
"""Measurements for a valve with a bulb alone: a block valve senses inside its own body."""
WANTS_A_GLASS = ("glass",)
"""And those for a machine with a sight glass, which those with a block valve do not have."""
NO_GLASS = _("This machine has no sight glass: the scale and the readings decide.")
NO_BULB = _("This machine has a block valve: there is no bulb to clean, clamp and wrap. Choose another test.")


def can_be_done(measurement: str, machine: Machine | None) -> bool:
    """Whether a machine has what a measurement needs; True where no machine is known."""
    return not why_not(measurement, machine)


def why_not(measurement: str, machine: Machine | None) -> str:
    """Why a measurement cannot be done at a machine, in a sentence; empty where it can."""
    if machine is None or not machine.valve.block:
        return ""
    return NO_BULB if measurement in WANTS_A_BULB else NO_GLASS if measurement in WANTS_A_GLASS else ""


def outcome(test: str, seen: Mapping[str, Any], system: str, write: Write) -> str:
    """What a test has shown, in one or two sentences, with its caution.

    Parameters
    ----------
    test : one of `TESTS`.
    seen : all that could be observed (`coldcab.faults.observe`).
    system : "us" or "si".
    write : writes a value of a kind in the learner's units.
    """
    measurement = measurements[TESTS[test]]
    return (SEEN_WITH_CAUTION if measurement.caution else SEEN).format(
        test=test.capitalize(),
        minutes=measurement.minutes,
        outcome=_OUTCOME[TESTS[test]](seen, system, write),
        caution=measurement.caution,
    )
