"""The running job from the complaint to the recovery: complaint, leak, quote.

What a way leads to is common practice, no source, where no formula stands; minutes and prices are invented.
"""

from __future__ import annotations

from dataclasses import replace

from coldcab.scenario.running_job.facts import ALL_NEW, OPEN_QUOTE, PRICES, ROUND_PRICE, ROUND_QUOTE, Job, State, worth
from coldcab.scenario.running_job.way import Step, Way
from coldcab.words import _


def _identify(one: Job, state: State) -> State:
    return replace(state, identified=True).spend(15.0)


def _top_up(one: Job, state: State) -> State:
    return replace(state, mixed=one.found_on != "R-134a", left=min(state.left + 0.2, 0.9)).spend(20.0, 25.0)


def _unknown(one: Job, final: State) -> str:
    if final.identified:
        return ""
    return _(
        "Nobody knew what was inside. The gas went to the reclaimer as unknown: {price:g} dollars for the shop."
    ).format(price=PRICES["an unknown cylinder"])


CONNECT = Step(
    _("complaint"),
    _("The cab does not get cold. What do you do first?"),
    (
        Way(
            _("identify the refrigerant, then connect gauges and note the readings with the day"),
            _identify,
            lambda one, _state: _("The identifier says {name}, 99 %.").format(name=one.found_on),
            _("The right cylinder and the right table from the first minute."),
            True,
        ),
        Way(
            _("connect the gauges at once, the fitting tells what is inside"),
            lambda _one, state: state.spend(10.0),
            _("The gauges read. What gas they read, the fitting does not say."),
            _unknown,
        ),
        Way(
            _("put a can of R-134a on top and see whether it cools"),
            _top_up,
            _("It cools a little. Whatever leaked goes on leaking."),
            lambda one, _final: (
                _("R-134a on top of {name} made a mixture that no shop can separate, and the law forbids it.").format(
                    name=one.found_on
                )
                if one.found_on != "R-134a"
                else _("The can is on the bill, it leaked out with the rest, and the first readings are gone.")
            ),
        ),
    ),
)


def _hunted(one: Job, state: State) -> State:
    return replace(state, aimed=one.leak).spend(35.0)


def _not_looked_for(one: Job, final: State) -> str:
    if final.leaks == 0.0:
        return _("The pressure test had to find the leak, after all was closed.")
    return _("It still loses {grams:g} g a year at the {place}.").format(grams=final.leaks, place=one.leak)


LEAK = Step(
    _("the leak"),
    _("It is short of refrigerant. How do you look for the leak?"),
    (
        Way(
            _("air the bay, detector round twice, soap on what it shows"),
            _hunted,
            lambda one, _state: _("Bubbles that come again: {place}.").format(place=one.leak),
            _("The leak was known before the quote was written."),
            True,
        ),
        Way(
            _("look for oil and take the oily place for the leak"),
            lambda one, state: replace(state, aimed=one.oily).spend(10.0),
            lambda one, _state: _("Oily: {place}.").format(place=one.oily),
            lambda one, final: _("The oil at the {oily} came from elsewhere. {rest}").format(
                oily=one.oily, rest=_not_looked_for(one, final)
            ),
        ),
        Way(
            _("dye in, back to work, search again in two weeks"),
            lambda one, state: replace(state, aimed=one.leak, left=max(state.left - 0.1, 0.1)).spend(45.0, 20.0),
            lambda one, _state: _("After two weeks it glows at the {place}. More gas is gone.").format(place=one.leak),
            _("The leak was found, two warm weeks and a tenth of the charge later."),
        ),
        Way(
            _("not at all: it is old, it lost a little"),
            lambda _one, state: state,
            _("Nothing was looked for, nothing was found."),
            _not_looked_for,
        ),
    ),
)

QUOTE = Step(
    _("the quote"),
    _("The owner asks what it will cost. What do you give him?"),
    (
        Way(
            _("what is known, each item; what opening may show has its own price; ask before going on"),
            lambda _one, state: replace(state, quote=OPEN_QUOTE).spend(15.0),
            _("The owner signs, and leaves a telephone number."),
            _("What opening showed was asked and paid."),
            True,
        ),
        Way(
            _("one round price, {price:g} dollars, whatever comes").format(price=ROUND_PRICE),
            lambda _one, state: replace(state, quote=ROUND_QUOTE).spend(5.0),
            _("The owner signs at once."),
            lambda _one, final: _("The work was worth {worth:,.0f} dollars. The owner paid {price:,.0f}.").format(
                worth=worth(final), price=ROUND_PRICE
            ),
        ),
        Way(
            _("everything new: compressor, condenser, evaporator, hoses"),
            lambda _one, state: replace(state, quote=ALL_NEW).spend(240.0, 1900.0),
            _("The owner signs with a long face."),
            _("He paid for sound parts. New parts on an unfound leak leak as well."),
        ),
    ),
)
