"""The vapour-compression cycle against worked problems of textbooks and an independent simulator."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import published_tables
from coldcab import cycle, refrigerants
from coldcab.refrigerants import RangeError, UnknownRefrigerant

ZERO_C = 273.15
BTU_PER_POUND = 2326.0  # J/kg
TON = 211e3 / 60  # W, as the textbooks here have it


def problems() -> dict[str, dict]:
    return {
        row["id"]: row | {"given": json.loads(row["inputs_json"]), "answers": json.loads(row["published_json"])}
        for row in published_tables.rows("cycle_problems")
    }


PROBLEMS = problems()


def fahrenheit(value: float) -> float:
    return (value + 459.67) / 1.8


# How each input of the file enters the cycle.
INPUTS = {
    "T_evap_C": ("evaporating_temperature", lambda x: x + ZERO_C),
    "T_cond_C": ("condensing_temperature", lambda x: x + ZERO_C),
    "T_evap_F": ("evaporating_temperature", fahrenheit),
    "T_cond_F": ("condensing_temperature", fahrenheit),
    "p_evap_MPa": ("evaporating_pressure", lambda x: x * 1e6),
    "p1_MPa": ("evaporating_pressure", lambda x: x * 1e6),
    "p1_bar": ("evaporating_pressure", lambda x: x * 1e5),
    "p_cond_MPa": ("condensing_pressure", lambda x: x * 1e6),
    "p2_MPa": ("condensing_pressure", lambda x: x * 1e6),
    "p_cond_bar": ("condensing_pressure", lambda x: x * 1e5),
    "p2_bar": ("condensing_pressure", lambda x: x * 1e5),
    "p_cond_kPa": ("condensing_pressure", lambda x: x * 1e3),
    "m_kg_s": ("mass_flow", float),
    "eta_is": ("isentropic_efficiency", float),
}


def solve(problem: dict) -> cycle.Cycle:
    name = "R-" + problem["fluid"][1:]
    given_ = problem["given"]
    readings = {INPUTS[key][0]: INPUTS[key][1](value) for key, value in given_.items() if key in INPUTS}
    if "T1_C" in given_:
        boiling = refrigerants.saturation_temperature(name, readings["evaporating_pressure"])
        readings["superheat"] = given_["T1_C"] + ZERO_C - boiling
    for key in ("T_liq_C", "T3_C"):
        if key in given_:
            bubble = refrigerants.saturation_temperature(name, readings["condensing_pressure"])
            readings["subcooling"] = bubble - (given_[key] + ZERO_C)
    if "Q_kW" in given_:
        readings["mass_flow"] = given_["Q_kW"] * 1e3 / cycle.vapor_compression(name, **readings).refrigerating_effect
    if "QH_kW" in given_:
        readings["mass_flow"] = given_["QH_kW"] * 1e3 / cycle.vapor_compression(name, **readings).condenser_heat
    return cycle.vapor_compression(name, **readings)


# How each answer of the file is read off a solved cycle.
def carnot(cold: float, warm: float) -> float:
    """The highest COP of cooling between two temperatures in K; second law of thermodynamics."""
    return cold / (warm - cold)


ANSWERS = {
    "W_kW": lambda c, g: c.power / 1e3,
    "QL_kW": lambda c, g: c.capacity / 1e3,
    "QH_kW": lambda c, g: c.heat_rejected / 1e3,
    "Q_ton": lambda c, g: c.capacity / TON,
    "COP": lambda c, g: c.cop,
    "COP_heating": lambda c, g: c.heat_rejected / c.power,
    "COP_carnot": lambda c, g: carnot(c.evaporating_temperature, c.condensing_temperature),
    "COP_carnot_cycle": lambda c, g: carnot(c.evaporating_temperature, c.condensing_temperature),
    "eta_II": lambda c, g: c.cop / carnot(c.evaporating_temperature, c.condensing_temperature),
    "p_cond_bar": lambda c, g: c.condensing_pressure / 1e5,
    "p2_kPa": lambda c, g: c.condensing_pressure / 1e3,
    "p_cond_psig": lambda c, g: c.condensing_pressure / 6894.757 - 14.696,
    "T2_C": lambda c, g: c.discharge_temperature - ZERO_C,
    "h1_minus_h3": lambda c, g: c.refrigerating_effect / 1e3,
    "h2s_minus_h1": lambda c, g: c.compressor_work / 1e3,
    "h1": lambda c, g: c.states[0].enthalpy / 1e3,
    "h2": lambda c, g: c.states[1].enthalpy / 1e3,
    "h3": lambda c, g: c.states[2].enthalpy / 1e3,
    "hp_per_ton": lambda c, g: c.power / 745.7 / (c.capacity / TON),
    "qL": lambda c, g: c.refrigerating_effect / BTU_PER_POUND,
    "Ed_comp_kW": lambda c, g: g["T0_K"] * c.mass_flow * (c.states[1].entropy - c.states[0].entropy) / 1e3,
    "Ed_valve_kW": lambda c, g: g["T0_K"] * c.mass_flow * (c.states[3].entropy - c.states[2].entropy) / 1e3,
    # Heat at the two saturation temperatures, all of it: what is generated between them.
    "Sgen_kW_K": lambda c, g: (
        (c.heat_rejected / c.condensing_temperature - c.capacity / c.evaporating_temperature) / 1e3
    ),
}

# Answers that need a tolerance of their own, in their own unit or relative, with the reason; otherwise 1 % and half
# of the last printed digit: two generations of R-134a tables differ by 0.6 to 0.8 % in enthalpy differences, older
# R-12 tables by 0.4 to 1.2 %.
SPECIAL = {
    ("MS10.3", "Ed_comp_kW"): {"abs": 0.01},  # a small difference of entropies, printed to two digits
    ("MS10.3", "Ed_valve_kW"): {"abs": 0.01},
    ("BS11.6", "T2_C"): {"abs": 1.0},  # found there by interpolation between 40 and 50 C with h rounded
    ("PD6.11", "COP_heating"): {"rel": 0.01},
    ("HTW2.1", "COP"): {"rel": 0.015},  # read off a chart (note in the file)
    ("AR10", "T2_C"): {"abs": 1.0},  # older equation: 1 % in volume moves the end of compression
    ("AR10", "Sgen_kW_K"): {"rel": 0.02},  # a small difference of two large numbers
    ("AS6a", "COP"): {"rel": 0.035},  # discharge enthalpy rounded off a chart: 3 % (note in the file)
    ("AS6a", "W_kW"): {"rel": 0.035},
    ("PW8.11", "COP"): {"rel": 0.0125},  # older equation, on the small difference h2 - h1
}
# Why an answer is not compared; a problem whose printed work disagrees with physics gives only its other answers.
LEFT_OUT = {
    ("HTW2.1", "COP_carnot_room"): "the room's temperatures are not among the inputs",
    ("GB10.7", "COP"): "DISAGREES",
    ("GB10.8", "COP"): "DISAGREES",
    ("GB10.9", "COP"): "DISAGREES",
    ("GB10.7", "w"): "DISAGREES",
    ("GB10.8", "w"): "DISAGREES",
    ("GB10.9", "w"): "DISAGREES",
}
# These two are no single-stage cycle between two saturation states; they have tests of their own below.
OWN_TESTS = ("CB11.3", "NG14.10")


def printed(value: float) -> float:
    """Half a unit of the last printed digit."""
    return 0.5 * 10.0 ** -len(repr(float(value)).partition(".")[2]) if value != int(value) else 0.5


@pytest.mark.parametrize("key", [key for key in PROBLEMS if key not in OWN_TESTS])
def test_worked_problem(key: str) -> None:
    """Each problem's book and statement stand in the file."""
    problem = PROBLEMS[key]
    flagged = "DISAGREES" in problem["note"]
    found = solve(problem)
    compared = 0
    for answer, value in problem["answers"].items():
        if (key, answer) in LEFT_OUT:
            assert ("DISAGREES" in LEFT_OUT[key, answer]) == flagged
            continue
        usual = {"rel": 0.01, "abs": 0.0 if abs(value) > 200 else min(printed(value), 0.01 * abs(value))}
        tolerance = SPECIAL.get((key, answer), usual)
        assert ANSWERS[answer](found, problem["given"]) == pytest.approx(value, **tolerance), answer
        compared += 1
    assert compared >= (1 if flagged or len(problem["answers"]) == 1 else 2)


@pytest.mark.parametrize("key", [key for key, problem in PROBLEMS.items() if "DISAGREES" in problem["note"]])
def test_flagged_problems_do_disagree(key: str) -> None:
    """Why they are flagged: the printed work lies 10 % and more below the isentropic work, the least possible."""
    work = solve(PROBLEMS[key]).compressor_work / BTU_PER_POUND
    assert PROBLEMS[key]["answers"]["w"] < 0.9 * work


def test_cascade() -> None:
    """Cengel and Boles, example 11-3: two loops of R-134a. Same equation of state, so 1 % covers the rounding
    of their intermediate values (0.039 kg/s has two digits, 1.3 %)."""
    problem = PROBLEMS["CB11.3"]
    low, middle, high = (problem["given"][key] * 1e6 for key in ("p_low", "p_mid", "p_high"))
    upper = cycle.vapor_compression(
        "R-134a", evaporating_pressure=middle, condensing_pressure=high, mass_flow=problem["given"]["mA"]
    )
    lower = cycle.vapor_compression("R-134a", evaporating_pressure=low, condensing_pressure=middle)
    flow = upper.capacity / lower.condenser_heat
    answers = problem["answers"]
    capacity, work = flow * lower.refrigerating_effect, upper.power + flow * lower.compressor_work
    assert flow == pytest.approx(answers["mB_kg_s"], rel=0.013)
    assert capacity / 1e3 == pytest.approx(answers["QL_kW"], rel=0.01)
    assert work / 1e3 == pytest.approx(answers["W_kW"], rel=0.01)
    assert capacity / work == pytest.approx(answers["COP"], rel=0.01)


def test_heat_pump_from_measured_points() -> None:
    """Nag, example 14.10 (R-12): efficiency and heating COP from measured points. Older tables: 1.2 %, and the
    efficiency is printed as 0.8 (half a digit would be 0.05; 0.02 holds). Power and heat rest on a suction
    volume that is 4 % off (note in the file), so they are not compared."""
    problem = PROBLEMS["NG14.10"]
    given_, answers = problem["given"], problem["answers"]
    one = refrigerants.state("R-12", pressure=given_["p1_bar"] * 1e5, temperature=given_["T1_C"] + ZERO_C)
    two = refrigerants.state("R-12", pressure=given_["p2_bar"] * 1e5, temperature=given_["T2_C"] + ZERO_C)
    ideal = refrigerants.state("R-12", pressure=two.pressure, entropy=one.entropy)
    efficiency = (ideal.enthalpy - one.enthalpy) / (two.enthalpy - one.enthalpy)
    assert efficiency == pytest.approx(answers["eta_is"], abs=0.02)
    found = cycle.vapor_compression(
        "R-12",
        evaporating_pressure=one.pressure,
        condensing_pressure=two.pressure,
        superheat=one.temperature - refrigerants.saturation_temperature("R-12", one.pressure),
        isentropic_efficiency=efficiency,
    )
    # The discharge temperature comes back as measured: 0.05 K for the accuracy of the tables.
    assert found.discharge_temperature == pytest.approx(two.temperature, abs=0.05)
    assert found.condenser_heat / found.compressor_work == pytest.approx(answers["COP_heating"], rel=0.012)


@pytest.mark.filterwarnings("ignore")  # warnings of the simulator's own dependencies
def test_cycle_agrees_with_tespy(tmp_path: Path) -> None:
    """TESPy (F. Witte and I. Tuschy, J. Open Source Software 5, 2020, 2178) solves the same cycle as a network.

    Its properties come from CoolProp directly, so 0.05 % (five times the accuracy of the tables) holds.
    """
    from tespy.components import Compressor, CycleCloser, SimpleHeatExchanger, Valve
    from tespy.connections import Connection
    from tespy.networks import Network

    network = Network(iterinfo=False)
    network.units.set_defaults(temperature="K", pressure="Pa", enthalpy="J/kg", power="W", heat="W")
    closer, compressor, valve = CycleCloser("closer"), Compressor("compressor"), Valve("valve")
    condenser, evaporator = SimpleHeatExchanger("condenser"), SimpleHeatExchanger("evaporator")
    one = Connection(closer, "out1", compressor, "in1")
    two = Connection(compressor, "out1", condenser, "in1")
    three = Connection(condenser, "out1", valve, "in1")
    four = Connection(valve, "out1", evaporator, "in1")
    five = Connection(evaporator, "out1", closer, "in1")
    network.add_conns(one, two, three, four, five)
    low, high, flow = 3e5, 13e5, 0.04
    suction = refrigerants.saturation_temperature("R-134a", low) + 6
    liquid = refrigerants.saturation_temperature("R-134a", high) - 3
    one.set_attr(fluid={"R134a": 1}, m=flow, p=low, T=suction)
    two.set_attr(p=high)
    three.set_attr(p=high, T=liquid)
    four.set_attr(p=low)
    compressor.set_attr(eta_s=0.7)
    network.solve("design")
    found = cycle.vapor_compression(
        "R-134a",
        evaporating_pressure=low,
        condensing_pressure=high,
        superheat=6,
        subcooling=3,
        isentropic_efficiency=0.7,
        mass_flow=flow,
    )
    assert found.capacity == pytest.approx(evaporator.Q.val, rel=5e-4)
    assert found.power == pytest.approx(compressor.P.val, rel=5e-4)
    assert found.heat_rejected == pytest.approx(-condenser.Q.val, rel=5e-4)
    assert found.discharge_temperature == pytest.approx(two.T.val, abs=0.02)


# Behaviour

readings = {
    "evaporating_temperature": st.floats(243, 288),
    "condensing_temperature": st.floats(300, 338),
    "superheat": st.floats(0, 25),
    "subcooling": st.floats(0, 20),
    "isentropic_efficiency": st.floats(0.45, 1),
    "mass_flow": st.floats(0.001, 0.2),
}


@given(st.sampled_from(refrigerants.TABLES[:3]), st.fixed_dictionaries(readings))
def test_balances_close(name: str, given_: dict[str, float]) -> None:
    found = cycle.vapor_compression(name, **given_)
    one, two, three, four = found.states
    assert found.heat_rejected == pytest.approx(found.capacity + found.power, rel=1e-12)
    assert four.enthalpy == three.enthalpy
    if three.temperature > found.evaporating_temperature + 0.1:
        assert four.phase == "two-phase"  # a colder liquid does not flash
    assert one.pressure == four.pressure
    assert two.pressure == three.pressure
    assert two.entropy >= one.entropy - 1e-3
    assert four.entropy > three.entropy
    assert found.discharge_temperature >= found.isentropic_discharge_temperature - 1e-3
    if three.temperature > one.temperature:
        # Second law: no heat enters above the suction temperature, none leaves below that of the liquid.
        assert found.cop < carnot(one.temperature, three.temperature)
    assert found.compression_ratio > 1
    better = cycle.vapor_compression(name, **given_ | {"isentropic_efficiency": 1.0})
    assert better.compressor_work == pytest.approx(found.compressor_work * given_["isentropic_efficiency"], rel=1e-9)


@given(st.sampled_from(refrigerants.TABLES[:3]), st.floats(245, 285), st.floats(302, 330), st.floats(0.5, 8))
def test_hot_days_cost_power(name: str, cold: float, warm: float, more: float) -> None:
    one, two = (
        cycle.vapor_compression(name, evaporating_temperature=cold, condensing_temperature=t)
        for t in (warm, warm + more)
    )
    assert two.cop < one.cop
    assert two.compressor_work > one.compressor_work
    assert two.refrigerating_effect < one.refrigerating_effect
    assert two.compression_ratio > one.compression_ratio


def test_arrays_go_through_whole() -> None:
    rng = np.random.default_rng(8)
    count = 200
    given_ = {
        "evaporating_temperature": rng.uniform(250, 285, count),
        "condensing_temperature": rng.uniform(305, 335, count),
        "superheat": rng.choice([0.0, 5.0, 12.5], count),
        "subcooling": rng.choice([0.0, 4.0], count),
        "isentropic_efficiency": rng.uniform(0.5, 1, count),
    }
    many = cycle.vapor_compression("R-134a", **given_, mass_flow=0.05)
    for place in range(0, count, 7):
        one = cycle.vapor_compression("R-134a", **{key: v[place] for key, v in given_.items()}, mass_flow=0.05)
        for field in ("cop", "capacity", "discharge_temperature", "compression_ratio", "heat_rejected"):
            assert getattr(many, field)[place] == pytest.approx(getattr(one, field), rel=1e-9), field
        assert [state.phase[place] for state in many.states] == [state.phase for state in one.states]
    grid = cycle.vapor_compression(
        "R-12", evaporating_pressure=[[2e5], [3e5]], condensing_temperature=[310.0, 320.0, 330.0], superheat=5
    )
    assert grid.cop.shape == (2, 3)
    assert grid.capacity is None
    assert grid.power is None
    assert isinstance(cycle.vapor_compression("R-12", evaporating_pressure=2e5, condensing_pressure=1e6).cop, float)


def test_refrigerants_without_a_table() -> None:
    """R-22 and a blend through CoolProp: the same cycle, compared with R-134a run both ways."""
    found = cycle.vapor_compression("R-22", evaporating_temperature=[270, 275], condensing_temperature=315, superheat=5)
    assert np.all(found.cop > 3)
    blend = cycle.vapor_compression("R-407C", evaporating_temperature=275, condensing_temperature=315)
    # Glide: the liquid leaves the condenser at the bubble point, some 5 K below the dew point.
    assert 3 < 315 - blend.states[2].temperature < 7


def test_flow_and_clearance() -> None:
    assert cycle.mass_flow(130e-6, 31.25, 0.7, 15.0) == pytest.approx(130e-6 * 31.25 * 0.7 * 15)
    assert cycle.mass_flow(130e-6, 31.25, [0.5, 1.0], 15.0).shape == (2,)
    assert cycle.volumetric_efficiency_clearance(0.05, 1.0, 1.1) == 1.0
    assert cycle.volumetric_efficiency_clearance(0.05, 8.0, 1.0) == pytest.approx(0.65)
    # Worked by hand: 1 + 0.05 - 0.05 x 8 = 0.65; without clearance nothing is lost.
    assert cycle.volumetric_efficiency_clearance(0.0, 8.0, 1.0) == 1.0
    assert cycle.volumetric_efficiency_clearance(0.5, 2.0, 1.0) == pytest.approx(0.5)  # 1 + 0.5 - 0.5 x 2
    assert cycle.volumetric_efficiency_clearance(0.5, 9.0, 1.0) == 0.0  # never below


SLIPS = (
    ({"condensing_temperature": 320}, "exactly one of evaporating temperature"),
    ({"evaporating_temperature": 270, "evaporating_pressure": 2e5, "condensing_temperature": 320}, "exactly one"),
    ({"evaporating_temperature": -5, "condensing_temperature": 320}, "evaporating temperature -5 K"),
    ({"evaporating_temperature": 270, "condensing_pressure": 200}, "condensing pressure 200 Pa"),
    ({"evaporating_temperature": 320, "condensing_temperature": 270}, "must be above the evaporating"),
    ({"evaporating_temperature": 300, "condensing_temperature": 300}, "must be above the evaporating"),
    ({"evaporating_pressure": [2e5, 9e5], "condensing_pressure": 9e5}, "must be above the evaporating"),
    ({"evaporating_temperature": [270, 330], "condensing_temperature": 320}, "must be above the evaporating"),
    ({"evaporating_temperature": 270, "condensing_temperature": 320, "isentropic_efficiency": 70}, "efficiency 70"),
    ({"evaporating_temperature": 270, "condensing_temperature": 320, "isentropic_efficiency": 0}, "efficiency 0"),
    ({"evaporating_temperature": 270, "condensing_temperature": 320, "superheat": -3}, "superheat -3 K"),
    ({"evaporating_temperature": 270, "condensing_temperature": 320, "subcooling": math.nan}, "subcooling is NaN"),
    ({"evaporating_temperature": 270, "condensing_temperature": 320, "mass_flow": -1}, "mass flow -1"),
    ({"evaporating_temperature": 270, "condensing_temperature": 320, "isentropic_efficiency": 0.05}, "discharge"),
    ({"evaporating_temperature": [270, 275], "condensing_temperature": [320, 321, 322]}, "shapes"),
)


@pytest.mark.parametrize(("given_", "words"), SLIPS)
def test_slips_are_named(given_: dict, words: str) -> None:
    with pytest.raises(RangeError) as caught:
        cycle.vapor_compression("R-134a", **given_)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_other_slips_are_named() -> None:
    with pytest.raises(UnknownRefrigerant, match="R-134a"):
        cycle.vapor_compression("R-134x", evaporating_temperature=270, condensing_temperature=320)
    with pytest.raises(RangeError, match="volumetric efficiency 70"):
        cycle.mass_flow(1e-4, 30, 70, 15)
    with pytest.raises(RangeError, match="compression ratio"):
        cycle.volumetric_efficiency_clearance(0.05, 0.5, 1.1)
    for clearance in (-0.001, 0.501, [0.05, 0.6]):
        with pytest.raises(RangeError, match=r"clearance .* 0 to 0\.5"):
            cycle.volumetric_efficiency_clearance(clearance, 4.0, 1.1)


typed = st.one_of(st.floats(), st.integers(-1000, 10**7), st.text(max_size=5), st.none())


@given(typed, typed, typed, typed)
@settings(deadline=None)
def test_nothing_typed_crashes(one: object, two: object, three: object, four: object) -> None:
    try:
        found = cycle.vapor_compression(
            "R-134a", evaporating_temperature=one, condensing_pressure=two, superheat=three, isentropic_efficiency=four
        )
    except RangeError as error:
        sentence = str(error)
    else:
        assert math.isfinite(found.cop)
        return
    assert "\n" not in sentence
