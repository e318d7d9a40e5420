"""Rinsing a circuit: how far each rinse dilutes, how the solvent gets out again, and what must not be rinsed.

What a failed compressor leaves behind goes where the flow takes it: metal and scorched oil collect in the condenser's
inlet, in screens and in the drier. A rinse only reaches what it flows through; whatever it leaves behind, the next one
dilutes; and the last solvent must be out before oil and refrigerant go in.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from coldcab.quantities import Limit, Value, plain
from coldcab.service.checks import ServiceError, checked, number, together
from coldcab.words import _

CAUTIONS = (
    _("Read the solvent's safety data sheet first: gloves, goggles, moving air, no flame and no spark."),
    _(
        "Never blow solvent out with oxygen or shop air: solvent vapor and air can burn, and "
        "shop air brings water and oil. Use dry nitrogen through a regulator, at a low pressure, "
        "into a vented catch bottle."
    ),
    _(
        "Solvent that stays thins the oil, swells seals and boils in the evaporator: weigh or "
        "measure what came out again."
    ),
    _("Caught solvent is hazardous waste; law and data sheet say where it goes."),
    _("The manual of the machine and the law where you work come first."),
)
TARGET = 0.05
"""Share of the old oil that may stay: common practice, from memory, no source."""


VOLUME = Limit("volume", 0.0, 0.1, "mL")
SOLVENT_VOLUME = Limit("volume", 0.0, 1.0, "L")
SHARE = Limit("share", 0.0, 1.0, "%")
RINSES = Limit("count", 0.0, 200.0, "flushes")
MOST_RINSES = 200


def residual(
    rinses: Value, *, carry_over: Value, solvent: Value, held: Value | None = None, mixing: Value = 1.0
) -> Value:
    """Share of what was inside that is still there after a number of rinses.

    Parameters
    ----------
    rinses : number of rinses, each with fresh solvent, 0 to 200; number or array.
    carry_over : m3 of liquid that stays inside after draining and blowing out, 0 to 1e-4 and more (100 mL).
    solvent : m3 in each rinse.
    held : m3 of old oil before the first rinse; as much as the carry-over if left out.
    mixing : share of the solvent that really mixes with what is inside, 0 to 1.

    Returns
    -------
    Share 0 to 1, in the common shape.

    Raises
    ------
    ServiceError.

    Each rinse leaves carry_over / (inside + mixing * solvent) of what was there: a mass balance, the same as for
    washing by decantation or repeated extraction (textbook). Well mixed at best: oil in a dead end does not follow.
    """
    count, stays, fresh, share = together(
        rinses=checked("flushes", rinses, RINSES),
        carry_over=checked("carry over", carry_over, VOLUME),
        solvent=checked("solvent", solvent, SOLVENT_VOLUME),
        mixing=checked("mixing", mixing, SHARE),
    )
    before = stays if held is None else np.asarray(checked("held", held, VOLUME), dtype=float)
    if np.any(count != np.floor(count)):
        raise ServiceError(_("flushes must be a whole number."))
    first, later = before + share * fresh, stays + share * fresh
    if np.any((first <= 0.0) | (later <= 0.0)):
        raise ServiceError(_("nothing is inside and nothing comes in; give a carry over or solvent above 0."))
    # What drains cannot be less than nothing: a part that holds less than the carry over keeps all of it.
    after_first = np.minimum(stays / first, 1.0)
    return plain(np.where(count > 0, after_first * (stays / later) ** np.maximum(count - 1.0, 0.0), 1.0))


def rinses_needed(
    target: float, *, carry_over: float, solvent: float, held: float | None = None, mixing: float = 1.0
) -> int:
    """The fewest rinses after which no more than the target share is left; arguments as for `residual`.

    Raises ServiceError where 200 rinses do not reach it.
    """
    target = number("target", target, Limit("share", 1e-9, 1.0, "%"))
    left = np.asarray(
        residual(
            np.arange(MOST_RINSES + 1.0),
            carry_over=number("carry over", carry_over, VOLUME),
            solvent=number("solvent", solvent, SOLVENT_VOLUME),
            held=held,
            mixing=number("mixing", mixing, SHARE),
        )
    )
    reached = np.flatnonzero(left <= target * (1.0 + 1e-12))
    if not reached.size:
        raise ServiceError(
            _(
                "{most_rinses} flushes leave {left:.3g} %, more than the {target:.3g} % wanted; take more "
                "solvent for each, blow out better, or replace the part."
            ).format(most_rinses=MOST_RINSES, left=100 * left[-1], target=100 * target)
        )
    return int(reached[0])


YES, NO, REPLACE, WITH_CARE = "may be flushed", _("must not be flushed"), "replace it", "with care"


@dataclass(frozen=True)
class PartRule:
    """Whether a part may be rinsed, and why."""

    part: str
    answer: str  # one of YES, NO, REPLACE, WITH_CARE
    reason: str
    source: str = _("common practice, no source")


def _rule(part: str, answer: str, reason: str) -> PartRule:
    return PartRule(part, answer, reason)


PARTS: Mapping[str, PartRule] = MappingProxyType(
    {
        rule.part: rule
        for rule in (
            _rule("serpentine condenser", YES, _("It has one path, so all of the solvent goes past the dirt.")),
            _rule(
                "parallel-flow condenser",
                REPLACE,
                _(
                    "Its many paths lie side by side; solvent takes the open ones and leaves the clogged "
                    "ones as they are."
                ),
            ),
            _rule(
                _("tube and fin evaporator"),
                WITH_CARE,
                _("It has few paths; flush against the flow and drain it well."),
            ),
            _rule(
                "plate evaporator",
                WITH_CARE,
                _("Its plates lie side by side and hold liquid at the bottom; after metal chips it is replaced."),
            ),
            _rule("metal line", YES, _("It is one open path that can be seen through.")),
            _rule(
                "hose",
                WITH_CARE,
                _(
                    "It may be flushed if it is sound, with a liquid that its rubber bears; one with a "
                    "muffler or a filter is replaced."
                ),
            ),
            _rule(
                "receiver-drier", REPLACE, _("Its desiccant and its filter keep solvent and dirt and give them back.")
            ),
            _rule("accumulator", REPLACE, _("Its desiccant, its oil hole and its bottom keep solvent and dirt.")),
            _rule(
                "expansion valve",
                NO,
                _("Its narrow seat and its screen catch dirt; take it out, look, and if you are not sure replace it."),
            ),
            _rule("orifice tube", REPLACE, _("Its screen has caught the dirt.")),
            _rule(
                "compressor",
                NO,
                _(
                    "Solvent washes the oil off its bearings, stays in its crankcase and thins the new oil. "
                    "Drain it instead and measure what comes out."
                ),
            ),
            _rule("muffler", REPLACE, _("Its chamber holds dirt and liquid that no flow reaches.")),
            _rule("in-line filter", REPLACE, _("It is there to hold the dirt.")),
            _rule("service valve core", REPLACE, _("Its seal swells in solvent; take it out before the flush.")),
        )
    }
)
"""What may be rinsed and what not."""


def part_rule(part: object) -> PartRule:
    """The rule for a part; `ServiceError` with the list of parts for an unknown one."""
    found = PARTS.get(part.strip().lower()) if isinstance(part, str) else None
    if found is None:
        raise ServiceError(
            _("{value!r} is not a part of the list; it has {parts}.").format(
                value=str(part)[:40], parts=", ".join(PARTS)
            )
        )
    return found
