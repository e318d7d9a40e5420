"""Answers and wrong ideas of the clinic: what a machine has, what shows it, what that cost, what proves the repair.

What a machine has is not known here; every key is made for a table of causes.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from coldcab.assess.items import listed
from coldcab.assess.keys import Evidence, Key, Tolerance, WrongIdea
from coldcab.faults import HEALTHY
from coldcab.instruments.hands_on import can_be_done
from coldcab.lessons.faults_4 import lines
from coldcab.lessons.faults_4.lines import FEELING, MEASUREMENTS, OLD_PART, PROOF_CHOICES
from coldcab.lessons.faults_4.numbers import ClinicCase
from coldcab.machine import Machine
from coldcab.machine.fleet import FLEET
from coldcab.machine.readings import chart_temperature
from coldcab.quantities import PSI
from coldcab.scenario.clinic import BUDGET, CAUSES, PRICES, refrigerant_in, ticket
from coldcab.scenario.sick_machines import psig

Causes = Mapping[str, tuple[str, ...]]
SHOWN_AGAIN = {
    "charge low": "tight with the right charge",
    "charge high": "subcooling normal with the right charge",
    "air in the circuit": "standing pressure fits the table",
    "condenser blocked": "air behind the condenser normal",
    "condenser fan slow": "fan at its proper speed",
    "hot air recirculated": "air at the face like the shade",
    "worn compressor": "both gauges normal at two speeds",
    "clutch or belt slipping": "hub as fast as the pulley",
    "drier restricted": "no step over the drier",
    "valve screen plugged": "superheat normal with a clear glass",
    "bulb loose or bare": "superheat normal with the bulb wrapped",
    "low evaporator air": "full air flow at the vents",
    "heater valve leaking": "pinching the hose changes nothing",
    HEALTHY: "nothing to repair",
}
TELLING_GROUPS: dict[str, tuple[tuple[str, ...], ...]] = {
    "charge low": (("glass", "drier"), ("glass", "liquid line")),
    "charge high": (("gauges", "liquid line", "standing pressure"),),
    "air in the circuit": (("standing pressure",),),
    "condenser blocked": (("condenser air", "fan"),),
    "condenser fan slow": (("fan",),),
    "hot air recirculated": (("condenser air",),),
    "worn compressor": (("gauges", "hub speed"), ("gauges", "discharge line")),
    "clutch or belt slipping": (("hub speed",),),
    "drier restricted": (("drier",),),
    "valve screen plugged": (("gauges", "suction line", "glass"), ("gauges", "suction line", "drier")),
    "bulb loose or bare": (("gauges", "suction line"), ("bulb re-seated",)),
    "low evaporator air": (("gauges", "vent"), ("gauges", "suction line", "vent")),
    "heater valve leaking": (("heater pinched",),),
    HEALTHY: (("gauges", "vent", "glass"), ("gauges", "vent", "suction line")),
}
"""Measurements that tell a cause from the others of the clinic, any one group of them: the tests of lesson faults-3."""

WITHOUT_GLASS = {"charge low": (("gauges", "suction line", "drier"),)}
"""What has to do on a machine without a sight glass: it tells the starved from the restricted; the head, far down with
a low charge, speaks against the plugged screen. On a real machine the scale decides."""

LOST, GLASS_CAUSE = "charge low", "valve screen plugged"
"""A cause, and another whose proof is a clear glass at normal superheat."""
BEYOND = 3.0
"""Times the budget at which no points are left."""


# What a cause would show, and does not ------------------------------------------------------------------------------

Seen = Mapping[str, Any]
BAR = 1e5


def superheat(seen: Seen) -> float:
    """Superheat at the evaporator, K, of readings with their refrigerant."""
    return float(seen["suction_line_at_evaporator"] - float(chart_temperature(seen["refrigerant"], seen["low_gauge"])))


def subcooling(seen: Seen) -> float:
    """Subcooling before the valve, K, of readings with their refrigerant."""
    return float(float(chart_temperature(seen["refrigerant"], seen["high_gauge"])) - seen["liquid_line"])


def step(seen: Seen) -> float:
    """How much colder the line is behind the drier, K."""
    return float(seen["drier_in"] - seen["drier_out"])


def rise(seen: Seen) -> float:
    """How much the condenser warms its air, K."""
    return float(seen["condenser_air_out"] - seen["condenser_air_in"])


@dataclass(frozen=True)
class Sign:
    """What every machine with a cause shows: whether one shows it beside the healthy one, and what to say if not.

    ``said`` names no other cause: what the machine has stays for the learner to find.
    """

    name: str
    shows: Callable[[Seen, Seen, Machine], bool]
    said: str


SIGNS: dict[str, tuple[Sign, ...]] = {
    "charge low": (
        Sign("low side fallen", lambda s, h, m: s["low_gauge"] < h["low_gauge"] - 0.55 * BAR,
             "With a low charge the low side falls. On this machine it does not."),
        Sign("superheat high", lambda s, h, m: superheat(s) > superheat(h) + 10.0,
             "With a low charge the superheat is far above healthy. On this machine it is not."),
        Sign("glass not clear", lambda s, h, m: m.valve.block or s["glass"] != "clear",
             "A low charge shows in the sight glass. On this machine the glass is clear."),
        Sign("no step over the drier", lambda s, h, m: step(s) < 2.0,
             "A low charge leaves the line behind the drier as warm as before it. Have you measured there?"),
    ),
    "charge high": (
        Sign("subcooling", lambda s, h, m: subcooling(s) > 8.0,
             "Too much charge makes the liquid line far cooler than the high gauge says. On this machine it is not."),
        Sign("head up", lambda s, h, m: s["high_gauge"] > h["high_gauge"] + 1.0 * BAR,
             "Too much charge raises the head. On this machine the head is not raised."),
        Sign("standing pressure as it should be",
             lambda s, h, m: s["standing_pressure"] < h["standing_pressure"] + 0.3 * BAR,
             "Too much charge leaves the standing pressure where it is. Have you taken it?"),
        Sign("no step over the drier", lambda s, h, m: step(s) < 2.0,
             "Too much charge leaves the line behind the drier as warm as before it. Have you measured there?"),
    ),
    "air in the circuit": (
        Sign("standing pressure", lambda s, h, m: s["standing_pressure"] > h["standing_pressure"] + 0.5 * BAR,
             "Air raises the standing pressure. On this machine it is the healthy one's."),
    ),
    "condenser blocked": (
        Sign("hot air behind it", lambda s, h, m: rise(s) > rise(h) + 5.0,
             "A blocked condenser warms its air far more than a healthy one. This one does not."),
        Sign("fan as it should be", lambda s, h, m: s["fan_share"] > 0.88,
             "Air that is hot behind the condenser may have two reasons. Which measurement tells one from the other?"),
    ),
    "condenser fan slow": (
        Sign("fan speed", lambda s, h, m: s["fan_share"] < 0.8,
             "A slow fan turns below its proper speed. This one turns as it should."),
    ),
    "hot air recirculated": (
        Sign("warm air at its face", lambda s, h, m: s["condenser_air_in"] - h["ambient"] > 4.0,
             "Hot air that comes round again is warmer at the condenser's face than in the shade. Here it is not."),
    ),
    "worn compressor": (
        Sign("low side up", lambda s, h, m: s["low_gauge"] > h["low_gauge"] + 0.22 * BAR,
             "A worn compressor lets the low side rise. On this machine it does not."),
        Sign("head not up", lambda s, h, m: s["high_gauge"] < h["high_gauge"] + 0.3 * BAR,
             "A worn compressor cannot raise the head. On this machine the head is raised."),
        Sign("hot discharge", lambda s, h, m: s["discharge_line"] > h["discharge_line"] + 7.0,
             "A worn compressor makes the discharge line far hotter. On this machine it is not."),
    ),
    "clutch or belt slipping": (
        Sign("hub behind its pulley", lambda s, h, m: s["hub_slip"] > 0.1,
             "A clutch or belt that slips leaves the hub behind. On this machine the hub is as fast as it should be."),
    ),
    "drier restricted": (
        Sign("step over the drier", lambda s, h, m: step(s) > 3.0,
             "A restricted drier is colder behind than before. This one is not."),
    ),
    "valve screen plugged": (
        Sign("low side fallen", lambda s, h, m: s["low_gauge"] < h["low_gauge"] - 0.3 * BAR,
             "A plugged screen lets the low side fall. On this machine it does not."),
        Sign("superheat high", lambda s, h, m: superheat(s) > superheat(h) + 8.0,
             "With a plugged screen the superheat is far above healthy. On this machine it is not."),
        Sign("glass clear", lambda s, h, m: m.valve.block or s["glass"] == "clear",
             "The screen sits behind the sight glass, so a plugged one leaves the glass clear. This glass is not."),
        Sign("no step over the drier", lambda s, h, m: step(s) < 2.0,
             "A plugged screen leaves the line behind the drier as warm as before it. Have you measured there?"),
    ),
    "bulb loose or bare": (
        Sign("a bulb", lambda s, h, m: not m.valve.block, "This machine has a block valve: there is no bulb."),
        Sign("superheat low", lambda s, h, m: superheat(s) < superheat(h) - 4.0,
             "A loose bulb brings the superheat far below healthy. On this machine it is not."),
        Sign("low side not fallen", lambda s, h, m: s["low_gauge"] > h["low_gauge"] - 0.1 * BAR,
             "A loose bulb never lets the low side fall. On this machine it has fallen."),
        Sign("low side with the bulb re-seated", lambda s, h, m: s["low_gauge_bulb_reseated"] < -0.15 * BAR,
             "With a loose bulb the low side falls when it is re-seated. On this machine it does not."),
    ),
    "low evaporator air": (
        Sign("cold vent", lambda s, h, m: s["vent"] < h["vent"] - 4.0,
             "Little air over the coil makes the vent colder than healthy. On this machine it is not."),
    ),
    "heater valve leaking": (
        Sign("vent with the hose pinched", lambda s, h, m: s["vent_heater_pinched"] < -3.0,
             "With a leaking heater valve the vent turns colder when the hose is pinched. Here it does not."),
    ),
}  # fmt: skip
"""By cause, what to look at first; a test holds them against every ticket."""


@lru_cache(maxsize=1024)
def missing_sign(number: str, cause: str) -> Sign | None:
    """Return what the machine of a ticket does not show and would show with a cause; None where it shows it all."""
    own = ticket(number)
    both = ({**readings, "refrigerant": refrigerant_in(own.unit)} for readings in (own.seen, own.healthy))
    seen, healthy = both
    return next((sign for sign in SIGNS[cause] if not sign.shows(seen, healthy, FLEET[own.unit])), None)


def without_its_sign(place: int, truth: Callable[[ClinicCase], tuple[str, ...]]) -> Iterable[WrongIdea]:
    """An idea for each sign of each cause: the cause named, alone or beside one that is right, where it is missing."""

    def named(cause: str, sign: Sign) -> Callable[[ClinicCase], tuple[str, ...] | None]:
        def result(case: ClinicCase) -> tuple[str, ...] | None:
            own = truth(case)
            if own == (HEALTHY,) or cause in own or missing_sign(case.tickets[place], cause) is not sign:
                return None
            return (cause, *(listed((one, cause), CAUSES) for one in own if len(own) > 1))

        return result

    for cause, signs in SIGNS.items():
        for sign in signs:
            yield WrongIdea(f"{cause}, without: {sign.name}", named(cause, sign), sign.said)


def tells(cause: str, names: Iterable[str]) -> bool:
    """Whether some measurements tell a cause from the others."""
    taken = set(names)
    return any(taken.issuperset(group) for group in TELLING_GROUPS[cause])


def groups_on(number: str, cause: str) -> tuple[tuple[str, ...], ...]:
    """The groups of measurements that show a cause on the machine of a ticket, of those that it lets one take."""
    machine = FLEET[ticket(number).unit]
    return tuple(group for group in accepted_on(number, cause) if all(can_be_done(name, machine) for name in group))


def accepted_on(number: str, cause: str) -> tuple[tuple[str, ...], ...]:
    """The groups of measurements that are taken for evidence of a cause on the machine of a ticket."""
    blind = not can_be_done("glass", FLEET[ticket(number).unit])
    return TELLING_GROUPS[cause] + (WITHOUT_GLASS.get(cause, ()) if blind else ())


def truth_of(place: int, causes: Causes) -> Callable[[ClinicCase], tuple[str, ...]]:
    """What the machine at a place of the sheet has."""
    return lambda case: causes[case.tickets[place]]


def cause(place: int, causes: Causes) -> Key:
    """What the machine at a place has: one cause, two, or healthy."""

    truth = truth_of(place, causes)

    def with_one_more(case: ClinicCase) -> tuple[str, ...] | None:
        own = truth(case)
        if own == (HEALTHY,) or len(own) > 1:
            return None
        return tuple(listed((*own, other), CAUSES) for other in CAUSES if other not in (HEALTHY, *own))

    return Key(
        answer=lambda case: listed(truth(case), CAUSES),
        ideas=(
            WrongIdea(
                "stopping at the first match",
                lambda case: truth(case) if len(truth(case)) > 1 else None,
                "That is one of the two. It does not explain all the readings: ask what is still strange once you set "
                "it aside.",
                credit=0.5,
            ),
            WrongIdea(
                "a healthy machine repaired",
                lambda case: tuple(name for name in CAUSES if name != HEALTHY) if truth(case) == (HEALTHY,) else None,
                "Put its readings beside the healthy machine of the day: they differ no more than two healthy machines "
                "do. Not every complaint has a fault.",
            ),
            WrongIdea(
                "called healthy",
                lambda case: HEALTHY if truth(case) != (HEALTHY,) else None,
                "Something is wrong with this one. At least one reading lies further from the healthy machine of the "
                "day than the instruments can be off by.",
            ),
            WrongIdea(
                "one fault too many",
                with_one_more,
                "One of the two is right. The other explains nothing that the first does not.",
                credit=0.5,
            ),
            *without_its_sign(place, truth),
        ),
    )


def measurements(place: int, causes: Causes) -> Key:
    """The measurements that were taken: they must tell the cause from the others, within the budget."""

    truth = truth_of(place, causes)

    def shortest(case: ClinicCase, names: Iterable[str]) -> str:
        return listed((one for name in names for one in groups_on(case.tickets[place], name)[0]), MEASUREMENTS)

    def half(case: ClinicCase) -> str | None:
        own = truth(case)
        if len(own) < 2:
            return None
        found = shortest(case, own[:1])
        return None if tells(own[1], found.split(", ")) else found

    ideas = (
        WrongIdea(
            "measurements that leave the suspects alike",
            lambda case: "cab air, shade",
            "Nothing on this list shows what this machine has and no other fault has. Which reading does only this "
            "fault change?",
        ),
        WrongIdea(
            "evidence for one of two",
            half,
            "This list shows one of its faults. Nothing on it shows the other.",
            credit=0.5,
        ),
        WrongIdea(
            "everything measured",
            lambda case: listed(MEASUREMENTS, MEASUREMENTS),
            "It is all there, but it took {minutes:g} minutes, with a budget of {budget:g}. Before each "
            "measurement ask which suspects it could cross out.",
        ),
    )

    def evidence(case: ClinicCase) -> Evidence:
        groups = tuple(accepted_on(case.tickets[place], name) for name in truth(case))
        return Evidence(groups, PRICES, BUDGET, BEYOND, "Right, in {minutes:g} minutes.")

    return Key(answer=lambda case: shortest(case, truth(case)), ideas=ideas, evidence=evidence)


def high_side(place: int) -> Key:
    """How far the high side stands above that of the healthy machine of the day, as the gauges show both."""

    def own(case: ClinicCase) -> float:
        return psig(ticket(case.tickets[place]).seen["high_gauge"])

    def above(case: ClinicCase) -> float:
        return own(case) - psig(ticket(case.tickets[place]).healthy["high_gauge"])

    return Key(
        answer=lambda case: above(case) * PSI,
        tolerance=Tolerance("both gauges are read to whole psi", absolute=1.5 * PSI),
        ideas=(
            WrongIdea(
                "the whole reading",
                lambda case: own(case) * PSI,
                "That is the gauge reading itself. Subtract the healthy machine's high side.",
            ),
            WrongIdea(
                "the difference upside down",
                lambda case: -above(case) * PSI if abs(above(case)) > 1.0 else None,
                "The sign is the other way round: this machine minus the healthy one. Below healthy gets a minus.",
                credit=0.5,
            ),
        ),
    )


def proof(place: int, causes: Causes) -> Key:
    """What would prove the repair: the reading that showed the fault, for each fault."""

    truth = truth_of(place, causes)

    def clear_glass(case: ClinicCase) -> str | None:
        own = truth(case)
        if LOST not in own or GLASS_CAUSE in own:
            return None
        return listed((SHOWN_AGAIN[GLASS_CAUSE if name == LOST else name] for name in own), PROOF_CHOICES)

    return Key(
        answer=lambda case: listed((SHOWN_AGAIN[name] for name in truth(case)), PROOF_CHOICES),
        ideas=(
            WrongIdea(
                "it feels better",
                lambda case: FEELING,
                "A cool evening does that as well. A repair is proved by the reading that showed the fault.",
            ),
            WrongIdea(
                "the old part as proof",
                lambda case: OLD_PART,
                "Old parts look bad. Only a reading on the running machine shows that the part was the cause.",
            ),
            WrongIdea(
                "a clear glass for the right charge",
                clear_glass,
                "A glass is also clear with too much charge. A low charge is repaired when the circuit is tight and "
                "the weighed charge is right.",
                credit=0.5,
            ),
            WrongIdea(
                "half the proof",
                lambda case: tuple(SHOWN_AGAIN[name] for name in truth(case)) if len(truth(case)) > 1 else None,
                "That proves one of the two repairs. The other needs its own reading.",
                credit=0.5,
            ),
            WrongIdea(
                "a repair that was not needed",
                lambda case: (
                    tuple(words for name, words in SHOWN_AGAIN.items() if name != HEALTHY)
                    if truth(case) == (HEALTHY,)
                    else None
                ),
                "This machine needs no repair, so there is nothing to prove. Tell the owner what you read.",
            ),
        ),
    )


def keys(place: int, causes: Causes) -> dict[str, Key]:
    """The keys of the lines that every machine has, ``place`` from 0, for a table of causes."""
    number = place + 1
    return {
        f"machine {number}, cause": cause(place, causes),
        f"machine {number}, measurements": measurements(place, causes),
        f"machine {number}, proof": proof(place, causes),
    }


def parse_causes(text: str) -> dict[str, tuple[str, ...]]:
    """Read a table of causes: ticket, then one or two causes with " + " between them."""
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return {row["ticket"]: tuple(row["causes"].split(" + ")) for row in rows}


def read_causes(name: str) -> dict[str, tuple[str, ...]]:
    """Read the table of causes in the file of this name beside this one."""
    return parse_causes(Path(__file__).with_name(name).read_text(encoding="utf-8"))


def sheet(causes: Causes) -> dict[str, Key]:
    """The keys of a whole sheet for a table of causes."""
    gauges = {f"machine {place + 1}, high side": high_side(place) for place in (0, 1)}
    return gauges | keys(0, causes) | keys(1, causes) | keys(2, causes)


KEYS = sheet(read_causes("clinic_causes.csv"))

_practiced = sheet(read_causes("practice_causes.csv"))
PRACTICE = {item.label: _practiced[item.label] for item in lines.PRACTICE.items}
