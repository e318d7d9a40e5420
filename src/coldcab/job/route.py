"""Which work this job needs, in its order: from what was found, what was decided, and what is inside.

A circuit that need not be opened stays shut. What costs nothing and hurts nobody comes first.
"""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.faults import HEALTHY
from coldcab.job.as_found import Finding
from coldcab.job.description import Job
from coldcab.job.figures import Section
from coldcab.job.stages import AFTER_DEBRIS, contents, converts, failed
from coldcab.service import rinse
from coldcab.words import _

OPENED = ("before", "leak", "recover", "debris", "parts", "rinse", "oil", "test", "vacuum", "charge", "glass", "cost")
"""Sections of a job whose circuit is opened, in their order; those that have nothing to say are left out."""

WEIGHED = ("before", "recover", "vacuum", "charge", "glass", "cost")
"""Sections of a job whose charge is taken out and weighed back in, with nothing loosened."""

AIR_SIDE = frozenset(
    {
        "condenser blocked",
        "condenser fan slow",
        "hot air recirculated",
        "low evaporator air",
        "heater valve leaking",
    }
)
DRIVE = frozenset(
    {
        "clutch does not engage",
        "clutch or belt slipping",
        "high-pressure switch opens early",
        "low-pressure switch opens early",
        "thermostat never opens",
        "thermostat opens early",
    }
)
FILL = frozenset({"charge high", "air in the circuit", "foreign refrigerant"})
AT_TIMES = "cools at times"

WHY = {
    "cause": _(
        "Outside the circuit first: {cause}. No gas is touched until that is done and the readings are taken again."
    ),
    "first": _(
        "The readings leave several causes. Outside the circuit first, for that costs no gas: {cause}. Then measure "
        "what separates the rest."
    ),
    "watch": _("It comes and goes: watch it until it fails, gauges and meter connected. Do not recharge on a guess."),
    "fill": _("The charge is wrong, the circuit is not: recover all of it, weigh it, and weigh the right charge in."),
    "open": _("The circuit is opened."),
    "empty": _("At rest only vapor is inside: find the leak first. Do not run it, for nothing carries its oil round."),
    "several": _("Whichever cause it is, the circuit is opened. First measure what separates them: it costs minutes."),
    "measure": _("Nothing asks for the circuit to be opened. Take readings, and decide then."),
}


@dataclass(frozen=True)
class Route:
    """The work that a job needs: its ``kind``, why in a sentence, and the keys of its sections in their order."""

    kind: str
    why: str
    sections: tuple[str, ...]


def suspects(job: Job, finding: Finding | None) -> tuple[str, ...]:
    """The faults that this job is about: what a person has found, else what the readings name together."""
    seen = {
        "condenser dirty": "condenser blocked",
        "heater valve leaking": "heater valve leaking",
        "belt or clutch slipping": "clutch or belt slipping",
        "air in the circuit": "air in the circuit",
    }
    found = tuple(seen[one] for one in job["work.findings"] or () if one in seen)
    if found:
        return found
    if finding is not None and finding.empty:
        return ("charge low",)
    if finding is None or finding.blocked:
        return ()
    return tuple(name for cause in finding.causes[: finding.leading] for name in cause.names if name != HEALTHY)


def opened(job: Job) -> bool:
    """Whether the circuit is opened, by what was decided or found: a part, a flush, a conversion, a leak, a failure."""
    findings = set(job["work.findings"] or ())
    return bool(
        job["work.replaced"]
        or job["work.rinsed"]
        or (converts(job) and job.known("work.refrigerant") and contents(job) == "R-12")
        or job["work.complaint"] in ("lost its charge", "compressor failed")
        or job["work.inside"] in ("nothing", "air", "mixture")
        or findings & {"metal debris", "oil at the shaft seal", "oil at a joint", "mixed refrigerant"}
    )


def route(job: Job, finding: Finding | None = None) -> Route:
    """Return the work that a job needs.

    Parameters
    ----------
    job : what is known and decided.
    finding : what the readings as found say, where there are any.
    """
    names = suspects(job, finding)
    if opened(job):
        return Route("open", WHY["open"], OPENED)
    if job["work.complaint"] == AT_TIMES or job["found.comes_and_goes"]:
        return Route("watch", WHY["watch"], ("before", "watch"))
    if names and set(names) <= AIR_SIDE | DRIVE:
        return Route("cause", WHY["cause"].format(cause=" or ".join(names)), ("before", "outside"))
    if names and set(names) <= FILL:
        return Route("fill", WHY["fill"], WEIGHED)
    if easy := [name for name in names if name in AIR_SIDE | DRIVE]:
        return Route("cause", WHY["first"].format(cause=" or ".join(easy)), ("before", "outside", "measure"))
    if names and finding is not None and finding.empty:
        return Route("open", WHY["empty"], OPENED)
    if names and finding is not None and finding.leading > 1 and finding.next:
        return Route("open", WHY["several"], ("before", "measure", *OPENED[1:]))
    if names:
        return Route("open", WHY["open"], OPENED)
    return Route("measure", WHY["measure"], ("before", "measure"))


OUTSIDE_STEPS = {
    "condenser blocked": _(

            "Condenser: blow or wash it from the fan's side outwards, away from the way the dirt went in. "
            "Straighten the fins. Look "

        "between condenser, oil cooler and radiator too."
    ),
    "condenser fan slow": _(
        "Fan: engine off, turn it by hand; belt, hub, direction of turning, and the voltage at its motor under "
        "load."
    ),
    "hot air recirculated": _(
        "Seals and baffles around the condenser: put them back, so that its own hot air cannot come round."
    ),
    "low evaporator air": _(
        "Cab filter, blower, flaps, ducts: change the filter, then look at the coil's face; wash it if it is "
        "matted."
    ),
    "heater valve leaking": _(
        "Heater valve: pinch the hose with a proper clamp. If the vent turns cold, set the cable or replace the "
        "valve."
    ),
    "clutch does not engage": _(

            "Clutch circuit: measure voltage under load at the coil, then from the middle of the circuit, feed "
            "side and ground side."

    ),
    "clutch or belt slipping": _(
        "Belt and clutch: belt and tension, then the air gap and the voltage at the coil. Do not oil or wax the "
        "belt."
    ),
    "high-pressure switch opens early": _(
        "Pressure switch: watch the high gauge as the clutch drops out. Never bridge it and leave it so."
    ),
    "low-pressure switch opens early": _(
        "Pressure switch: watch the low gauge as the clutch drops out. Never bridge it and leave it so."
    ),
    "thermostat never opens": _(
        "Thermostat: its feeler in ice water with a little salt must open the contact a little below freezing."
    ),
    "thermostat opens early": _(
        "Thermostat: its feeler beside a thermometer in cold water. Look where the feeler sits in the coil."
    ),
}  # fmt: skip
"""What is done without opening the circuit, by what it cures."""

READ_AGAIN = _("Then take all readings again, at both engine speeds, before gas is touched.")

WATCH = (
    _(
        "Clutch: does it drop out as the vent turns warm? Voltage at the coil at that moment tells feed and "
        "ground from the coil."
    ),
    _(
        "Ice: does the low side fall slowly, then the vent turn warm, and come back after minutes with the "
        "clutch off? Thermostat, coil, "

      "air; or moisture at the valve: warm the valve body."),
    _(
        "Switch: read both gauges as the clutch drops out. High side at its cut-out: condenser and fan. Far from "
        "it: the switch."
    ),
    _("Heat: does it come with a hot coil, a hot cab, a hot condenser? Measure the coil's resistance cold and hot."),
    _("Write down time, air, engine speed, both gauges and the vent each time. Three times the same is a cause."),
)  # fmt: skip
"""What comes and goes has its own tree: clutch, ice, switch, heat."""

LEAK = (
    _("Find the leak before gas is bought: oil and dust at shaft seal, joints, hoses, condenser's edges; then soap."),
    _(
        "Empty or nearly: dry nitrogen through a regulator, never above the lowest plate, soap on every joint. "
        "Never oxygen, never shop air."
    ),
    _("Some left: it can be searched with the detector out of the wind, machine off, from below."),
    _("Two leaks are common. After the repair search once more, and hold the pressure over night."),
)  # fmt: skip

DEBRIS = (
    _(
        "Turn the hub by hand, key out. Seized or rough: cut the old drier open, look into the discharge line, "
        "wipe it with a white cloth."
    ),
    _("Metal or black paste: whatever has many paths or a screen and cannot be flushed clean is replaced."),
)  # fmt: skip


MEASURE = (
    _("At rest and as warm as the air: both gauges beside the table of pressure and temperature."),
    _("Both gauges at idle and at fast idle, doors open, blower on full, after ten minutes."),
    _("Vent, air to the coil, air before and behind the condenser, all thermometers in the shade."),
    _("Clamp-on thermometers (clips) on the suction line and the liquid line; the sight glass, where there is one."),
    _("Type them in under As found, or at their keys in the job's file, and plan again: the causes stand here then."),
)  # fmt: skip
"""What to read first, cheapest first; a second engine speed tells much for two minutes."""


NEXT = _("Next, for what it tells: {words}.")


def measure(finding: Finding | None) -> Section:
    """What to read before anything is decided; what separates the causes of what was read comes first."""
    words = tuple(NEXT.format(words=one.measurement.words) for one in (finding.next if finding else ())[:2])
    told = finding is not None and finding.causes and words
    steps = (*words, MEASURE[-1]) if told else (*words, *MEASURE)
    return Section("measure", _("Read first"), steps, cautions=(WHILE_IT_RUNS,))


def outside(job: Job, finding: Finding | None) -> Section:
    """What is done without opening the circuit."""
    names = [name for name in suspects(job, finding) if name in OUTSIDE_STEPS] or list(OUTSIDE_STEPS)[:5]
    steps = (*(OUTSIDE_STEPS[name] for name in names), READ_AGAIN)
    return Section("outside", _("Outside the circuit"), steps, cautions=(CLEANING,))


WHILE_IT_RUNS = _("Belts and fan turn while you read: no loose sleeves, no hand near.")
CLEANING = _(
    "Engine off and key out before a hand goes near fan, belt or fins. Goggles and mask: field dust and "
    "spray residue fly."
)


def watch() -> Section:
    """How to catch what comes and goes."""
    return Section("watch", _("Watch it fail"), WATCH, cautions=(WHILE_IT_RUNS,))


def leak(job: Job, finding: Finding | None) -> Section | None:
    """Where to search, for a circuit that has lost its charge or, by its readings, may have."""
    lost = job["work.complaint"] == "lost its charge" or job["work.inside"] in ("nothing", "air")
    oily = {"oil at the shaft seal", "oil at a joint"} & set(job["work.findings"] or ())
    low = "charge low" in suspects(job, finding)
    if not (lost or oily or low or job.get("found.topped_up", 0.0)):
        return None
    first = tuple(_("{finding}: search there first.").format(finding=one[:1].upper() + one[1:]) for one in sorted(oily))
    return Section("leak", _("Find the leak"), (*first, *LEAK))


def debris(job: Job) -> Section | None:
    """After a failed compressor: the search for debris, and what cannot be cleaned."""
    if not failed(job):
        return None
    names = ("serpentine condenser", "parallel-flow condenser", "expansion valve", "hose")
    known = job["machine.condenser"]
    if known == "parallel flow":
        names = names[1:]
    elif known:
        names = (names[0], *names[2:])
    rules = [rinse.part_rule(part) for part in names]
    steps = tuple(AFTER_DEBRIS.format(part=one.part, answer=one.answer, reason=one.reason) for one in rules)
    return Section("debris", _("Search for debris"), (*DEBRIS, *steps))
