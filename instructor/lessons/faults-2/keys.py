"""Answers and wrong ideas about which way readings move with a fault, from the simulated machine of each case."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from coldcab.assess.keys import Key, Tolerance, WrongIdea
from coldcab.faults import QUANTITIES
from coldcab.lessons.faults_2.numbers import LOUDEST, LOW_SIDE_CULPRITS, SEVERITY, SignatureCase
from coldcab.machine import Readings
from coldcab.quantities import PSI
from coldcab.scenario import sick_machines
from coldcab.scenario.sick_machines import Noted

BENCH_AT_START = (95.0, 1500.0)
"""Ambient (F) and engine speed (rpm) at which the bench stands before anybody sets the day."""


DRIER_STEP = 10.0
"""F from which the line gets colder in the drier itself; everywhere else it is 2 F at most."""
AIR_IN_THE_CIRCUIT = 10.0
"""psi above the healthy machine after a night's rest."""
HOT_FACE = 5.0
"""F by which the air at the condenser's face is warmer than the day."""
LITTLE_AIR = 8.0
"""F by which little air gets hotter in the condenser than on the healthy machine."""
STARVED = 1.0
"""F by which the suction line is warmer than on the healthy machine."""
HIGH_HEAD = 20.0
"""psi by which the high side stands above the healthy machine's."""


def run(case: SignatureCase, fault: str = "") -> Readings:
    """Readings of this machine on this day, healthy or with a fault at its severity on the sheet."""
    severity = SEVERITY if fault else 0.0
    return sick_machines.run(case.unit.number, case.ambient_fahrenheit, case.engine_rpm, fault, severity)


def beside_healthy(case: SignatureCase, noted: Noted) -> dict[str, Any]:
    """How far noted readings lie above those of the healthy machine of the day (psi, F); looks as they are."""
    healthy = dict(sick_machines.note(run(case), *(name for name, _ in noted)))
    return {name: value if isinstance(value, str) else value - healthy[name] for name, value in noted}


def drier_step(noted: Noted) -> float:
    """F by which the line out of the drier is colder than the line into it."""
    readings = dict(noted)
    return readings["drier_in"] - readings["drier_out"]


def starved_by(case: SignatureCase) -> str:
    """What machine F has: a step over the drier, liquid that is missing, or a restriction behind a clear glass."""
    if drier_step(case.machine_f) > DRIER_STEP:
        return "drier restricted"
    return "valve screen plugged" if dict(case.machine_f)["glass"] == "clear" else "charge low"


def head_raised_by(case: SignatureCase) -> str:
    """What machine G has: by the night's rest, the air at the condenser's face and the air behind it."""
    readings, above = dict(case.machine_g), beside_healthy(case, case.machine_g)
    if above["standing_pressure"] > AIR_IN_THE_CIRCUIT:
        return "air in the circuit"
    if readings["condenser_air_in"] - case.ambient_fahrenheit > HOT_FACE:
        return "hot air recirculated"
    rise = above["condenser_air_out"] - above["condenser_air_in"]
    return "condenser blocked" if rise > LITTLE_AIR else "charge high"


def way(case: SignatureCase, fault: str, name: str) -> str:
    """Which way a quantity of the sign table moves with a fault, by more than its instrument's doubt."""
    quantity = QUANTITIES[name]
    change = quantity.value(run(case, fault)) - quantity.value(run(case))
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


def direction(fault: str, name: str, *, may_stay: bool = False) -> Key:
    """Way of the quantity ``name`` with the case's ``fault`` (an attribute of the case).

    ``may_stay`` says that some of the faults drawn leave this quantity alone.
    """

    def answer(case: SignatureCase) -> str:
        return way(case, getattr(case, fault), name)

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
        return run(case).high_gauge

    def start(case: SignatureCase) -> float:
        return sick_machines.run(case.unit.number, *BENCH_AT_START).high_gauge

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

    def worst(case: SignatureCase) -> str:
        return max("ABC", key=lambda letter: drier_step(case.driers["ABC".index(letter)]))

    def loudest(case: SignatureCase) -> str:
        return "ABC"[case.complaints.index(LOUDEST)]

    return Key(
        answer=worst,
        ideas=(
            WrongIdea(
                "the loudest complaint",
                loudest,
                "You went by the owner's words. They say how cross he is; the thermometers say how bad the drier is.",
            ),
            WrongIdea(
                "the step not compared",
                lambda case: next(letter for letter in "ABC" if letter not in (loudest(case), worst(case))),
                "Take the line out of the drier from the line into it, on each machine. The largest step is worst.",
            ),
        ),
    )


def circuit_or_cab(place: int) -> Key:
    """Whether complaint D or E, ``place`` 0 or 1, has its cause in the circuit or in the cab's air and heat.

    Whatever is wrong with the circuit starves the evaporator, so that the suction line is warmer than on the healthy
    machine, or drives up the head; little air or the heater's warmth in the cab does neither.
    """

    def answer(case: SignatureCase) -> str:
        above = beside_healthy(case, (case.complaint_d, case.complaint_e)[place])
        hurt = above["suction_line_at_evaporator"] > STARVED or above["high_gauge"] > HIGH_HEAD
        return "the circuit" if hurt else "the cab"

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

    def other_restriction(case: SignatureCase) -> str | None:
        found = starved_by(case)
        return None if found == "charge low" else next(one for one in LOW_SIDE_CULPRITS[1:] if one != found)

    return Key(
        answer=starved_by,
        ideas=(
            WrongIdea(
                "low low side means low charge",
                lambda case: "charge low" if starved_by(case) != "charge low" else None,
                "A low low side says that the evaporator is starved, not why. The drier's two ends and the glass tell "
                "where the refrigerant is held up.",
            ),
            WrongIdea(
                "a restriction in the wrong place",
                other_restriction,
                "It is a restriction, but look where the step in temperature is. What flashes behind it gets cold.",
            ),
            WrongIdea(
                "a restriction where liquid is missing",
                lambda case: ("drier restricted", "valve screen plugged") if starved_by(case) == "charge low" else None,
                "There is no step over the drier and the glass is not clear: liquid is missing from the start.",
            ),
        ),
    )


def head_suspect() -> Key:
    """Which of four faults with a high head: by liquid line, condenser air and the night's rest."""

    def blame(name: str) -> Callable[[SignatureCase], str | None]:
        return lambda case: name if head_raised_by(case) != name else None

    return Key(
        answer=head_raised_by,
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
    "fault 1, low side": direction("fault_1", "low_gauge"),
    "fault 1, high side": direction("fault_1", "high_gauge"),
    "fault 1, superheat": direction("fault_1", "superheat_measured"),
    "high side above healthy": above_healthy(),
    "worst drier": worst_drier(),
    "complaint D": circuit_or_cab(0),
    "low side suspect": low_side_suspect(),
}

KEYS = PRACTICE | {
    "fault 2, low side": direction("fault_2", "low_gauge", may_stay=True),
    "fault 2, high side": direction("fault_2", "high_gauge", may_stay=True),
    "fault 2, vent air": direction("fault_2", "vent"),
    "complaint E": circuit_or_cab(1),
    "high side suspect": head_suspect(),
}

EARLIER = {"other": lambda case: case.fault_2}
"""What cases said themselves in release 0.2, for keys of that time."""
