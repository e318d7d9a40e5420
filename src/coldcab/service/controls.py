"""The switches in the clutch's circuit, and what to conclude when "the clutch is bad".

Each switch protects something. One that opens at its set point is doing its job: the cause lies in the circuit of the
refrigerant, the air or the weather. The rules of `decide` are common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from coldcab.machine import Machine, Readings
from coldcab.machine.effects import Faults, gather
from coldcab.machine.readings import HIGH_PRESSURE, LOW_PRESSURE, NO_STEADY_STATE, OFF, RELIEF, THERMOSTAT
from coldcab.machine.switches import Switches
from coldcab.machine.transients.clutch_cycling import HEAD_SPAN
from coldcab.quantities import Limit
from coldcab.service.checks import ServiceError, number
from coldcab.service.clutch import GAP as GAP_LIMITS
from coldcab.service.clutch import MOST_IN_ALL, RESISTANCE, TEMPERATURE, USUAL_GAP, VOLTAGE, coil_resistance
from coldcab.words import _

GAUGE = Limit("gauge pressure", -1.1e5, 60e5, "kPa gauge")

LOW_SWITCH, HIGH_SWITCH, FIN_SWITCH = "low-pressure switch", "high-pressure switch", "thermostat"
PROTECTS: Mapping[str, str] = {
    LOW_SWITCH: _("the compressor against running without refrigerant, and so without the oil that comes with it"),
    HIGH_SWITCH: _("hoses, compressor and clutch against a head that could burst or stall them"),
    FIN_SWITCH: _("the evaporator's fins against ice that would block the air"),
}
"""What each switch is there for."""

CLOSED, OPEN, CYCLES, AS_BEFORE = "closed", "open", "opens and closes", "as it was"


@dataclass(frozen=True)
class SwitchState:
    """One switch at present. Pressures in Pa gauge, temperatures in K; ``value`` NaN where nobody reads it."""

    name: str
    value: float
    opens_at: float
    closes_at: float
    opens_above: bool
    state: str

    @property
    def protects(self) -> str:
        """What it is there for."""
        return PROTECTS[self.name]


def pressure_switch(value: float, *, opens_at: float, closes_at: float, was_closed: bool = True) -> bool:
    """Whether a switch with a gap between opening and closing is closed.

    Parameters
    ----------
    value, opens_at, closes_at : of one kind (Pa gauge or K). It opens above its set point when ``closes_at`` lies
        below ``opens_at``, else below it.
    was_closed : how it stood before; it stays so between the two.

    Returns
    -------
    True for closed.

    Raises
    ------
    ServiceError : set points that are equal or not numbers.
    """
    if not abs(opens_at - closes_at) > 0.0:
        raise ServiceError(_("a switch opens and closes at different values; give two set points."))
    if opens_at > closes_at:
        return value < opens_at if was_closed else value <= closes_at
    return value > opens_at if was_closed else value >= closes_at


def first_open(low_gauge: float, high_gauge: float, switches: Switches | None = None) -> str | None:
    """Which pressure switch two gauge readings (Pa gauge) would open; None if neither.

    Both have been closed before. Raises ServiceError for pressures that no gauge shows.
    """
    switches = switches or Switches()
    low_gauge, high_gauge = number("low_gauge", low_gauge, GAUGE), number("high_gauge", high_gauge, GAUGE)
    if high_gauge >= switches.high_cutout:
        return HIGH_SWITCH
    return LOW_SWITCH if low_gauge <= switches.low_cutout else None


def switch_states(machine: Machine, readings: Readings, *, faults: Faults = ()) -> tuple[SwitchState, ...]:
    """How the three switches stand at the pressures of the running (or resting) circuit.

    Parameters
    ----------
    machine : with its ``switches``.
    readings : one run of `coldcab.machine.simulate`, numbers.
    faults : those of that run, for set points that have drifted.

    Returns
    -------
    One `SwitchState` each: low pressure, high pressure, thermostat. At rest between its two set points a switch is
    AS_BEFORE, unless it is the one that keeps the machine off. The thermostat feels the fins, which have no
    thermometer: its value is known only while it cycles.
    """
    set_points, effects = machine.switches, gather(faults)
    status, low, high = readings.status, float(readings.low_gauge), float(readings.high_gauge)
    if status == NO_STEADY_STATE:  # nothing but this pressure is known
        low = high = float(readings.standing_pressure)
    low_off, low_on = (
        set_points.low_cutout + float(effects.low_switch),
        set_points.low_cutin + float(effects.low_switch),
    )
    high_off = set_points.high_cutout + float(effects.high_switch)
    cold = float(set_points.thermostat + effects.thermostat)
    warm = cold + set_points.thermostat_span
    # A machine that a switch keeps off says which one it is.
    keeps_off = next((name for name in PROTECTS if status == OFF and name in str(readings.reason)), None)

    def stands(name: str, value: float, opens_at: float, closes_at: float, cycling: str) -> str:
        if status == cycling:
            return CYCLES
        if name == keeps_off:
            return OPEN
        return _at_rest(value, opens_at, closes_at) if status in (OFF, NO_STEADY_STATE) else CLOSED

    high_on = high_off - HEAD_SPAN
    high_state = (
        OPEN if status == RELIEF and high >= high_off else stands(HIGH_SWITCH, high, high_off, high_on, HIGH_PRESSURE)
    )
    fins = CYCLES if status == THERMOSTAT else OPEN if keeps_off == FIN_SWITCH else CLOSED
    return (
        SwitchState(LOW_SWITCH, low, low_off, low_on, False, stands(LOW_SWITCH, low, low_off, low_on, LOW_PRESSURE)),
        SwitchState(HIGH_SWITCH, high, high_off, high_on, True, high_state),
        SwitchState(FIN_SWITCH, cold if status == THERMOSTAT else math.nan, cold, warm, False, fins),
    )


def _at_rest(value: float, opens_at: float, closes_at: float) -> str:
    """A switch at a pressure that stands still."""
    closed = [pressure_switch(value, opens_at=opens_at, closes_at=closes_at, was_closed=was) for was in (True, False)]
    if closed[0] != closed[1]:
        return AS_BEFORE
    return CLOSED if closed[0] else OPEN


CLUTCH, COMPRESSOR, NEITHER = "clutch", "compressor", "neither"
COIL_BAND = 0.15  # share by which a sound coil may differ from what copper has at its temperature [invented]


@dataclass(frozen=True)
class Findings:
    """What was found at a machine whose clutch is blamed; None where it was not looked at. SI units.

    ``source`` V at the battery posts and ``coil_voltage`` V at the coil's own terminals, both under load;
    ``coil_resistance`` ohm with the lead off, at ``coil_temperature`` K; ``gap`` m; ``turns_freely`` the hub by hand,
    key off; ``debris`` metal in the oil or at the valve's screen; ``open_switch`` the name of a switch that is open
    at its set point; ``faces_burnt`` blue or scored faces; ``head_high`` above the band of the day.
    """

    source: float | None = None
    coil_voltage: float | None = None
    coil_resistance: float | None = None
    coil_temperature: float = 293.15
    resistance_at_20: float = 3.6
    gap: float | None = None
    turns_freely: bool | None = None
    debris: bool | None = None
    open_switch: str | None = None
    faces_burnt: bool | None = None
    head_high: bool | None = None


@dataclass(frozen=True)
class Decision:
    """What to replace: CLUTCH (alone), COMPRESSOR (with a clutch), NEITHER; why, and what to mend first."""

    replace: str
    reasons: tuple[str, ...]
    first: str
    not_looked_at: tuple[str, ...]


def decide(found: Findings) -> Decision:
    """Clutch alone, compressor, or neither.

    Parameters
    ----------
    found : `Findings`.

    Returns
    -------
    `Decision`. A new clutch on a failing compressor burns next, so the compressor is judged first; a switch that does
    its duty and a circuit that loses voltage come before the coil, the coil before gap and faces.

    Raises
    ------
    ServiceError : values out of range.

    Source
    ------
    Common practice, no source; the limits are those of `clutch`.
    """
    missing = tuple(
        words
        for words, value in (
            (_("does the hub turn freely"), found.turns_freely),
            (_("debris in the circuit"), found.debris),
            (_("voltage at the coil under load"), found.coil_voltage),
            (_("resistance of the coil"), found.coil_resistance),
        )
        if value is None
    )
    if found.turns_freely is False or found.debris:
        reasons = []
        if found.turns_freely is False:
            reasons.append(_("the hub does not turn freely by hand: the compressor behind it drags or is seized"))
        if found.debris:
            reasons.append(_("metal in the circuit: the compressor is breaking up"))
        return Decision(COMPRESSOR, tuple(reasons), _("clean the circuit and replace drier and screen"), missing)
    if found.open_switch is not None:
        if found.open_switch not in PROTECTS:
            raise ServiceError(
                _("there is no switch {open_switch!r}; there are {protects}.").format(
                    open_switch=found.open_switch, protects=", ".join(PROTECTS)
                )
            )
        return Decision(
            NEITHER,
            (
                _("the {open_switch} is doing its job: it protects {protects}").format(
                    open_switch=found.open_switch, protects=PROTECTS[found.open_switch]
                ),
            ),
            _("find what drives the pressure or the fins past the set point"),
            missing,
        )
    lost = _lost_voltage(found)
    if lost is not None and lost > MOST_IN_ALL:
        return Decision(
            NEITHER,
            (_("under load {lost:.1f} V are lost before and behind the coil").format(lost=lost),),
            _("find the connection that takes the voltage, ground side included"),
            missing,
        )
    coil = _coil_fault(found)
    if coil:
        return Decision(CLUTCH, (coil,), _("find out whether heat or oil has killed the coil"), missing)
    reasons = []
    if found.gap is not None and number("gap", found.gap, GAP_LIMITS) > USUAL_GAP[1]:
        reasons.append(_("the air gap is wider than usual: set it by the manual, or replace worn faces"))
    if found.faces_burnt:
        reasons.append(_("the faces are burnt"))
    if reasons:
        first = (
            _("bring the head down first, or the new one slips as well")
            if found.head_high
            else _("check the shaft seal")
        )
        return Decision(CLUTCH, tuple(reasons), first, missing)
    return Decision(NEITHER, (_("nothing that was looked at is wrong with clutch or compressor"),), "look on", missing)


def _lost_voltage(found: Findings) -> float | None:
    if found.source is None or found.coil_voltage is None:
        return None
    return number("source", found.source, VOLTAGE) - number("coil_voltage", found.coil_voltage, VOLTAGE)


def _coil_fault(found: Findings) -> str:
    if found.coil_resistance is None:
        return ""
    number("coil_temperature", found.coil_temperature, TEMPERATURE)
    if found.coil_resistance == math.inf:
        return _("the coil is open")
    measured = number("coil_resistance", found.coil_resistance, RESISTANCE)
    should = coil_resistance(found.coil_temperature, resistance_at_20=found.resistance_at_20)
    if measured < (1.0 - COIL_BAND) * should:
        return _(
            "the coil has {measured:.2f} ohm where copper at its temperature has {should:.2f}: turns are shorted"
        ).format(measured=measured, should=should)
    if measured > (1.0 + COIL_BAND) * should:
        return _(
            "the coil has {measured:.2f} ohm where copper at its temperature has {should:.2f}: it is breaking open"
        ).format(measured=measured, should=should)
    return ""
