"""The running job from the vacuum to the record.

What a way leads to is common practice, no source, where no formula stands; minutes and prices are invented.
"""

from __future__ import annotations

from dataclasses import replace

from coldcab.machine.fleet import FLEET as MACHINES
from coldcab.scenario.running_job.facts import (
    AIR_DENSITY,
    LEFT_BY_PURGING,
    PRICES,
    SEALED,
    Job,
    State,
    comes_warm,
    ounces,
)
from coldcab.scenario.running_job.way import Step, Way
from coldcab.words import _


def _to_the_micron(one: Job, state: State) -> State:
    """The gauge decides: a soaked drier takes two hours more, and is dry then."""
    return replace(state, wet=False, soaked=0.0).spend(75.0 + 120.0 * state.soaked)


def _by_the_clock(one: Job, state: State) -> State:
    return replace(state, wet=state.wet or state.soaked > 0.0).spend(40.0)


def _no_pump(one: Job, state: State) -> State:
    inside = AIR_DENSITY * MACHINES[one.unit.number].volume * LEFT_BY_PURGING
    return replace(state, wet=True, air=inside, vented=state.vented + 0.05).spend(5.0)


VACUUM = Step(
    _("the vacuum"),
    _("Nitrogen is out. How do you get air and water out?"),
    (
        Way(
            _("pump at least as long as the manual says, below 500 micron, valve shut, watch the rise"),
            _to_the_micron,
            _("It rises a little and stands: dry and tight."),
            _("Air and water are out, by a gauge."),
            True,
        ),
        Way(
            _("thirty minutes by the clock"),
            _by_the_clock,
            _("Thirty minutes. The gauge set shows 29 inches."),
            lambda _one, final: (
                _("It was not long enough for the water that was inside.")
                if final.wet
                else _("It was enough this time. Nobody could know.")
            ),
        ),
        Way(
            _("start the engine too, so that the compressor helps to pump"),
            lambda one, state: replace(_by_the_clock(one, state), hurt=True),
            _("It sounds dry."),
            lambda _one, final: (
                _("Nothing carries oil in a vacuum. The compressor ran dry and scored.")
                if final.hurt
                else _("Nothing carries oil in a vacuum. It scored; the check found it, and the shop paid for another.")
            ),
        ),
        Way(
            _("no pump: some refrigerant pushes the air out"),
            _no_pump,
            _("It hisses at the far end."),
            lambda _one, final: (
                _("Most of the air stayed and stands in the condenser; so did the water.")
                if final.air
                else _("The head was too high for the day. Recovered, pumped, charged again: on the shop's time.")
            ),
        ),
    ),
)


def _filled(one: Job, state: State, kilograms: float, minutes: float) -> State:
    """Charged; a sealant goes in with it and closes most of what leaks (assumption)."""
    leaks = SEALED * state.leaks if state.sealant else state.leaks
    return replace(state, charge=kilograms, refrigerant=one.refrigerant, leaks=leaks).spend(
        minutes, 14.0 * ounces(kilograms) / 16.0
    )


def _too_much(one: Job) -> float:
    """kg by the old weight; on a machine that keeps its refrigerant, a can on top of the clear glass."""
    return one.sheet_charge if one.converts else one.charge + 0.34


def _charge_came(one: Job, final: State) -> str:
    more = ounces(final.charge - one.charge)
    if abs(more) < 0.5:
        return _("The check found the wrong weight: recovered and charged again, on the shop's time.")
    if more > 0.0:
        return _("{ounces:.0f} oz too much; on a hot day liquid stands in the condenser.").format(ounces=more)
    return _("{ounces:.0f} oz short. One gauge is no scale.").format(ounces=-more)


CHARGE = Step(
    _("the charge"),
    lambda one, _state: _("Data sheet: {ounces:.0f} oz of {name}. How much goes in?").format(
        ounces=ounces(one.sheet_charge), name=one.found_on
    ),
    (
        Way(
            _("by the scale: the sheet's weight, or the starting charge after a conversion, then the day's table"),
            lambda one, state: _filled(one, state, one.charge, 35.0),
            lambda one, state: _("{ounces:.0f} oz of {name} went in.").format(
                ounces=ounces(state.charge), name=state.refrigerant
            ),
            _("The weight inside is known."),
            True,
        ),
        Way(
            _("the data sheet's R-12 weight; without a conversion, until the glass is clear and one can more"),
            lambda one, state: _filled(one, state, _too_much(one), 25.0),
            lambda _one, state: _("{ounces:.0f} oz went in. The glass is clear.").format(ounces=ounces(state.charge)),
            _charge_came,
        ),
        Way(
            _("until the low side shows what it always showed"),
            lambda one, state: _filled(one, state, 0.62 * one.charge, 20.0),
            _("The low gauge is where it always was."),
            _charge_came,
        ),
    ),
)


def _checked(one: Job, state: State) -> State:
    """Wrong weight, air, a scored compressor and sealant show beside the day's table; the shop sets them right."""
    after = state.spend(20.0)
    if abs(state.charge / one.charge - 1.0) > 0.02 or state.air > 0.0:
        after = replace(after, charge=one.charge, air=0.0, wet=after.wet and state.air == 0.0)
        after = after.spend(90.0, 20.0, shop=True)
    if state.hurt:
        after = replace(after, hurt=False).spend(240.0, PRICES["compressor"], shop=True)
    if state.sealant:
        after = replace(after, sealant=False).spend(120.0, PRICES["drier"], shop=True)
    return after


ACCEPT = Step(
    _("acceptance"),
    _("The readings after the charge stand above. Doors of the bay open, exhaust led out. What do you do?"),
    (
        Way(
            _("hold readings and weight against the day's table; set right what is outside it"),
            _checked,
            lambda _one, state: (
                _("Something was outside: {minutes:g} minutes more, on the shop's time.").format(
                    minutes=state.shop_minutes
                )
                if state.shop_minutes
                else _("Compared, two speeds.")
            ),
            _("What can be seen on the day was seen."),
            True,
        ),
        Way(
            _("it blows cold: hand it over"),
            lambda _one, state: state.spend(5.0),
            lambda one, state: (
                _("It does not blow cold, not even today.") if comes_warm(one, state) else _("It does blow cold today.")
            ),
            _("Nobody held a reading against anything."),
        ),
        Way(
            _("a little more for the hot days"),
            lambda one, state: replace(state, charge=state.charge + 0.12 * one.charge).spend(10.0, 6.0),
            _("Another third of a can, about."),
            _("The weight on the scale and the weight inside are two numbers now."),
        ),
    ),
)

LABEL = Step(
    _("the label"),
    lambda one, _state: (
        _("It was converted. What goes on the machine?") if one.converts else _("What goes on the machine?")
    ),
    (
        Way(
            _("a printed label: refrigerant, charge as weighed, oil and its amount, name, shop, date"),
            lambda _one, state: replace(state, labeled=True).spend(10.0, 5.0),
            _("It sticks where no part is usually replaced."),
            _("The next shop knows what is inside."),
            True,
        ),
        Way(
            _("the refrigerant's name with a marker on the compressor"),
            lambda _one, state: state.spend(1.0),
            _("Readable, for a month."),
            _("The next shop has to guess charge and oil."),
        ),
        Way(
            _("nothing, everybody here knows it"),
            lambda _one, state: state,
            _("The old label stays."),
            lambda one, _final: (
                _("The old label says R-12. That is against the law, and the next can may be the wrong one.")
                if one.converts
                else _("The next shop has to guess oil and charge.")
            ),
        ),
    ),
)

RECORD = Step(
    _("the record"),
    _("What do you write and sign?"),
    (
        Way(
            _("as found, done, as left, with what was read; what was not done is named"),
            lambda _one, state: replace(state, recorded=True).spend(15.0),
            _("Signed."),
            _("The next technician starts where you stopped."),
            True,
        ),
        Way(
            _("the sheet's numbers, they look better"),
            lambda _one, state: replace(state, recorded=True, false_record=True).spend(10.0),
            _("Signed. It looks good."),
            _("A number that nobody read stands over your name."),
        ),
        Way(
            _("the invoice will do"),
            lambda _one, state: state,
            _("Nothing to sign."),
            _("Next time everything is found out anew."),
        ),
    ),
)
