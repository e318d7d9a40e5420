"""Scenarios and live properties that the tests and benchmarks of the machine share."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np

from coldcab.machine import Conditions, Effects
from coldcab.refrigerants import SaturationLine

ENGINE_NAMES = {"R-12": "R12", "R-134a": "R134a", "R-152a": "R152A", "R-1234yf": "R1234yf"}


def wild(count: int, seed: int) -> tuple[Conditions, Effects, np.ndarray]:
    """Far wilder than any lesson: each of some 20 faults at once with 20 % probability, any weather and charge.

    12 to 50 C, 0 to 3000 m, 700 to 2700 rpm, 0.12 to 2.2 kg; half of them on the bench (NaN marks the others).
    """
    random = np.random.Generator(np.random.Philox(seed))
    uniform = random.uniform

    def maybe(healthy: float, low: float, high: float, decades: bool = False) -> np.ndarray:
        value = np.exp(uniform(math.log(low), math.log(high), count)) if decades else uniform(low, high, count)
        return np.where(uniform(0, 1, count) < 0.2, value, healthy)

    worn = (uniform(0, 1, count) < 0.2) * uniform(0, 1, count)
    effects = Effects(
        air_mass=maybe(0.0, 0.0, 0.008),
        condenser_air=maybe(1.0, 0.35, 1.0),
        fan=maybe(1.0, 0.45, 1.0),
        recirculation=maybe(0.0, 0.0, 0.42),
        volumetric=1.0 - 0.25 * worn,
        leak_area=1.4e-6 * worn,
        slip=maybe(0.0, 0.0, 0.5),
        screen=maybe(1.0, 0.07, 1.0, True),
        valve_minimum=maybe(0.0, 0.35, 1.0),
        bulb_contact_loss=maybe(0.0, 0.0, 0.5),
        bulb_charge=maybe(1.0, 0.35, 1.0),
        drier=maybe(1.0, 1.0, 91.0, True),
        suction=maybe(1.0, 1.0, 15.0, True),
        blower=maybe(1.0, 0.35, 1.0),
        heater_leak=maybe(0.0, 0.0, 0.2),
        boiling=maybe(1.0, 0.2, 1.0),
        ice=np.where(uniform(0, 1, count) < 0.05, 0.985, 0.0),
    )
    conditions = Conditions(
        ambient=uniform(285.15, 323.15, count),
        relative_humidity=uniform(0.1, 0.9, count),
        altitude=uniform(0.0, 3000.0, count),
        engine_speed=uniform(700.0, 2700.0, count) / 60,
        blower=uniform(0.4, 1.0, count),
        fresh_air=np.where(uniform(0, 1, count) < 0.3, uniform(0, 1, count), 0.0),
        sun=uniform(0.0, 1100.0, count),
        inlet_temperature=np.where(uniform(0, 1, count) < 0.5, uniform(290.0, 316.0, count), np.nan),
        inlet_relative_humidity=uniform(0.1, 0.8, count),
    )
    charge = uniform(0.12, 2.2, count)
    effects = replace(
        effects,
        receiver_inlet=maybe(1.0, 1.0, 8000.0, True),
        evaporator_passage=maybe(1.0, 1.0, 60.0, True),
        oil=maybe(1.0, 0.0, 4.0),
    )
    return conditions, effects, charge


def realistic(count: int, seed: int) -> tuple[Conditions, Effects, float]:
    """A service test on a day of work, one fault at most, of any severity; the charge goes with R-134a."""
    random = np.random.Generator(np.random.Philox(seed))
    uniform = random.uniform
    kind, severity = random.integers(0, 15, count), uniform(0, 1, count)

    def fault(number: int, healthy: float, worst: float) -> np.ndarray:
        return np.where(kind == number, healthy + (worst - healthy) * severity, healthy)

    charge = fault(1, 1.0, 0.45) * fault(2, 1.0, 1.6)
    effects = Effects(
        charge=charge,
        air_mass=fault(3, 0.0, 0.006),
        condenser_air=fault(4, 1.0, 0.4),
        fan=fault(5, 1.0, 0.5),
        recirculation=fault(6, 0.0, 0.4),
        volumetric=fault(7, 1.0, 0.75),
        leak_area=fault(7, 0.0, 1.4e-6),
        slip=fault(8, 0.0, 0.5),
        screen=fault(9, 1.0, 0.1),
        valve_minimum=fault(10, 0.0, 0.9),
        bulb_contact_loss=fault(11, 0.0, 0.5),
        drier=fault(12, 1.0, 60.0),
        blower=fault(13, 1.0, 0.4),
        boiling=fault(14, 1.0, 0.2),
    )
    conditions = Conditions(
        ambient=uniform(293.15, 318.15, count),
        relative_humidity=uniform(0.2, 0.8, count),
        altitude=uniform(0.0, 2000.0, count),
        engine_speed=uniform(800.0, 2400.0, count) / 60,
        inlet_temperature=uniform(295.15, 308.15, count),
        inlet_relative_humidity=uniform(0.3, 0.6, count),
    )
    return conditions, effects, 1.14


def one_of(values: Any, place: int) -> Any:
    """One scenario out of arrays, as plain numbers; NaN for the bench's inlet becomes None."""
    picked = {
        name: float(value[place]) if isinstance(value, np.ndarray) else value for name, value in vars(values).items()
    }
    if picked.get("inlet_temperature") is not None and picked["inlet_temperature"] != picked["inlet_temperature"]:
        picked["inlet_temperature"] = None
    return replace(values, **picked)


class LiveTable:
    """CoolProp behind the methods of a property table; one number at a time."""

    def __init__(self, table: Any):
        from CoolProp import CoolProp

        self.engine = CoolProp
        self.name = ENGINE_NAMES[table.designation]
        self.critical_pressure, self.highest_pressure = table.critical_pressure, table.highest_pressure
        self.warmest, self.vapor_edge, self.liquid_edge = table.warmest, table.vapor_edge, table.liquid_edge
        self.gas_constant = table.gas_constant
        self.prepare()
        (h0, s0) = self.at("T", 273.15, "Q", 0.0)[2:]
        self.shift_h, self.shift_s = 200e3 - h0, 1000.0 - s0

    def prepare(self) -> None:
        """Make CoolProp's low-level state object once."""
        self.fluid = self.engine.AbstractState("HEOS", self.name)
        cp = self.engine
        self.inputs = {
            "TQ": (cp.QT_INPUTS, True),
            "PQ": (cp.PQ_INPUTS, False),
            "PT": (cp.PT_INPUTS, False),
            "HP": (cp.HmassP_INPUTS, False),
            "PS": (cp.PSmass_INPUTS, False),
        }

    def at(self, one: str, first: float, other: str, second: float) -> tuple[float, float, float, float]:
        """Temperature, volume, enthalpy and entropy on CoolProp's own reference."""
        inputs, turned = self.inputs[one + other]
        self.fluid.update(inputs, *((second, first) if turned else (first, second)))
        return self.fluid.T(), 1.0 / self.fluid.rhomass(), self.fluid.hmass(), self.fluid.smass()

    def pressure(self, temperature: float) -> float:
        """Saturation pressure."""
        self.fluid.update(self.engine.QT_INPUTS, 1.0, temperature)
        return self.fluid.p()

    def log_pressure(self, temperature: float) -> float:
        return math.log(self.pressure(temperature))

    def saturation_temperature(self, log_pressure: float) -> float:
        return self.at("P", math.exp(log_pressure), "Q", 1.0)[0]

    def saturation(self, log_pressure: float) -> SaturationLine:
        p = math.exp(log_pressure)
        temperature, liquid_volume, liquid_h, liquid_s = self.at("P", p, "Q", 0.0)
        _, vapor_volume, vapor_h, vapor_s = self.at("P", p, "Q", 1.0)
        h, s = self.shift_h, self.shift_s
        return SaturationLine(
            temperature, liquid_volume, p * vapor_volume, liquid_h + h, vapor_h + h, liquid_s + s, vapor_s + s, 1, 1, 1
        )

    def _by_enthalpy(self, log_pressure: float, enthalpy: float) -> tuple[float, float, float]:
        t, v, _, s = self.at("H", enthalpy - self.shift_h, "P", math.exp(log_pressure))
        return t, v, s + self.shift_s

    def vapor(self, log_pressure: float, enthalpy: float, line: Any = None) -> tuple[float, float, float]:
        return self._by_enthalpy(log_pressure, enthalpy)

    def liquid(self, log_pressure: float, enthalpy: float, line: Any = None) -> tuple[float, float, float]:
        return self._by_enthalpy(log_pressure, enthalpy)

    def _by_temperature(self, log_pressure: float, temperature: float) -> float:
        return self.at("P", math.exp(log_pressure), "T", temperature)[2] + self.shift_h

    def vapor_enthalpy(self, log_pressure: float, temperature: float, line: Any = None) -> float:
        return self._by_temperature(log_pressure, temperature)

    def liquid_enthalpy(self, log_pressure: float, temperature: float, line: Any = None) -> float:
        if abs(temperature - line.temperature) < 1e-4:
            return line.liquid_enthalpy
        return self._by_temperature(log_pressure, temperature)

    def vapor_enthalpy_by_entropy(self, log_pressure: float, entropy: float, line: Any = None) -> float:
        return self.at("P", math.exp(log_pressure), "S", entropy - self.shift_s)[2] + self.shift_h


class HighLevelTable(LiveTable):
    """The same through CoolProp's high-level call, as most people would write it."""

    def prepare(self) -> None:
        """Nothing is kept from call to call."""

    def at(self, one: str, first: float, other: str, second: float) -> tuple[float, float, float, float]:
        names = {"T": "T", "Q": "Q", "P": "P", "H": "Hmass", "S": "Smass"}
        call = self.engine.PropsSI
        arguments = names[one], first, names[other], second, self.name
        density = call("Dmass", *arguments)
        return call("T", *arguments), 1.0 / density, call("Hmass", *arguments), call("Smass", *arguments)

    def pressure(self, temperature: float) -> float:
        """Saturation pressure."""
        return self.engine.PropsSI("P", "T", temperature, "Q", 1.0, self.name)
