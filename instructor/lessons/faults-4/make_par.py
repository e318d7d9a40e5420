"""Play every ticket and every page of the complaint book once: ``python -m coldcab.make par``; it takes minutes.

It writes par into the package (``scenario/par.npz``). The clinic's reference player knows what a
machine of the clinic can have, one fault or two, takes the gauges first, for the sheet asks for them, and adds what
shows the cause where that is still missing. How little par tells of the cause, tests/lessons/test_faults_4.py asks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from coldcab.faults import HEALTHY, Atlas, Posterior, entry, group
from coldcab.faults.atlas import Cases
from coldcab.faults.cases import _usually as usually
from coldcab.faults.cases import all_tested, joined, planned, run_planned
from coldcab.faults.catalogue import combine, faults_for
from coldcab.faults.observables import observations
from coldcab.instruments.hands_on import can_be_done
from coldcab.instruments.path_desk import PathDesk
from coldcab.instruments.suspects_board import DAYS as BOARD_DAYS
from coldcab.instruments.suspects_board import ENGINE_RPM
from coldcab.lessons.keys import module_of
from coldcab.machine import Conditions, Effects, nominal_charge
from coldcab.machine.fleet import FLEET
from coldcab.scenario import clinic, complaints, par, sick_machines

HERE = Path(__file__).parent
keys = module_of(HERE / "keys.py", "faults_4_keys")
making = module_of(HERE / "make_tickets.py", "faults_4_tickets")

PER_CLASS = 30
SEED = 5
FIRST = ("gauges",)
JOIN = " + "


class ClinicAtlas(Atlas):
    """Machines with one fault of the clinic, or two, as often as the clinic has them."""

    def posterior(self, readings: Any, **_how: Any) -> Posterior:
        """What the readings say."""
        taken = observations(readings, self.refrigerant)
        kinds = np.array([0 if name == HEALTHY else 1 + (JOIN in name) for name in self.names])
        shares = np.array(making.KIND_SHARES)[kinds] / np.bincount(kinds)[kinds] / self.cases.sizes
        logs = self.log_likelihoods(taken) + np.log(shares)[self.cases.classes]
        weights = np.exp(logs - logs.max())
        weights /= weights.sum()
        chances = np.minimum(np.bincount(self.cases.classes, weights, len(self.names)), 1.0)
        return Posterior(self, taken, dict(zip(self.names, chances.tolist(), strict=True)), weights)


def cases_of(unit: int, conditions: Conditions) -> Cases:
    """Machines with what the clinic draws for one unit."""
    refrigerant = clinic.refrigerant_in(unit)
    own = {HEALTHY, *faults_for(FLEET[unit], refrigerant)}
    how: dict[str, Any] = {
        "refrigerant": refrigerant,
        "charge": nominal_charge(FLEET[unit], refrigerant),
        "per_class": PER_CLASS,
        "severities": making.SEVERITIES,
    }
    singles = tuple(name for name in clinic.CAUSES if name in own)
    plans, doubles = [planned(FLEET[unit], conditions, names=singles, seed=SEED, **how)], []
    for number, (one, other) in enumerate(making.DOUBLES, 1):
        if own.issuperset((one, other)):

            def among(random: np.random.Generator, count: int, other: str = other) -> tuple[Effects, Conditions]:
                effects, weather = usually(conditions)(random, count)
                return combine(effects, entry(other).effects(random.uniform(*making.SEVERITIES, count))), weather

            names = (HEALTHY, one)
            plans.append(planned(FLEET[unit], conditions, names=names, seed=SEED + number, among=among, **how))
            doubles.append(JOIN.join((one, other)))
    first, *others = all_tested(run_planned(plans))
    return joined([first, *(_only(drawn, 1, name) for drawn, name in zip(others, doubles, strict=True))])


def _only(cases: Cases, number: int, name: str) -> Cases:
    """The cases of one class, under a name of their own."""
    own = cases.classes == number
    seen = {each: value[own] for each, value in cases.seen.items()}
    return replace(
        cases, names=(name,), classes=np.zeros(int(own.sum()), int), severities=cases.severities[own], seen=seen
    )


@cache
def at_the_clinic(unit: int, day: float) -> par.Player:
    """The player at one unit of the clinic on one day."""
    conditions, refrigerant = sick_machines.day(day, clinic.RPM), clinic.refrigerant_in(unit)
    charge = nominal_charge(FLEET[unit], refrigerant)
    atlas = ClinicAtlas(FLEET[unit], conditions, refrigerant, charge, cases_of(unit, conditions))
    return _player(atlas, clinic.PRICES, unit, lambda now: now.probabilities)


def ticket_path(number: str, causes: Iterable[str]) -> tuple[str, ...]:
    """What the player measures on a ticket, and what is missing to show the causes: of each the cheapest group."""
    one, causes = clinic.ticket(number), tuple(causes)
    player = at_the_clinic(one.unit, one.day)
    names = {JOIN.join(causes), JOIN.join(reversed(causes))}
    cause = next(name for name in player.ask({}).probabilities if name in names)
    path, __ = player.path(one.seen, cause, first=FIRST)
    for each in causes:
        missing = [[name for name in group if name not in path] for group in keys.groups_on(number, each)]
        path += tuple(min(missing, key=lambda names: sum(clinic.PRICES[name] for name in names)))
    return path


def complaint_path(number: int, unit: int, day: float) -> tuple[tuple[str, ...], bool]:
    """What the player measures at the suspects' board, and whether that was enough."""
    fault = complaints.hidden(number, unit)
    everything = complaints.seen(number, unit, day, ENGINE_RPM)
    return at_the_board(unit, day).path(everything, group(fault.name if fault else HEALTHY))


@cache
def at_the_board(unit: int, day: float) -> par.Player:
    """The player at a machine of the complaint book."""
    return _player(complaints.atlas(unit, day, ENGINE_RPM), PathDesk.prices, unit, lambda now: now.groups)


def _player(
    atlas: Atlas, prices: Mapping[str, float], unit: int, shares: Callable[[Posterior], Mapping[str, float]]
) -> par.Player:
    return par.Player(atlas.posterior, prices, lambda name: can_be_done(name, FLEET[unit]), shares)


def ticket_par(number: str, causes: Iterable[str]) -> float:
    """Par of a ticket, minutes: a careful technician stays within the budget."""
    spent = sum(clinic.PRICES[name] for name in ticket_path(number, causes))
    return par.rounded_up(min(spent, clinic.BUDGET), graded=not number.startswith("P"))


def complaint_par(number: int, unit: int, day: float) -> float:
    """Par of a page, minutes; 0 where the player has not found the cause."""
    path, sure = complaint_path(number, unit, day)
    return par.rounded_up(sum(PathDesk.prices[name] for name in path)) if sure else 0.0


def main() -> None:
    """Write par of every case."""
    rows = {}
    for name in ("graded", "practice"):
        causes = keys.read_causes(f"{'clinic' if name == 'graded' else name}_causes.csv")
        rows[name] = np.array([ticket_par(*row) for row in causes.items()], np.uint8)
    days = tuple(BOARD_DAYS.values())
    book = [
        [[complaint_par(number, unit, day) for number in range(1, complaints.MANY + 1)] for day in days]
        for unit in FLEET
    ]
    rows["complaints"] = np.array(book, np.uint8)
    rows["units"], rows["days"] = np.array(tuple(FLEET), np.int16), np.array(days)
    np.savez_compressed(Path(par.__file__).with_name("par.npz"), **rows)


if __name__ == "__main__":
    main()
