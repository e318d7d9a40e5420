"""Answers and wrong ideas about which way readings move with a fault, from the simulated machine of each case."""

from __future__ import annotations

from coldcab import units
from coldcab.assess.keys import Key, Tolerance, WrongIdea
from coldcab.faults import QUANTITIES
from coldcab.lessons.faults_2.numbers import IN_THE_CAB, LOW_SIDE_CULPRITS, STEPS, SignatureCase
from coldcab.scenario import sick_machines

PSI = units.from_unit(1.0, "pressure difference", "psi")
BENCH_AT_START = (95.0, 1500.0)
"""Ambient (F) and engine speed (rpm) at which the bench stands before anybody sets the day."""


def way(case: SignatureCase, fault: str, name: str) -> str:
    """Which way a quantity of the sign table moves with a fault, by more than its instrument's doubt."""
    quantity = QUANTITIES[name]
    change = quantity.value(case.run(fault)) - quantity.value(case.run())
    return "rises" if change > quantity.resolved else "falls" if change < -quantity.resolved else "stays the same"


_OPPOSITE = {"rises": "falls", "falls": "rises"}

_WHY_OPPOSITE = {
    "low_gauge": "The other way. The compressor pulls at the low side: starve it and it falls, weaken the pull and it "
    "rises.",
    "high_gauge": "The other way. The head follows the heat that the condenser must give off, and how well it can.",
    "superheat_measured": "The other way. Less liquid in the evaporator means that it boils dry earlier, so more "
    "superheat.",
    "vent": "The other way. Less heat taken up by the evaporator leaves warmer air at the vent.",
}


def direction(pick: str, name: str, *, may_stay: bool = False) -> Key:
    """Way of the quantity ``name`` with the case's fault ``pick`` (an attribute of the case).

    ``may_stay`` says that some of the faults drawn leave this quantity alone.
    """

    def answer(case: SignatureCase) -> str:
        return way(case, getattr(case, pick), name)

    def opposite(case: SignatureCase) -> str | None:
        return _OPPOSITE.get(answer(case))

    return Key(
        answer=answer,
        ideas=(
            WrongIdea("the other way round", opposite, _WHY_OPPOSITE[name]),
            WrongIdea(
                "a fault that leaves no mark here",
                lambda case: "stays the same" if answer(case) != "stays the same" else None,
                "It does move, by more than the instrument's doubt. Look again beside the healthy machine of this day.",
            ),
            *(
                (
                    WrongIdea(
                        "every fault moves every gauge",
                        lambda case: ("rises", "falls") if answer(case) == "stays the same" else None,
                        "This fault leaves that reading alone. The trouble sits where this instrument does not look.",
                    ),
                )
                if may_stay
                else ()
            ),
        ),
    )


def above_healthy() -> Key:
    """How far the high side of the blocked machine stands above the healthy one of the same day."""

    def healthy(case: SignatureCase) -> float:
        return case.run().high_gauge

    def start(case: SignatureCase) -> float:
        return sick_machines.run(case.number, *BENCH_AT_START).high_gauge

    return Key(
        answer=lambda case: case.blocked_psig * PSI - healthy(case),
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
            WrongIdea(
                "the difference upside down",
                lambda case: healthy(case) - case.blocked_psig * PSI,
                "The sick machine's head is the higher one, so the difference is above zero.",
                credit=0.5,
            ),
        ),
    )


def worst_drier() -> Key:
    """Which of three machines has the worst restriction: the largest step over the drier."""

    def letter(case: SignatureCase, severity: float) -> str:
        return "ABC"[case.driers.index(severity)]

    return Key(
        answer=lambda case: letter(case, max(STEPS)),
        ideas=(
            WrongIdea(
                "the loudest complaint",
                lambda case: case.loudest,
                "You went by the owner's words. They say how cross he is; the thermometers say how bad the drier is.",
            ),
            WrongIdea(
                "the step not compared",
                lambda case: next(each for each in "ABC" if each not in (case.loudest, letter(case, max(STEPS)))),
                "Take the line out of the drier from the line into it, on each machine. The largest step is worst.",
            ),
        ),
    )


def circuit_or_cab(place: int) -> Key:
    """Whether a complaint has its cause in the circuit or in the cab's air and heat."""

    def fault(case: SignatureCase) -> str:
        return (case.first, case.second)[place]

    def answer(case: SignatureCase) -> str:
        return "the cab" if fault(case) in IN_THE_CAB else "the circuit"

    return Key(
        answer=answer,
        ideas=(
            WrongIdea(
                "the complaint names the fault",
                lambda case: "the circuit" if answer(case) == "the cab" else None,
                "Not cold, so the circuit? Gauges and lines give it little to answer for. Look at the air: how much "
                "of it there is, and what warms it after the coil.",
            ),
            WrongIdea(
                "gauges not compared with the day",
                lambda case: "the cab" if answer(case) == "the circuit" else None,
                "Put the healthy machine of this day beside it. These gauges are not where they should be, so the "
                "circuit has to answer first.",
            ),
        ),
    )


def low_side_suspect() -> Key:
    """Which of three faults with a low low side: by the glass and the drier's step."""

    def other(case: SignatureCase) -> str | None:
        left = [name for name in LOW_SIDE_CULPRITS if name not in (case.low_side, "charge low")]
        return left[0] if case.low_side != "charge low" else None

    return Key(
        answer=lambda case: case.low_side,
        ideas=(
            WrongIdea(
                "low low side means low charge",
                lambda case: "charge low" if case.low_side != "charge low" else None,
                "A low low side says that the evaporator is starved, not why. The drier's two ends and the glass tell "
                "where the refrigerant is held up.",
            ),
            WrongIdea(
                "a restriction in the wrong place",
                other,
                "It is a restriction, but look where the step in temperature is. What flashes behind it gets cold.",
            ),
            WrongIdea(
                "a restriction where liquid is missing",
                lambda case: ("drier restricted", "valve screen plugged") if case.low_side == "charge low" else None,
                "There is no step over the drier and the glass is not clear: liquid is missing from the start.",
            ),
        ),
    )


def head_suspect() -> Key:
    """Which of four faults with a high head: by liquid line, condenser air and the night's rest."""

    def blame(name: str):
        return lambda case: name if case.head != name else None

    return Key(
        answer=lambda case: case.head,
        ideas=(
            WrongIdea(
                "high head always overcharge",
                blame("charge high"),
                "Too much refrigerant stands in the condenser as liquid and cools well below saturation. Work out the "
                "subcooling before you take any out.",
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
        ),
    )


PRACTICE: dict[str, Key] = {
    "fault 1, low side": direction("starving", "low_gauge"),
    "fault 1, high side": direction("starving", "high_gauge"),
    "fault 1, superheat": direction("starving", "superheat_measured"),
    "high side above healthy": above_healthy(),
    "worst drier": worst_drier(),
    "complaint D": circuit_or_cab(0),
    "low side suspect": low_side_suspect(),
}

KEYS = PRACTICE | {
    "fault 2, low side": direction("other", "low_gauge", may_stay=True),
    "fault 2, high side": direction("other", "high_gauge", may_stay=True),
    "fault 2, vent air": direction("other", "vent"),
    "complaint E": circuit_or_cab(1),
    "high side suspect": head_suspect(),
}
