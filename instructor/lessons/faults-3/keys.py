"""Answers and wrong ideas about evidence: the next measurement, probabilities from base rates, when to stop."""

from __future__ import annotations

from collections.abc import Callable

from coldcab.assess.keys import Key, Tolerance, WrongIdea
from coldcab.faults import observables
from coldcab.faults.bayes import updated
from coldcab.lessons.faults_3.evidence import ADD_A_CAN, GAUGES_AGAIN, VOLTMETER, WAIT, Seen
from coldcab.lessons.faults_3.numbers import DECISIONS, FURTHER, LETTERS, EvidenceCase, Job, Situation

POINTS = Tolerance("the shares are given by twentieths; on paper they are rounded to a hundredth", absolute=0.015)
MINUTE = 60.0
PLAIN = 3.0
"""Instrument doubts by which two readings must differ to be told apart plainly."""
NOT_MUCH = 0.02
"""Change of a probability that counts as staying the same."""


def letters(situation: Situation, fits: Callable[[str], bool]) -> tuple[str, ...]:
    """Letters of the offers of a situation for which something holds."""
    return tuple(letter for letter, offer in zip(LETTERS, situation.offers, strict=True) if fits(offer))


def doubts_between(seen: Seen) -> float:
    """Largest difference of a measurement with either suspect, in instrument doubts; a look that differs is plain."""

    def one(name: str) -> float:
        first, second = seen.one[name], seen.two[name]
        if isinstance(first, str):
            return 2 * PLAIN if first != second else 0.0
        return float(abs(first - second) / observables[name].scatter)

    return max(map(one, seen.one))


def tells_apart(situation: Situation, offer: str) -> bool:
    """Whether a measurement shows plainly different readings with either suspect; a part swapped or a can is none.

    A voltmeter across an open switch shows the battery's voltage, across a closed one next to nothing.
    """
    if offer == VOLTMETER:
        return True
    return offer not in (ADD_A_CAN, WAIT, situation.pair.part) and doubts_between(situation.seen(offer)) >= PLAIN


def best(situation: Situation) -> str:
    """The offer that tells the suspects apart at the least time."""
    telling = [offer for offer in situation.offers if tells_apart(situation, offer)]
    return min(telling, key=situation.minutes)


def next_measurement(place: int, *, slow: bool = False) -> Key:
    """The best offer of a situation, ``place`` from 0; ``slow`` says that a slower offer may tell as much."""

    def of(fits: Callable[[Situation, str], bool]) -> Callable[[EvidenceCase], tuple[str, ...]]:
        return lambda case: letters(case.situations[place], lambda offer: fits(case.situations[place], offer))

    slower = WrongIdea(
        "sure but slow",
        of(lambda situation, offer: tells_apart(situation, offer) and offer != best(situation)),
        "It does tell them apart, but another offer does so in far fewer minutes.",
        credit=0.3,
    )
    return Key(
        answer=lambda case: letters(case.situations[place], lambda offer: offer == best(case.situations[place]))[0],
        ideas=(
            WrongIdea(
                "replacing parts as a test",
                of(lambda situation, offer: offer == situation.pair.part),
                "A part is no instrument. It costs hours, opens the circuit or hides the trail, and a second fault "
                "makes a good guess look bad. Measure first.",
            ),
            WrongIdea(
                "refrigerant or time as a test",
                of(lambda situation, offer: offer in (ADD_A_CAN, WAIT)),
                "A can hides the trail and may overcharge the machine; a day of work may break it. Neither measures "
                "anything.",
            ),
            WrongIdea(
                "repeating the same kind of evidence",
                of(lambda situation, offer: offer == GAUGES_AGAIN),
                "The gauges have said all they can: they are alike with both suspects. Choose a reading of another "
                "kind.",
            ),
            WrongIdea(
                "a reading that both suspects share",
                of(
                    lambda situation, offer: (
                        offer not in (situation.pair.part, GAUGES_AGAIN, ADD_A_CAN, WAIT)
                        and not tells_apart(situation, offer)
                    )
                ),
                "Both suspects show the same there, within what the instrument can be off by. However little it "
                "costs, it settles nothing.",
            ),
            *((slower,) if slow else ()),
        ),
    )


def posterior(case: EvidenceCase, *signs: int) -> float:
    """Probability of the suspect asked for after some of the signs."""
    return updated(case.rates, *(case.table.shares(sign) for sign in signs))[case.asked]


def after(*signs: int) -> Key:
    """Probability of the suspect asked for after the first sign, or after the first two."""

    def likelihood(case: EvidenceCase) -> float:
        product = 1.0
        for sign in signs:
            product *= case.table.shares(sign)[case.asked]
        return product

    def rate(case: EvidenceCase) -> float:
        return case.rates[case.asked] / sum(case.rates)

    def flat(case: EvidenceCase) -> float:
        return updated((1, 1, 1), *(case.table.shares(sign) for sign in signs))[case.asked]

    ideas = [
        WrongIdea(
            "base rate ignored",
            flat,
            "You treated all three as equally usual. Multiply each share by how often the shop sees that fault.",
        ),
        WrongIdea(
            "likelihood taken for posterior",
            likelihood,
            "That is how often this fault shows the reading. Asked is how often this reading means the fault.",
        ),
        WrongIdea(
            "not divided by the whole",
            lambda case: rate(case) * likelihood(case),
            "Base rate times share is right so far. Divide it by the sum of the same products of all three.",
            credit=0.5,
        ),
    ]
    if len(signs) == 1:
        ideas.append(
            WrongIdea(
                "evidence ignored",
                rate,
                "That is the base rate, before anything was read. Let the reading change it.",
            )
        )
    else:
        first, second = signs
        ideas += [
            WrongIdea(
                "evidence counted twice",
                lambda case: posterior(case, first, first, second),
                "The first reading went in twice. Start from the base rates, or from the result after the first "
                "reading, not from both.",
            ),
            WrongIdea(
                "first reading forgotten",
                lambda case: posterior(case, second),
                "Only the second reading went in. Each kind of evidence counts, once.",
                credit=0.5,
            ),
        ]
    return Key(answer=lambda case: posterior(case, *signs), ideas=tuple(ideas), tolerance=POINTS)


def most_likely() -> Key:
    """The suspect with the highest probability after two readings."""

    def largest(case: EvidenceCase, numbers: tuple[float, ...]) -> str:
        return case.table.suspects[max(range(3), key=lambda place: numbers[place])]

    def answer(case: EvidenceCase) -> str:
        return largest(case, updated(case.rates, case.table.shares(0), case.table.shares(1)))

    def unless_right(numbers: Callable[[EvidenceCase], tuple[float, ...]]) -> Callable[[EvidenceCase], str | None]:
        def result(case: EvidenceCase) -> str | None:
            found = largest(case, numbers(case))
            return found if found != answer(case) else None

        return result

    first_match = unless_right(lambda case: case.table.shares(0))

    def usual(case: EvidenceCase) -> str | None:
        found = unless_right(lambda case: tuple(map(float, case.rates)))(case)
        return found if found != first_match(case) else None

    return Key(
        answer=answer,
        ideas=(
            WrongIdea(
                "stopping at the first match",
                first_match,
                "It shows the first reading most often, but it is not the most probable: how usual it is counts, too.",
            ),
            WrongIdea(
                "always the usual one",
                usual,
                "It is the most usual, but the readings speak against it. Multiply all three through.",
            ),
        ),
    )


GAINS, LOSES, NOTHING_NEW, CONFIRMS, ENOUGH, LESS_SURE = FURTHER


def further_reading() -> Key:
    """What a further reading does to the probability of the suspect asked for, with the reason."""

    def right(case: EvidenceCase) -> str:
        if case.again:
            return NOTHING_NEW
        change = posterior(case, 0, 1, 2) - posterior(case, 0, 1)
        return GAINS if change > NOT_MUCH else LOSES

    def written(case: EvidenceCase, *reasons: str) -> tuple[str, ...] | None:
        return tuple(LETTERS[case.further.index(one)] for one in reasons if one != right(case)) or None

    return Key(
        answer=lambda case: LETTERS[case.further.index(right(case))],
        ideas=(
            WrongIdea(
                "all evidence confirms",
                lambda case: written(case, CONFIRMS),
                "A reading that fits the others as well, or better, confirms nothing. Multiply all three.",
            ),
            WrongIdea(
                "the same evidence counted again",
                lambda case: written(case, GAINS, LOSES) if case.again else None,
                "The same instrument read again tells the same. It is one piece of evidence, however often it is read.",
            ),
            WrongIdea(
                "the wrong way",
                lambda case: None if case.again else written(case, GAINS, LOSES),
                "Multiply all three products by their shares of that reading, then divide by the new sum. Up or down?",
            ),
            WrongIdea(
                "new evidence left out",
                lambda case: written(case, *(() if case.again else (NOTHING_NEW,)), ENOUGH, LESS_SURE),
                "Only the kind of reading counts, not how many there were. A new kind moves the suspects apart.",
            ),
        ),
    )


def waste(job: Callable[[EvidenceCase], Job], chance: Callable[[EvidenceCase], float]) -> Key:
    """Minutes that are wasted on average when the repair is done without a test."""

    def whole(case: EvidenceCase) -> float:
        return job(case).minutes * MINUTE

    return Key(
        answer=lambda case: (1.0 - chance(case)) * whole(case),
        tolerance=Tolerance("a repair's time is known to a few per cent at best", absolute=0.2 * MINUTE, relative=0.02),
        ideas=(
            WrongIdea(
                "chance of being right",
                lambda case: chance(case) * whole(case),
                "Wasted is the job where the cause was another one. Take what is left of 100 %.",
                credit=0.5,
            ),
            WrongIdea(
                "the whole job",
                whole,
                "That is what is wasted if you are wrong for certain. Multiply it by the chance of being wrong.",
            ),
            WrongIdea(
                "the test added",
                lambda case: (1.0 - chance(case)) * whole(case) + job(case).test_minutes * MINUTE,
                "Without the test, its minutes are not spent. Compare the two afterwards.",
                credit=0.5,
            ),
        ),
    )


OPENS, SAVES, SHORT, LIKELIEST, CERTAIN, WAITS = DECISIONS


def decision(job: Callable[[EvidenceCase], Job], chance: Callable[[EvidenceCase], float]) -> Key:
    """Whether to do the confirming test first: it costs more or less than what it saves on average."""

    def right(case: EvidenceCase) -> str:
        if job(case).opens:
            return OPENS
        return SAVES if (1.0 - chance(case)) * job(case).minutes > job(case).test_minutes else SHORT

    def written(case: EvidenceCase, *reasons: str) -> tuple[str, ...] | None:
        return tuple(LETTERS[case.decisions.index(one)] for one in reasons if one != right(case)) or None

    return Key(
        answer=lambda case: LETTERS[case.decisions.index(right(case))],
        ideas=(
            WrongIdea(
                "stopping at the first match",
                lambda case: written(case, LIKELIEST),
                "Likeliest is no measure of its own. What does it cost if it is something else, and does the repair "
                "open the circuit?",
            ),
            WrongIdea(
                "testing without end",
                lambda case: written(case, CERTAIN),
                "Nothing ever is certain. Compare the test's minutes with those wasted on average without it.",
            ),
            WrongIdea(
                "hurry as a reason",
                lambda case: written(case, WAITS),
                "He waits longer if the repair was the wrong one. Compare minutes.",
            ),
            WrongIdea(
                "the circuit overlooked",
                lambda case: written(case, SAVES, SHORT) if right(case) == OPENS else None,
                "Read the line of the machine again: this repair opens the circuit. That alone decides.",
            ),
            WrongIdea(
                "the two minutes not compared",
                lambda case: written(case, OPENS, SAVES, SHORT) if right(case) != OPENS else None,
                "This repair leaves the refrigerant circuit closed. Take the chance that it is something else, times "
                "its minutes. Is that more or less than the test?",
            ),
        ),
    )


FIRST = (lambda case: case.first_job, lambda case: case.first_chance)
SECOND = (lambda case: case.second_job, lambda case: case.second_chance)


PRACTICE: dict[str, Key] = {
    "situation 1": next_measurement(0),
    "situation 2": next_measurement(1, slow=True),
    "situation 3": next_measurement(2),
    "situation 4": next_measurement(3, slow=True),
    "after the first reading": after(0),
    "after both readings": after(0, 1),
    "most likely now": most_likely(),
    "a further reading": further_reading(),
    "wasted on average": waste(*FIRST),
    "decision P": decision(*FIRST),
}

KEYS = PRACTICE | {"decision Q": decision(*SECOND)}
