"""Answers and wrong ideas of the capstone, from the rooms that know each step."""

from __future__ import annotations

from collections.abc import Callable

from coldcab import units
from coldcab.assess.items import listed
from coldcab.assess.keys import Key, Tolerance, WrongIdea, absolute, apart, kelvin
from coldcab.assess.reading import SEA_LEVEL
from coldcab.lessons.capstone.lines import LEAVES, NEXT
from coldcab.lessons.capstone.numbers import LETTERS, SIX, RebuildCase
from coldcab.lessons.capstone.texts import CAUSES, LABEL, LEFT, PLAN, PROMISES, SHOWN_AGAIN, UNITS
from coldcab.quantities import PSI
from coldcab.scenario.sick_machines import Noted
from coldcab.service import charging, leak_test

OUNCE = units.from_unit(1.0, "mass", "oz")
FLUID_OUNCE = units.from_unit(1.0, "volume", "fl oz")
Words = Callable[[RebuildCase], str]


def other(value: str | None, *taken: str) -> str | None:
    """The value, or None where it is right or another idea's already."""
    return None if not value or value in taken else value


def only(right: Words, value: Words | str) -> Callable[[RebuildCase], str | None]:
    """An idea that leads to ``value`` wherever that is not right."""
    return lambda case: other(value if isinstance(value, str) else value(case), right(case))


# Before the circuit is opened ------------------------------------------------------------------------------------


def line_that_hurts() -> Key:
    """The one line of the plan that is done as it hurts."""

    def right(case: RebuildCase) -> str:
        (place,) = (place for place, pair in enumerate(PLAN) if case.plan[place] == pair[1])
        return LETTERS[place]

    def instead(letter: str, feedback: str, name: str) -> WrongIdea:
        return WrongIdea(name, only(right, letter), feedback)

    return Key(
        answer=right,
        ideas=(
            instead(
                "D", "That line is right: glasses, gloves, and the gas is out first.", "every fitting is the danger"
            ),
            instead(
                "F", "Nitrogen through a regulator with a relief valve is how it is done.", "nitrogen is the danger"
            ),
            instead(
                "H",
                "Shut is right: an open high-side valve puts the head's pressure on the can.",
                "the can needs the high side",
            ),
        ),
    )


def _shares(case: RebuildCase) -> tuple[str, str]:
    """What the identifier shows first, and what beside it."""
    first, second = case.inside.split(", ")
    return first.rpartition(" ")[0].rpartition(" ")[0], second.rpartition(" ")[0].rpartition(" ")[0]


def _unit(case: RebuildCase, words: str) -> str:
    return SIX[case.recovery_units.index(words)]


OWN_UNITS = dict(zip(("R-12", "R-134a", "R-1234yf"), UNITS, strict=False))
PLAIN_MIXTURES, BURNING_MIXTURES = UNITS[3:5]


def recovery_unit() -> Key:
    """One refrigerant into its own unit; a mixture into that for mixtures; what burns into one made for it."""

    def right(case: RebuildCase) -> str:
        own, beside = _shares(case)
        if beside == "air":
            return _unit(case, OWN_UNITS[own])
        return _unit(case, BURNING_MIXTURES if "hydrocarbons" in beside or own == "R-1234yf" else PLAIN_MIXTURES)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "the plate believed",
                only(right, lambda case: _unit(case, OWN_UNITS[_shares(case)[0]])),
                "The identifier shows a second gas. It would spoil the cylinder and the unit for the next machine.",
            ),
            WrongIdea(
                "a mixture is a mixture",
                lambda case: other(_unit(case, PLAIN_MIXTURES), right(case), _unit(case, OWN_UNITS[_shares(case)[0]])),
                "Look again at what it is. If something in it burns, the unit must be made for that; if it is one "
                "refrigerant with a little air, it is no mixture.",
            ),
            WrongIdea(
                "the strongest unit for everything",
                only(right, lambda case: _unit(case, BURNING_MIXTURES)),
                "Safe from fire, but it turns one good refrigerant, or a mixture that does not burn, into waste that "
                "burns.",
            ),
        ),
    )


LITTLE_AIR, DROP, RISE, PUMPS_BADLY, STARVED, HEAD = 8.0, 6.0, 4.0, 6.0, 5.0, 5.0
"""F and psi from which a difference to the healthy machine says something; instruments show whole ones."""


def diagnosed(noted: Noted, like: Noted) -> str:
    """The fault that readings fit, beside the healthy machine of the day; "" for none."""
    now, healthy = dict(noted), dict(like)

    def more(name: str, less: str = "") -> float:
        def one(readings: dict[str, float | str]) -> float:
            return float(readings[name]) - (float(readings[less]) if less else 0.0)

        return one(now) - one(healthy)

    if more("standing_pressure") >= RISE:
        return "air in the circuit"
    if more("drier_in", "drier_out") >= DROP:
        return "drier restricted"
    if now["glass"] != "clear":
        return "charge low"
    if more("condenser_air_out", "condenser_air_in") >= LITTLE_AIR:
        return "condenser blocked"
    if more("low_gauge") >= PUMPS_BADLY and more("high_gauge") < 0.0:
        return "worn compressor"
    if more("low_gauge") <= -STARVED:
        return "valve screen plugged"
    return "charge high" if more("high_gauge") >= HEAD else ""


def cause() -> Key:
    """Which fault the readings as found fit."""

    def right(case: RebuildCase) -> str:
        return diagnosed(case.as_found, case.healthy_before)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "not cold means low charge",
                only(right, CAUSES[0]),
                "Low on charge shows bubbles with no drop across the drier. Look at glass, drier and night's rest.",
            ),
            WrongIdea(
                "a new compressor for everything",
                only(right, CAUSES[1]),
                "A weak compressor lets the low side rise and the head fall: both come together. Here they do not.",
            ),
            WrongIdea(
                "high head means air",
                only(right, CAUSES[5]),
                "Air shows at rest: the pressure after a night lies above the healthy one's. Here it does not.",
            ),
        ),
    )


def leak_for_the_quote() -> Key:
    """The one place that is proved."""

    def place(case: RebuildCase, told: Callable[[str], bool]) -> str:
        return next((SIX[number] for number, note in enumerate(case.notes) if told(note)), "")

    def right(case: RebuildCase) -> str:
        return place(case, lambda note: note.partition(": ")[2] in SHOWN_AGAIN)

    def rumor(*words: str) -> Callable[[RebuildCase], str | None]:
        return lambda case: other(place(case, lambda note: any(word in note for word in words)), right(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "oil is the leak",
                rumor("oil film"),
                "Oil runs and is blown about. It says where to look, not where it leaks.",
            ),
            WrongIdea(
                "one alarm is enough",
                rumor("alarm once"),
                "One alarm in the bay's own air may be the bay's air. Air it and go over the place three times.",
            ),
            WrongIdea(
                "the smell or the owner knows",
                rumor("strong smell", "owner says"),
                "Hearsay and a smell are no test. Which place showed the same thing again and again?",
            ),
        ),
    )


# With the circuit open -------------------------------------------------------------------------------------------

GOES = {
    "parallel-flow, metal at its inlet",
    "a tube rubbed through",
    "a tube leaks, oil in the drain water",
    "its crimp wet, bubbles under nitrogen",
    "a muffler in it, gray oil with metal",
    "rubber cracked down to the braid",
    "two years old, in the opened circuit",
    "new, its caps off since the morning",
    "bulb valve, its thin tube broken",
    "metal flakes inside",  # a block valve cannot be cleaned
    "old, taken out for the flush",  # cores: their seals swell in solvent
    "old, one sticks",
}
FLUSHED = {
    "long tubes, metal at its inlet",
    "long tubes, no metal, mineral oil in it",
    "parallel-flow, no metal, mineral oil in it",
    "tube and fin, metal flakes at its inlet",
    "tube and fin, no metal, mineral oil in it",
    "sound barrier hose, gray oil in it",
    "sound barrier hose, metal dust in it",
    "one open metal pipe, gray oil in it",
    "one open metal pipe, metal dust in it",
}


def lettered(case: RebuildCase, chosen: Callable[[str], bool], texts: str = "parts") -> str:
    """Letters of the texts that are chosen by what stands after their name."""
    return listed(
        (
            letter
            for letter, words in zip(LETTERS, getattr(case, texts), strict=True)
            if chosen(words.partition(": ")[2] if texts == "parts" else words)
        ),
        LETTERS,
    )


def parts_that_go() -> Key:
    """What is broken, cannot be cleaned, or has taken up the shop's air."""

    def right(case: RebuildCase) -> str:
        return lettered(case, lambda state: state in GOES)

    def with_flushed(case: RebuildCase) -> str:
        return lettered(case, lambda state: state in GOES | FLUSHED)

    def without(*words: str) -> Words:
        return lambda case: lettered(case, lambda state: state in GOES and not any(word in state for word in words))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "everything dirty goes",
                only(right, with_flushed),
                "Sound parts with one open path are flushed and stay. Replace what is broken or cannot be cleaned.",
                credit=0.25,
            ),
            WrongIdea(
                "a parallel-flow condenser can be flushed",
                lambda case: other(without("parallel-flow")(case), right(case), with_flushed(case)),
                "With many paths side by side the solvent takes the open ones and leaves the metal in the others.",
                credit=0.5,
            ),
            WrongIdea(
                "a drier may stay",
                lambda case: other(
                    without("two years old", "caps off")(case), right(case), without("parallel-flow")(case)
                ),
                "A drier that stood open, or worked in a circuit that was opened, is full of water and dust.",
                credit=0.5,
            ),
        ),
    )


def parts_to_flush() -> Key:
    """Open paths, sound, with metal or the wrong oil in them."""

    def right(case: RebuildCase) -> str:
        return lettered(case, lambda state: state in FLUSHED)

    def more(*words: str) -> Words:
        return lambda case: lettered(case, lambda state: state in FLUSHED or any(word in state for word in words))

    def metal(case: RebuildCase) -> str:
        return lettered(case, lambda state: state in FLUSHED and "metal" in state and "no metal" not in state)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "a parallel-flow condenser can be flushed",
                only(right, more("parallel-flow, metal")),
                "With many paths side by side the solvent takes the open ones and leaves the metal in the others.",
                credit=0.5,
            ),
            WrongIdea(
                "the valve is flushed along",
                lambda case: other(
                    more("flakes inside", "screen dusty")(case), right(case), more("parallel-flow, metal")(case)
                ),
                "A valve is never flushed: its seat and its screen catch what comes. It is taken out, looked at, "
                "cleaned by hand or replaced.",
                credit=0.5,
            ),
            WrongIdea(
                "only metal is flushed out",
                lambda case: other(
                    metal(case),
                    right(case),
                    more("parallel-flow, metal")(case),
                    more("flakes inside", "screen dusty")(case),
                ),
                "Old oil must come out as well where another refrigerant goes in, and gray oil carries metal.",
                credit=0.25,
            ),
        ),
    )


def oil_to_add() -> Key:
    """The data sheet, less what stayed, less what the new compressor brought: conservation of oil."""

    def left(case: RebuildCase) -> float:
        return case.drained + case.drier_oil + case.condenser_oil + case.flushed

    def right(case: RebuildCase) -> float:
        return (left(case) - case.brought) * FLUID_OUNCE

    width = 0.16 * FLUID_OUNCE

    def clear(value: Callable[[RebuildCase], float]) -> Callable[[RebuildCase], float | None]:
        return lambda case: apart(value(case) * FLUID_OUNCE, right(case), width=width)

    return Key(
        answer=right,
        tolerance=Tolerance("measuring cups are read to a tenth of a fluid ounce, five times", absolute=width),
        ideas=(
            WrongIdea(
                "shipping oil ignored",
                clear(left),
                "You left out what the new compressor brought. It is inside already; take it off.",
                credit=0.5,
            ),
            WrongIdea(
                "full system charge",
                clear(lambda case: case.sheet_oil),
                "That is the whole data sheet. Some stayed on the walls, and the new compressor brought some.",
            ),
            WrongIdea(
                "flushed oil forgotten",
                clear(lambda case: left(case) - case.flushed - case.brought),
                "You left out what went with the flush. It is gone as well, and new oil takes its place.",
                credit=0.5,
            ),
        ),
    )


# Closed again ------------------------------------------------------------------------------------------------------


def test_pressure() -> Key:
    """The lowest plate; the manual never lifts it."""

    def gauge(psig: float) -> float:
        return absolute(psig, SEA_LEVEL)

    return Key(
        answer=lambda case: gauge(min(case.plates_psig)),
        tolerance=Tolerance("a plate is read exactly", absolute=1.0 * PSI),
        ideas=(
            WrongIdea(
                "the manual above the plate",
                lambda case: gauge(case.manual_psig),
                "One plate of this circuit stands below that. Whatever the book says, the weakest part decides.",
            ),
            WrongIdea(
                "the strongest part decides",
                lambda case: gauge(max(case.plates_psig)),
                "That is the strongest part. The weakest one bursts long before.",
            ),
        ),
    )


WATER_AT_70F = 18_800.0  # micron at which water boils at 70 F: 0.739 inHg, steam tables
NIGHT_CAN_BE_OFF = 2.0  # psi: gauge read to half a psi twice, circuit's temperature to 1 F


def unexplained(case: RebuildCase) -> float | None:
    """psi that fell and that the temperature does not explain; None where it was not written down."""
    if case.morning_fahrenheit is None:
        return None
    evening, morning = kelvin(case.evening_fahrenheit), kelvin(case.morning_fahrenheit)
    expected = float(leak_test.corrected_pressure(absolute(case.evening_psig, SEA_LEVEL), evening, morning))
    return (expected - absolute(case.morning_psig, SEA_LEVEL)) / PSI


def next_step(case: RebuildCase) -> str:
    """What night and pump ask for: the night first, then the micron readings."""
    lost = unexplained(case)
    if lost is None:
        return NEXT[4]
    if lost > NIGHT_CAN_BE_OFF:
        return NEXT[1]
    if not case.microns:
        return NEXT[5]
    if case.microns[-1] > 0.8 * WATER_AT_70F:
        return NEXT[2]
    first, last = (case.microns[place + 1] - case.microns[place] for place in (0, -2))
    return NEXT[3] if last > 0.5 * first and last > 100.0 else NEXT[0]


def after_the_pump() -> Key:
    """The next step after hold test and rise test."""
    return Key(
        answer=next_step,
        ideas=(
            WrongIdea(
                "a clock dries a circuit",
                only(next_step, NEXT[0]),
                "Night or pump left a question open. Charge only when the cold explains the fall, both temperatures "
                "stand there, and the micron gauge stands still.",
            ),
            WrongIdea(
                "every fall is a leak of the machine",
                only(next_step, NEXT[1]),
                "Work out what the cold night takes away. The rest is within what a gauge can be off by, or cannot be "
                "worked out.",
            ),
            WrongIdea(
                "every rise is water",
                only(next_step, NEXT[2]),
                "Water stops at its own pressure, about 18,800 micron at 70 F. This does not.",
            ),
        ),
    )


def scale_at_the_stop() -> Key:
    """Cylinder less the starting charge less what stays in the hose."""

    def start(case: RebuildCase) -> float:
        if not case.converts:
            return case.sheet_ounces
        return float(charging.starting_charge(case.sheet_ounces * OUNCE).start) / OUNCE

    def shows(case: RebuildCase, charge: float, *, hose: bool = True) -> float:
        return (case.scale_ounces - charge - (case.hose_ounces if hose else 0.0)) * OUNCE

    def right(case: RebuildCase) -> float:
        return shows(case, start(case))

    return Key(
        answer=right,
        tolerance=Tolerance("a scale shows half an ounce", absolute=0.4 * OUNCE),
        ideas=(
            WrongIdea(
                "same charge as before",
                lambda case: shows(case, case.sheet_ounces) if case.converts else None,
                "That is the old refrigerant's weight. R-134a starts at 80 % of it.",
            ),
            WrongIdea(
                "80 % of everything",
                lambda case: None if case.converts else shows(case, charging.SHARES[0] * case.sheet_ounces),
                "80 % is for a conversion. A machine that keeps its refrigerant gets the weight of its sheet.",
            ),
            WrongIdea(
                "the hose forgotten",
                lambda case: shows(case, start(case), hose=False),
                "What stays in the hose has left the cylinder as well.",
                credit=0.5,
            ),
        ),
    )


def as_left() -> Key:
    """What to do with the machine as it was left."""
    actions = dict(zip(LEFT, (LEAVES[0], LEAVES[1], LEAVES[2], LEAVES[3], LEAVES[4], LEAVES[5]), strict=True))

    def right(case: RebuildCase) -> str:
        return actions[diagnosed(case.as_left, case.healthy_after)]

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "it cools, so it is right",
                only(right, LEAVES[0]),
                "It is not as the healthy machine of this day. Compare rest, gauges, glass and the condenser's air.",
            ),
            WrongIdea(
                "when not sure, more refrigerant",
                only(right, LEAVES[1]),
                "The glass is clear, so liquid stands before the valve. More refrigerant repairs nothing here.",
            ),
            WrongIdea(
                "every high head is too much",
                only(right, LEAVES[2]),
                "Too much shows as a high head with liquid colder than on the healthy machine and the same pressure "
                "at rest. Not all of that is here.",
            ),
        ),
    )


# On paper ------------------------------------------------------------------------------------------------------------


def label_lines_to_redo() -> Key:
    """Lines from which a stranger could not service the machine (for a conversion 40 CFR 82 Subpart G App. C/D 2a)."""
    bad = {pair.wrong for pair in LABEL.values()} | {pair.burning[1] for pair in LABEL.values() if pair.burning[1]}

    def chosen(case: RebuildCase, *fields: str) -> str:
        words = {text for name in fields for text in (LABEL[name].wrong, LABEL[name].burning[1])}
        return lettered(case, lambda line: line in words, "label")

    def right(case: RebuildCase) -> str:
        return lettered(case, lambda line: line in bad, "label")

    fields = tuple(LABEL)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "names and dates do not matter",
                lambda case: other(
                    chosen(case, *(one for one in fields if one not in ("who", "company", "date"))), right(case)
                ),
                "Who did it, where and when belongs there too: the next shop wants to ask.",
                credit=0.5,
            ),
            WrongIdea(
                "oil goes without saying",
                lambda case: other(
                    chosen(case, *(one for one in fields if one not in ("oil", "oil amount"))),
                    right(case),
                    chosen(case, *(one for one in fields if one not in ("who", "company", "date"))),
                ),
                "Type and amount of the oil belong there: the next shop must not mix or guess.",
                credit=0.5,
            ),
        ),
    )


def sentence_to_strike() -> Key:
    """The sentence that nobody can stand by."""

    def right(case: RebuildCase) -> str:
        (place,) = (place for place, words in enumerate(case.owner) if words in PROMISES)
        return SIX[place]

    def said(*words: str) -> Callable[[RebuildCase], str | None]:
        def found(case: RebuildCase) -> str | None:
            places = (SIX[place] for place, one in enumerate(case.owner) if any(word in one for word in words))
            return other(next(places, None), right(case))

        return found

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "never admit a limit",
                said("very small leak", "as far as a gauge"),
                "That is honest: every test has a smallest leak that it finds. The owner should know.",
            ),
            WrongIdea(
                "never mention what leaked",
                said("had leaked before"),
                "That is true, and it tells him what an empty machine costs the air.",
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "line that hurts": line_that_hurts(),
    "recovery unit": recovery_unit(),
    "cause": cause(),
    "leak for the quote": leak_for_the_quote(),
    "parts that go": parts_that_go(),
    "parts to flush": parts_to_flush(),
    "oil to add": oil_to_add(),
    "after the pump": after_the_pump(),
    "as left": as_left(),
    "label lines to redo": label_lines_to_redo(),
    "sentence to strike": sentence_to_strike(),
}

KEYS = PRACTICE | {
    "scale at the stop": scale_at_the_stop(),
    "test pressure": test_pressure(),
}
