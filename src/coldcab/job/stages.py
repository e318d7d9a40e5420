"""The sections of a plan, in the order of the work. Every figure comes from the room that knows it."""

from __future__ import annotations

import math
from functools import lru_cache

from coldcab import air, units
from coldcab.job import oil_books
from coldcab.job.description import Job
from coldcab.job.figures import GAUGE, Figure, Section, in_words
from coldcab.job.model import MIDDLE, NEWEST, model_machine, original_of, refrigerant_of
from coldcab.job.questions import REFRIGERANTS
from coldcab.oil import oil_named
from coldcab.quantities import PSI
from coldcab.service import (
    depth,
    drying,
    evacuation,
    identification,
    leak_test,
    pumping,
    recovery,
    retrofit,
    rinse,
)
from coldcab.words import _

PRACTICE = _("common practice, no source")
FAHRENHEIT_DEGREE = float(units.from_unit(1.0, "temperature difference", "F"))
TEST_GAUGE = 150.0 * PSI
"""Gauge pressure of the nitrogen test, common practice, no source; the plate of the weakest part comes first."""

TEST_HOURS, GAUGE_STEP, THERMOMETER_STEP = 12.0, 1.0 * PSI, 1.0 * FAHRENHEIT_DEGREE
WATER_ASSUMED = 5e-3
"""kg of water in a circuit that stood open and was rained into: a guess."""

WHO_MAY_OPEN = _(
    "This is an {kind}: {reason}. Who may open it: {who} ({citation}; check the current law where you work)."
)
IDENTIFIED = _("Identified: {name}. {meaning}. {next_step}.")
NOTHING_INSIDE = _(
    "Nothing is inside but vapor or air at the pressure of the day. Pull it to the depth below all the same: what is "
    "left counts. Write the empty circuit into the record, it is the first sign of the leak."
)
OIL_GRADE = _("{oil}, of the grade that the compressor's maker names.")
OIL_UNKNOWN = _(
    "{oil}, of the grade that the compressor's maker names. The data sheet's total is not "
    "known, so no amount is given here: find it first. Measure what comes out and what the "
    "new part brings."
)
MADE_FOR_IT = _(
    "Recovery machine, vacuum pump, leak detector and charging machine must be made for R-1234yf, and are used for "
    "nothing else. Its ports and hoses fit no other gas: never an adapter."
)
MILDLY_FLAMMABLE = (
    _(
        "R-1234yf burns, though not easily (class A2L): no flame, spark or glowing heat near it. Its vapor is heavier "
        "than air: keep air moving at the floor, and do not work over a pit."
    ),
    _(
        "Its fire makes hydrogen fluoride, which burns lungs and skin: get away, call for help, and have even a small "
        "burn seen to by a doctor."
    ),
    MADE_FOR_IT,
)
"""Class by the catalogue (ASHRAE 34); the acid of its fire from memory; equipment of its own: fittings rule N15."""

OIL_OF_THE_NEWEST = _(
    "Take the oil that the compressor's plate names for R-1234yf. A PAG that is not made for it can break down: common "
    "practice, no source."
)
HOSE = {"hose_length": 1.5, "hose_diameter": 5e-3}
SOLVENT, CARRY_OVER = 0.25e-3, 10e-6
"""m3 of solvent for each rinse, and of liquid that stays after blowing out: assumptions."""


def atmosphere(job: Job) -> float:
    """Air pressure of the yard, Pa; that of 1,000 ft (300 m) where the altitude is not known."""
    return float(air.atmospheric_pressure(job.get("weather.altitude", MIDDLE["altitude"])))


def ambient(job: Job) -> float:
    """Air temperature, K; 95 F (35 C) where it is not known."""
    return job.get("weather.ambient", MIDDLE["ambient"])


def clause(words: str) -> str:
    """Words of another room as they stand in a sentence's field: a capital first, no full stop."""
    return (words[:1].upper() + words[1:]).rstrip(". ")


def converts(job: Job) -> bool:
    """Whether the refrigerant is changed from R-12 to R-134a; not where nobody speaks of R-12 or of what goes in."""
    spoken = job.known("machine.original_refrigerant") or job.known("work.refrigerant") or job["work.inside"] == "R-12"
    return spoken and original_of(job) == "R-12" and refrigerant_of(job) == "R-134a"


def contents(job: Job) -> str:
    """What is taken to be in the circuit before work."""
    inside = job.get("work.inside", "not identified")
    return inside if inside in REFRIGERANTS else original_of(job)


def before_you_start(job: Job) -> Section:
    """Who may do it, and what is inside."""
    # Only whether it is under 20 lb counts, and every cab's machine is.
    charge = job.get("machine.charge", model_machine(job).charge)
    kind = depth.kind_of_machine(contents(job), road=False, open_drive=True, charge=charge)
    steps = [
        WHO_MAY_OPEN.format(kind=kind.name, reason=kind.reason, who=kind.who, citation=kind.citation),
    ]
    inside = job.get("work.inside", "not identified")
    shares = {
        "R-12": {"R-12": 1.0},
        "R-134a": {"R-134a": 1.0},
        "R-1234yf": {"R-1234yf": 1.0},
        "mixture": {NEWEST if original_of(job) == NEWEST else "R-12": 0.5, "R-134a": 0.5},
        "air": {"R-134a": 0.8, "air": 0.2},
    }
    if inside == "nothing":
        steps.append(NOTHING_INSIDE)
    elif inside == "not identified":
        steps.append(_("Identify the refrigerant before you connect anything. A wrong guess spoils a whole cylinder."))
    else:
        finding = identification.identify(shares[inside])
        steps.append(
            IDENTIFIED.format(name=finding.name, meaning=clause(finding.meaning), next_step=clause(finding.next_step))
        )
    return Section(
        "before",
        "Before you start",
        tuple(steps),
        cautions=(
            _(
                "Glasses and gloves: liquid refrigerant freezes skin and eyes. Fresh air: it pushes the "
                "air out of closed rooms. No flame near it."
            ),
            _("Key out before a hand goes near belt, pulley or fan."),
            *burning(job),
        ),
    )


def burning(job: Job) -> tuple[str, ...]:
    """What holds where R-1234yf is inside or goes in; nothing elsewhere."""
    return MILDLY_FLAMMABLE if NEWEST in (contents(job), refrigerant_of(job)) else ()


def recover(job: Job) -> Section:
    """How deep, into which cylinder, and how much to expect."""
    name, charge = contents(job), job["machine.charge"]
    around = atmosphere(job)
    deep = depth.required_depth(depth.OFF_ROAD, atmosphere=around)
    figures = [
        Figure("depth", _("pull down to at least"), deep.pressure - around, GAUGE, deep.citation),
    ]
    if charge is not None:
        figures.append(Figure("expected", _("charge on its data sheet"), charge, "mass", "data sheet"))
    steps = [
        _("Recover everything, also what is called empty: 0 psig is the pressure of the air, not of nothing."),
        _(
            "Wait five minutes with the machine off. If the pressure rises, repeat. Weigh the "
            "cylinder before and after."
        ),
    ]
    capacity = job["tools.cylinder_water_capacity"]
    mixed = job["work.inside"] == "mixture"
    if capacity:
        allowed = recovery.allowed_fill(name, water_capacity=capacity, tare=job.get("tools.cylinder_tare", 0.0))
        strictest = allowed.strictest
        figures.append(
            Figure("allowed", _("net fill of the cylinder at most"), strictest.mass, "mass",
                   f"{strictest.rule}; {strictest.citation}")
        )  # fmt: skip
        if job.known("tools.cylinder_tare"):
            figures.append(
                Figure("gross", _("stop when the scale shows"), allowed.gross, "mass", _("net fill plus tare"))
            )
    if mixed:
        steps.append(
            _("A mixture goes into a cylinder of its own, marked as such, and to a reclaimer. Never into clean stock.")
        )
    return Section(
        "recover",
        "Recover",
        tuple(steps),
        tuple(figures),
        (_("Never fill a cylinder beyond its limit: when the sun makes the liquid fill it, it bursts."),),
    )


REPLACED = {
    "compressor": _(
        "Compressor: replaced. Its maker says whether it is approved for {refrigerant}, which "
        "oil it takes and how much it brings."
    ),
    "receiver-drier": _(
        "Receiver-drier: replaced. Its desiccant must be for {refrigerant}; open it last, for it "
        "drinks water from the air."
    ),
    "condenser": _(
        "Condenser: replaced. Compare its size with the old one: with {refrigerant} the head leaves less margin."
    ),
}
"""What to look at where a part that the job asks about has been replaced."""

PART = _("{part}: {action}. {reason}.")
PART_BY_LAW = _("{part}: {action}. {reason} (law: {citation}).")
AFTER_DEBRIS = _("After debris, {part}: {answer}. {reason}")


def decide_parts(job: Job) -> Section:
    """Which parts go, and why."""
    steps = []
    if converts(job):
        machine = retrofit.OldMachine(
            hoses=job.get("machine.hoses", retrofit.UNKNOWN),
            seals=job.get("machine.seals", retrofit.UNKNOWN),
            desiccant=retrofit.UNKNOWN,
            oil=oil_books.old_oil(job),
            compressor="failed" if failed(job) else "sound",
            condenser=job.get("machine.condenser", "tube and fin"),
            relief_device=job.get("machine.relief_device", True),
            high_cutout=job.get("machine.high_cutout", False),
        )
        replaced = set(job["work.replaced"] or ())
        for one in retrofit.decide_parts(machine):
            if one.part == "condenser" and not may_be_flushed(job):
                continue  # the search for debris has said so
            if one.part in replaced and one.part in REPLACED:
                steps.append(REPLACED[one.part].format(refrigerant=refrigerant_of(job)))
                continue
            step = PART_BY_LAW if one.by_law else PART
            steps.append(
                step.format(part=clause(one.part), action=one.action, reason=clause(one.reason), citation=one.citation)
            )
    else:
        steps.append(_("Receiver-drier: replace it whenever the circuit was open. Its desiccant has met the air."))
        steps.append(_("O-rings of every joint you open: replace them, oiled with the oil that goes in."))
    if "heater valve leaking" in (job["work.findings"] or ()):
        steps.append(_("Heater valve: replace it or fit a shut-off. No refrigerant cures hot water behind the coil."))
    return Section("parts", "Parts", tuple(steps))


def failed(job: Job) -> bool:
    """Whether a compressor has failed and may have shed debris."""
    return job["work.complaint"] == "compressor failed" or "metal debris" in (job["work.findings"] or ())


def may_be_flushed(job: Job) -> bool:
    """Whether flushing the condenser can clean it: not one with many paths after debris."""
    return not (failed(job) and job["machine.condenser"] == "parallel flow")


def clean(job: Job) -> Section | None:
    """How many flushes; None where nothing is flushed. What is replaced, or cannot be cleaned so, is left out."""
    replaced = set(job["work.replaced"] or ()) | (set() if may_be_flushed(job) else {"condenser"})
    rinsed = [part for part in job["work.rinsed"] or () if part in oil_books.RETAINED and part not in replaced]
    if not rinsed:
        return None
    figures = []
    for part in rinsed:
        held = oil_books.RETAINED[part].usual
        count = rinse.rinses_needed(rinse.TARGET, carry_over=CARRY_OVER, solvent=SOLVENT, held=held)
        figures.append(
            Figure(
                f"flushes {part}",
                _("flushes of the {part}").format(part=part),
                count,
                "count",
                _(
                    "{target:.0%} of its oil may stay ({practice}); {solvent} each, {carry_over} left after "
                    "blowing out: assumptions"
                ).format(
                    target=rinse.TARGET,
                    practice=PRACTICE,
                    solvent=in_words(SOLVENT, "volume"),
                    carry_over=in_words(CARRY_OVER, "volume"),
                ),
            )
        )
    return Section(
        "rinse",
        "Flush",
        (_("Flush against the flow, part by part, with the part off the machine. Blow dry until nothing more comes."),),
        tuple(figures),
        rinse.CAUTIONS[:3],
    )


def own_oil(job: Job) -> tuple[str, ...]:
    """What holds of the oil where R-1234yf goes in."""
    return (OIL_OF_THE_NEWEST,) if refrigerant_of(job) == NEWEST else ()


def oil(job: Job) -> Section:
    """The ledger, and where the missing oil goes."""
    books = oil_books.ledger(job)
    name = oil_books.new_oil(job)
    if books is None:
        return Section(
            "oil",
            "Oil",
            (OIL_UNKNOWN.format(oil=name), *own_oil(job)),
        )
    missing = books.to_add
    steps = [OIL_GRADE.format(oil=name), *own_oil(job), books.verdict()]
    basis = _("ledger: data sheet, less what is in, plus what left")
    figures = [
        Figure("to add", _("oil to add, whole circuit"), missing.volume, "volume", basis,
               missing.volume - missing.uncertainty, missing.volume + missing.uncertainty)
    ]  # fmt: skip
    if missing.volume < 0.0:
        within = -missing.volume <= missing.uncertainty
        steps.append(
            _("Within the doubt nothing is to be added.")
            if within
            else _("There is more oil inside than the data sheet asks for: drain, do not add.")
        )
    else:
        proposal = books.proposal(oil_books.dry_parts(job))
        steps.append(proposal.words)
        for place in proposal.placements:
            figures.append(
                Figure(
                    f"oil {place.part}", f"into the {place.part}", place.volume, "volume", f"{place.reason}; {PRACTICE}"
                )
            )
    shares = books.shares()
    if len(shares) > 1:
        if shares.get(oil_name(oil_books.old_oil(job)), 0.0) > rinse.TARGET:
            steps.append(
                _("More of the old oil stays than the usual target of 5 %: flush more parts, or drain again later.")
            )
        old, share = oil_books.old_oil(job), shares.get(oil_name(oil_books.old_oil(job)), 0.0)
        figures.append(
            Figure("residue", _(
"{old} oil that stays, of what is inside"
).format(old=old), share, "fraction",
                   _(
"ledger; a good flush leaves {rinse_leaves:.0%} ({practice})"
).format(rinse_leaves=oil_books.RINSE_LEAVES, practice=PRACTICE))
        )  # fmt: skip
    return Section(
        "oil",
        "Oil",
        tuple(steps),
        tuple(figures),
        (_("Fluid ounces of oil are a volume, ounces of refrigerant a weight."),),
    )


def oil_name(word: str) -> str:
    """The ledger's name of an oil."""
    return oil_named(word).name


def pressure_test(job: Job) -> Section:
    """Dry nitrogen, corrected for the night's temperature."""
    around, warm = atmosphere(job), ambient(job)
    start = TEST_GAUGE + around
    cooler = warm - 15.0 * FAHRENHEIT_DEGREE
    later = float(leak_test.corrected_pressure(start, warm, cooler))
    volume = model_machine(job).volume
    smallest = leak_test.smallest_leak(
        volume,
        TEST_HOURS * 3600.0,
        pressure=start,
        temperature=warm,
        gauge_resolution=GAUGE_STEP,
        thermometer_resolution=THERMOMETER_STEP,
    )
    return Section(
        "test",
        "Pressure test",
        (
            _(
"Dry nitrogen through a regulator, slowly. Soap every joint you opened. Leave it "
"overnight, read gauge and the circuit's temperature together."
),
            _("Compare with the corrected pressure, not with last night's."),
        ),
        (
            Figure("start", "test pressure", TEST_GAUGE, GAUGE, _(
"{practice}; never above the weakest part's plate"
).format(practice=PRACTICE)),
            Figure("cooler", _("the same, 15 F (8 K) cooler next morning"), later - around, GAUGE,
                   _("p2 = p1 T2 / T1, absolute (gas at constant volume)")),
            Figure("smallest", _("fall that this night can prove"), float(smallest / volume * TEST_HOURS * 3600.0),
                   "pressure difference", _("gauge read to 1 psi, thermometer to 1 F (0.6 K)")),
        ),
        leak_test.CAUTIONS[:3],
    )  # fmt: skip


def stood_open(job: Job) -> bool:
    """Whether air has been in the circuit for longer than a repair takes, as far as the job says."""
    return job.get("work.complaint", "") in ("lost its charge", "compressor failed") or (
        job.get("work.inside", "") in ("air", "nothing")
    )


def pumping_time(job: Job, warm: float, around: float) -> Figure:
    """Time on the pump: the longer of printed practice and of what free water takes; infinite past four hours."""
    least = pumping.least_time(part_replaced=bool(job.get("work.replaced", ())), stood_open=stood_open(job))
    printed = pumping.NO_LESS.format(source=least.source)
    pump = job["tools.pump"]
    if not pump:
        return Figure("time", _("time on the pump, at least"), least.time, "time", printed)
    free = free_water_gone(model_machine(job).volume, pump, warm, around)
    if free > least.time:
        return Figure(
            "time", _("time on the pump, at least"), free, "time",
            _("5 g of free water, 5 ft (1.5 m) of hose, cores in place: assumptions; longer than {printed}").format(
                printed=printed
            ),
        )  # fmt: skip
    return Figure(
        "time", _("time on the pump, at least"), least.time, "time",
        _("{printed}; 0.18 oz (5 g) of free water alone would take {free}").format(
            printed=printed, free=in_words(free, "time")
        ),
    )  # fmt: skip


@lru_cache(maxsize=8)
def free_water_gone(volume: float, pump: float, warm: float, around: float) -> float:
    """Time (s) until the free water assumed is gone, to a quarter of a minute; infinite past four hours."""
    return float(
        drying.drying(
            volume, pump_speed=pump, water=WATER_ASSUMED, temperature=warm, atmosphere=around, duration=4 * 3600.0,
            samples=121, tolerance=1e-4, **HOSE,
        ).done_after
    )  # fmt: skip


def evacuate(job: Job) -> Section:
    """How deep today, how long with this pump."""
    around, warm = atmosphere(job), ambient(job)
    needed = evacuation.required_vacuum(warm, atmosphere=around)
    figures = [
        Figure("boils", _("water boils below, today"), float(needed.boils_below), "pressure",
               _("vapor pressure of water at the air's temperature")),
        Figure("gauge", _("a vacuum gauge here must show at least"), -float(needed.gauge_vacuum), GAUGE,
               _("boiling 18 F (10 K) below the air's temperature; this altitude's air pressure")),
        Figure("target", _("micron gauge, pump shut off"), evacuation.DEEP_TARGET, "pressure", PRACTICE),
    ]  # fmt: skip
    steps = [_("Pump through both sides. Shut the valve to the pump before you stop it, then watch the rise.")]
    if job["tools.micron_gauge"] is False:
        steps.append(
            _("Without a micron gauge nobody sees whether it is dry. Borrow one, or pump much longer and say so.")
        )
    steps += [pumping.PUMP_OIL, pumping.HELD_WATER]
    figures.append(pumping_time(job, warm, around))
    if figures[-1].value == math.inf:
        figures.pop()
        steps.append(_("With this pump a wet circuit is not dry within four hours: warm it, take the cores out."))
    steps.append(_("Rise test: a straight line is a leak, a bend towards a plateau is moisture."))
    return Section("vacuum", "Evacuate", tuple(steps), tuple(figures), evacuation.CAUTIONS[:3])
