"""All machines that the job's can be: the fleet's, drawn in the ranges of what is known, each with every fault."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from coldcab.faults import HEALTHY, faults_for
from coldcab.faults.atlas import Atlas
from coldcab.faults.cases import SEVERITIES, Cases, Drawn, Planned, all_tested, joined, planned, run_planned
from coldcab.faults.observables import Observed
from coldcab.job.description import Job
from coldcab.job.model import (
    NEWEST,
    Known,
    day,
    drawn_day,
    drawn_effects,
    job_of_known,
    model_machine,
    of_machine_and_day,
    refrigerant_of,
    with_known_sizes,
)
from coldcab.machine import Conditions, Effects, Machine, nominal_charge
from coldcab.machine.fleet import FLEET
from coldcab.service.acceptance import SPEEDS

PER_CLASS = 64
"""Machines drawn with each fault, over all types."""

LIKE = {"R-134a": ("R-134a", "R-12"), NEWEST: (NEWEST, "R-134a")}
"""Refrigerants that the machines of the fleet were built for which a machine with this one can be like."""

FOREIGN = "foreign refrigerant"
FOREIGN_SEVERITIES = (0.4, 0.8, 1.0)
"""Of the machines drawn with foreign refrigerant: each is another fluid, so each is drawn on one type of machine."""

RULED_OUT = 0.003
"""Chance of all machines together that are not run at the other speed and not tested by hand: the least likely."""

FAN_DRIVE = 0.043
"""Doubt of the head's change between the engine's speeds, share of the absolute head, one standard deviation: how fast
a condenser's fan follows the engine is known of no real machine. What the fleet shows with fans driven by 5 to 95 %."""
FOLLOWED = 0.04
"""Of that change, how much the low side's follows it."""


def types(job: Job) -> tuple[Machine, ...]:
    """Machines of the fleet that the job's can be like, with what is known of its compressor."""
    if job.known("machine.like"):
        return (model_machine(job),)
    refrigerant = refrigerant_of(job)
    fitting = LIKE.get(refrigerant, (refrigerant,))
    return tuple(with_known_sizes(job, one) for one in FLEET.values() if one.refrigerant in fitting)


def drawn_machines(
    job: Job, machines: tuple[Machine, ...], speed: str, *, per_class: int = PER_CLASS, seed: int = 0
) -> tuple[Drawn, ...]:
    """Machines of some types with every fault they can have, drawn in the ranges of what is known of a job."""
    plans: list[Planned] = []
    share = -(-per_class // len(machines))
    for number, machine in enumerate(machines):
        names = (HEALTHY, *(name for name in faults_for(machine, refrigerant_of(job)) if name != FOREIGN))
        plans.append(_planned(job, machine, names, speed, share, SEVERITIES, seed + number))
    if FOREIGN in faults_for(machines[0], refrigerant_of(job)):
        share = -(-per_class // len(FOREIGN_SEVERITIES))
        for number, severity in enumerate(FOREIGN_SEVERITIES):
            machine = machines[number * (len(machines) - 1) // (len(FOREIGN_SEVERITIES) - 1)]
            ends = (severity, severity)
            plans.append(_planned(job, machine, (FOREIGN,), speed, share, ends, seed + len(machines) + number))
    return run_planned(plans)


def _planned(
    job: Job, machine: Machine, names: tuple[str, ...], speed: str, share: int, severities: tuple[float, float],
    seed: int,
) -> Planned:  # fmt: skip
    def among(random: np.random.Generator, count: int) -> tuple[Effects, Conditions]:
        effects = drawn_effects(job, random, count)
        return effects, replace(drawn_day(job, random, count), engine_speed=SPEEDS[speed])

    refrigerant = refrigerant_of(job)
    return planned(
        machine,
        replace(day(job), engine_speed=SPEEDS[speed]),
        refrigerant=refrigerant,
        charge=nominal_charge(machine, refrigerant),
        names=names,
        per_class=share,
        seed=seed,
        severities=severities,
        among=among,
        other=SPEEDS["idle"],
    )


@dataclass(frozen=True)
class Yard:
    """All machines that the job's can be, with every fault, as they run on the day; not yet tested by hand."""

    drawn: tuple[Drawn, ...]
    machine: Machine
    conditions: Conditions
    refrigerant: str
    pumps: bool = True

    @cached_property
    def untested(self) -> Atlas:
        """What can be said without a hands-on test or a second engine speed."""
        return self._atlas(joined([one.untested() for one in self.drawn]))

    def whole(self) -> Atlas:
        """The atlas of all of them, everything tested; a second or two of work."""
        return self._atlas(joined(all_tested(self.drawn)))

    def likely(self, taken: Mapping[str, Observed], prior: Mapping[str, float]) -> Atlas:
        """The atlas of those that can still be meant after what was read; the others are not tested any further."""
        coarse = self.untested
        early = {name: value for name, value in taken.items() if name in coarse.cases.seen}
        weights = coarse.posterior(early, prior=prior).weights
        order = np.argsort(weights)
        keep = coarse.cases.classes == 0  # they say how wide the kernel is
        keep[order[np.cumsum(weights[order]) > RULED_OUT]] = True
        parts = np.split(keep, np.cumsum([one.solved.size for one in self.drawn])[:-1])
        some = [(one, one.solved[part]) for one, part in zip(self.drawn, parts, strict=True) if part.any()]
        cases = joined(all_tested(*zip(*some, strict=True)), coarse.names)
        lost = np.bincount(coarse.cases.classes[keep], minlength=len(cases.names)) - cases.sizes
        return self._atlas(replace(cases, counts=coarse.cases.sizes - lost))

    def _atlas(self, cases: Cases) -> Atlas:
        charge = nominal_charge(self.machine, self.refrigerant)
        made = Atlas(self.machine, self.conditions, self.refrigerant, charge, cases)
        # The pressure of a circuit at rest is physics: the model's doubt is of machines that pump.
        return made.for_real(self.drawn[0].runs.lot.start, self._other_speed()) if self.pumps else made

    def _other_speed(self) -> dict[str, float]:
        """What the gauges' change between two speeds may differ by where the fan is driven otherwise."""
        healthy = self.drawn[0].runs.lot.start
        # Machines of several kinds differ by their fans already.
        if healthy is None or any(one.runs.lot.machine is not self.machine for one in self.drawn):
            return {}
        off = FAN_DRIVE * float(healthy.high_pressure)
        return {"high_gauge_other_speed": off, "low_gauge_other_speed": FOLLOWED * off}


@lru_cache(maxsize=4)
def _yard(known: Known, speed: str) -> Yard:
    job = job_of_known(known)
    machines = types(job)
    conditions = replace(day(job), engine_speed=SPEEDS[speed])
    return Yard(drawn_machines(job, machines, speed), machines[0], conditions, refrigerant_of(job))


def yard_of(job: Job, speed: str = "fast idle", *, pumps: bool = True) -> Yard:
    """All machines that the job's can be; kept while what is known of machine and day stays.

    ``pumps`` is False where the gauges say that nothing is pumped.
    """
    found = _yard(of_machine_and_day(job), speed)
    return found if pumps else replace(found, pumps=False)
