"""The instruments of the retrofit unit: cylinder on a scale, identifier, one machine with two refrigerants."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldcab import units
from coldcab.instruments.controls import Slider
from coldcab.instruments.drawing import style
from coldcab.instruments.identifier import OWN, SAMPLES, SEALED
from coldcab.machine import Conditions, nominal_charge, simulate
from coldcab.machine.fleet import COMBINE, FLEET
from coldcab.scenario.fleet import CONVERTED
from coldcab.service import identification, recovery
from drawings import SYSTEMS, assert_text_stays_on_the_sheet, assert_well_drawn, kelvin, make, states

NAMES = ("recovery_cylinder", "identifier", "two_refrigerants")
POUND = 0.45359237


# Drawing -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
@given(data=st.data(), system=SYSTEMS)
@settings(max_examples=25, deadline=None)
def test_draws_whatever_can_be_set(name, data, system):
    instrument = make(name, system=system, **data.draw(states(name)))
    assert_well_drawn(instrument)
    assert_text_stays_on_the_sheet(instrument)


@pytest.mark.parametrize("name", NAMES)
def test_what_a_notebook_gets(name):
    instrument = make(name)
    bundle = instrument._repr_mimebundle_()
    assert bundle["application/vnd.jupyter.widget-view+json"]["model_id"]
    assert bundle["text/plain"] == instrument.description()
    assert instrument.picture(words=False) in bundle["text/html"]


@pytest.mark.parametrize("name", NAMES)
def test_every_control_moves_the_drawing(name):
    instrument = make(name, **({"sample": OWN} if name == "identifier" else {}))
    instrument.widget  # noqa: B018 - builds it
    panel = instrument._panel
    for control in instrument.controls:
        mover, before = panel._movers[control.name], panel.drawing.html
        if isinstance(control, Slider):
            mover.value = mover.min + 0.6 * (mover.max - mover.min)
        else:
            mover.value = next(option for option in control.options if option != mover.value)
        assert panel.drawing.html != before, control.name
        if name == "identifier":
            panel._movers["sample"].value = OWN


# The cylinder ------------------------------------------------------------------------------------------------------


def test_cylinder_says_the_rooms_numbers():
    cylinder = make("recovery_cylinder", scale=40.0, gross_rating="50 lb")
    fill = recovery.allowed_fill(
        "R-12", water_capacity=26.2 * POUND, tare=15.4 * POUND, gross_rating=50 * POUND
    )  # the stamps that it starts with
    assert cylinder.readings["allowed"] == pytest.approx(fill.mass, rel=1e-9)
    assert cylinder.readings["net"] == pytest.approx(24.6 * POUND, rel=1e-9)
    assert f"{fill.mass / POUND:.1f} lb" in cylinder.reading_line()
    assert f"{fill.gross / POUND:.1f} lb" in cylinder.description()
    assert "60 % of the container's gross weight rating" in cylinder.description()
    assert "60 %" not in make("recovery_cylinder").description()


def test_liquid_rises_on_the_drawing():
    """The surface stands at the share of the body's 236 units that is liquid."""
    cylinder = make("recovery_cylinder", scale=44.0)
    tops = []
    for fahrenheit in (0, 70, 140):
        cylinder.set(temperature=fahrenheit)
        found = re.search(
            rf'<rect x="40" y="([\d.]+)" width="150" height="[\d.]+" fill="{style.LIQUID}"', cylinder.picture()
        )
        tops.append(float(found[1]))
        assert tops[-1] == pytest.approx(60 + 236 * (1 - cylinder.readings["liquid_share"]), abs=0.01)
    assert tops == sorted(tops, reverse=True)


def test_liquid_full_is_said_without_a_pressure():
    cylinder = make("recovery_cylinder", scale=48.5, temperature=160)
    assert cylinder.readings["full"]
    assert math.isnan(cylinder.readings["gauge"])
    assert "LIQUID-FULL" in cylinder.picture()
    assert "keep away" in cylinder.reading_line()
    assert cylinder.readings["full_temperature"] < kelvin(160)
    before = make("recovery_cylinder", scale=48.5, temperature=70)
    assert not before.readings["full"]
    assert "too much" in before.reading_line()


@pytest.mark.parametrize(
    ("given", "words"), [({"scale": 10.0}, "tare stamp"), ({"scale": 80.0, "water_capacity": 10.0}, "cannot be in")]
)
def test_what_cannot_be_is_one_sentence(given, words):
    cylinder = make("recovery_cylinder", **given)
    assert words in cylinder.fault
    assert "lb" in cylinder.fault
    assert "no reading" in cylinder.picture()


# The identifier ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("sample", SAMPLES)
def test_samples_say_what_the_room_finds(sample):
    instrument = make("identifier", sample=sample)
    found = identification.identify(SAMPLES[sample], sealant=sample in SEALED)
    assert instrument.readings["name"] == found.name
    assert found.next_step in instrument.reading_line()
    assert found.caution in instrument.reading_line()
    assert ("may be recycled" in instrument.description()) is found.may_recycle_here


def test_samples_show_every_kind_of_finding():
    names = {identification.identify(shares).name for shares in SAMPLES.values()}
    assert names >= {"R-12", "mixture", "R-134a with air", "flammable", "air only", "unknown"}


def test_own_sample():
    instrument = make("identifier", sample=OWN, r134a=10, air=20)
    assert instrument.readings["shares"]["R-134a"] == pytest.approx(0.08)
    assert instrument.readings["shares"]["R-12"] == pytest.approx(0.72)
    assert instrument.readings["name"] == "mixture with air"
    assert make("identifier", sample=OWN, r134a=1).readings["name"] == "R-12"


# Two refrigerants --------------------------------------------------------------------------------------------------


def test_two_refrigerants_are_two_runs_of_the_machine():
    instrument = make("two_refrigerants", machine=31, ambient=100, altitude=3000, engine_speed=1800)
    day = Conditions(
        ambient=kelvin(100),
        relative_humidity=0.40,
        altitude=3000 * 0.3048,
        engine_speed=30.0,
        inlet_temperature=kelvin(100),
        inlet_relative_humidity=0.40,
    )
    for key, name in (("old", "R-12"), ("new", "R-134a")):
        run = simulate(COMBINE, day, refrigerant=name, charge=nominal_charge(COMBINE, name))
        for field in ("low_gauge", "high_gauge", "capacity", "vent"):
            # Other starts of the same equations agree to the solver's tolerance.
            assert instrument.readings[key][field] == pytest.approx(getattr(run, field), rel=1e-5)
        shown = units.convert(run.high_gauge, "pressure difference", "psi")
        assert f"{shown:.1f} psig" in instrument.description()
    margin = COMBINE.switches.high_cutout - instrument.readings["new"]["high_gauge"]
    assert instrument.readings["margin"] == pytest.approx(margin)


def needle(instrument, side: str) -> list[float]:
    """Degrees of the needle and of the dashed one on one dial."""
    x = instrument.dials[side].x
    turned = re.findall(rf"rotate\(([-\d.]+) {x:.0f} ", instrument.picture(words=False))
    return [float(one) for one in turned]


def test_needles_stand_at_the_readings():
    """Even steps over 270 degrees: 30 inHg vacuum (14.74 psi) to 150 psig, and 0 to 500 psig; 0.1 degree is drawn."""
    instrument = make("two_refrigerants")
    for side, low, span in (("low", 14.74, 164.74), ("high", 0.0, 500.0)):
        wanted = []
        for key in ("old", "new"):
            psi = units.convert(instrument.readings[key][f"{side}_gauge"], "pressure difference", "psi")
            wanted.append(-135 + 270 * (psi + low) / span)
        assert needle(instrument, side) == pytest.approx(wanted, abs=0.1)


def test_a_blocked_condenser_uses_up_the_margin():
    instrument = make("two_refrigerants", ambient=110)
    margins = [instrument.set(blocked=share).readings["margin"] for share in (0, 30, 60)]
    assert margins == sorted(margins, reverse=True)
    assert margins[0] > margins[-1] + 1e5
    instrument.set(ambient=125, blocked=100, engine_speed=2600)
    assert instrument.readings["new"]["status"] == "high-pressure cut-out"
    assert "do not convert" in instrument.reading_line()


@pytest.mark.parametrize("number", [one.number for one in CONVERTED])
def test_every_machine_built_for_r12(number):
    instrument = make("two_refrigerants", machine=number)
    assert instrument.readings["high_rise"] > 0
    assert FLEET[number].name in instrument.description()
