"""Answers and wrong ideas about the signs of faults, from the simulated machine of each case."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from coldcab.assess.keys import Key, Tolerance, WrongIdea
from coldcab.faults import observables
from coldcab.lessons.faults_2.notes import CONCLUSIONS, REASONS, STEPS
from coldcab.lessons.faults_2.numbers import (
    GAUGES,
    GAUGES_AGAIN,
    HEAD_CULPRITS,
    LETTERS,
    LOUDEST,
    LOW_SIDE_CULPRITS,
    NOT_COLD,
    SignatureCase,
)
from coldcab.quantities import PSI
from coldcab.scenario import sick_machines
from coldcab.scenario.sick_machines import Noted, note

BENCH_AT_START = (95.0, 1500.0)
"""Ambient (F) and engine speed (rpm) at which the bench stands before anybody sets the day."""
KELVIN = 1.8  # F


def letters(fits: Iterable[bool]) -> str:
    """Return the letters of what fits, as a list is written."""
    return ", ".join(letter for letter, fit in zip(LETTERS, fits, strict=False) if fit)


def other(found: str, *taken: str | None) -> str | None:
    """Return a list of letters, or None where nothing is in it or it is one of the others."""
    return found if found and found not in taken else None


def resolved(name: str) -> float:
    """Return what a shop instrument can be off by, in psi or F."""
    return (
        observables[name].scatter / PSI
        if name in (*GAUGES, "standing_pressure")
        else observables[name].scatter * KELVIN
    )


def apart(one: Noted, two: Noted) -> float:
    """Return by how much two sets of the same readings differ, the largest, in what the instruments can be off by."""
    return max(
        (0.0 if first == second else 9.0) if isinstance(first, str) else abs(first - second) / resolved(name)
        for (name, first), (_name, second) in zip(one, two, strict=True)
    )


def fault_of(case: SignatureCase, noted: Noted, suspects: Iterable[str]) -> str:
    """Return the suspect whose readings lie nearest to those noted."""
    names = [name for name, _reading in noted]
    own = [fault for fault in suspects if fault in ("", *case.place.own_faults)]
    return min(own, key=lambda fault: apart(note(case.place.run(fault), *names), noted))


# Signs -----------------------------------------------------------------------------------------------------------


def signs_of(fault: str, beside: str, idea: str, feedback: str) -> Key:
    """Key of the signs of a fault (``fault`` is an attribute of the case); ``beside`` is what it is taken for."""

    def of(case: SignatureCase, name: str) -> str:
        return letters(case.place.way(name, quantity) == way for quantity, way in case.signs)

    def right(case: SignatureCase) -> str:
        return of(case, getattr(case, fault))

    def taken_for(case: SignatureCase) -> str | None:
        return other(of(case, beside), right(case))

    def gauges(case: SignatureCase) -> str | None:
        found = letters(
            quantity in GAUGES and case.place.way(getattr(case, fault), quantity) == way for quantity, way in case.signs
        )
        return other(found, right(case), taken_for(case))

    def mirrored(case: SignatureCase) -> str | None:
        found = letters(case.place.way(getattr(case, fault), quantity) == -way for quantity, way in case.signs)
        return other(found, right(case), taken_for(case), gauges(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(idea, taken_for, feedback),
            WrongIdea(
                "only the gauges looked at",
                gauges,
                "What you say of the gauges is right. The thermometers, the air and the glass have signs as well.",
                credit=0.3,
            ),
            WrongIdea(
                "the other way round",
                mirrored,
                "These readings do move, but the other way. Ask the four questions and set the fault on the bench.",
            ),
        ),
    )


# How bad ---------------------------------------------------------------------------------------------------------


def drier_step(noted: Noted) -> float:
    """F by which the line out of the drier is colder than the line into it."""
    readings = dict(noted)
    return readings["drier_in"] - readings["drier_out"]


def worst_drier() -> Key:
    """Which of six machines has the worst restriction: the largest step over the drier."""

    def least(case: SignatureCase, value: Callable[[Noted], float]) -> str:
        return min(zip(LETTERS, case.driers, strict=False), key=lambda pair: value(pair[1]))[0]

    def worst(case: SignatureCase) -> str:
        return least(case, lambda noted: -drier_step(noted))

    def loudest(case: SignatureCase) -> str:
        return LETTERS[case.complaints.index(LOUDEST)]

    def coldest(case: SignatureCase) -> str | None:
        return other(least(case, lambda noted: dict(noted)["drier_out"]), worst(case), loudest(case))

    def lowest(case: SignatureCase) -> str | None:
        found = least(case, lambda noted: dict(noted)["low_gauge"])
        return other(found, worst(case), loudest(case), coldest(case))

    return Key(
        answer=worst,
        ideas=(
            WrongIdea(
                "the loudest complaint",
                loudest,
                "You went by the owner's words. They say how angry he is; the thermometers say how bad the drier is.",
            ),
            WrongIdea(
                "the coldest outlet",
                coldest,
                "That outlet is the coldest, but its day was cooler too. Take the line out from the line in.",
            ),
            WrongIdea(
                "the lowest low side",
                lowest,
                "The day moves the low side as well. The step over the drier belongs to the drier alone.",
            ),
        ),
    )


def above_healthy() -> Key:
    """How far the high side of the blocked machine stands above the healthy one of the same day."""

    def start(case: SignatureCase) -> float:
        number = case.place.unit.number
        return sick_machines.run(number, *BENCH_AT_START, refrigerant=case.place.refrigerant).high_gauge

    return Key(
        answer=lambda case: case.blocked_psig * PSI - case.place.run().high_gauge,
        tolerance=Tolerance("both gauges are read to half a division of 5 psi", absolute=3.0 * PSI),
        ideas=(
            WrongIdea(
                "another day's healthy machine",
                lambda case: case.blocked_psig * PSI - start(case),
                "You compared with the healthy machine of another day or speed. Set this sheet's day on the bench.",
                credit=0.5,
            ),
            WrongIdea(
                "the whole reading",
                lambda case: case.blocked_psig * PSI,
                "That is the gauge itself. Take the healthy machine's high side away from it.",
            ),
        ),
    )


# Circuit or cab --------------------------------------------------------------------------------------------------

HEATER, LITTLE_AIR, STARVED, FLOODED, WEAK, HOT, NOTHING_WRONG = REASONS
REASON_OF = {
    "": NOTHING_WRONG,
    "heater valve leaking": HEATER,
    "low evaporator air": LITTLE_AIR,
    "drier restricted": STARVED,
    "valve screen plugged": STARVED,
    "liquid line kinked": STARVED,
    "valve stuck open": FLOODED,
    "worn compressor": WEAK,
    "clutch or belt slipping": WEAK,
    "condenser blocked": HOT,
    "condenser fan slow": HOT,
}
IN_THE_CAB = (HEATER, LITTLE_AIR, NOTHING_WRONG)


def circuit_or_cab(name: str) -> Key:
    """The reason of a complaint; ``name`` is the attribute of the case that holds its readings."""

    def reason(case: SignatureCase) -> str:
        return REASON_OF[fault_of(case, getattr(case, name), NOT_COLD)]

    def letter(case: SignatureCase, one: str) -> str:
        return LETTERS[case.reasons.index(one)]

    return Key(
        answer=lambda case: letter(case, reason(case)),
        ideas=(
            WrongIdea(
                "not cold, so the circuit is short",
                lambda case: letter(case, STARVED) if reason(case) in IN_THE_CAB else None,
                "Nothing here says that the evaporator is short of liquid: its line is as cold as on the healthy "
                "machine. Look at the air.",
            ),
            WrongIdea(
                "a warm vent is the heater",
                lambda case: letter(case, HEATER) if reason(case) in (STARVED, FLOODED, WEAK, HOT) else None,
                "The heater leaves every gauge alone. These gauges are not where they should be.",
            ),
            WrongIdea(
                "another day's healthy machine",
                lambda case: letter(case, NOTHING_WRONG) if reason(case) != NOTHING_WRONG else None,
                "Set the sheet's day on the bench and put the healthy machine beside it. Something did move.",
            ),
            WrongIdea(
                "the needle names the part",
                lambda case: (
                    letter(case, {STARVED: WEAK, WEAK: HOT, HOT: FLOODED, FLOODED: HOT}[reason(case)])
                    if reason(case) not in IN_THE_CAB
                    else None
                ),
                "Take both needles and the suction line together: which of the four questions do all three answer?",
            ),
        ),
    )


# Suspects --------------------------------------------------------------------------------------------------------

HELD_UP = (
    *("drier restricted", "liquid line kinked", "valve screen plugged", "suction hose collapsed"),
    "evaporator blocked inside",
)
"""Something narrow on the refrigerant's way."""


def low_side_suspect() -> Key:
    """Which of eight faults with little cooling: along the way of the liquid."""

    def found(case: SignatureCase) -> str:
        return fault_of(case, case.machine_f, LOW_SIDE_CULPRITS)

    return Key(
        answer=found,
        ideas=(
            WrongIdea(
                "low low side means low charge",
                lambda case: "charge low" if found(case) != "charge low" else None,
                "A low low side says that something is short at the evaporator, not what. Glass, lines and vent tell.",
            ),
            WrongIdea(
                "a restriction in the wrong place",
                lambda case: tuple(one for one in HELD_UP if one != found(case)) if found(case) in HELD_UP else None,
                "It is a restriction, but look where the step in temperature is. What flashes behind it gets cold.",
            ),
            WrongIdea(
                "a restriction where liquid is missing",
                lambda case: HELD_UP if found(case) == "charge low" else None,
                "No line gets colder on its way and the glass is not clear: liquid is missing from the start.",
            ),
            WrongIdea(
                "a restriction where liquid is enough",
                lambda case: HELD_UP if found(case) in ("low evaporator air", "evaporator oil-logged") else None,
                "A restriction starves the coil and superheat goes up. Here it does not: look at the coil and its air.",
            ),
        ),
    )


def head_suspect() -> Key:
    """Which of six faults with a high head: by lines, condenser air and the night's rest."""

    def found(case: SignatureCase) -> str:
        return fault_of(case, case.machine_g, HEAD_CULPRITS)

    def blame(*names: str) -> Callable[[SignatureCase], tuple[str, ...]]:
        return lambda case: tuple(name for name in names if name != found(case))

    return Key(
        answer=found,
        ideas=(
            WrongIdea(
                "high head always overcharge",
                blame("charge high"),
                "Too much refrigerant makes a liquid line far below saturation behind a clear glass, and nothing else. "
                "Compare all the readings before you take any out.",
            ),
            WrongIdea(
                "high head always a dirty condenser",
                blame("condenser blocked"),
                "A blocked condenser gets little air, so the air behind it is much hotter than on the healthy machine.",
            ),
            WrongIdea(
                "air blamed without a night's rest",
                blame("air in the circuit"),
                "Air shows after a night's rest: the gauge then stands above the table's pressure for the day.",
            ),
            WrongIdea(
                "recirculation blamed",
                blame("hot air recirculated"),
                "Recirculated air is hot at the condenser's face already. Compare the face with the day's temperature.",
            ),
            WrongIdea(
                "blocked without a cold side",
                blame("discharge hose restricted", "drier inlet blocked"),
                "A blocked drier inlet makes the line into the drier cool and the glass cloudy. A narrow discharge "
                "hose leaves the liquid line as warm as on the healthy machine.",
            ),
        ),
    )


STARVING = ("charge low",)


def suspects_left() -> Key:
    """The suspects of machine H that make all the signs that were read."""

    def fits(case: SignatureCase, count: int | None = None) -> str:
        return letters(
            all(case.place.way(one, name) == way for name, way in case.left_signs[:count]) for one in case.suspects
        )

    def right(case: SignatureCase) -> str:
        return fits(case)

    def usual(case: SignatureCase) -> str | None:
        first = next(letter for letter in LETTERS if letter in right(case))
        return other(first, right(case))

    def by_gauges(case: SignatureCase) -> str | None:
        return other(fits(case, 2), right(case), usual(case))

    def short(case: SignatureCase) -> str | None:
        found = letters(one in STARVING for one in case.suspects)
        return other(found, right(case), usual(case), by_gauges(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "stopping at the first that fits",
                usual,
                "It fits, but others fit as well. Until a further reading strikes them out, they stay on the list.",
                credit=0.2,
            ),
            WrongIdea(
                "only the gauges looked at",
                by_gauges,
                "By the two gauges, yes. The other signs strike some of these out.",
                credit=0.3,
            ),
            WrongIdea(
                "without a glass it is the charge",
                short,
                "A glass that cannot be read proves nothing. Go through the signs. To know the charge, recover it and "
                "weigh it.",
            ),
        ),
    )


def reading_that_separates() -> Key:
    """The one of six readings that the two suspects of machine K move in different ways."""

    def tells(case: SignatureCase, offer: str) -> bool:
        if offer == GAUGES_AGAIN:
            return False
        first, second = (case.place.way(fault, offer) for fault in case.pair)
        return first != second

    def of(case: SignatureCase, fits: Callable[[str], bool]) -> tuple[str, ...]:
        return tuple(letter for letter, offer in zip(LETTERS, case.offers, strict=False) if fits(offer))

    return Key(
        answer=lambda case: of(case, lambda offer: tells(case, offer))[0],
        ideas=(
            WrongIdea(
                "the gauges once more",
                lambda case: of(case, lambda offer: offer == GAUGES_AGAIN),
                "Both suspects push the needles the same way. Reading them again tells nothing new.",
            ),
            WrongIdea(
                "a reading that both suspects share",
                lambda case: of(case, lambda offer: offer != GAUGES_AGAIN and not tells(case, offer)),
                "Both suspects do the same there. Ask of each suspect what it must do to this reading, before you take "
                "it.",
            ),
        ),
    )


# What may be said, and what must stop -----------------------------------------------------------------------------

HOLD = frozenset(CONCLUSIONS[:9])
TOO_SHORT = frozenset(CONCLUSIONS[place] for place in (9, 10, 11, 15))
HEARSAY = frozenset(CONCLUSIONS[place] for place in (12, 13, 14))
HANDS = frozenset(STEPS[:4])
RUNS_AWAY = frozenset(STEPS[4:8])


def among(texts: Iterable[str], *groups: frozenset[str]) -> str:
    """Return the letters of the texts that are in one of the groups."""
    return letters(any(text in group for group in groups) for text in texts)


def sentences_that_hold() -> Key:
    """Sentences whose readings say so."""

    def right(case: SignatureCase) -> str:
        return among(case.conclusions, HOLD)

    def short(case: SignatureCase) -> str | None:
        return other(among(case.conclusions, HOLD, TOO_SHORT), right(case))

    def hearsay(case: SignatureCase) -> str | None:
        return other(among(case.conclusions, HOLD, HEARSAY), right(case), short(case))

    def everything(case: SignatureCase) -> str | None:
        return other(", ".join(LETTERS[:8]), right(case), short(case), hearsay(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "one reading names the fault",
                short,
                "One needle, one clear glass, one superheat fit several faults. Such a sentence says more than was "
                "read.",
            ),
            WrongIdea(
                "words and other days believed",
                hearsay,
                "An owner's guess, another day's gauge, or less than the gauge can be off by: none of them is a sign.",
                credit=0.3,
            ),
            WrongIdea(
                "everything holds",
                everything,
                "Not all of them. Ask of each: which other fault would make the same readings?",
            ),
        ),
    )


def engine_off_first() -> Key:
    """Jobs and findings that stop the engine."""

    def right(case: SignatureCase) -> str:
        return among(case.steps, HANDS, RUNS_AWAY)

    def hands(case: SignatureCase) -> str | None:
        return other(among(case.steps, HANDS), right(case))

    def runs_away(case: SignatureCase) -> str | None:
        return other(among(case.steps, RUNS_AWAY), right(case))

    def everything(case: SignatureCase) -> str | None:
        return other(", ".join(LETTERS[:6]), right(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "only hands in danger count",
                hands,
                "A head that climbs, gas that blows out and liquid that comes back stop the engine as well, at once.",
            ),
            WrongIdea(
                "only when something goes wrong",
                runs_away,
                "Hands go near belt, fan and hot line with the engine off and the key out, on a good day too.",
            ),
            WrongIdea(
                "every reading with the engine off",
                everything,
                "Gauges, vent, clutch and hub are read on a running machine. Stand clear of belt and fan and read.",
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "signs of fault 1": signs_of(
        "fault_1",
        "charge low",
        "taken for a low charge",
        "These are the signs of a lost charge. This fault leaves other marks: go along the liquid, from glass to hose.",
    ),
    "signs of fault 2": signs_of(
        "fault_2",
        "condenser blocked",
        "taken for a dirty condenser",
        "These are the signs of a blocked condenser. This fault does something else to the condenser's air.",
    ),
    "worst drier": worst_drier(),
    "complaint D": circuit_or_cab("complaint_d"),
    "complaint E": circuit_or_cab("complaint_e"),
    "low side suspect": low_side_suspect(),
    "high side suspect": head_suspect(),
    "suspects left": suspects_left(),
    "reading that separates": reading_that_separates(),
    "sentences that hold": sentences_that_hold(),
    "engine off first": engine_off_first(),
}

KEYS = PRACTICE | {
    "high side above healthy": above_healthy(),
}
