"""The placement check: one question a lesson, and from the answers the lessons that are worth the evening."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from coldcab.assess import PRACTICE_PREFIX, Card, Item, Mark, mark_by_card
from coldcab.lessons import PRACTICE, deck, practice_case


@dataclass(frozen=True)
class Pick:
    """One question: a line of a lesson's practice sheet, what of the case it needs, and what the lesson is good for.

    ``asks`` is the question where the line's own words lean on the rest of its sheet.
    """

    lesson: str
    label: str
    shows: tuple[str, ...]
    worth: str
    asks: str = ""


PICKS = (
    Pick("cycle-1", "absolute pressure", ("altitude", "gauge in the low side"),
         "gauge, absolute and altitude stand behind every number that follows"),
    Pick("cycle-2", "compression ratio", ("altitude", "low side", "high side"),
         "the loop says what a hot day costs and what a compressor should do"),
    Pick("cycle-3", "first suspect", ("how the cabs", "cab on the lift"),
         "many a cab that “does not cool” suffers from its air, not its circuit"),
    Pick("cycle-4", "step that hurts", ("step",),
         "superheat and the glass are easily read wrong, and a valve is reached past belt and pressure",
         "A job at an expansion valve. Which of these six steps can hurt somebody?"),
    Pick("retrofit-1", "case 1", ("case 1", "reason"), "what the law allows, and a cylinder that does not burst",
         "May this be done, and why? Write the letter of the reason."),
    Pick("retrofit-2", "rises that leak", ("rise ",), "a vacuum's rise tells leak from moisture, if one can read it",
         "The pump is shut off and the micron gauge rises. Which of these rises show a leak? Letters, with commas."),
    Pick("retrofit-3", "ground for refusing", ("owner G",),
         "what may be changed to what, which parts go with the refrigerant, and what to expect then",
         "An owner asks for this. On what ground do you refuse?"),
    Pick("leak-1", "leak the air pretends", ("air in the bay",),
         "most machines come in because they leak; a hunt has an order, and nothing found is not tight"),
    Pick("retrofit-4", "starting charge", ("R-12 charge",), "how much goes in, and how to know when it is right"),
    Pick("rebuild-1", "cause of death", ("found on the old compressor",),
         "what killed the old compressor is still in the machine, and kills the new one",
         "These four signs were found on a dead compressor. Why did it die?"),
    Pick("oil-1", "fault of order 1", ("order 1",),
         "the wrong oil wears a compressor out, or makes an electric one deadly",
         "The parts counter sends this tin for this machine. What is wrong with it?"),
    Pick("oil-2", "oil to drain, job B", ("oil on its data sheet", "job B"),
         "oil is a ledger: what left, what stayed, what the new part brought",
         "A compressor is swapped, nothing is flushed. How much oil must first be drained from the new one?"),
    Pick("faults-1", "part that takes it",
         ("battery plus", "relay 30", "relay 87", "behind the feed", "clutch feed", "clutch ground", "engine block",
          "battery minus"),
         "the clutch is blamed for its circuit, its switches and its compressor",
         "The clutch is on, the meter's black lead on battery minus. Which part drops more than it may?"),
    Pick("faults-2", "low side suspect", ("machine F",), "every fault leaves its own pattern on the instruments"),
    Pick("faults-3", "situation 1", ("situation 1", "  1 "),
         "the next measurement that splits the suspects, for the fewest minutes",
         "Which of the six steps tells the two suspects apart in the least time?"),
)  # fmt: skip
"""At most fifteen."""


@dataclass(frozen=True)
class PlacementQuestion:
    """A question as it is asked, with the numbers it needs."""

    pick: Pick
    item: Item
    case: Any
    card: Card

    @property
    def words(self) -> str:
        """The question itself."""
        return self.pick.asks or self.item.prompt

    @property
    def lines(self) -> list[tuple[str, str]]:
        """What of the case the question needs, as pairs of label and text."""
        return [row for row in self.case.lines() if row[0].startswith(self.pick.shows)] if self.pick.shows else []


@dataclass(frozen=True)
class Advice:
    """A lesson that is worth the evening, and why."""

    lesson: str
    title: str
    reason: str


def questions(number: int = 1) -> tuple[PlacementQuestion, ...]:
    """The questions of one draw; another number gives other numbers."""
    found = []
    for pick in PICKS:
        name = f"{PRACTICE_PREFIX}{pick.lesson}"
        # From the end of the deck: practice begins at its start, so that nobody meets the same numbers at once.
        last = len(deck(name)) + 1 - number
        item, card = PRACTICE[name].item(pick.label), deck(name).card(pick.label, last)
        found.append(PlacementQuestion(pick, item, practice_case(name, last), card))
    return tuple(found)


def advise(
    asked: tuple[PlacementQuestion, ...], answers: Mapping[str, str]
) -> tuple[tuple[Mark, ...], tuple[Advice, ...]]:
    """Marks of all questions, and the lessons to take: the ones that were missed, in the order of the course.

    Parameters
    ----------
    asked : of `questions`.
    answers : what was written, by lesson; what is missing counts as blank.
    """
    marks, advice = [], []
    for question in asked:
        answer = answers.get(question.pick.lesson, "")
        outcome = mark_by_card(question.item, answer, question.card, question.case)
        marks.append(outcome)
        if outcome.status != "right":
            seen = f" You answered as with this idea: {outcome.idea}." if outcome.idea else ""
            if outcome.status == "unreadable":
                seen = f" Your answer could not be read: {outcome.feedback.rstrip('.')}."
            title = PRACTICE[f"{PRACTICE_PREFIX}{question.pick.lesson}"].title
            advice.append(Advice(question.pick.lesson, title, f"{question.pick.worth.capitalize()}.{seen}"))
    return tuple(marks), tuple(advice)
