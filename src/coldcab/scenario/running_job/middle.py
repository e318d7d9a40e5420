"""The running job with the circuit open: recovery, condenser, flush, drier and valve.

What a way leads to is common practice, no source, where no formula stands; minutes and prices are invented.
"""

from __future__ import annotations

from dataclasses import replace

from coldcab.scenario.running_job.facts import ON_THE_WALLS, PARALLEL, PRICES, SWOLLEN, Job, State, ounces
from coldcab.scenario.running_job.way import Step, Way
from coldcab.words import _


def _recovered(one: Job, state: State, share_vented: float, minutes: float, *, nearest: bool = False) -> State:
    vented = state.left * one.sheet_charge * share_vented
    after = replace(state, vented=state.vented + vented, left=0.0).spend(minutes)
    unknown = nearest or state.mixed or not state.identified
    if unknown and share_vented < 1.0:
        after = after.spend(0.0, PRICES["an unknown cylinder"], shop=True)
    return after


def _vented(one: Job, state: State) -> str:
    return _("{ounces:.1f} oz went into the air.").format(ounces=ounces(state.vented))


RECOVER = Step(
    _("recovery"),
    lambda one, _state: (
        _("Engine off, key out. How does the refrigerant come out? It is R-1234yf, which burns.")
        if one.found_on == "R-1234yf"
        else _("Engine off, key out. How does the refrigerant come out?")
    ),
    (
        Way(
            _("a unit made for this gas, its own cylinder on the scale, down to the law's depth, wait, once more"),
            lambda one, state: _recovered(one, state, 0.0, 40.0),
            _("The gauge rose while you waited. The second pull took that as well."),
            _("The gas was weighed, so the leak has a number in the record."),
            True,
        ),
        Way(
            _("until the gauge first shows zero"),
            lambda one, state: _recovered(one, state, 0.12, 15.0),
            _("Zero. Then the gauge creeps up again: the oil gives back gas."),
            _vented,
        ),
        Way(
            _("the unit and the cylinder that stand nearest"),
            lambda one, state: _recovered(one, state, 0.0, 35.0, nearest=True),
            lambda one, _state: (
                _("A unit not made for gas that burns: a spark is enough. Nothing happened this time.")
                if one.found_on == "R-1234yf"
                else _("There was other gas in that cylinder.")
            ),
            _("The cylinder is a mixture now. A reclaimer takes it for {price:g} dollars.").format(
                price=PRICES["an unknown cylinder"]
            ),
        ),
        Way(
            _("a hose loosened outdoors"),
            lambda one, state: _recovered(one, state, 1.0, 5.0),
            _("It hisses for some minutes. It burns skin and takes the air out of a pit. It is forbidden."),
            lambda one, final: _("{gone} Venting is against the law.").format(gone=_vented(one, final)),
        ),
    ),
)


def _opened(one: Job, state: State) -> str:
    if one.debris:
        found = _(
            "Gray metal in the oil and at the condenser's inlet. A new compressor goes in; its old oil is drained."
        )
    else:
        found = _("Clean oil, no metal. The compressor is sound and goes back in, drained and measured.")
    return _("{found} The condenser is {kind}. What do you do with it?").format(found=found, kind=one.condenser)


def _out_of_the_compressor(one: Job, state: State) -> State:
    """What every job does when it is opened: the compressor's oil is measured; a worn one is replaced."""
    after = replace(state, old_oil=max(state.old_oil - one.drained, 0.0), new_oil=state.new_oil + one.brought).spend(
        45.0
    )
    return after.spend(60.0, PRICES["compressor"]) if one.debris else after


def _condenser(one: Job, state: State, left: float, minutes: float, dollars: float, *, emptied: bool) -> State:
    after = _out_of_the_compressor(one, state).spend(minutes, dollars)
    gone = one.condenser_oil if emptied else 0.0
    return replace(after, debris=after.debris * left, old_oil=max(after.old_oil - gone, 0.0))


def _kept_condenser(one: Job, _final: State) -> str:
    if one.debris:
        return _("The metal in it reached the valve's screen and the new compressor.")
    return _("A sound, clean condenser stayed where it was.")


def _flushed_condenser(one: Job, _final: State) -> str:
    if one.debris and one.condenser == PARALLEL:
        return _("The flush took the open tubes. The clogged ones kept their metal and gave it back later.")
    if one.debris:
        return _("Its tubes are long and few, so the flush reached the metal.")
    return _("Its old oil came out. There was no metal to take out.")


CONDENSER = Step(
    _("the condenser"),
    _opened,
    (
        Way(
            _("keep it as it is"),
            lambda one, state: _condenser(one, state, 1.0, 0.0, 0.0, emptied=False),
            _("It stays."),
            _kept_condenser,
            lambda one, _state: not one.debris and not one.converts,
        ),
        Way(
            _("flush it against the flow until what comes out is clean"),
            lambda one, state: _condenser(
                one, state, 0.55 if one.condenser == PARALLEL else 0.08, 30.0, 20.0, emptied=True
            ),
            _("What runs out is clean."),
            _flushed_condenser,
            lambda one, _state: not (one.debris and one.condenser == PARALLEL) and (one.debris or one.converts),
        ),
        Way(
            _("replace it"),
            lambda one, state: _condenser(one, state, 0.05, 40.0, PRICES["condenser"], emptied=True),
            _("The new one is in. Mind the fins."),
            lambda one, _final: (
                _("The metal left with it.")
                if one.debris
                else _("A sound part was thrown away: {price:g} dollars.").format(price=PRICES["condenser"])
            ),
            lambda one, _state: one.debris and one.condenser == PARALLEL,
        ),
    ),
)


def _flush(one: Job, state: State) -> State:
    after = replace(state, debris=state.debris * 0.2, old_oil=min(state.old_oil, ON_THE_WALLS + one.drier_oil))
    return after.spend(50.0, PRICES["flush"])


FLUSH = Step(
    _("hoses and evaporator"),
    lambda one, state: _("{oil} What do you do with hoses, pipes and evaporator?").format(
        oil=_("It will run on another refrigerant and another oil.") if one.converts else _("Refrigerant and oil stay.")
    ),
    (
        Way(
            _("flush each against the flow, its solvent blown out with dry nitrogen"),
            _flush,
            _("What comes out is clean, then dry."),
            lambda one, _final: (
                _("Old oil and metal left with it.")
                if one.converts or one.debris
                else _("Clean pipes with the right oil were flushed. It did no harm and cost an hour.")
            ),
            lambda one, _state: one.converts or one.debris,
        ),
        Way(
            _("flush the closed loop in one go, drier, valve and compressor in it"),
            lambda _one, state: replace(
                state, debris=state.debris * 0.7, old_oil=0.5 * state.old_oil, solvent=True, soaked=1.0
            ).spend(25.0, PRICES["flush"]),
            _("A lot goes in. Less comes out."),
            lambda one, _final: (
                _("Solvent stayed in the compressor and thins its oil. Metal moved on to the valve.")
                if one.debris
                else _("Solvent stayed in the compressor and thins its oil, and the drier is soaked with it.")
            ),
        ),
        Way(
            _("brake cleaner and shop air"),
            lambda _one, state: replace(
                state,
                debris=state.debris * 0.5,
                old_oil=0.4 * state.old_oil,
                solvent=True,
                wet=True,
                leaks=state.leaks + SWOLLEN,
            ).spend(20.0, 15.0),
            _("It stinks, and one spark in the bay would do."),
            lambda _one, final: (
                _("Its rest thins the oil, and the rings swelled. The pressure test had to find them.")
                if final.leaks == 0.0
                else _("Its rest thins the oil, and the rings swelled and leak.")
            ),
        ),
        Way(
            _("leave them as they are"),
            lambda _one, state: state,
            _("They stay closed."),
            lambda one, _final: (
                _("Old oil and metal stayed with them.")
                if one.debris
                else _("Mineral oil stayed with them; R-134a does not carry it back.")
                if one.converts
                else _("Nothing in them had to come out.")
            ),
            lambda one, _state: not one.converts and not one.debris,
        ),
    ),
)


def _water(final: State) -> str:
    if final.wet:
        return _("Its water stayed and freezes in the valve.")
    return _("The micron gauge asked for two hours more.")


def _drier_out(one: Job, state: State) -> State:
    return replace(state, old_oil=max(state.old_oil - one.drier_oil, 0.0))


DRIER = Step(
    _("drier and valve"),
    lambda one, _state: (
        _("Drier and block valve?")
        if one.block
        else _("Drier and expansion valve? The valve has a screen at its inlet.")
    ),
    (
        Way(
            _("new drier, opened last; the valve looked at and cleaned, a block valve replaced after metal"),
            lambda one, state: _drier_out(
                one,
                replace(state, debris=state.debris * 0.3, soaked=0.0).spend(
                    30.0, PRICES["drier"] + (PRICES["valve"] if one.block and one.debris else 0.0)
                ),
            ),
            _("The caps of the drier come off when everything else is closed."),
            _("Water and dust found a fresh drier."),
            True,
        ),
        Way(
            _("new drier fitted first, its caps off while the rest is built"),
            lambda one, state: _drier_out(one, replace(state, soaked=1.0).spend(25.0, PRICES["drier"])),
            _("It stood open for the afternoon."),
            lambda _one, final: _("It had taken up the shop's air before the pump ran. {rest}").format(
                rest=_water(final)
            ),
        ),
        Way(
            _("keep the drier: it is two years old"),
            lambda _one, state: replace(state, soaked=1.0, debris=max(state.debris, 0.1)).spend(5.0),
            _("Saved, 95 dollars."),
            lambda _one, final: _("An opened circuit gets a new drier: the old one gives back dust. {rest}").format(
                rest=_water(final)
            ),
        ),
    ),
)
