"""Draw the machines of the clinic: ``python -m coldcab.make tickets``; the seeds are fixed.

It writes the readings into the package (``scenario/clinic.npz``, and ``clinic_practice.npz`` with its causes) and the
causes of the graded tickets into ``clinic_causes.csv``, which learners do not have. A machine is kept only if
its readings tell its causes, and no other, plainly: see `TELLS`. A healthy one lies inside the scatter that healthy
machines have, a sick one outside: see `inside_the_scatter`.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from coldcab.faults import HEALTHY, catalogue, observables, observe
from coldcab.faults.cases import SCATTER
from coldcab.faults.catalogue import combine, faults_for
from coldcab.faults.observables import GLASS_LOOKS, NUMBERS
from coldcab.lessons.keys import module_of
from coldcab.machine import nominal_charge
from coldcab.machine.effects import HEALTHY as NOTHING
from coldcab.machine.fleet import FLEET
from coldcab.scenario import clinic, sick_machines

HERE = Path(__file__).parent
PACKAGE = Path(clinic.__file__).parent
SEED, PRACTICE_SEED = 40_417, 200
TRAYS, PER_RACK = 20, 10
PRACTICE_TRAYS, PRACTICE_PER_RACK = 6, 4
DAYS = (92.0, 98.0, 104.0)
SEVERITIES = (0.6, 1.0)
SEVERE = {"bulb loose or bare": (0.85, 1.0)}
"""Where less would not lie outside the scatter of healthy machines."""
UNITS = tuple(FLEET)
KIND_SHARES = (0.16, 0.47, 0.37)
"""How many racks hold healthy machines, machines with one fault, machines with two; each rack is drawn by itself."""
BAR = 1e5
MARK = "# Causes of the clinic's tickets; made by python -m coldcab.make tickets\nticket,causes\n"

SINGLES = tuple(name for name in clinic.CAUSES if name != HEALTHY)
DOUBLES = (
    ("heater valve leaking", "condenser blocked"),
    ("heater valve leaking", "charge low"),
    ("heater valve leaking", "drier restricted"),
    ("heater valve leaking", "clutch or belt slipping"),
    ("heater valve leaking", "hot air recirculated"),
    ("condenser fan slow", "drier restricted"),
    ("condenser fan slow", "clutch or belt slipping"),
    ("condenser fan slow", "heater valve leaking"),
    ("hot air recirculated", "charge low"),
    ("hot air recirculated", "drier restricted"),
    ("hot air recirculated", "clutch or belt slipping"),
    ("condenser blocked", "clutch or belt slipping"),
    ("condenser blocked", "drier restricted"),
    ("condenser blocked", "charge low"),
    ("air in the circuit", "heater valve leaking"),
    ("air in the circuit", "hot air recirculated"),
)


keys = module_of(HERE / "keys.py", "faults_4_keys_of_tickets")
superheat, subcooling, step, rise = keys.superheat, keys.subcooling, keys.step, keys.rise


# Whether readings tell a cause plainly: the machine's own against the healthy one's of the day (SI).
TELLS = {
    "charge low": lambda s, h: s["glass"] != "clear" and step(s) < 2.0 and s["drier_out"] - s["liquid_line"] < 4.0,
    "charge high": lambda s, h: (
        subcooling(s) > 8.0 and s["standing_pressure"] < h["standing_pressure"] + 0.3 * BAR and s["glass"] == "clear"
    ),
    "air in the circuit": lambda s, h: s["standing_pressure"] > h["standing_pressure"] + 0.5 * BAR,
    "condenser blocked": lambda s, h: rise(s) > rise(h) + 5.0 and s["fan_share"] > 0.88,
    "condenser fan slow": lambda s, h: s["fan_share"] < 0.78,
    "hot air recirculated": lambda s, h: s["condenser_air_in"] - h["ambient"] > 4.5,
    "worn compressor": lambda s, h: (
        s["low_gauge"] > h["low_gauge"] + 0.22 * BAR
        and s["hub_slip"] < 0.05
        and superheat(s) > superheat(h) - 3.0
        and s["discharge_line"] > h["discharge_line"] + 7.0
        and s["high_gauge"] < h["high_gauge"] + 0.3 * BAR
    ),
    "clutch or belt slipping": lambda s, h: s["hub_slip"] > 0.12,
    "drier restricted": lambda s, h: step(s) > 4.0,
    "valve screen plugged": lambda s, h: (
        superheat(s) > superheat(h) + 8.0
        and s["low_gauge"] < h["low_gauge"] - 0.3 * BAR
        and s["glass"] == "clear"
        and step(s) < 2.0
    ),
    "bulb loose or bare": lambda s, h: (
        superheat(s) < superheat(h) - 5.0
        and s["low_gauge"] > h["low_gauge"] - 0.05 * BAR
        and s["low_gauge_bulb_reseated"] < -0.15 * BAR
    ),
    "low evaporator air": lambda s, h: s["vent"] < h["vent"] - 4.0 and s["low_gauge"] < h["low_gauge"] - 0.25 * BAR,
    "heater valve leaking": lambda s, h: s["vent_heater_pinched"] < -4.0,
}  # fmt: skip


def inside_the_scatter(seen: dict, well: dict) -> bool:
    """Whether gauges, vent and superheat lie no further from the healthy machine's than those of healthy ones do."""
    return (
        abs(seen["low_gauge"] - well["low_gauge"]) < 0.25 * BAR
        and abs(seen["high_gauge"] - well["high_gauge"]) < 1.0 * BAR
        and abs(seen["vent"] - well["vent"]) < 2.5
        and abs(superheat(seen) - superheat(well)) < 5.0
    )


def looks_well(seen: dict, well: dict) -> bool:
    """Whether a healthy machine shows nothing that a careful learner would have to explain away."""
    return (
        inside_the_scatter(seen, well)
        and seen["glass"] == "clear"
        and abs(rise(seen) - rise(well)) < 3.5
        and abs(seen["hub_slip"]) < 0.05
        and abs(seen["fan_share"] - 1.0) < 0.12
        and abs(step(seen)) < 1.5
        and subcooling(seen) < 6.0
        and abs(seen["discharge_line"] - well["discharge_line"]) < 7.0
    )


def is_plain(kind: int, seen: dict, well: dict) -> bool:
    """Whether a machine of a kind (0 healthy) can be told from the other kind without a guess."""
    return not inside_the_scatter(seen, well) if kind else looks_well(seen, well)


def one(random: np.random.Generator, unit: int, day: float, causes: tuple[str, ...]) -> dict:
    """Readings of one machine: scatter among healthy machines, the faults, and the instruments' scatter."""
    effects = NOTHING.changed(**{name: float(1 + s * random.standard_normal()) for name, s in SCATTER.items()})
    for cause in causes:
        if cause != HEALTHY:
            changes = catalogue[cause].effects(random.uniform(*SEVERE.get(cause, SEVERITIES)))
            effects = combine(effects, {name: float(value) for name, value in changes.items()})
    return observed(unit, day, faults=effects, seed=int(random.integers(2**31)))


def observed(unit: int, day: float, **how) -> dict:
    """Readings of a machine with its right charge, and what is in it."""
    refrigerant = clinic.refrigerant_in(unit)
    seen = observe(
        FLEET[unit],
        sick_machines.day(day, clinic.RPM),
        refrigerant=refrigerant,
        charge=nominal_charge(FLEET[unit], refrigerant),
        **how,
    )
    return {**seen, "refrigerant": refrigerant}


def healthy(unit: int, day: float) -> dict:
    """Readings of the healthy machine that day, without scatter."""
    return observed(unit, day, noise=False)


def drawn(random: np.random.Generator, kind: int, well: dict) -> tuple[int, float, tuple[str, ...], dict]:
    """A machine of a kind (0 healthy, 1 one fault, 2 two) whose readings tell what it has, and nothing else."""
    while True:
        causes = (
            (HEALTHY,),
            (SINGLES[random.integers(len(SINGLES))],),
            DOUBLES[random.integers(len(DOUBLES))],
        )[kind]
        for _ in range(12):
            unit, day = UNITS[random.integers(len(UNITS))], DAYS[random.integers(len(DAYS))]
            if not {HEALTHY, *faults_for(FLEET[unit], clinic.refrigerant_in(unit))}.issuperset(causes):
                continue
            try:
                seen = one(random, unit, day, causes)
            except ValueError:
                continue
            if not all(np.isfinite(seen[name]) for name in NUMBERS):
                continue
            seen = as_stored(seen)
            found = {name for name, tells in TELLS.items() if tells(seen, well[unit, day])}
            if found == set(causes) - {HEALTHY} and is_plain(kind, seen, well[unit, day]):
                return unit, day, causes, seen


def pool(seed: int, trays: int, per_rack: int, letter: str = "") -> tuple[dict, list[str]]:
    """Arrays of a pool, and its lines of causes."""
    random = np.random.Generator(np.random.Philox(seed))
    pairs = [(unit, day) for unit in UNITS for day in DAYS]
    well = {pair: as_stored(healthy(*pair)) for pair in pairs}
    places = random.permutation(trays * 3 * per_rack).reshape(trays, 3, per_rack)
    kinds = random.choice(3, size=(trays, 3), p=KIND_SHARES)
    found: list = [None] * places.size
    for tray in range(trays):
        for rack in range(3):
            for place in places[tray, rack]:
                found[place] = drawn(random, int(kinds[tray][rack]), well)
    seen = [each[3] for each in found]
    arrays = {
        "unit": np.array([each[0] for each in found], dtype=np.int16),
        "day": np.array([each[1] for each in found], dtype=np.float32),
        "complaint": random.integers(len(clinic.COMPLAINTS), size=places.size).astype(np.int8),
        "trays": (places + 1).astype(np.int16),
        "healthy_of": np.array(pairs, dtype=np.float32),
    }
    for prefix, rows in (("", seen), ("healthy_", [well[pair] for pair in pairs])):
        arrays[f"{prefix}numbers"] = np.array([[row[name] for name in NUMBERS] for row in rows], np.float32)
        arrays[f"{prefix}glass"] = np.array([GLASS_LOOKS.index(row["glass"]) for row in rows], dtype=np.int8)
        arrays[f"{prefix}frost"] = np.array([row["coil_frost"] for row in rows], dtype=bool)
    return arrays, [f"{letter}{place + 1},{' + '.join(each[2])}\n" for place, each in enumerate(found)]


def as_stored(seen: dict) -> dict:
    """Readings as the file holds them: a machine is judged by what learners will see, to the last digit.

    A tenth of what an instrument can be off by is as fine as anything shown; it keeps the file small.
    """
    fine = {name: 0.1 * observables[name].scatter for name in NUMBERS}
    return seen | {name: float(np.float32(round(seen[name] / step) * step)) for name, step in fine.items()}


def main() -> None:
    """Write both pools and their causes."""
    arrays, causes = pool(SEED, TRAYS, PER_RACK)
    np.savez_compressed(PACKAGE / "clinic.npz", **arrays)
    (HERE / "clinic_causes.csv").write_text(MARK + "".join(causes), encoding="utf-8")
    arrays, causes = pool(PRACTICE_SEED, PRACTICE_TRAYS, PRACTICE_PER_RACK, "P")
    np.savez_compressed(PACKAGE / "clinic_practice.npz", **arrays)
    (HERE / "practice_causes.csv").write_text(MARK + "".join(causes), encoding="utf-8")


if __name__ == "__main__":
    main()
