"""How well and how fast causes are ranked from readings as found: ``pytest -n 0 -s tests/benchmarks/test_ranking.py``.

Held-out machines of the model, of unknown type, sizes known to a fifth, severity over 0.4, flat base rates. Each figure
stands with and without the doubt of the model; "moved" are machines whose readings differ from the model's by as much
as printed ones do. Figures in a shop will lie between, at best.
"""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[1]))

from coldcab.faults import COMPONENT_TESTS, group, observables
from coldcab.faults.atlas import Atlas
from coldcab.faults.cases import Cases, all_tested, joined
from coldcab.faults.observing import scattered
from coldcab.job import as_found, yard
from test_job_as_found import DAY, PRINTED, TWELVE, job_of

GAUGES = TWELVE[:2]
SETS = {
    "two gauges": GAUGES,
    "gauges at two speeds": TWELVE[:4],
    "and vent, air, two clips, glass": (*TWELVE[:8], "glass"),
    "twelve usual lines": TWELVE,
    "and hands-on tests": tuple(name for name in observables if name not in COMPONENT_TESTS),
}
JOB = job_of(DAY)
Scores = dict[str, float]


@cache
def whole() -> Atlas:
    return yard.yard_of(JOB).whole()


@cache
def held_out() -> Cases:
    return of_types(yard.types(JOB), 21, 900)


def of_types(machines: tuple, per_class: int, seed: int) -> Cases:
    drawn = yard.drawn_machines(JOB, machines, "fast idle", per_class=per_class, seed=seed)
    return joined(all_tested(drawn))


def scores(atlas: Atlas, truth: Cases, names: tuple[str, ...], moved: bool = False) -> Scores:
    random = np.random.Generator(np.random.Philox(5))
    noisy, groups = scattered(truth.seen, random), [group(name) for name in truth.names]
    lead, three, chances = [], [], []
    for k in np.flatnonzero((truth.severities > 0.4) | (truth.classes == 0)):
        taken = {name: noisy[name][k].item() for name in names}
        for part in whole().errors if moved else ():
            off = random.standard_normal()
            taken |= {name: taken[name] + off * error for name, error in part.items() if name in taken}
        ranked, right = list(atlas.posterior(taken, prior="flat").groups.items()), groups[truth.classes[k]]
        lead.append(ranked[0][0] == right)
        three.append(right in [name for name, _ in ranked[:3]])
        chances.append(ranked[0][1])
    sure = np.array(chances) > 0.8
    right = float(np.mean(np.array(lead)[sure])) if sure.any() else np.nan
    return {"leads": np.mean(lead), "first three": np.mean(three), "said > 0.8": sure.mean(), "and right": right}


def in_words(found: Scores) -> str:
    return ", ".join(f"{name} {value:.3f}" for name, value in found.items())


def test_by_evidence() -> None:
    plain = replace(whole(), errors=(), _kernels={})
    print(f"\n{len(held_out().classes)} held-out machines, atlas of {len(whole().cases.classes)}")
    found = {}
    for words, names in SETS.items():
        for kind, moved in (("model's machines", False), ("moved", True)):
            for doubt, atlas in (("without", plain), ("with", whole())):
                found[words, moved, doubt] = scores(atlas, held_out(), names, moved)
                print(f"{words:32s} {kind:17s} {doubt:7s} doubt: {in_words(found[words, moved, doubt])}")
    twelve, hands = found["twelve usual lines", False, "with"], found["and hands-on tests", False, "with"]
    assert twelve["leads"] >= 0.77
    assert twelve["first three"] >= 0.91
    assert twelve["and right"] >= 0.96
    assert hands["leads"] >= 0.83
    real = found["twelve usual lines", True, "with"]
    assert real["leads"] > found["twelve usual lines", True, "without"]["leads"] + 0.05
    assert real["and right"] >= 0.95


def test_by_type_left_out() -> None:
    """A whole type of machine that the atlas has never seen costs little."""
    costs = []
    for number, machine in enumerate(every := yard.types(JOB)):
        own = of_types((machine,), 3, 900 + number)
        others = tuple(one for one in every if one is not machine)
        drawn = yard.drawn_machines(JOB, others, "fast idle")
        rest = yard.Yard(drawn, others[0], whole().conditions, whole().refrigerant).whole()
        known, unknown = (scores(atlas, own, TWELVE) for atlas in (whole(), rest))
        costs.append(known["leads"] - unknown["leads"])
        print(f"\n{machine.name:30s} in: {in_words(known)}\n{'':30s} out: {in_words(unknown)}", end="")
    print(f"\nmean cost {np.mean(costs):.3f}, largest {np.max(costs):.3f}")
    assert np.mean(costs) < 0.07


def test_printed_readings() -> None:
    """fault_gauges.csv with two gauges and sometimes a glass."""
    first, among = [], []
    for number, (low, high, glass, meant) in PRINTED.items():
        read = {"found.fast_idle_low_side": f"{low} psig", "found.fast_idle_high_side": f"{high} psig"}
        found = as_found.finding(job_of(DAY | read | ({"found.glass": glass} if glass else {})))
        groups = [{group(name) for name in one.names} for one in found.causes[: found.leading]]
        first.append(bool(groups) and bool(groups[0] & meant))
        among.append(any(one & meant for one in groups))
        print(f"\n{number} {low}/{high} {glass}: {found.verdict}", end="")
    print(f"\nfirst {np.mean(first):.2f}, among those that cannot be told apart {np.mean(among):.2f}")
    assert np.mean(among) >= 0.8


TIMED = """
import time, sys
def since(start): return time.process_time() - start
start = time.process_time()
import CoolProp
unit = since(start)
from coldcab import job
from coldcab.job import as_found
one = job.job_of(eval(sys.argv[1]))
start = time.process_time()
as_found.finding(one)
print(since(start), unit)
"""
READ = {
    "fast_idle_low_side": "36 psig", "fast_idle_high_side": "330 psig", "fast_idle_vent": "57 F", "glass": "clear",
    "fast_idle_return_air": "95 F", "fast_idle_liquid_line": "163 F", "idle_low_side": "41 psig",
    "idle_high_side": "275 psig",
}  # fmt: skip
DAY_OF = {"ambient": "95 F", "humidity": "40 %", "altitude": "500 ft"}


@pytest.mark.parametrize(
    ("words", "known"),
    [
        ("one type of machine", {"machine": {"like": "combine"}, "weather": DAY_OF}),
        ("any machine", {"weather": DAY_OF}),
        ("any machine, any day", {}),
    ],
)
def test_time_of_a_ranking(words: str, known: dict) -> None:
    """Processor time, also as a ratio to importing CoolProp in the same run."""
    given = repr(known | {"found": READ})
    found = subprocess.run([sys.executable, "-c", TIMED, given], check=True, capture_output=True, text=True).stdout
    took, unit = map(float, found.split())
    print(f"\n{words}: ranked in {took:.2f} s, {took / unit:.2f} times the import of CoolProp ({unit:.2f} s)", end="")
    assert took < 1.2 * unit
