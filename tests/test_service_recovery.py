"""Recovery: cylinders, scales, depth, air and identification against published examples, law and first principles."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import published_tables
from coldcab import refrigerants
from coldcab.service import depth, identification, law, recovery
from coldcab.service.checks import ServiceError

POUND, PSI, INCH_OF_MERCURY = 0.45359237, 6894.757293168, 3386.38864


CYLINDERS = published_tables.by_id("vacuum_nitrogen_cylinder")


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


def limit(fill: recovery.AllowedFill, words: str) -> float:
    return next(one.mass for one in fill.limits if words in one.rule)


# Cylinders ---------------------------------------------------------------------------------------------------------


def test_water_densities():
    """IAPWS-95 through the independent package iapws; the constants have five figures."""
    from iapws import IAPWS95

    for fahrenheit, used in ((60, recovery.WATER_60F), (77, recovery.WATER_77F)):
        assert used == pytest.approx(IAPWS95(T=kelvin(fahrenheit), P=0.101325).rho, abs=0.006)


def test_guideline_fill_of_a_published_example():
    """CY1 and CY2: 957.6 lb net, 1337.6 lb gross. Their specific gravity of 1.197 is 0.24 % above CoolProp's 1.1942."""
    fill = recovery.allowed_fill("R-22", water_capacity=1000 * POUND, tare=380 * POUND)
    net = limit(fill, "specific gravity at 77 F")
    assert net / POUND == pytest.approx(float(CYLINDERS["CY1"]["published"]), rel=0.003)
    assert (net + fill.tare) / POUND == pytest.approx(float(CYLINDERS["CY2"]["published"]), rel=0.003)


@pytest.mark.parametrize(("name", "row"), [("R-12", "CY7"), ("R-22", "CY8")])
def test_transport_filling_density(name, row):
    """49 CFR 173.304a(a)(2): printed in whole per cent, and below what is liquid-full at 131 F by under 1 per cent."""
    capacity = 20.0
    printed = float(CYLINDERS[row]["published"])
    fill = recovery.allowed_fill(name, water_capacity=capacity)
    assert 100 * limit(fill, "filling density") / capacity == pytest.approx(printed, abs=1e-9)
    full = recovery.liquid_full_temperature(name, mass=printed / 100 * capacity, water_capacity=capacity)
    # One point of 119 % is worth about 2 K of liquid; the limit lies within that of 55 C, on the warm side.
    assert 328.15 < full < 328.15 + 2.5


def test_other_liquids_must_not_be_full_at_131_f():
    """CY9, 49 CFR 173.304(b): 107.9377 % by CoolProp's density at 55 C, four decimals; a table's 0.01 % is allowed."""
    fill = recovery.allowed_fill("R-134a", water_capacity=20.0)
    most = limit(fill, "131 F")
    assert 100 * most / 20.0 == pytest.approx(float(CYLINDERS["CY9"]["check"]), rel=1e-4)
    assert recovery.liquid_full_temperature("R-134a", mass=most, water_capacity=20.0) == pytest.approx(328.15, abs=1e-3)


def test_both_rules_of_the_law_stand_side_by_side():
    """V13 (80 % of the volume at 70 F) and V12 (60 % of the gross rating) differ; the smaller one counts."""
    fill = recovery.allowed_fill("R-12", water_capacity=21.6, tare=12.7, gross_rating=36.0)
    eighty, sixty = limit(fill, "80 %"), limit(fill, "60 %")
    assert sixty == pytest.approx(0.60 * 36.0)
    density = refrigerants.saturation("R-12", temperature=kelvin(70)).liquid_density
    assert eighty == pytest.approx(0.80 * 21.6 / 999.02 * density, rel=1e-4)  # 70 F is 294.261 K, not 294.26
    assert fill.strictest.rule.startswith("60 %")
    assert fill.mass == min(one.mass for one in fill.limits)
    assert fill.gross == pytest.approx(fill.mass + 12.7)
    assert all("2015" in one.citation or "Guideline" in one.citation for one in fill.limits)
    without = recovery.allowed_fill("R-12", water_capacity=21.6)
    assert not any("60 %" in one.rule for one in without.limits)


@given(
    name=st.sampled_from(["R-12", "R-134a"]),
    share=st.floats(0.05, 0.95),
    capacity=st.floats(1.0, 200.0),
    temperature=st.floats(250.0, 340.0),
)
@settings(max_examples=60, deadline=None)
def test_mass_is_kept_in_the_cylinder(name, share, capacity, temperature):
    """Liquid and vapor of the state found weigh what was put in (first principles; a table's 0.01 %)."""
    line = refrigerants.saturation(name, temperature=temperature)
    volume = capacity / 999.02
    mass = volume * (share * line.liquid_density + (1 - share) * line.vapor_density)
    found = recovery.fill_state(name, mass=mass, water_capacity=capacity, temperature=temperature)
    assert not found.full
    assert found.liquid_share == pytest.approx(share, rel=1e-6)
    assert found.pressure == pytest.approx(line.pressure, rel=1e-9)
    assert found.full_temperature > temperature


def test_liquid_rises_with_temperature_until_it_fills_the_cylinder():
    temperatures = np.linspace(260.0, 350.0, 91)
    found = recovery.fill_state("R-134a", mass=11.4, water_capacity=11.9, temperature=temperatures)
    assert (np.diff(found.liquid_share[~found.full]) > 0).all()
    assert (found.liquid_share[found.full] == 1.0).all()
    assert np.isnan(found.pressure[found.full]).all()
    assert (found.full == (temperatures >= found.full_temperature)).all()
    assert found.full.any()
    assert not found.full.all()


def test_a_little_liquid_never_fills_the_cylinder():
    """Below the critical density (CoolProp: 511.9 kg/m3) the liquid boils away before it could fill it."""
    volume = 20.0 / 999.02
    assert math.isinf(recovery.liquid_full_temperature("R-134a", mass=0.9 * 511.9 * volume, water_capacity=20.0))
    hottest = recovery.hottest_liquid("R-134a")
    assert 360.0 < hottest < 374.21  # K, the critical temperature
    dense = refrigerants.saturation("R-134a", temperature=hottest).liquid_density
    assert math.isinf(recovery.liquid_full_temperature("R-134a", mass=0.999 * dense * volume, water_capacity=20.0))
    found = recovery.liquid_full_temperature("R-134a", mass=1.001 * dense * volume, water_capacity=20.0)
    assert hottest - 0.5 < found < hottest


def test_a_liquid_full_cylinder_gains_five_to_seven_bar_a_kelvin():
    """The caution's number against CoolProp itself, at 20 C."""
    from CoolProp.CoolProp import PropsSI

    for fluid in ("R12", "R134a"):
        density = PropsSI("D", "T", 293.15, "Q", 0, fluid)
        rise = PropsSI("P", "T", 294.15, "D", density, fluid) - PropsSI("P", "T", 293.15, "Q", 0, fluid)
        assert 5e5 < rise < 7e5


# Scales ------------------------------------------------------------------------------------------------------------


def test_uncertainty_of_two_readings():
    """GUM 4.3.7: a step d has the standard uncertainty d / sqrt(12); two readings add in squares; k = 2."""
    found = recovery.mass_recovered(14.20, 15.61, resolution=0.01)
    assert found.mass == pytest.approx(1.41)
    assert found.uncertainty == pytest.approx(2 * math.sqrt(2) * 0.01 / math.sqrt(12))


def test_uncertainty_by_drawing_lots():
    """The same by 200,000 pairs of rounded readings with a scale error: the spread of 200,000 is known to 0.2 %."""
    generator = np.random.default_rng(7)
    true = generator.uniform(14.0, 15.0, (2, 200_000))
    shown = np.round((true + generator.uniform(-0.03, 0.03, true.shape)) / 0.02) * 0.02
    wrong = (shown[1] - shown[0]) - (true[1] - true[0])
    found = recovery.mass_recovered(14.2, 15.6, resolution=0.02, error=0.03)
    assert found.uncertainty == pytest.approx(2 * np.std(wrong), rel=0.01)


def test_gas_left_in_a_machine_that_lost_its_charge():
    """Ideal gas: 4 L at 25 C and 101.3 kPa hold 16.7 g of R-134a; the real gas is 2 % denser at most."""
    ideal = 101_325.0 * 4e-3 * 0.102032 / (8.314462618 * 298.15)
    found = recovery.gas_left("R-134a", volume=4e-3, temperature=298.15, pressure=101_325.0)
    assert ideal < found < 1.03 * ideal


# Depth -------------------------------------------------------------------------------------------------------------


def test_recovery_depth_of_a_cab():
    """V1, V2: at least 102 mm Hg, 4 in Hg, below the air: the two printed numbers agree within their rounding."""
    found = depth.required_depth(depth.OFF_ROAD)
    assert found.vacuum / 133.322387415 == pytest.approx(law.fact("V1").number)
    assert found.vacuum / INCH_OF_MERCURY == pytest.approx(law.fact("V2").number, abs=0.05)
    assert found.pressure == 101_325.0 - found.vacuum
    high = depth.required_depth(depth.OFF_ROAD, atmosphere=85_000.0)
    assert high.vacuum == found.vacuum
    assert high.pressure == 85_000.0 - found.vacuum
    # V10 is the row for other appliances: 10 inHg with new equipment, 4 with old.
    for new, inches in ((True, 10), (False, 4)):
        other = depth.required_depth(depth.OTHER, new_equipment=new)
        assert other.vacuum / INCH_OF_MERCURY == pytest.approx(inches)


@pytest.mark.parametrize(
    ("given", "kind"),
    [
        # 40 CFR 82.152 and 82.32(c), facts D1 to D3.
        ({"refrigerant": "R-12", "road": False, "open_drive": True, "charge": 1.55}, depth.OFF_ROAD),
        ({"refrigerant": "R-12", "road": True, "open_drive": True, "charge": 1.55}, depth.ROAD),
        ({"refrigerant": "R-12", "road": False, "open_drive": False, "charge": 1.55}, depth.OTHER),
        ({"refrigerant": "R-12", "road": False, "open_drive": True, "charge": 20.1 * POUND}, depth.OTHER),
        ({"refrigerant": "R-134a", "road": False, "open_drive": True, "charge": 19.9 * POUND}, depth.OFF_ROAD),
        ({"refrigerant": "R-22", "road": False, "open_drive": True, "charge": 1.55}, depth.OTHER),
        ({"refrigerant": "R-12", "road": False, "open_drive": True, "charge": 1.55, "cab": False}, depth.OTHER),
    ],
)
def test_kind_of_machine(given, kind):
    assert depth.kind_of_machine(**given).name == kind


# Air ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "file", "column"),
    [("R-12", "ncg_r12", "limit_psig"), ("R-134a", "ncg_r134a", "limit_psig_memory")],
)
def test_printed_limits(name, file, column):
    """Every printed row is met exactly; a pressure below passes, the printed one itself does not (5.5: "less than")."""
    for row in published_tables.rows(file):
        warmth, printed = kelvin(float(row["temp_F"])), float(row[column])
        assert recovery.table_limit(name, warmth) / PSI == pytest.approx(printed)
        assert not recovery.air_check(name, temperature=warmth, gauge=printed * PSI).passes
        assert recovery.air_check(name, temperature=warmth, gauge=(printed - 1) * PSI).passes


@pytest.mark.parametrize("row", published_tables.rows("ncg_r12_between"), ids=lambda row: row["temp_F"])
def test_limits_between_the_rows_shown(row):
    """The law prints whole psi; a straight line rounded down is never above it and at most 1 psi below."""
    found = recovery.table_limit("R-12", kelvin(float(row["temp_F"]))) / PSI
    assert float(row["limit_psig"]) - 1.001 <= found <= float(row["limit_psig"]) + 0.001


def test_the_laws_own_example():
    """Service procedure 5.4: at 70 F the pressure must not exceed 80 psig."""
    assert recovery.table_limit("R-12", kelvin(70)) / PSI == pytest.approx(80)


def test_recalled_table_says_so():
    check = recovery.air_check("R-134a", temperature=kelvin(80), gauge=80 * PSI)
    assert "from memory" in check.citation


@given(
    name=st.sampled_from(["R-12", "R-134a"]),
    fahrenheit=st.floats(65, 113),
    air=st.floats(0.0, 0.05),
    mass=st.floats(3.0, 9.0),
)
@settings(max_examples=60, deadline=None)
def test_air_put_in_is_found_again(name, fahrenheit, air, mass):
    """Dalton's law both ways: what `closed_container` mixes is what the check takes apart."""
    inside = refrigerants.closed_container(
        name, kelvin(fahrenheit), mass=mass, volume=12.0 / recovery.WATER_60F, air_mass=air
    )
    found = recovery.air_check(
        name, temperature=kelvin(fahrenheit), gauge=inside.pressure - 101_325.0, mass=mass, water_capacity=12.0
    )
    assert found.air_mass == pytest.approx(air, abs=1e-7)
    assert found.air_share == pytest.approx(air / mass, abs=1e-7)


def test_air_by_hand():
    """pV = mRT with R = 287.06 J/(kg K): 10 psi of air in 5 L at 80 F weigh 4.0 g."""
    density = refrigerants.saturation("R-12", temperature=kelvin(80)).liquid_density
    volume = 12.0 / 999.02
    mass = (volume - 5e-3) * density  # liquid only: the vapor's own mass is left out, 1.5 % of the room
    boiling = refrigerants.saturation_pressure("R-12", kelvin(80))
    found = recovery.air_check(
        "R-12", temperature=kelvin(80), gauge=boiling + 10 * PSI - 101_325.0, mass=mass, water_capacity=12.0
    )
    assert found.air_mass == pytest.approx(10 * PSI * 5e-3 / (287.06 * kelvin(80)), rel=0.05)


def test_less_than_the_table_is_told():
    boiling = refrigerants.saturation_pressure("R-12", kelvin(80)) - 101_325.0
    found = recovery.air_check("R-12", temperature=kelvin(80), gauge=boiling - 20 * PSI)
    assert found.passes
    assert found.verdict.startswith("below the table")


# Identification ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("shares", "name", "recycle", "air"),
    [
        ({"R-12": 1.0}, "R-12", True, False),
        ({"R-12": 0.985, "R-134a": 0.015}, "R-12", True, False),
        ({"R-134a": 0.95, "air": 0.05}, "R-134a with air", True, True),
        ({"R-12": 0.80, "R-134a": 0.20}, "mixture", False, False),
        ({"R-12": 0.97, "R-134a": 0.03}, "mixture", False, False),
        ({"R-22": 1.0}, "another refrigerant: R-22", False, False),
        ({"R-12": 0.9, "hydrocarbon": 0.1}, "flammable", False, False),
        ({"R-12": 0.7}, "unknown", False, False),
        ({"air": 1.0}, "air only", False, True),
    ],
)
def test_findings(shares, name, recycle, air):
    """98 % pure (SAE J1771, from memory) draws the line between a refrigerant and a mixture."""
    found = identification.identify(shares)
    assert found.name == name
    assert found.may_recycle_here is recycle
    assert found.may_return is recycle
    assert found.air is air
    assert found.citation
    assert all(text.endswith(".") for text in (found.next_step, found.caution))


def test_containers_have_the_colors_of_the_law():
    """Facts V23 and V24 (Appendices B and D)."""
    for name, row in (("R-12", "V23"), ("R-134a", "V24")):
        printed = law.fact(row).text.split(": ")[1]
        assert identification.identify({name: 1.0}).container == printed


@given(st.dictionaries(st.sampled_from(identification.PARTS), st.floats(), max_size=5))
@settings(max_examples=200, deadline=None)
def test_any_shares_give_a_finding_or_a_sentence(shares):
    try:
        found = identification.identify(shares)
    except ServiceError as problem:
        said = str(problem)
        found = None
    assert found.may_return <= found.may_recycle_here if found else said.endswith(".")


# Bad input ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: recovery.allowed_fill("R-12", water_capacity=0.0), "water capacity"),
        (lambda: recovery.allowed_fill("R-12", water_capacity="26 lb"), "bare number"),
        (lambda: recovery.allowed_fill("R-12", water_capacity=20, tare=12, gross_rating=11), "gross rating"),
        (lambda: recovery.allowed_fill("R-12", water_capacity=[20, 30]), "array"),
        (lambda: recovery.liquid_full_temperature("R-12", mass=40, water_capacity=20), "weigh it again"),
        (lambda: recovery.fill_state("R-12", mass=9, water_capacity=20, temperature=70), "temperature"),
        (lambda: recovery.fill_state("R-12", mass=[9, 8], water_capacity=[1, 2, 3], temperature=300), "fit together"),
        (lambda: recovery.mass_recovered(15.6, 14.2, resolution=0.01), "right way round"),
        (lambda: recovery.mass_recovered(14.2, 15.6, resolution=0), "resolution"),
        (lambda: recovery.gas_left("R-12", volume=4e-3, temperature=298.15, pressure=9e5), "saturation pressure"),
        (lambda: recovery.table_limit("R-12", 290.0), "F"),
        (lambda: recovery.table_limit("R-152a", 300.0), "no published table"),
        (lambda: recovery.air_check("R-12", temperature=300.0, gauge=math.nan), "NaN"),
        (lambda: depth.required_depth("tractor"), "kind"),
        (lambda: depth.kind_of_machine("R-12", road=1, open_drive=True, charge=1.5), "True or False"),
        (lambda: identification.identify({"R-12": 98}), "0.98"),
        (lambda: identification.identify({"R-11": 1}), "identifier"),
        (lambda: identification.identify({"R-12": 0.9, "R-134a": 0.9}), "add up"),
    ],
)
def test_bad_input_gets_one_sentence(call, words):
    with pytest.raises(ServiceError) as problem:
        call()
    said = str(problem.value)
    assert words in said
    assert said[-1] in ".?"
    assert "\n" not in said
