"""Several kinds of machine and refrigerant solved in one batch: the same answers as each kind alone."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import pytest

from coldcab.machine import Conditions, Effects, MachineError, Readings, nominal_charge, simulate_many
from coldcab.machine.fleet import FLEET
from coldcab.machine.fluid import fluid_named
from coldcab.machine.kinds import Kind, Kinds
from coldcab.machine.ops import ARRAYS
from coldcab.machine.preparation import prepare
from coldcab.machine.setting import as_arrays
from coldcab.machine.simulate import Batch, simulate_batches

COUNT = 6


def batch(number: int, refrigerant: str, share: float = 0.0) -> Batch:
    machine = FLEET[number]
    random = np.random.Generator(np.random.Philox(number))
    effects = Effects(
        charge=random.uniform(0.5, 1.1, COUNT),
        condenser_air=random.uniform(0.5, 1.0, COUNT),
        ice=random.uniform(0.0, 0.5, COUNT),
        bulb_contact_loss=random.uniform(0.0, 0.3, COUNT),
        foreign_share=share,
    )
    day = Conditions(ambient=random.uniform(293.0, 315.0, COUNT))
    return Batch(machine, day, refrigerant, nominal_charge(machine, refrigerant), effects)


@pytest.fixture(scope="module")
def batches() -> list[Batch]:
    """One to four passes, three kinds of valve, tables of two sizes."""
    own = [batch(number, "R-1234yf" if number == 52 else "R-134a") for number in (7, 26, 52, 58)]
    return [*own, batch(26, "R-134a", 0.2)]


@pytest.fixture(scope="module")
def together(batches: list[Batch]) -> tuple[Readings, ...]:
    return simulate_batches(batches)


def test_the_same_answers_as_alone(batches: list[Batch], together: tuple[Readings, ...]) -> None:
    for one, found in zip(batches, together, strict=True):
        alone = simulate_many(
            one.machine, one.conditions, refrigerant=one.refrigerant, charge=one.charge, faults=one.faults
        )
        assert (found.status == alone.status).all(), one.machine.name
        assert alone.solved.any()
        for name in ("low_gauge", "high_gauge", "vent", "liquid_line", "capacity", "condensate", "level"):
            np.testing.assert_allclose(
                getattr(found, name), getattr(alone, name), rtol=1e-5, atol=1e-5, err_msg=f"{one.machine.name} {name}"
            )


def test_each_circuit_has_the_sizes_of_its_kind() -> None:
    """Read place by place, a machine in arrays is the machine of that number."""
    kinds = Kinds([Kind(one, fluid_named("R-134a"), fluid_named(one.valve.bulb_fluid)) for one in FLEET.values()])
    number = np.array([5.0, 0.0, 7.0, 3.0])
    machine = FLEET[7]
    setting = prepare(ARRAYS, machine, fluid_named("R-134a"), Conditions(), Effects(), np.full(4, machine.charge))
    found = kinds.at(as_arrays(setting, 4)._replace(kind=number))
    fleet = list(FLEET.values())
    for place, own in enumerate(fleet[int(one)] for one in number):
        for part in ("compressor", "condenser", "receiver", "valve", "evaporator", "suction_hose", "cab"):
            for field in fields(getattr(own, part)):
                value, truth = (getattr(getattr(one, part), field.name) for one in (found.machine, own))
                if isinstance(truth, float | bool):
                    assert np.broadcast_to(value, 4)[place] == truth, (part, field.name)
        assert found.machine.condenser.volume[place] == own.condenser.volume
        shares = np.array([one.share[place] for one in found.machine.condenser.way])
        assert shares[-len(own.condenser.passes) :].tolist() == [one.share for one in own.condenser.way]
        assert not shares[: -len(own.condenser.passes)].any()
        bulb = fluid_named(own.valve.bulb_fluid)
        pressure = found.bulb.table.log_pressure(np.full(4, 280.0))[place]
        assert pressure == pytest.approx(bulb.table.log_pressure(280.0), rel=1e-12)


def test_a_batch_out_of_range_is_named(batches: list[Batch]) -> None:
    heavy = Batch(FLEET[52], Conditions(), "R-134a", 9.0)
    with pytest.raises(MachineError, match="compact loader"):
        simulate_batches([batches[0], heavy])
