"""The instruments of the oil room: what they draw, what they say, and how they take what a person types."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ElementTree
from importlib import import_module

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldcab import instruments, machine, oil
from coldcab.instruments.controls import Choice, Slider
from coldcab.instruments.drawing import fills, style
from coldcab.instruments.oil_ledger import JOBS, OilLedger
from coldcab.instruments.viscosity_chart import PLOT, VISCOSITIES, place_on_chart
from coldcab.machine.effects import HEALTHY
from coldcab.machine.fleet import FLEET
from coldcab.oil.samples import SAMPLES, sample_named
from drawings import SYSTEMS, assert_text_stays_on_the_sheet, assert_well_drawn, make, states

NAMES = ("viscosity_chart", "oil_circulation", "oil_ledger", "open_can", "oil_shelf")
FLUID_OUNCE = 29.5735295625e-6  # m3, exact by definition


@pytest.mark.parametrize("name", NAMES)
@given(data=st.data(), system=SYSTEMS)
@settings(max_examples=40, deadline=None)
def test_draws_whatever_can_be_set(name, data, system):
    instrument = make(name, system=system, **data.draw(states(name)))
    assert_well_drawn(instrument)
    assert_text_stays_on_the_sheet(instrument)
    assert not instrument.fault or "no reading" in instrument.picture()


@pytest.mark.parametrize("name", NAMES)
def test_every_setting_has_a_control_and_moves_the_drawing(name):
    instrument = make(name)
    assert instrument.widget is instrument.widget
    for control in type(instrument).controls:
        before = instrument.picture()
        if isinstance(control, Slider):
            low, high = control.lowest, control.highest
            changed = {control.name: low + 0.31 * (high - low)}
        elif isinstance(control, Choice):
            changed = {control.name: next(o for o in control.options if o != instrument.settings[control.name])}
        else:
            changed = {control.name: not instrument.settings[control.name]}
        again = make(name)
        if name == "oil_ledger":
            again.set(check=True, job=JOBS[0] if control.name == "leaked" else JOBS[1])
            before = again.picture()
            if control.name == "check":
                changed = {"check": False}
        again.set(**changed)
        assert again.picture() != before, control.name


# The viscosity chart -------------------------------------------------------------------------------------------------


def test_a_blend_is_drawn_where_it_belongs_and_the_mean_is_named_as_wrong():
    chart = make("viscosity_chart", first="PAG 46", second="PAG 150", share=50, temperature="104 F")
    # ASTM D7152: the mean of log log(v + 0.7) by volume, worked out here by hand.
    index = 0.5 * (math.log(math.log(46.7)) + math.log(math.log(150.7)))
    expected = math.exp(math.exp(index)) - 0.7
    assert chart.readings["blend"] * 1e6 == pytest.approx(expected, rel=1e-9)
    assert chart.readings["grade"] is None
    assert "no ISO grade" in chart.reading_line()
    assert "The mean of the two numbers would be 98.0 cSt" in chart.reading_line()
    _, y, _, height = PLOT
    low, high = (math.log(math.log(v * 1e6 + 0.7)) for v in VISCOSITIES)
    px, py = place_on_chart(313.15, expected * 1e-6)
    assert py == pytest.approx(y + height * (1 - (index - low) / (high - low)), abs=0.01)
    assert f"{px:.2f}".rstrip("0").rstrip(".") in chart.picture()


def test_every_oil_is_a_straight_line_on_the_chart():
    for sample in SAMPLES.values():
        line = oil.viscosity_line(sample.points)
        ends = [place_on_chart(kelvin, line.at(kelvin)) for kelvin in (260.0, 325.0, 390.0)]
        slopes = [(b[1] - a[1]) / (b[0] - a[0]) for a, b in ((ends[0], ends[1]), (ends[1], ends[2]))]
        assert slopes[0] == pytest.approx(slopes[1], rel=1e-9)


def test_oils_of_two_types_are_no_blend():
    chart = make("viscosity_chart", first="mineral 100", second="PAG 150")
    assert "no blend makes it right" in chart.fault
    assert "No reading" in chart.reading_line()


def test_samples_have_the_grade_and_the_index_they_claim():
    # Spans of the index by type: from memory, named in coldcab/oil/samples.py.
    spans = {"PAG": (200, 240), "POE": (105, 135), "mineral oil": (20, 50)}
    for sample in SAMPLES.values():
        assert oil.grade_of(sample.points[0][1]) == sample.grade
        low, high = spans[sample.oil]
        assert low < oil.viscosity_index(sample.points[0][1], sample.points[1][1]) < high
    with pytest.raises(oil.OilError, match="not a sample oil"):
        sample_named("PAG 47")


# Oil in circulation --------------------------------------------------------------------------------------------------


def test_circulation_shows_the_machine_with_that_oil():
    view = make("oil_circulation", machine="31", refrigerant="R-134a", oil=200, lying=0)
    run = machine.simulate(
        FLEET[31],
        view.conditions,
        refrigerant="R-134a",
        charge=view.right_charge,
        faults=HEALTHY.changed(oil=2.0),
    )
    # The view starts from a run nearby; the solver ends within a millionth.
    assert view.readings["capacity"] == pytest.approx(run.capacity, rel=1e-5)
    assert view.readings["circulation"] == pytest.approx(2 * FLEET[31].oil_share)
    assert view.readings["oil_volume"] == pytest.approx(2 * FLEET[31].oil / oil.density("PAG"))
    assert view.readings["last_liquid"] == pytest.approx(2 * FLEET[31].oil_share / 0.1)  # nine tenths have boiled
    assert view.readings["change"] < 0.0


def test_more_oil_never_cools_better_and_oil_in_the_coil_costs_most():
    view = make("oil_circulation")
    curve = view.readings["curve"]
    assert np.all(np.diff(curve) < 0.0)
    assert view.readings["change"] == pytest.approx(0.0, abs=1e-4)
    worst = make("oil_circulation", oil=300, lying=100).readings["change"]
    only_much = make("oil_circulation", oil=300).readings["change"]
    assert worst < only_much < 0.0
    assert "starves" in view.picture()
    assert "runs short of oil" in make("oil_circulation", oil=50).reading_line()


def test_the_curve_is_worked_out_once_for_one_day(monkeypatch):
    made = []
    circulation = import_module("coldcab.instruments.oil_circulation")
    real = circulation.simulate_many
    monkeypatch.setattr(circulation, "simulate_many", lambda *a, **k: made.append(1) or real(*a, **k))
    view = make("oil_circulation")
    for share in (50, 120, 250):
        view.set(oil=share)
    assert len(made) == 1


# The open can --------------------------------------------------------------------------------------------------------


def test_an_open_can_shows_the_stated_approximation_and_its_doubt():
    can = make("open_can", oil="PAG", hours=24, humidity=50, depth=4)
    # 20 g/kg at 100 % humidity, a time constant of 100 h at 50 mm: from memory, as coldcab.oil.moisture says.
    expected = 0.010 - (0.010 - 50e-6) * math.exp(-24 / (100 * 4 * 25.4 / 50))
    assert can.readings["content"] == pytest.approx(expected, rel=1e-9)
    assert can.readings["times_limit"] == pytest.approx(expected / 50e-6)
    assert "factor of two" in can.reading_line()
    contents = [make("open_can", oil=name).readings["content"] for name in ("mineral oil", "POE", "PAG")]
    assert contents == sorted(contents)


# The ledger ----------------------------------------------------------------------------------------------------------


def test_the_ledger_adds_up_what_is_set():
    books = make("oil_ledger", required=8, recovered=0.3, drained=2.4, brought=4.0, drier=0.7, added=0)
    assert books.readings["after"] / FLUID_OUNCE == pytest.approx(8 - 0.3 - 2.4 + 4.0 - 0.7)
    assert books.readings["to_add"] / FLUID_OUNCE == pytest.approx(-0.6)
    assert books.readings["balances"] is None
    assert "There is too much oil" in books.reading_line()
    # Root of the sum of squares: 0.5 for the data sheet, 0.1 for each of the four cups that were read.
    assert books.readings["after doubt"] / FLUID_OUNCE == pytest.approx(math.sqrt(0.5**2 + 4 * 0.1**2))
    guessed = make("oil_ledger", measured=False)
    assert guessed.readings["after doubt"] > 2 * books.readings["after doubt"]


def test_the_balance_closes_or_shows_what_is_missing():
    closed = make("oil_ledger", check=True, counted=8.4)
    assert closed.readings["balances"] is True
    assert "The books balance" in closed.reading_line()
    short = make("oil_ledger", check=True, counted=6.5)
    assert short.readings["balances"] is False
    assert "2.1 fl oz missing" in short.picture()
    assert "Find the mistake" in short.reading_line()
    assert "too much" in make("oil_ledger", check=True, counted=11).picture()


def test_jobs_show_their_own_lines():
    shown = {job: {c.name for c in OilLedger.controls if make("oil_ledger", job=job).in_use(c)} for job in JOBS}
    leak, swap, rebuild = (shown[job] for job in JOBS)
    assert "leaked" in leak - swap - rebuild
    assert {"drained", "brought"} <= swap
    assert "drained" not in leak
    assert not {"recovered", "drier"} & rebuild


def test_an_impossible_line_is_told_and_not_drawn():
    books = make("oil_ledger", required=1, drained=12)
    assert "cannot leave the compressor" in books.fault
    assert "no reading" in books.picture()


def test_a_ledger_made_elsewhere_is_drawn_with_its_oils():
    ledger = (
        oil.Ledger("POE", required=240e-6)
        .enter("in", "mineral oil of the old charge", 180e-6, 15e-6, oil="mineral oil")
        .enter("out", "drained from the compressor", 120e-6, 3e-6, part="compressor")
        .enter("added", "new ester oil", 180e-6, 2e-6, part="compressor")
    )
    drawn = instruments.oil_ledger(ledger=ledger, system="si")
    for name in ("mineral oil", "POE"):
        assert style.OIL[name].color in drawn.picture()
    assert "240 mL" in drawn.reading_line()
    assert not any(drawn.in_use(control) for control in drawn.controls)
    many = ledger
    for number in range(12):
        many = many.enter("added", f"a little more, {number}", 1e-6, 1e-6)
    assert "more lines" in drawn.show(many).picture()


# Looking -------------------------------------------------------------------------------------------------------------


def test_every_oil_has_its_own_color_and_pattern():
    assert set(style.OIL) == set(oil.OILS)
    assert len({look.pattern for look in style.OIL.values()}) == len(style.OIL)
    drawings = {name: fills.filled(0, 0, 100, 60, name).replace(look.color, "") for name, look in style.OIL.items()}
    assert len(set(drawings.values())) == len(style.OIL)  # they differ without color, too


def _linear(color: str) -> np.ndarray:
    part = np.array([int(color[place : place + 2], 16) for place in (1, 3, 5)]) / 255
    return np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)


def test_ink_reads_on_every_oil():
    # WCAG 2.2, success criterion 1.4.3: at least 4.5 to 1 for text.
    for look in style.OIL.values():
        light, dark = (float(_linear(c) @ [0.2126, 0.7152, 0.0722]) for c in (look.color, style.INK))
        assert (light + 0.05) / (dark + 0.05) >= 4.5


@given(st.floats(0, 200), st.floats(0, 200), st.sampled_from(list(style.OIL)))
def test_patterns_stay_inside_what_they_fill(width, height, name):
    drawn = fills.filled(10.0, 20.0, width, height, name)
    ElementTree.fromstring(f"<svg>{drawn}</svg>")
    for x, y in re.findall(r"[ML]([\d.-]+) ([\d.-]+)", drawn):
        assert 9.9 <= float(x) + (2.5 if name == "POE" else 0) <= 10.1 + max(width, 0) + 2.5
        assert 17.4 <= float(y) <= 20.1 + max(height, 0)


# The oil shelf -------------------------------------------------------------------------------------------------------


def test_the_shelf_asks_six_questions_and_names_the_danger():
    shelf = make("oil_shelf", machine="the electric yard loader", tin="F")
    assert shelf.readings["against"] == ("may conduct",)
    assert shelf.readings["fitting"] == ("I",)
    assert "high voltage to the housing" in shelf.reading_line()
    assert shelf.picture().count(">fits<") == 5
    assert shelf.picture().count(">NO<") == 1
    shelf.set(tin="I")
    assert "passes all six questions" in shelf.reading_line()
    shelf.set(machine="the baler tractor", tin="D")
    assert "No tin on this shelf fits: order one." in shelf.reading_line()
    for letter in "ABCDEFGHIK":
        assert f"Tin {letter}: " in shelf.description()
