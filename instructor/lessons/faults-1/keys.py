"""Answers and wrong ideas about the clutch: coil, drops under load, the next two points, switches, what to refuse."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations, pairwise

from coldcab import units
from coldcab.assess.items import listed
from coldcab.assess.keys import Key, Tolerance, WrongIdea, absolute, apart, kelvin
from coldcab.lessons.faults_1.jobs import NOTES, PAIRS, PROPOSALS
from coldcab.lessons.faults_1.lines import (
    BAD_FAN,
    BAD_SWITCH,
    BAD_THERMOSTAT,
    COMPRESSOR_TOO,
    FIND_CAUSE,
    FINS_WORK,
    HIGH_WORKS,
    LEAVE_IT,
    LOW_WORKS,
    NEW_CLUTCH,
    REPAIR_WIRING,
    SET_GAP,
)
from coldcab.lessons.faults_1.numbers import CONTACTS, LETTERS, NO_PART, PAIR_LETTERS, PARTS, ClutchCase
from coldcab.quantities import PSI
from coldcab.service import controls
from coldcab.service.clutch_wiring import copper_in_fahrenheit, sensor_pressure

GROUND_SIDE = PARTS[-2:]
VOLT_WIDTH = 0.04
VOLTS = Tolerance("two readings of a meter that shows 0.01 V, taken one after the other", absolute=VOLT_WIDTH)
AMPERES = Tolerance("the coil's temperature is known to 5 F", relative=0.02)
CONNECTION, SWITCH_CONTACTS = 0.1, 0.3  # V at most


def hot_ohm(case: ClutchCase) -> float:
    """Resistance of the working coil."""
    return copper_in_fahrenheit(case.cold_ohm, case.cold_fahrenheit, case.hot_fahrenheit)


def coil_voltage(case: ClutchCase) -> float:
    """V between the coil's own terminals."""
    return round(case.behind[3] - case.behind[4], 2)


def hot_current(case: ClutchCase) -> float:
    """Current through the working coil, from its own voltage."""
    return coil_voltage(case) / hot_ohm(case)


def lost(case: ClutchCase) -> float:
    """V lost before and behind the coil."""
    return round(case.battery - coil_voltage(case), 2)


def drops(case: ClutchCase) -> dict[str, float]:
    """V across each part, from the readings before and behind it."""
    feed, ground = (case.battery, *case.behind[:4]), (*case.behind[4:], 0.0)
    found = [round(before - after, 2) for side in (feed, ground) for before, after in pairwise(side)]
    return dict(zip(PARTS, found, strict=True))


def bad_part(case: ClutchCase) -> str:
    """The part that drops more than it may."""
    found = drops(case)
    worst = max(found, key=lambda part: found[part])
    return worst if found[worst] > SWITCH_CONTACTS else NO_PART


def coil_resistance_hot() -> Key:
    """Copper's rise with temperature, in degrees F."""
    return Key(
        answer=hot_ohm,
        tolerance=Tolerance("a meter shows 0.1 ohm, and the coil is known to 5 F", relative=0.02),
        ideas=(
            WrongIdea(
                "cold taken for hot",
                lambda case: case.cold_ohm,
                "That is the cold coil. Copper has more resistance when it is hot.",
            ),
            WrongIdea(
                "ohms in proportion to degrees",
                lambda case: case.cold_ohm * case.hot_fahrenheit / case.cold_fahrenheit,
                "You multiplied by the degrees themselves. Add 390 to both temperatures first.",
                credit=0.25,
            ),
            WrongIdea(
                "hot copper thought to have less",
                lambda case: case.cold_ohm**2 / hot_ohm(case),
                "You let the resistance fall. Copper's rises when it gets hot.",
            ),
        ),
    )


def current_hot() -> Key:
    """The coil's own voltage over its hot resistance."""

    def width(case: ClutchCase) -> float:
        return AMPERES.width(hot_current(case))

    def full(case: ClutchCase) -> float | None:
        return apart(case.battery / hot_ohm(case), hot_current(case), width=width(case))

    def cold(case: ClutchCase) -> float:
        return coil_voltage(case) / case.cold_ohm

    def both(case: ClutchCase) -> float | None:
        others = (hot_current(case), cold(case), case.battery / hot_ohm(case))
        return apart(case.battery / case.cold_ohm, *others, width=1.5 * width(case))

    return Key(
        answer=hot_current,
        tolerance=AMPERES,
        ideas=(
            WrongIdea(
                "battery voltage taken for coil voltage",
                lambda case: None if full(case) is None else apart(full(case), cold(case), width=width(case)),
                "You took the battery's voltage. The coil gets only what is left between its own two terminals.",
                credit=0.5,
            ),
            WrongIdea(
                "resistance measured cold taken for hot",
                cold,
                "You took the cold coil. At work it is hot and has more resistance.",
                credit=0.5,
            ),
            WrongIdea(
                "battery and cold coil",
                both,
                "You took the battery's voltage and the cold coil. Use the voltage at the coil and its hot resistance.",
            ),
        ),
    )


def voltage_lost() -> Key:
    """Battery voltage less what stands across the coil."""

    def feed(case: ClutchCase) -> float:
        return case.battery - case.behind[3]

    return Key(
        answer=lost,
        tolerance=VOLTS,
        ideas=(
            WrongIdea(
                "ground side left out",
                lambda case: apart(feed(case), lost(case), width=VOLT_WIDTH),
                "You looked at the feed side only. Voltage is lost behind the coil as well, on its way to ground.",
                credit=0.5,
            ),
            WrongIdea(
                "what the coil gets",
                coil_voltage,
                "That is what the coil gets. The question asks what it does not get.",
            ),
            WrongIdea(
                "reading at the feed terminal",
                lambda case: apart(case.behind[3], coil_voltage(case), width=VOLT_WIDTH),
                "That is one reading against battery minus. A loss is the difference of two.",
            ),
        ),
    )


def part_that_takes_it() -> Key:
    """The part whose two points lie too far apart."""

    def beside(case: ClutchCase, step: int) -> str | None:
        if bad_part(case) == NO_PART:
            return None
        place = PARTS.index(bad_part(case)) + step
        return PARTS[place] if 0 <= place < len(PARTS) else None

    def on_the_ground_side(case: ClutchCase) -> bool:
        return bad_part(case) in GROUND_SIDE

    return Key(
        answer=bad_part,
        ideas=(
            WrongIdea(
                "the part behind it",
                lambda case: beside(case, 1),
                "You went one part too far. The voltage is lost between the last good reading and the first bad one.",
                credit=0.25,
            ),
            WrongIdea(
                "ground taken for granted",
                lambda case: NO_PART if on_the_ground_side(case) else None,
                "The feed side is fine. Look behind the coil: its ground terminal should read near 0 V.",
            ),
            WrongIdea(
                "some part must be bad",
                lambda case: "relay contacts" if bad_part(case) == NO_PART else None,
                "Every part drops less than it may. Look at coil, gap and compressor instead.",
            ),
        ),
    )


def next_points(machine: int) -> Key:
    """The middle of what is still suspect. ``machine``: 0 for B, 1 for C."""
    load, control = range(5), range(5, 9)
    known = {1: 0, 2: 1, 3: 1, 4: 0, 6: 5, 7: 6}
    one_part = {0: 3, 1: 3, 5: 7}

    def letter(case: ClutchCase, pair: int | None) -> str | None:
        return None if pair is None else PAIR_LETTERS[case.pairs.index(PAIRS[pair])]

    def of_circuit(case: ClutchCase, pairs: range) -> tuple[str, ...]:
        return tuple(PAIR_LETTERS[case.pairs.index(PAIRS[pair])] for pair in pairs)

    def situation(case: ClutchCase) -> int:
        return case.situations[machine]

    return Key(
        answer=lambda case: letter(case, situation(case)),
        ideas=(
            WrongIdea(
                "the other circuit",
                lambda case: of_circuit(case, control if situation(case) in load else load),
                "That is the other circuit. No click: look in the control circuit. A weak clutch: in the load circuit.",
            ),
            WrongIdea(
                "what is known already",
                lambda case: letter(case, known.get(situation(case))),
                "You know that already from the readings. Measure where it tells you something new.",
            ),
            WrongIdea(
                "one part before the middle",
                lambda case: letter(case, one_part.get(situation(case))),
                "That tests one part of many. Measure in the middle of the suspects; it clears half of them at once.",
            ),
        ),
    )


def letters(wanted: Callable[[int], bool]) -> str:
    """Letters whose place is wanted, as a list's value."""
    return listed([letter for place, letter in enumerate(LETTERS) if wanted(place)], LETTERS)


def other(value: str, *taken: str | None) -> str | None:
    """The list, or None where it is empty or another's."""
    return None if not value or value in taken else value


def some_of(whole: str, *taken: str) -> tuple[str, ...]:
    """Every list of some of the right letters and no other, but for those that another idea leads to."""
    names = whole.split(", ")
    parts = (", ".join(part) for size in range(1, len(names)) for part in combinations(names, size))
    return tuple(part for part in parts if part not in taken)


def drops_too_high() -> Key:
    """Each part against its own limit."""

    def above(case: ClutchCase, connection: float, contacts: float) -> str:
        return letters(
            lambda place: case.drops[place][1] > (contacts if case.drops[place][0] in CONTACTS else connection)
        )

    def right(case: ClutchCase) -> str:
        return above(case, CONNECTION, SWITCH_CONTACTS)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "a tenth of a volt for everything",
                lambda case: other(above(case, CONNECTION, CONNECTION), right(case)),
                "You held switch contacts to the limit of a connection. Contacts may drop 0.3 V.",
            ),
            WrongIdea(
                "three tenths for everything",
                lambda case: other(above(case, SWITCH_CONTACTS, SWITCH_CONTACTS), right(case)),
                "You let connections drop as much as contacts. A connection may drop 0.1 V.",
            ),
            WrongIdea(
                "not all that are too high",
                lambda case: some_of(right(case), above(case, SWITCH_CONTACTS, SWITCH_CONTACTS)),
                "Those are too high, but not they alone. Hold each of the others against its own limit.",
            ),
        ),
    )


def pressure_by_the_sensor() -> Key:
    """Signal over supply, less a tenth, over eight tenths of the range."""
    width = 4.0 * PSI

    def gauge(case: ClutchCase, supply: float) -> float:
        return sensor_pressure(case.signal, supply=supply, span=case.span_psig * PSI)

    def value(case: ClutchCase, pressure: float) -> float:
        return absolute(pressure / PSI, case.atmosphere)

    def answer(case: ClutchCase) -> float:
        return value(case, gauge(case, case.supply))

    def whole(case: ClutchCase) -> float:
        return value(case, case.signal / case.supply * case.span_psig * PSI)

    def undivided(case: ClutchCase) -> float:
        return value(case, (case.signal / case.supply - 0.1) * case.span_psig * PSI)

    return Key(
        answer=answer,
        tolerance=Tolerance("0.01 V in signal and supply", absolute=width),
        ideas=(
            WrongIdea(
                "no volts at no pressure",
                lambda case: apart(whole(case), answer(case), undivided(case), width=width),
                "You took 0 V as 0 psig. This sensor gives a tenth of its supply at 0 psig.",
            ),
            WrongIdea(
                "full range at the full supply",
                lambda case: apart(undivided(case), answer(case), width=width),
                "You subtracted the tenth, but full pressure is at nine tenths of the supply. Divide by 0.8 as well.",
                credit=0.5,
            ),
            WrongIdea(
                "supply taken as 5 volts",
                lambda case: apart(
                    value(case, gauge(case, 5.0)), answer(case), whole(case), undivided(case), width=width
                ),
                "You took the supply as 5.00 V. The signal follows the supply, so measure it and use it.",
                credit=0.5,
            ),
        ),
    )


def finding(case: ClutchCase) -> str:
    """What is open on machine D, and whether it should be."""
    found = case.switches
    if found.across_switch > 1.0:
        if found.psig < found.low_opens:
            return LOW_WORKS
        return HIGH_WORKS if found.psig > found.high_opens else BAD_SWITCH
    if found.across_thermostat > 1.0:
        return FINS_WORK if found.fins < found.thermostat_opens else BAD_THERMOSTAT
    return BAD_FAN


def what_is_open() -> Key:
    """A reading beside its set point, and the meter across what is open."""
    bad = {LOW_WORKS: BAD_SWITCH, HIGH_WORKS: BAD_SWITCH, FINS_WORK: BAD_THERMOSTAT}
    works = {BAD_SWITCH: LOW_WORKS, BAD_THERMOSTAT: FINS_WORK}
    fan = {BAD_FAN: HIGH_WORKS}
    return Key(
        answer=finding,
        ideas=(
            WrongIdea(
                "what is open is bad",
                lambda case: bad.get(finding(case)),
                "It is open because its reading has passed the set point. It is sound; find the cause.",
            ),
            WrongIdea(
                "what is open is right",
                lambda case: works.get(finding(case)),
                "Its reading is well on the closed side of its set points, and still it is open. It is bad.",
            ),
            WrongIdea(
                "the fan forgotten",
                lambda case: fan.get(finding(case)),
                "The clutch is on. The pressure is above the fan's set point and its contact is still open.",
            ),
            WrongIdea(
                "an open fan contact is a bad one",
                lambda case: BAD_FAN if finding(case) != BAD_FAN and case.switches.across_fan > 1.0 else None,
                "Below its set point the fan contact must be open. Look at what stopped the clutch.",
            ),
        ),
    )


def work(case: ClutchCase) -> str:
    """What is done with machine E."""
    found = case.blamed
    decision = controls.decide(
        controls.Findings(
            source=13.8,
            coil_voltage=found.volts,
            coil_resistance=found.ohm,
            coil_temperature=kelvin(found.fahrenheit),
            gap=units.from_unit(found.gap_inches, "length", "in"),
            turns_freely=found.turns_freely,
            debris=found.debris,
            open_switch=controls.LOW_SWITCH if found.switch_open else None,
        )
    )
    if decision.replace == controls.COMPRESSOR:
        return COMPRESSOR_TOO
    if found.switch_open:
        return FIND_CAUSE
    if decision.replace == controls.CLUTCH:
        return SET_GAP if found.gap_inches > 0.0315 else NEW_CLUTCH
    return REPAIR_WIRING if found.volts < 12.8 else LEAVE_IT


def what_to_do() -> Key:
    """The order of judging."""

    def looks_high(case: ClutchCase) -> bool:
        return case.blamed.ohm > 1.12 * 3.6

    return Key(
        answer=work,
        ideas=(
            WrongIdea(
                "a new clutch on a failing compressor",
                lambda case: NEW_CLUTCH if work(case) == COMPRESSOR_TOO else None,
                "A stiff hub or metal in the oil means the compressor is failing. A new clutch on it burns next.",
            ),
            WrongIdea(
                "a hot coil taken for a bad one",
                lambda case: (
                    NEW_CLUTCH if work(case) not in (COMPRESSOR_TOO, NEW_CLUTCH) and looks_high(case) else None
                ),
                "The coil was warm. Correct its ohms for the temperature, and it is what the manual says.",
            ),
            WrongIdea(
                "a dead coil overlooked",
                lambda case: LEAVE_IT if work(case) == NEW_CLUTCH else None,
                "Correct the ohms for the temperature: the coil has far too few. Turns are shorted.",
            ),
            WrongIdea(
                "the compressor to be safe",
                lambda case: COMPRESSOR_TOO if work(case) in (LEAVE_IT, SET_GAP, FIND_CAUSE) else None,
                "The hub turns freely and the oil is clean. Nothing points to the compressor.",
            ),
            WrongIdea(
                "lost volts overlooked",
                lambda case: LEAVE_IT if work(case) == REPAIR_WIRING else None,
                "More than 1 V is lost on the way to the coil and back. Find the bad connection.",
            ),
        ),
    )


PROVED = set(NOTES[:8])
NO_LOAD = {NOTES[place] for place in (8, 9, 10, 11)}
SYMPTOMS = {NOTES[place] for place in (12, 13, 14, 15)}
REFUSED = set(PROPOSALS[:8])
BYPASSES = {PROPOSALS[place] for place in (0, 1, 2, 3)}
HANDS = {PROPOSALS[place] for place in (4, 5, 6, 7)}


def notes_that_prove() -> Key:
    """A reading proves when current flows and nothing else gives it."""

    def of(case: ClutchCase, *groups: set[str]) -> str:
        return letters(lambda place: any(case.notes[place] in group for group in groups))

    def right(case: ClutchCase) -> str:
        return of(case, PROVED)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "measured without load",
                lambda case: other(of(case, PROVED, NO_LOAD), right(case)),
                "Without its full current, or cold, a bad part looks good. Those notes prove nothing.",
                credit=0.25,
            ),
            WrongIdea(
                "what broke is the cause",
                lambda case: other(of(case, PROVED, SYMPTOMS), right(case)),
                "An open switch, an open fuse, a blue face, a burnt contact are what happened. They do not say why.",
                credit=0.25,
            ),
            WrongIdea(
                "not all that prove it",
                lambda case: some_of(right(case)),
                "Those prove it, but not they alone. Ask of each of the others what else could give that reading.",
            ),
        ),
    )


def plans_to_refuse() -> Key:
    """What takes a protection away, or puts a person where a machine can move."""

    def of(case: ClutchCase, *groups: set[str]) -> str:
        return letters(lambda place: any(case.proposals[place] in group for group in groups))

    def right(case: ClutchCase) -> str:
        return of(case, REFUSED)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "a wire or a bigger fuse for a short time",
                lambda case: other(of(case, HANDS), right(case)),
                "A bridged switch or a larger fuse takes away what protects people and harness, for a short time too.",
            ),
            WrongIdea(
                "careful hands are safe",
                lambda case: other(of(case, BYPASSES), right(case), of(case, HANDS)),
                "A clutch, a crank or a short circuit is faster than any hand. Key off, and minus off first.",
            ),
            WrongIdea(
                "sound plans listed",
                lambda case: other(letters(lambda place: case.proposals[place] not in REFUSED), right(case)),
                "Those may be done. The line asks which ones you refuse.",
            ),
            WrongIdea(
                "not all that hurt",
                lambda case: some_of(right(case), of(case, HANDS), of(case, BYPASSES)),
                "Those are to be refused, but not they alone. Ask of each of the others whom it could hurt.",
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "coil resistance hot": coil_resistance_hot(),
    "current hot": current_hot(),
    "part that takes it": part_that_takes_it(),
    "next points, machine B": next_points(0),
    "next points, machine C": next_points(1),
    "drops too high": drops_too_high(),
    "pressure by the sensor": pressure_by_the_sensor(),
    "what is open and why": what_is_open(),
    "what to do": what_to_do(),
    "notes that prove it": notes_that_prove(),
    "plans to refuse": plans_to_refuse(),
}

KEYS = PRACTICE | {"voltage lost": voltage_lost()}
