"""The instruments: what they draw, what they say, and how they take what a person types."""

from __future__ import annotations

import itertools
import math
import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldcab import air, cycle, instruments, refrigerants
from coldcab.instruments.controls import GaugeSlider, Slider
from coldcab.instruments.drawing import style
from drawings import SVG, SYSTEMS, assert_text_stays_on_the_sheet, assert_well_drawn, kelvin, make, states

PSI = 6894.757293168  # Pa; pound and inch of 1959 with standard gravity, exact to the digits shown
INCH_OF_MERCURY = 3386.389  # Pa; conventional mercury, NIST SP 811 (2008), appendix B
NAMES = ("gauge_pair", "pressure_and_temperature", "state_of_a_line", "container", "ph_chart", "property_reader")


# What a person could set or type -----------------------------------------------------------------------------


# Drawing -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
@given(data=st.data(), system=SYSTEMS)
@settings(max_examples=60, deadline=None)
def test_draws_whatever_can_be_set(name, data, system):
    instrument = make(name, system=system, **data.draw(states(name)))
    picture = assert_well_drawn(instrument)
    assert instrument.description().startswith(instrument.title)
    assert picture.find(f"{SVG}title").text == instrument.title
    assert not instrument.fault or "no reading" in instrument.picture()
    assert_text_stays_on_the_sheet(instrument)


def turns(instrument) -> list[float]:
    """Degrees of the needles, in the order of the drawing: each is turned about the middle of its face."""
    found = re.findall(r'<path[^>]*fill="#1d2632"[^>]*transform="rotate\(([-\d.]+) ', instrument.picture())
    return [float(degrees) for degrees in found]


@pytest.mark.parametrize("gauge", [-14.0, 0.0, 31.0, 150.0, 300.0])
def test_needle_of_the_single_gauge(gauge):
    # The face spans 270 degrees from 30 inHg vacuum (14.74 psi) to 300 psig, even steps; 0.1 degree is drawn.
    [degrees] = turns(make("pressure_and_temperature", gauge=gauge))
    assert degrees == pytest.approx(-135 + 270 * (gauge + 14.74) / 314.74, abs=0.1)


def test_needles_of_the_pair():
    low, high = turns(make("gauge_pair", low="20 inHg vac", high="250 psig"))
    assert low == pytest.approx(-135 + 270 * (14.74 - 20 * INCH_OF_MERCURY / PSI) / 164.74, abs=0.1)
    assert high == pytest.approx(0.0, abs=0.1)  # 250 of 500 psig stands at the top


def test_the_needle_shows_the_gauge_and_not_the_altitude():
    low, high = (make("pressure_and_temperature", gauge=31.0, altitude=feet) for feet in (0, 8000))
    assert turns(low) == turns(high)
    assert low.readings["absolute"] - high.readings["absolute"] == pytest.approx(
        air.atmospheric_pressure(0.0) - air.atmospheric_pressure(8000 * 0.3048), rel=1e-9
    )
    assert low.readings["R-134a"] > high.readings["R-134a"]


def test_pointers_stand_at_the_true_temperature():
    """On a ring printed for sea level, the pointer's place is the sea-level reading of that temperature."""
    gauge = make("pressure_and_temperature", gauge=100.0, altitude=6000)
    found = re.findall(r'fill="(#\w+)"[^>]*transform="rotate\(([-\d.]+) ', gauge.picture())
    for name in ("R-12", "R-134a"):
        printed = refrigerants.saturation_pressure(name, gauge.readings[name]) - 101325.0
        degrees = next(float(turn) for color, turn in found if color == style.REFRIGERANT[name].color)
        assert degrees == pytest.approx(-135 + 270 * (printed / PSI + 14.74) / 314.74, abs=0.1)


def test_second_needles_are_drawn_on_request():
    pair = make("gauge_pair", healthy=("28 psig", 210))
    assert "28.0 psig and 210.0 psig" in pair.reading_line()
    assert pair.picture().count('stroke-dasharray="6 4"') == 2
    pair.compare(None)
    assert 'stroke-dasharray="6 4"' not in pair.picture()


@pytest.mark.parametrize("name", NAMES)
def test_the_still_part_is_made_once(name, monkeypatch):
    kind, made = getattr(instruments, name), []
    still = kind.face
    monkeypatch.setattr(kind, "face", lambda self: made.append(1) or still(self))
    instrument = make(name)
    for control in kind.controls:
        if isinstance(control, Slider):
            for share in (0.2, 0.5, 0.7):
                instrument.set(**{control.name: control.lowest + share * (control.highest - control.lowest)})
                instrument.picture()
    instrument.picture()
    assert len(made) == 1


# Saying ------------------------------------------------------------------------------------------------------


def test_pressure_and_temperature_says_its_numbers():
    gauge = make("pressure_and_temperature", gauge="31 psig")
    absolute = 31 * PSI + 101325.0
    assert gauge.readings["absolute"] == pytest.approx(absolute, rel=1e-6)
    for name in ("R-12", "R-134a"):
        saturated = refrigerants.saturation_temperature(name, absolute)
        assert gauge.readings[name] == pytest.approx(saturated, abs=1e-4)
        assert f"{saturated * 1.8 - 459.67:.1f} F" in gauge.description()
    for words in ("31.0 psig", "45.7 psia", "315 kPa absolute", "sea level"):
        assert words in gauge.description()


def test_bars_are_drawn_to_scale():
    gauge = make("pressure_and_temperature", gauge=31.0)
    boxes = re.findall(r'<rect x="([\d.]+)" y="(\d+)" width="([\d.]+)" height="22"', gauge.picture())
    wide = {(float(x), y): float(width) for x, y, width in boxes}
    outside = next(width for (x, y), width in wide.items() if y == "75")
    reading = next(width for (x, y), width in wide.items() if y == "129")
    total = max(width for (x, y), width in wide.items() if y == "183")
    assert outside / reading == pytest.approx(101325.0 / (31 * PSI), rel=1e-3)  # drawn to a hundredth of a unit
    assert total == pytest.approx(outside + reading, abs=0.05)


@pytest.mark.parametrize(
    ("above", "state"),
    [
        (12.0, "superheated"),
        (1.2, "superheated"),
        (0.8, "saturated"),
        (0.0, "saturated"),
        (-0.8, "saturated"),
        (-9.0, "subcooled"),
    ],
)  # F; the band of 1 F is what a clamp-on thermometer can tell (common practice, no source)
def test_state_of_a_line(above, state):
    saturated = refrigerants.saturation_temperature("R-134a", 50 * PSI + 101325.0) * 1.8 - 459.67
    line = make("state_of_a_line", pressure=50.0, temperature=saturated + above)
    assert line.readings["state"] == state
    assert line.readings["above_saturation"] == pytest.approx(above / 1.8, abs=1e-3)
    if state == "saturated":
        assert "within what the instruments can tell" in line.description()
    else:
        assert f"{abs(above):.1f} F" in line.description()


def test_the_three_states_look_different_without_color():
    pictures = [make("state_of_a_line", pressure=50.0, temperature=value).picture() for value in (20.0, 54.0, 90.0)]
    counts = [(picture.count("<circle"), picture.count('stroke-dasharray="34 58"')) for picture in pictures]
    assert len(set(counts)) == 3


@given(temperature=st.floats(-20.0, 150.0), name=st.sampled_from(["R-12", "R-134a"]))
@settings(max_examples=40, deadline=None)
def test_container_keeps_its_pressure_while_liquid_is_left(temperature, name):
    cylinder = make("container", refrigerant=name, temperature=temperature)
    table = refrigerants.saturation_pressure(name, kelvin(temperature))
    pressures = []
    for share in (100, 60, 30, 15, 2, 1, 0.2):
        cylinder.set(charge=share)
        pressures.append(cylinder.readings["absolute"])
        if cylinder.readings["liquid_level"] > 0:
            # the same function gives both: only rounding may differ
            assert cylinder.readings["absolute"] == pytest.approx(table, rel=1e-9)
            assert share / 100 > cylinder.readings["last_liquid"]
        else:
            assert cylinder.readings["absolute"] < table
            assert "falls with the charge" in cylinder.reading_line()
    assert all(later <= earlier * (1 + 1e-9) for earlier, later in itertools.pairwise(pressures))
    assert pressures[-1] < 0.7 * pressures[0]


def test_air_shows_above_the_table():
    cylinder = make("container", air="0.5 oz", charge=50)
    readings = cylinder.readings
    assert readings["excess"] == pytest.approx(readings["air_pressure"], rel=1e-9)
    # Ideal gas in the space above the liquid: R = 287.05 J/(kg K) for dry air (U.S. Standard Atmosphere 1976).
    space = cylinder.volume * (1 - readings["liquid_level"])
    ideal = 0.5 * 0.028349523125 * 287.05 * kelvin(70.0) / space
    assert readings["air_pressure"] == pytest.approx(ideal, rel=1e-4)  # digits of the gas constant
    assert f"{ideal / PSI:.1f} psi" in cylinder.reading_line()


def test_an_empty_container_is_no_error():
    cylinder = make("container", charge=0)
    assert cylinder.readings["absolute"] == 0.0
    assert "No refrigerant is left." in cylinder.reading_line()


def test_chart_shows_the_cycle_of_both_refrigerants():
    chart = make("ph_chart")
    flow = 10 * 0.0254**3 * 30 * 0.65  # 10 cu in, 1800 rpm, 65 %
    for name in ("R-134a", "R-12"):
        loop = cycle.vapor_compression(
            name,
            evaporating_temperature=kelvin(35),
            condensing_temperature=kelvin(130),
            superheat=10 / 1.8,
            subcooling=10 / 1.8,
            isentropic_efficiency=0.65,
        )
        shown = chart.readings[name]
        assert shown.cop == pytest.approx(loop.cop, rel=1e-6)
        capacity = flow * loop.states[0].density * loop.refrigerating_effect
        assert shown.capacity == pytest.approx(capacity, rel=1e-6)
        assert shown.heat_rejected == pytest.approx(shown.capacity + shown.power, rel=1e-9)
        assert f"COP {loop.cop:.2f}" in chart.description()
        assert f"{loop.discharge_temperature * 1.8 - 459.67:.1f} F" in chart.description()
    assert "200 kJ/kg for saturated liquid at 0 C" in chart.picture()
    assert list(chart.set(compare=False).readings) == ["R-134a"]


def test_chart_puts_the_states_where_they_belong():
    """Enthalpy runs evenly, pressure by its logarithm."""
    from coldcab.instruments.ph_chart import ENTHALPY, PLOT, PRESSURE, _at

    chart = make("ph_chart", compare=False)
    x, y, width, height = PLOT
    for state in chart.readings["R-134a"].states:
        px, py = _at(state.enthalpy, state.pressure)
        assert (px - x) / width == pytest.approx((state.enthalpy - ENTHALPY[0]) / (ENTHALPY[1] - ENTHALPY[0]))
        assert 10 ** ((y + height - py) / height * math.log10(PRESSURE[1] / PRESSURE[0])) * PRESSURE[0] == (
            pytest.approx(state.pressure)
        )
        assert f'cx="{px:.2f}"'.rstrip('0"') in chart.picture()


def test_reader_pages():
    reader = make("property_reader", page="saturation table", given="36 F")
    line = refrigerants.saturation("R-134a", temperature=kelvin(36))
    assert reader.readings["enthalpy of the vapor"] == pytest.approx(line.vapor_enthalpy, rel=1e-9)
    assert f"{line.vapor_enthalpy / 2326:.2f} Btu/lb" in reader.description()  # 2326 J/kg, exact by definition
    assert f"{line.vapor_entropy / 4186.8:.4f} Btu/(lb F)" in reader.description()  # likewise
    same = make("property_reader", given=f"{line.pressure / PSI:.6f} psia").readings
    assert same["saturation temperature"] == pytest.approx(kelvin(36), abs=1e-4)

    one = make("property_reader", page="one state", pressure="45 psia", temperature="60 F")
    state = refrigerants.state("R-134a", pressure=45 * PSI, temperature=kelvin(60))
    assert one.readings["entropy"] == pytest.approx(state.entropy, rel=1e-9)
    assert one.readings["state"] == "superheated vapor"

    ideal = make(
        "property_reader", page="ideal compression", pressure="45 psia", temperature="60 F", outlet_pressure="200 psia"
    )
    end = refrigerants.state("R-134a", pressure=200 * PSI, entropy=state.entropy)
    assert ideal.readings["ideal outlet temperature"] == pytest.approx(end.temperature, abs=1e-6)
    assert ideal.readings["ideal work"] == pytest.approx(end.enthalpy - state.enthalpy, rel=1e-9)

    mixed = make("property_reader", page="state at an enthalpy", pressure="45 psia", enthalpy="110 Btu/lb")
    assert re.fullmatch(r"liquid and vapor, \d+\.\d % vapor by mass", mixed.readings["state"])


# Refusing ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "given", "words"),
    [
        ("pressure_and_temperature", {"gauge": -14.0, "altitude": 8000}, "impossible here"),
        ("gauge_pair", {"low": -13.0, "altitude": 10000}, "impossible here"),
        ("state_of_a_line", {"pressure": -14.2, "altitude": "1000 ft"}, "impossible here"),
        ("property_reader", {"page": "one state", "pressure": "31 psig"}, "is a gauge reading"),
        ("property_reader", {"page": "one state", "pressure": "10 inHg vac"}, "is a gauge reading"),
        ("property_reader", {"page": "one state", "pressure": "31 kPa gauge"}, "is a gauge reading"),
        ("property_reader", {"page": "one state", "pressure": "45"}, "no unit"),
        ("property_reader", {"page": "one state", "temperature": "warm"}, "does not start with a number"),
        ("property_reader", {"given": "12 oz"}, "neither a pressure nor a temperature"),
        ("property_reader", {"given": "900 F"}, "range"),
        ("property_reader", {"page": "ideal compression", "outlet_pressure": "20 psia"}, "is not above"),
        ("container", {"full_charge": "40 lb", "temperature": 150}, "do not fit"),
    ],
)
def test_out_of_range_is_one_sentence_in_the_instrument(name, given, words):
    instrument = make(name, **given)
    assert words in instrument.fault
    assert "\n" not in instrument.fault
    assert instrument.reading_line().startswith("No reading: ")
    assert "no reading" in instrument.picture()
    ElementTree.fromstring(instrument.picture())


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"gauge": 500}, "gauge reading: 500.0 psig is outside"),
        ({"gauge": float("nan")}, "finite"),
        ({"gauge": "31 psi"}, "psig"),
        ({"gauge": [1, 2]}, "is not a number"),
        ({"altitude": "20,000 ft"}, "from 0 ft to 10,000 ft"),
        ({"pressure": 31}, "has no setting 'pressure'; it has gauge, altitude"),
    ],
)
def test_a_wrong_setting_changes_nothing(given, words):
    gauge = make("pressure_and_temperature")
    before = dict(gauge.settings)
    with pytest.raises(ValueError, match=re.escape(words)):
        gauge.set(**{"altitude": 3000, **given})
    assert dict(gauge.settings) == before


def test_wrong_choice_and_switch():
    with pytest.raises(ValueError, match="'R-22' is not one of R-134a, R-12"):
        make("state_of_a_line", refrigerant="R-22")
    with pytest.raises(ValueError, match="True or False"):
        make("ph_chart", compare="yes")
    with pytest.raises(ValueError, match="us or si"):
        make("ph_chart", system="metric")


# Jupyter -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_what_a_notebook_gets(name):
    instrument = make(name)
    bundle = instrument._repr_mimebundle_()
    assert bundle["application/vnd.jupyter.widget-view+json"]["model_id"]
    assert instrument.picture(words=False) in bundle["text/html"]
    assert bundle["text/plain"] == instrument.description()
    assert instrument.widget is instrument.widget


@pytest.mark.parametrize("name", NAMES)
def test_every_control_moves_the_drawing_or_is_folded_away(name):
    import ipywidgets

    instrument = make(name, **({"page": "ideal compression"} if name == "property_reader" else {}))
    instrument.widget  # noqa: B018 - builds it
    panel = instrument._panel
    for control in instrument.controls:
        if not instrument.in_use(control):
            assert panel._rows[control.name].layout.display == "none"
            continue
        mover, before = panel._movers[control.name], panel.drawing.html
        assert mover.description.startswith(control.label)
        if isinstance(control, Slider):
            mover.value = mover.min + 0.75 * (mover.max - mover.min)
            assert instrument.settings[control.name] == pytest.approx(control.from_number(mover.value, "us"), abs=1e-6)
        elif isinstance(mover, ipywidgets.Checkbox):
            mover.value = not mover.value
        elif isinstance(mover, ipywidgets.Dropdown):
            mover.value = next(option for option in control.options if option != mover.value)
        else:
            mover.value = "50 psia" if "pressure" in control.name else "80 F"
        assert panel.drawing.html != before, control.name
        if control.name == "page":
            instrument.set(page="ideal compression")


def test_typing_into_a_box():
    gauge = make("pressure_and_temperature")
    gauge.widget  # noqa: B018 - builds it
    box, slider = gauge._panel._boxes["gauge"], gauge._panel._movers["gauge"]
    box.value = "20 inHg vac"
    assert box.value == "20.0 inHg vacuum"
    assert slider.value == pytest.approx(-20 * INCH_OF_MERCURY / PSI, abs=1e-3)
    box.value = "46.7"  # a bare number is in the unit of the label
    assert gauge.settings["gauge"] == pytest.approx(46.7 * PSI, rel=1e-6)
    for wrong, words in (("hot", "does not start with a number"), ("900", "is outside"), ("31 psi", "psig")):
        box.value = wrong
        assert words in gauge.reading_line()
        assert words in gauge._panel.drawing.html
        assert gauge.settings["gauge"] == pytest.approx(46.7 * PSI, rel=1e-6)
    slider.value = 60.0
    assert gauge.reading_line().startswith("The gauge shows 60.0 psig.")
    assert box.value == "60.0 psig"


def test_a_slider_that_settles_at_its_step_leaves_the_typed_number():
    gauge = make("pressure_and_temperature")
    gauge.widget  # noqa: B018 - builds it
    box, slider = gauge._panel._boxes["gauge"], gauge._panel._movers["gauge"]
    box.value = "31.3 psig"
    slider.value = 31.5  # what the browser reports when it puts the handle at the nearest step
    assert box.value == "31.3 psig"
    assert gauge.settings["gauge"] == pytest.approx(31.3 * PSI, rel=1e-6)
    slider.value = 32.0
    assert box.value == "32.0 psig"


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("system", ["us", "si"])
def test_sliders_stop_at_whole_steps_and_reach_both_ends(name, system):
    for control in getattr(instruments, name).controls:
        if isinstance(control, Slider):
            low, high, step = control.travel(system)
            ends = [control.in_unit(value, system) for value in control.limits]
            assert low <= ends[0] + 1e-9
            assert high >= ends[1] - 1e-9
            assert (high - low) / step == pytest.approx(round((high - low) / step), abs=1e-6)
            assert low / step == pytest.approx(round(low / step), abs=1e-6)


def test_fixed_shows_no_controls_and_follows_set():
    pair = make("gauge_pair", fixed=True)
    assert len(pair.widget.children) == 1
    before = pair._panel.drawing.html
    pair.set(low=12)
    assert pair._panel.drawing.html != before


def test_units_follow_the_learner(tmp_path, monkeypatch):
    from coldcab import learner

    monkeypatch.delenv("COLDCAB_LEARNER_FOLDER", raising=False)
    monkeypatch.chdir(tmp_path)
    learner.write(learner.Learner("anna", units="si"), tmp_path)
    assert instruments.pressure_and_temperature().reading_line().startswith("The gauge shows 214 kPa gauge.")


def test_nothing_heavy_is_loaded_for_a_picture():
    program = (
        "import sys; from coldcab import instruments\n"
        f"for name in {NAMES!r}: getattr(instruments, name)().picture()\n"
        "print([m for m in ('matplotlib', 'ipywidgets', 'CoolProp', 'IPython') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_unknown_instrument_is_said_plainly():
    with pytest.raises(AttributeError, match="has no 'barometer'; it has gauge_pair"):
        instruments.barometer  # noqa: B018


def test_table_of_pressures():
    table = instruments.pressure_temperature_table(("R-12", "R-134a"), [-20, "40 F"], altitude="5,000 ft", system="us")
    assert table.heads[0] == "temperature"
    assert len(table.rows) == 2
    pressure = refrigerants.saturation_pressure("R-134a", kelvin(40))
    assert table.rows[1][4] == f"{pressure / PSI:.1f} psia"
    assert table.rows[1][3] == f"{(pressure - air.atmospheric_pressure(5000 * 0.3048)) / PSI:.1f} psig"
    ElementTree.fromstring(table.html())
    assert all(words in str(table) for row in table.rows for words in row)


def test_gauge_sliders_show_vacuum_in_inches_of_mercury():
    control = next(c for c in instruments.gauge_pair.controls if isinstance(c, GaugeSlider))
    assert control.words(-10 * INCH_OF_MERCURY, "us") == "10.0 inHg vacuum"
    assert control.words(-10.0, "us") == "0.0 psig"  # less than a gauge can show


# Looking: contrast and color blindness -----------------------------------------------------------------------

# Machado, Oliveira and Fernandes (2009), A physiologically-based model for simulation of color vision deficiency,
# IEEE Trans. Vis. Comput. Graph. 15(6), table of matrices for severity 1.0; applied to linear RGB.
SIGHT = {
    "full": np.eye(3),
    "protan": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    "deutan": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
    "tritan": np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]
    ),
}
MEANINGS = {
    "ink": style.INK,
    "low": style.LOW,
    "high": style.HIGH,
    "R-134a": style.FIRST,
    "R-12": style.SECOND,
    "air": style.AIR,
}


def linear(color: str) -> np.ndarray:
    """sRGB to linear light (IEC 61966-2-1)."""
    part = np.array([int(color[place : place + 2], 16) for place in (1, 3, 5)]) / 255
    return np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)


def contrast(one: str, other: str) -> float:
    """Contrast ratio of WCAG 2.2, success criterion 1.4.3."""
    light = sorted(float(linear(color) @ [0.2126, 0.7152, 0.0722]) for color in (one, other))
    return (light[1] + 0.05) / (light[0] + 0.05)


def lab(light: np.ndarray) -> np.ndarray:
    """CIE L*a*b* (D65) of linear sRGB; matrix of IEC 61966-2-1, formula of CIE 15."""
    to_xyz = np.array(
        [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
    )
    part = (to_xyz @ np.clip(light, 0, 1)) / [0.95047, 1.0, 1.08883]
    root = np.where(part > 216 / 24389, np.cbrt(part), (24389 / 27 * part + 16) / 116)
    return np.array([116 * root[1] - 16, 500 * (root[0] - root[1]), 200 * (root[1] - root[2])])


def test_formulas_of_color_on_known_values():
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)  # WCAG 2.2, by definition of the ratio
    assert lab(linear("#ffffff")) == pytest.approx([100, 0, 0], abs=0.02)  # white is L* = 100 by definition
    for matrix in SIGHT.values():
        assert matrix.sum(axis=1) == pytest.approx(1.0, abs=1e-5)  # grays stay gray


@pytest.mark.parametrize("ground", [style.GROUND, "#ffffff", style.VAPOR])
@pytest.mark.parametrize("color", [*MEANINGS.values(), style.SOFT, style.NOTE])
def test_text_has_contrast(color, ground):
    # 4.5 : 1 is level AA of WCAG 2.2 for text of ordinary size.
    assert contrast(color, ground) >= 4.5


def test_ink_reads_on_the_fills():
    for ground in (style.LIQUID, style.METAL):
        assert contrast(style.INK, ground) >= 4.5


@pytest.mark.parametrize("sight", SIGHT)
@pytest.mark.parametrize(("one", "other"), list(itertools.combinations(MEANINGS, 2)))
def test_colors_with_a_meaning_stay_apart(sight, one, other):
    # 12 units of CIE 1976 are five times the just noticeable 2.3 (Mahy et al. 1994, from memory); every color
    # has a second sign besides (label, dash, marker), so this is comfort, not the only difference.
    seen = [lab(SIGHT[sight] @ linear(MEANINGS[name])) for name in (one, other)]
    assert np.linalg.norm(seen[0] - seen[1]) >= 12.0


def test_refrigerants_differ_without_color():
    signs = list(style.REFRIGERANT.values())
    assert len({sign.dash for sign in signs}) == len(signs)
    assert len({sign.shape for sign in signs}) == len(signs)


def test_colors_live_in_one_place():
    """Only style.py names colors; white is the paper of faces and plots."""
    from pathlib import Path

    for file in Path(style.__file__).parent.glob("*.py"):
        if file.name != "style.py":
            assert not set(re.findall(r"#[0-9a-fA-F]{3,8}\b", file.read_text())) - {"#ffffff"}, file.name
