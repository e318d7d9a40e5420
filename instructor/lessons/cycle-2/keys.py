"""Answers and wrong ideas of lesson cycle-2, about the running loop: four readings and the compressor's data."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from coldcab import cycle, refrigerants, units
from coldcab.assess.keys import Key, Tolerance, WrongIdea, absolute, celsius_called_fahrenheit, kelvin
from coldcab.lessons.cycle_2.numbers import LoopCase
from coldcab.quantities import FAHRENHEIT_DEGREE

TABLE_TOLERANCE = Tolerance(
    "values read from the table reader to 0.1 Btu/lb, and gauges rounded to 1 psi on the way", relative=0.015
)
CHAIN_TOLERANCE = Tolerance("the same doubt carried through two or three steps", relative=0.025)


@dataclass(frozen=True)
class Loop:
    """Pressures (Pa), enthalpies (J/kg), temperatures (K) and densities (kg/m3) of one learner's cycle."""

    low_pressure: float
    high_pressure: float
    inlet_enthalpy: float
    inlet_density: float
    saturated_vapor_density: float
    ideal_discharge_enthalpy: float
    ideal_discharge_temperature: float
    discharge_enthalpy: float
    discharge_temperature: float
    liquid_enthalpy: float
    saturated_liquid_enthalpy: float
    condensing_temperature: float

    @property
    def effect(self) -> float:
        """Refrigerating effect in J/kg."""
        return self.inlet_enthalpy - self.liquid_enthalpy

    @property
    def work(self) -> float:
        """Real compressor work in J/kg."""
        return self.discharge_enthalpy - self.inlet_enthalpy

    @property
    def ideal_work(self) -> float:
        """Work at constant entropy in J/kg."""
        return self.ideal_discharge_enthalpy - self.inlet_enthalpy


@lru_cache(maxsize=4096)
def loop(case: LoopCase) -> Loop:
    """Return the corners of the cycle of one case; kept, because every item and idea asks for it again."""
    low, high = (absolute(gauge, case.atmosphere) for gauge in (case.low_side_psig, case.high_side_psig))
    condensing = refrigerants.saturation_temperature(case.refrigerant, high)
    evaporating = refrigerants.saturation_temperature(case.refrigerant, low)
    common = {
        "evaporating_pressure": low,
        "condensing_pressure": high,
        "superheat": kelvin(case.suction_line_fahrenheit) - evaporating,
        "subcooling": condensing - kelvin(case.liquid_line_fahrenheit),
    }
    real = cycle.vapor_compression(case.refrigerant, isentropic_efficiency=case.isentropic_efficiency, **common)
    ideal = cycle.vapor_compression(case.refrigerant, **common)
    inlet, discharge, liquid, _ = real.states
    return Loop(
        low_pressure=low,
        high_pressure=high,
        inlet_enthalpy=inlet.enthalpy,
        inlet_density=inlet.density,
        ideal_discharge_enthalpy=ideal.states[1].enthalpy,
        ideal_discharge_temperature=ideal.discharge_temperature,
        discharge_enthalpy=discharge.enthalpy,
        discharge_temperature=real.discharge_temperature,
        liquid_enthalpy=liquid.enthalpy,
        saturated_vapor_density=refrigerants.saturation(case.refrigerant, pressure=low).vapor_density,
        saturated_liquid_enthalpy=refrigerants.saturation(case.refrigerant, pressure=high).liquid_enthalpy,
        condensing_temperature=condensing,
    )


def flow(case: LoopCase, *, efficiency: float | None = None, pulley_ratio: float | None = None) -> float:
    """Mass flow in kg/s, or the one that someone gets who leaves out the efficiency or the pulleys."""
    engine_speed = units.from_unit(case.engine_rpm, "rotational speed", "rpm")
    return cycle.mass_flow(
        case.unit.displacement,
        engine_speed * (case.unit.pulley_ratio if pulley_ratio is None else pulley_ratio),
        case.volumetric_efficiency if efficiency is None else efficiency,
        loop(case).inlet_density,
    )


def compression_ratio() -> Key:
    """Absolute discharge pressure over absolute suction pressure."""
    return Key(
        answer=lambda case: loop(case).high_pressure / loop(case).low_pressure,
        tolerance=Tolerance("1 psi on the low gauge is 2 % of the ratio", relative=0.02),
        ideas=(
            WrongIdea(
                "ratio of gauge pressures",
                lambda case: case.high_side_psig / case.low_side_psig,
                "You divided gauge readings. A ratio needs absolute pressures; with gauges it comes out far too big.",
            ),
            WrongIdea(
                "ratio upside down",
                lambda case: loop(case).low_pressure / loop(case).high_pressure,
                "Suction over discharge: the ratio is upside down. It is always above 1.",
            ),
        ),
    )


def refrigerating_effect() -> Key:
    """Enthalpy gained in the evaporator by each kilogram."""
    return Key(
        answer=lambda case: loop(case).effect,
        tolerance=TABLE_TOLERANCE,
        ideas=(
            WrongIdea(
                "across the compressor",
                lambda case: loop(case).work,
                "That is the enthalpy rise in the compressor. The cold is made in the evaporator: from after the "
                "valve to the compressor's inlet.",
            ),
            WrongIdea(
                "across the condenser",
                lambda case: loop(case).effect + loop(case).work,
                "That is the enthalpy drop in the condenser. It holds the compressor's work as well.",
            ),
            WrongIdea(
                "subcooling left out",
                lambda case: loop(case).inlet_enthalpy - loop(case).saturated_liquid_enthalpy,
                "You took saturated liquid at the high pressure. The liquid line is colder than that; use its own "
                "temperature.",
                credit=0.5,
            ),
        ),
    )


def compressor_work() -> Key:
    """Enthalpy gained in the compressor by each kilogram."""
    return Key(
        answer=lambda case: loop(case).work,
        tolerance=CHAIN_TOLERANCE,
        ideas=(
            WrongIdea(
                "ideal work taken for real",
                lambda case: loop(case).ideal_work,
                "That is the work of an ideal compressor. The real one needs more: divide by the isentropic "
                "efficiency.",
                credit=0.5,
            ),
            WrongIdea(
                "multiplied by the efficiency",
                lambda case: loop(case).ideal_work * case.isentropic_efficiency,
                "You multiplied by the efficiency. That would make a poor compressor need less work; divide.",
            ),
            WrongIdea(
                "across the condenser",
                lambda case: loop(case).effect + loop(case).work,
                "That is the enthalpy drop in the condenser. The work is the rise from inlet to discharge.",
            ),
        ),
    )


def cooling_cop() -> Key:
    """Refrigerating effect over compressor work."""
    return Key(
        answer=lambda case: loop(case).effect / loop(case).work,
        tolerance=CHAIN_TOLERANCE,
        ideas=(
            WrongIdea(
                "heating COP for cooling COP",
                lambda case: loop(case).effect / loop(case).work + 1,
                "You divided the condenser's heat by the work: that is a heat pump's figure, higher by exactly 1. "
                "For cooling, use the evaporator's heat.",
            ),
            WrongIdea(
                "ideal work taken for real",
                lambda case: loop(case).effect / loop(case).ideal_work,
                "You divided by the ideal work. The real compressor needs more, so the COP is lower.",
                credit=0.5,
            ),
            WrongIdea(
                "ratio upside down",
                lambda case: loop(case).work / loop(case).effect,
                "Work over effect: upside down. The COP says how much cooling one unit of work buys.",
            ),
        ),
    )


def discharge_temperature() -> Key:
    """Real temperature at the compressor's outlet."""
    return Key(
        answer=lambda case: loop(case).discharge_temperature,
        tolerance=Tolerance(
            "0.5 Btu/lb of doubt in the enthalpy is 2 F in the superheated vapor",
            absolute=3.0 * FAHRENHEIT_DEGREE,
        ),
        ideas=(
            WrongIdea(
                "ideal discharge taken for real",
                lambda case: loop(case).ideal_discharge_temperature,
                "That is the discharge of an ideal compressor. The real one is hotter: its extra work stays in the "
                "vapor.",
                credit=0.5,
            ),
            WrongIdea(
                "condensing temperature taken for discharge",
                lambda case: loop(case).condensing_temperature,
                "That is the saturation temperature in the condenser. Vapor leaves the compressor well above it.",
            ),
            WrongIdea(
                "F and C mixed",
                lambda case: celsius_called_fahrenheit(loop(case).discharge_temperature),
                "The number is right in degrees Celsius, but it says F.",
                credit=0.5,
            ),
        ),
    )


def mass_flow() -> Key:
    """Refrigerant going round: displacement, speed, volumetric efficiency and inlet density."""
    return Key(
        answer=flow,
        tolerance=CHAIN_TOLERANCE,
        ideas=(
            WrongIdea(
                "volumetric efficiency left out",
                lambda case: flow(case, efficiency=1.0),
                "You let the cylinders fill completely. Some of the swept volume is lost to old gas and valves: "
                "multiply by the volumetric efficiency.",
                credit=0.5,
            ),
            WrongIdea(
                "engine speed for compressor speed",
                lambda case: flow(case, pulley_ratio=1.0),
                "You used the engine's speed. Multiply it by the pulley ratio to get the compressor's.",
                credit=0.5,
            ),
            WrongIdea(
                "superheat left out",
                lambda case: flow(case) * loop(case).saturated_vapor_density / loop(case).inlet_density,
                "You took the density of saturated vapor. The vapor at the inlet is warmer, so it is thinner; look it "
                "up at the suction line's temperature.",
                credit=0.5,
            ),
        ),
    )


def cooling_capacity() -> Key:
    """Heat taken up in the evaporator each second."""
    return Key(
        answer=lambda case: flow(case) * loop(case).effect,
        tolerance=Tolerance("mass flow and refrigerating effect each carry their doubt", relative=0.035),
        ideas=(
            WrongIdea(
                "per pound taken for per hour",
                # 62 Btu/lb written as 62 Btu/h, or 145 kJ/kg written as 145 kW.
                lambda case: (
                    units.from_unit(units.convert(loop(case).effect, "specific energy", "Btu/lb"), "power", "Btu/h"),
                    loop(case).effect,
                ),
                "That is the heat each pound (or kilogram) takes up, with another unit. Multiply by how many go round "
                "in an hour (or a second).",
            ),
            WrongIdea(
                "across the condenser",
                lambda case: flow(case) * (loop(case).effect + loop(case).work),
                "That is the heat the condenser rejects. It holds the compressor's work as well.",
            ),
            WrongIdea(
                "volumetric efficiency left out",
                lambda case: flow(case, efficiency=1.0) * loop(case).effect,
                "You let the cylinders fill completely. Multiply the flow by the volumetric efficiency.",
                credit=0.5,
            ),
        ),
    )


def compressor_power() -> Key:
    """Work put into the refrigerant each second."""
    return Key(
        answer=lambda case: flow(case) * loop(case).work,
        tolerance=Tolerance("mass flow and work each carry their doubt", relative=0.04),
        ideas=(
            WrongIdea(
                "ideal work taken for real",
                lambda case: flow(case) * loop(case).ideal_work,
                "You used the ideal work. The real compressor needs more.",
                credit=0.5,
            ),
            WrongIdea(
                "cooling taken for power",
                lambda case: flow(case) * loop(case).effect,
                "That is the cooling capacity. Power is mass flow times the compressor's work.",
            ),
            WrongIdea(
                "volumetric efficiency left out",
                lambda case: flow(case, efficiency=1.0) * loop(case).work,
                "You let the cylinders fill completely. Multiply the flow by the volumetric efficiency.",
                credit=0.5,
            ),
        ),
    )


def heat_rejected() -> Key:
    """Heat given off in the condenser each second: cooling plus power."""
    return Key(
        answer=lambda case: flow(case) * (loop(case).effect + loop(case).work),
        tolerance=Tolerance("the sum carries the doubt of mass flow and enthalpies", relative=0.035),
        ideas=(
            WrongIdea(
                "compressor work forgotten",
                lambda case: flow(case) * loop(case).effect,
                "That is only the heat from the evaporator. The compressor's work ends up in the condenser too.",
            ),
            WrongIdea(
                "work taken away",
                lambda case: flow(case) * (loop(case).effect - loop(case).work),
                "You took the work away. It is put into the refrigerant, so it comes out here on top of the cooling.",
            ),
        ),
    )


def hotter_day() -> Key:
    """What a higher condensing temperature does to the capacity: the liquid is warmer, so each pound takes up less."""
    return Key(
        answer=lambda case: "it falls",
        ideas=(
            WrongIdea(
                "more pressure, more cooling",
                lambda case: "it rises",
                "A higher head costs more work and brings warmer liquid to the valve; each pound takes up less heat.",
            ),
            WrongIdea(
                "only the condenser notices",
                lambda case: "it stays the same",
                "The evaporator notices: warmer liquid flashes more at the valve, and less liquid is left to boil.",
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "compression ratio": compression_ratio(),
    "refrigerating effect": refrigerating_effect(),
    "compressor work": compressor_work(),
    "cooling COP": cooling_cop(),
    "discharge temperature": discharge_temperature(),
    "mass flow": mass_flow(),
    "cooling capacity": cooling_capacity(),
}

KEYS = PRACTICE | {
    "compressor power": compressor_power(),
    "heat rejected": heat_rejected(),
    "capacity on a hotter day": hotter_day(),
}
