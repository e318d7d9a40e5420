"""The running job while it is closed again: repair, oil, pressure test.

What a way leads to is common practice, no source, where no formula stands; minutes and prices are invented.
"""

from __future__ import annotations

from dataclasses import replace

from coldcab.scenario.running_job.facts import PRICES, Job, State
from coldcab.scenario.running_job.way import Step, Way
from coldcab.words import _


def _repair(one: Job, state: State) -> State:
    leaks = state.leaks - one.grams_a_year if state.aimed == one.leak else state.leaks
    return replace(state, leaks=max(leaks, 0.0), repaired=state.aimed).spend(45.0, PRICES["rings and hose"])


def _repaired(one: Job, final: State) -> str:
    if final.repaired == one.leak:
        return _("The leak is closed.")
    if final.leaks < one.grams_a_year:
        return _("A place was repaired that did not leak. The pressure test found the right one.")
    return _("A place was repaired that did not leak. The leak is still there.")


REPAIR = Step(
    _("the repair"),
    lambda _one, state: (
        _("The place on your list: {place}. How do you repair?").format(place=state.aimed)
        if state.aimed
        else _("No place is on your list. How do you repair?")
    ),
    (
        Way(
            _("repair that place, new oiled rings in every joint that was opened"),
            _repair,
            lambda _one, state: _("Done: {place}.").format(place=state.aimed or _("the rings only")),
            _repaired,
            lambda one, state: state.aimed == one.leak,
        ),
        Way(
            _("a can of sealant with the charge"),
            lambda _one, state: replace(state, sealant=True).spend(10.0, 45.0),
            _("It stands ready beside the oil."),
            _("Sealant sets where it meets air or water: in the drier, and in the next shop's recovery unit."),
        ),
        Way(
            _("new rings only; the leak is small"),
            lambda _one, state: state.spend(15.0, 10.0),
            _("The joints that were opened are new."),
            lambda one, final: (
                _("The pressure test brought it up again.")
                if final.leaks < one.grams_a_year
                else _("What leaked before leaks again.")
            ),
        ),
    ),
)


def _poured(state: State, amount: float, *, wrong: bool = False) -> State:
    return replace(state, new_oil=state.new_oil + max(amount, 0.0), wrong_oil=state.wrong_oil or wrong).spend(
        10.0, PRICES["oil"]
    )


def to_pour(one: Job, state: State) -> float:
    """fl oz that bring the circuit to the data sheet's total: the sheet less what is inside, never below nothing."""
    return max(one.oil - state.oil, 0.0)


OIL = Step(
    _("the oil"),
    lambda one, _state: _(
        "Data sheet {sheet:g} fl oz. Out: compressor {drained:g}, drier {drier:g}, condenser {condenser:g} if it was "
        "emptied. {new} How much goes in?"
    ).format(
        sheet=one.oil,
        drained=one.drained,
        drier=one.drier_oil,
        condenser=one.condenser_oil,
        new=_("The new compressor brought {brought:g}.").format(brought=one.brought)
        if one.brought
        else _("The compressor was put back empty."),
    ),
    (
        Way(
            _("the data sheet less what is inside, by the books; the maker's type, from a sealed can"),
            lambda one, state: _poured(state, to_pour(one, state)),
            lambda _one, state: _("Inside now: {total:.1f} fl oz.").format(total=state.oil),
            _("The oil is right, and the record says how."),
            True,
        ),
        Way(
            _("the data sheet's amount on top"),
            lambda one, state: _poured(state, one.oil),
            _("It is all in."),
            lambda one, final: _("{total:.1f} fl oz inside, {sheet:g} on the sheet: oil lay in the evaporator.").format(
                total=final.oil, sheet=one.oil
            ),
        ),
        Way(
            _("none: the oil that is inside will do"),
            lambda _one, state: state,
            _("Nothing poured."),
            lambda one, final: _("{total:.1f} fl oz inside, {sheet:g} on the sheet.").format(
                total=final.oil, sheet=one.oil
            ),
            # Where opening took next to nothing out, next to nothing is missing.
            lambda one, state: to_pour(one, state) < 0.05 * one.oil,
        ),
        Way(
            _("the right amount from the mineral oil on the shelf"),
            lambda one, state: _poured(state, to_pour(one, state), wrong=True),
            _("Oil is oil, it looks the same."),
            lambda one, _final: _("{name} does not carry mineral oil back to the compressor.").format(
                name=one.refrigerant
            ),
        ),
    ),
)


def _nitrogen(one: Job, state: State) -> State:
    return replace(state, fell=state.leaks > 0.0).spend(35.0, 15.0)


TEST = Step(
    _("the pressure test"),
    lambda one, _state: _("All closed. The lowest plate says {plate:g} psig. How do you test?").format(plate=one.plate),
    (
        Way(
            _("dry nitrogen through a regulator, not above that plate, overnight, both temperatures written down"),
            _nitrogen,
            lambda _one, state: (
                _("In the morning more is gone than the cold night explains. It leaks.")
                if state.fell
                else _("The cold night explains the whole fall. As far as this gauge sees, it is tight.")
            ),
            _("The test said what it can say, before the charge was bought."),
            True,
        ),
        Way(
            _("a vacuum, and see whether it holds for ten minutes"),
            lambda _one, state: state.spend(15.0),
            _("The needle stands."),
            _("One air pressure, from outside: a leak that opens under pressure does not show."),
        ),
        Way(
            _("120 psig of shop air"),
            lambda _one, state: replace(state, wet=True, fell=False).spend(15.0),
            _("It holds, by ear."),
            lambda _one, final: _("Air under pressure over oil can explode. It did not this time. {rest}").format(
                rest=_("Its water stayed inside.") if final.wet else _("Its water came out only at the micron gauge.")
            ),
        ),
    ),
)

SECOND_LOOK = Step(
    _("the fall"),
    _("The nitrogen fell. What now?"),
    (
        Way(
            _("soap under nitrogen, repair what bubbles, test again"),
            lambda one, state: replace(state, leaks=0.0, aimed=one.leak, fell=False).spend(
                90.0, PRICES["rings and hose"]
            ),
            _("Bubbles that come again. Repaired; the second night holds."),
            _("The leak was closed before the charge was bought. It cost a second night."),
            True,
        ),
        Way(
            _("go on, the pump will show whether it matters"),
            lambda _one, state: state,
            _("The nitrogen goes out."),
            _("The leak was known and was charged over."),
        ),
    ),
    asked=lambda _one, state: state.fell,
)
