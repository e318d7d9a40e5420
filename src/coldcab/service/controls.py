"""The switches in the clutch's circuit, and what to conclude when "the clutch is bad".

Each switch protects something. One that opens at its set point is doing its job: the cause lies in the circuit of the
refrigerant, the air or the weather. The rules of `decide` are common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from coldcab.service.checks import ServiceError, number
from coldcab.service.clutch import GAP as GAP_LIMITS
from coldcab.service.clutch import MOST_IN_ALL, RESISTANCE, TEMPERATURE, USUAL_GAP, VOLTAGE, coil_resistance
from coldcab.words import _

LOW_SWITCH, HIGH_SWITCH, FIN_SWITCH = "low-pressure switch", "high-pressure switch", "thermostat"
PROTECTS: Mapping[str, str] = {
    LOW_SWITCH: _("the compressor against running without refrigerant, and so without the oil that comes with it"),
    HIGH_SWITCH: _("hoses, compressor and clutch against a head that could burst or stall them"),
    FIN_SWITCH: _("the evaporator's fins against ice that would block the air"),
}
"""What each switch is there for."""

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
    """What to replace: CLUTCH (alone), COMPRESSOR (with a clutch), NEITHER; why, and what to repair first."""

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
    `Decision`. A new clutch on a failing compressor burns next, so the compressor is judged first; a switch that is
    doing its job and a circuit that loses voltage come before the coil, the coil before gap and faces.

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
    return Decision(
        NEITHER, (_("nothing that was looked at is wrong with clutch or compressor"),), _("look elsewhere"), missing
    )


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
