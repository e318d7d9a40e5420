"""The condenser pass by pass, beside a march of the same tubes in small cells with CoolProp on its own."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from typing import NamedTuple

import numpy as np
import pytest
from CoolProp import CoolProp

from coldcab.machine import Conditions, Effects, Machine, charge_range, nominal_charge, simulate_many
from coldcab.machine.fleet import FLEET
from coldcab.machine.fluid import fluid_named
from coldcab.machine.model import Point, evaluate
from coldcab.machine.ops import ARRAYS, FLOATS
from coldcab.machine.passes import INTERPOLATION, LIQUID_PART, VAPOR_PART
from coldcab.machine.preparation import prepare
from coldcab.machine.residual_code import generate_residuals
from coldcab.machine.setting import Setting, as_arrays
from coldcab.machine.solver import first_guess, solve_one
from machine_cases import ENGINE_NAMES, one_of, wild

BAR = 1e5
AIR_HEAT = 1006.0  # J/(kg K)
CELLS = 400
HOT_DAY = Conditions(ambient=308.15, inlet_temperature=303.15)
machines = pytest.mark.parametrize("number", FLEET)


@cache
def solved(number: int, refrigerant: str, share: float) -> tuple[Setting, Point]:
    machine = FLEET[number]
    fluid, bulb = fluid_named(refrigerant), fluid_named(machine.valve.bulb_fluid)
    setting = prepare(FLOATS, machine, fluid, HOT_DAY, Effects(), share * nominal_charge(machine, refrigerant))
    guess = list(first_guess(FLOATS, machine, fluid, setting))
    point, _, _ = solve_one(machine, fluid, bulb, setting, guess)
    assert point is not None
    return setting, point


class Marched(NamedTuple):
    enthalpy: float  # of what leaves, J/kg
    pressure: float
    mass: float  # kg


class March:
    """Cells of equal face along the tubes, each with the pressure, temperature, flow per area and film of its place.

    Single phase: Dittus and Boelter (1930) with the fluid's own properties there; condensing: Shah (1979), Int. J.
    Heat Mass Transfer 22, 547, local; void: Baroczy (1966), as in `test_machine`; pressure: K m^2 v, each pass as
    1 / n^2 tubes. Air: fresh to each cell.
    """

    def __init__(self, machine: Machine, refrigerant: str, setting: Setting, point: Point) -> None:
        self.condenser, self.setting, self.point = machine.condenser, setting, point
        self.flow = point.compression.mass_flow
        self.fluid = CoolProp.AbstractState("HEOS", ENGINE_NAMES[refrigerant])
        self.fluid.update(CoolProp.QT_INPUTS, 0.0, 273.15)
        self.shift = 200e3 - self.fluid.hmass()

    def phase(self) -> dict[str, float]:
        one = self.fluid
        return {"v": 1 / one.rhomass(), "mu": one.viscosity(), "k": one.conductivity(), "cp": one.cpmass()}

    def saturated(self, pressure: float) -> tuple[dict[str, float], dict[str, float]]:
        sides = []
        for quality in (0.0, 1.0):
            self.fluid.update(CoolProp.PQ_INPUTS, pressure, quality)
            sides.append(self.phase() | {"h": self.fluid.hmass() + self.shift, "t": self.fluid.T()})
        return sides[0], sides[1]

    def run(self, pressure: float) -> Marched:
        part, air = self.condenser, self.setting.condenser_air * AIR_HEAT
        enthalpy, mass, before = self.point.discharge.inlet.enthalpy, 0.0, 0.0
        costs, tubes = sum(n**-2.0 for n in part.passes), sum(part.passes)
        ends = np.cumsum(part.passes) / tubes
        for cell in range(CELLS):
            if cell % 10 == 0:  # the pressure hardly changes over ten cells
                liquid, gas = self.saturated(pressure)
            count = part.passes[int(np.searchsorted(ends, (cell + 0.5) / CELLS))]
            flux = self.flow / (count * math.pi / 4 * part.diameter**2)

            def film(one: dict[str, float], flux: float = flux) -> float:
                reynolds, prandtl = flux * part.diameter / one["mu"], one["cp"] * one["mu"] / one["k"]
                return 0.023 * reynolds**0.8 * prandtl**0.4 * one["k"] / part.diameter

            x = (enthalpy - liquid["h"]) / (gas["h"] - liquid["h"])
            if 0.0 < x < 1.0:
                reduced, temperature = pressure / self.fluid.p_critical(), gas["t"]
                inner = film(liquid) * ((1 - x) ** 0.8 + 3.8 * x**0.76 * (1 - x) ** 0.04 / reduced**0.38)
                volume = liquid["v"] + x * (gas["v"] - liquid["v"])
                rest = ((1 - x) / x) ** 0.74 * (liquid["v"] / gas["v"]) ** 0.65
                void = 1.0 / (1.0 + rest * (liquid["mu"] / gas["mu"]) ** 0.13)
                density = void / gas["v"] + (1 - void) / liquid["v"]
            else:
                self.fluid.update(CoolProp.HmassP_INPUTS, enthalpy - self.shift, pressure)
                one, temperature = self.phase(), self.fluid.T()
                inner, volume, density = film(one), one["v"], 1 / one["v"]
            whole = 1.0 / self.setting.condenser_conductance + 1.0 / (inner * part.inner_area)
            heat = air * (1.0 - math.exp(-1.0 / (whole * air))) * (temperature - self.point.condensing.face_temperature)
            mass += part.volume * 0.5 * (density + (before or density)) / CELLS
            before = density
            enthalpy -= heat / self.flow / CELLS
            pressure -= part.resistance * count**-2.0 / costs / (count / tubes) * self.flow**2 * volume / CELLS
        return Marched(enthalpy, pressure, mass)


def pressure_for(goal: float, value, start: float) -> float:
    """Inlet pressure at which a march has the value ``goal``, by secants."""
    one, other = start, start * 1.002
    at_one, at_other = value(one) - goal, value(other) - goal
    for _ in range(4):
        one, other = other, other - at_other * (other - one) / (at_other - at_one)
        at_one, at_other = at_other, value(other) - goal
        if abs(other - one) < 100.0:
            break
    return other


@pytest.mark.parametrize("share", [0.4, 1.0, 1.3, 1.5])
@machines
def test_march(number: int, share: float) -> None:
    """Heat within 1 %, head within 0.1 bar, mass within 5 %: what a mechanic's gauge and scale could tell.

    The head is the pressure that the march needs to condense the same flow as far. Where liquid stands so deep that
    its end is as cold as the air, that pressure means nothing: there it is what holds the same mass.
    """
    setting, point = solved(number, "R-134a", share)
    part, inlet = point.condensing, point.discharge.inlet
    head = math.exp(inlet.log_pressure)
    march = March(FLEET[number], "R-134a", setting, point)
    same = march.run(head)
    heat = march.flow * (inlet.enthalpy - same.enthalpy)
    assert part.heat == pytest.approx(heat, rel=0.01)
    assert part.total_pressure == pytest.approx(same.pressure, abs=0.02 * BAR)
    assert part.mass == pytest.approx(same.mass, rel=0.05)
    if point.duties[0] < 0.97:
        return  # the head is what the high-pressure switch makes of it
    if part.side.line.temperature - part.liquid_temperature < 3.0:
        needed = pressure_for(part.enthalpy, lambda pressure: march.run(pressure).enthalpy, head)
    else:
        needed = pressure_for(part.mass, lambda pressure: march.run(pressure).mass, head)
    assert head == pytest.approx(needed, abs=0.1 * BAR)


@pytest.mark.parametrize("refrigerant", ["R-12", "R-1234yf"])
def test_march_with_other_refrigerants(refrigerant: str) -> None:
    for number in (7, 26):
        setting, point = solved(number, refrigerant, 1.0)
        march = March(FLEET[number], refrigerant, setting, point)
        same = march.run(math.exp(point.discharge.inlet.log_pressure))
        heat = march.flow * (point.discharge.inlet.enthalpy - same.enthalpy)
        assert point.condensing.heat == pytest.approx(heat, rel=0.01)
        assert point.condensing.mass == pytest.approx(same.mass, rel=0.05)


@pytest.mark.parametrize("ratio", [0.5, 2.0, 8.0])
def test_integral_over_quality(ratio: float) -> None:
    """Polynomial through four qualities beside 20,000 steps; ``ratio`` film of liquid over the air's conductance."""
    units, reduced = 1.2, 0.4

    def inverse(liquid, vapor):
        return 1 / (1 - np.exp(-units / (1 + 1 / (ratio * (liquid + vapor / reduced**0.38)))))

    x = (np.arange(20000) + 0.5) / 20000
    fine = np.cumsum(inverse((1 - x) ** 0.8, 3.8 * x**0.76 * (1 - x) ** 0.04)) / 20000
    slope = np.array(INTERPOLATION) @ inverse(np.array(LIQUID_PART), np.array(VAPOR_PART))
    closed = sum(one / (n + 1) * (x + 0.5 / 20000) ** (n + 1) for n, one in enumerate(slope))
    assert np.abs(closed - fine).max() < 0.005 * fine[-1]


def test_equal_passes_are_one_pass() -> None:
    """A tube of three lengths with bends is one tube of the threefold length."""
    machine = FLEET[12]
    folded = replace(machine.condenser, passes=(1, 1, 1), pass_length=machine.condenser.pass_length / 3)
    charge = nominal_charge(machine, "R-134a") * np.array([0.3, 0.6, 1.0, 1.5])
    found = [
        simulate_many(replace(machine, condenser=one), HOT_DAY, refrigerant="R-134a", charge=charge)
        for one in (machine.condenser, folded)
    ]
    # 0.5 %: the four qualities of each pass lie elsewhere in three passes than in one.
    assert found[0].high_pressure == pytest.approx(found[1].high_pressure, rel=5e-3)
    assert found[0].capacity == pytest.approx(found[1].capacity, rel=5e-3)


@machines
def test_wild_scenarios_have_an_answer(number: int) -> None:
    machine = FLEET[number]
    conditions, effects, charge = wild(400, 1000 + number)
    charge = np.minimum(charge, charge_range(machine, "R-134a")[1])
    found = simulate_many(machine, conditions, refrigerant="R-134a", charge=charge, faults=effects)
    assert found.solved.mean() >= 0.995  # of 400; more in `test_machine` for the machines of the shop
    at_work = found.solved & (found.status != "off")
    assert (found.energy_residual[at_work] / found.condenser_heat[at_work]).max() < 1e-6
    assert np.abs(found.mass_residual[at_work]).max() < 1e-9


@machines
def test_floats_arrays_and_symbols_agree(number: int) -> None:
    machine, refrigerant = FLEET[number], fluid_named("R-134a")
    bulb = fluid_named(machine.valve.bulb_fluid)
    written = generate_residuals(machine, refrigerant, bulb)
    conditions, effects, charge = wild(20, number)
    for place in range(20):
        setting = prepare(
            FLOATS, machine, refrigerant, one_of(conditions, place), one_of(effects, place), float(charge[place])
        )
        unknowns = list(first_guess(FLOATS, machine, refrigerant, setting))
        plain = evaluate(FLOATS, machine, refrigerant, bulb, setting, unknowns).residuals
        assert written(setting, unknowns) == plain
        several = evaluate(
            ARRAYS, machine, refrigerant, bulb, as_arrays(setting, 1), np.array(unknowns)[:, None]
        ).residuals
        assert [float(one[0]) for one in several] == pytest.approx(list(plain), rel=1e-9, abs=1e-9)
