"""How true the model is: the files that say so, the doubt that follows, and the planner's bands beside printed rows."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import cache
from importlib import import_module
from pathlib import Path

import numpy as np
import pytest

import published_tables
from coldcab import instruments
from coldcab.faults import build_atlas
from coldcab.job import bands, model
from coldcab.job.description import Job
from coldcab.machine import Conditions, Readings, nominal_charge, simulate
from coldcab.machine import doubt as doubt_module
from coldcab.machine.doubt import doubt
from coldcab.machine.fleet import FLEET
from coldcab.machine.readings import INSTRUMENTS
from coldcab.machine.simulate import simulate_batches
from coldcab.make import comparison, printed_figures
from coldcab.make.__main__ import PACKAGE
from coldcab.make.comparison import SCALES, Check, doubts_from, gauge_checks
from coldcab.make.printed_rows import CLUTCH_KEPT_IN, HIGH, LOW, ROWS, VENT, Row
from coldcab.quantities import FAHRENHEIT_DEGREE, FAHRENHEIT_ZERO, PSI

how_true = import_module("coldcab.instruments.how_true")
COURSE = Path(__file__).parents[1] / "course"
DAY = Conditions(ambient=308.15, inlet_temperature=303.15)
HEALTHY = {name: row for name, row in ROWS.items() if not row.fault}


def test_the_files_say_what_the_model_gives_today() -> None:
    folder = next(folder for folder in published_tables.FOLDERS if (folder / "normal_gauges.csv").is_file())
    for place, text in comparison.texts(folder).items():
        assert (PACKAGE / place).read_text(encoding="utf-8") == text, "run: python -m coldcab.make truth"


def test_every_row_of_a_table_is_set_or_says_why_not() -> None:
    rows = {row["id"]: row for row in published_tables.rows("printed_rows")}
    printed = {row["id"] for table in comparison.TABLES for row in published_tables.rows(table)}
    assert rows.keys() == printed
    shown = {row["id"] for row in published_tables.rows("beside_the_model")}
    for name, row in rows.items():
        assert (name in shown) == (row["place"] != "not set"), name
        assert bool(row["why"]) == (row["place"] != "set"), name
        assert row["source"]
        assert row["how_read"]


@pytest.mark.parametrize("figure", printed_figures.FIGURES, ids=lambda one: f"{one.row} {one.words}")
def test_figures_are_those_printed(figure: printed_figures.Figure) -> None:
    """Every number of a band stands in the printed row, but for the two that a quotient makes."""
    rows = {row["id"]: row for table in comparison.TABLES for row in published_tables.rows(table)}
    row = rows[figure.row]
    text = f"{row['value']} {row['condition']} {row['note']}"
    if figure.row == "CC001":  # 295 psig of 300, each printed to 1 psi
        assert figure.low == pytest.approx(100 * 294.5 / 300.5, abs=0.05)
        assert figure.high == pytest.approx(100 * 295.5 / 299.5, abs=0.05)
    elif figure.row == "FG029":
        assert "384 +/- 28" in text
        assert (figure.low, figure.high) == (384 - 28, 384 + 28)
    elif figure.unit == "kg" and row["unit"] == "g":
        assert f"{1e3 * figure.high:g}" in text
    else:
        assert all(f"{abs(value):g}" in text for value in (figure.low, figure.high) if value is not None)


# The doubt.


def counted_by_hand(reading: str, sigma: float) -> float:
    """Share of what is printed that lies within ``sigma`` of the model, each row of one weight."""
    shares = []
    for name in HEALTHY:
        own = [one for one in gauge_checks() if (one.row, one.reading) == (name, reading)]
        for_row = []
        for one in own:
            printed = np.linspace(one.low, one.high, 1001)
            if reading == HIGH:
                near = np.abs(np.log((printed + 14.696) / (one.value + 14.696))) < sigma
            else:
                unit = PSI if reading == LOW else FAHRENHEIT_DEGREE
                near = np.abs(printed - one.value) * unit < sigma
            for_row.append(near.mean())
        shares += [np.mean(for_row)] if own else []
    return float(np.mean(shares))


@pytest.mark.parametrize("reading", SCALES)
def test_two_thirds_of_what_is_printed_lie_within_the_doubt(reading: str) -> None:
    _, sigma = doubt_module.printed_doubts()[reading]
    assert counted_by_hand(reading, sigma) == pytest.approx(0.683, abs=0.01)


def test_wider_bands_and_farther_bands_mean_more_doubt() -> None:
    """A made-up band about the model's own value gives what its width alone is worth: 0.683 of half of it."""

    def of(low: float, high: float) -> float:
        return doubts_from([Check("NG007", LOW, "psig", low, high, 7, 30.0)])[LOW][1] / PSI

    assert of(20.0, 40.0) == pytest.approx(6.83, abs=0.1)
    assert of(10.0, 50.0) == pytest.approx(13.66, abs=0.2)
    assert of(40.0, 60.0) == pytest.approx(10.0 + 0.683 * 20.0, abs=0.2)
    # What is said of sick machines says nothing: their severity was chosen.
    assert doubts_from([Check("FG011", HIGH, "psig", 284, 356, 7, 100.0)]) == {}


def test_doubt_of_readings() -> None:
    machine = FLEET[7]
    found = simulate(machine, DAY, refrigerant="R-134a", charge=nominal_charge(machine, "R-134a"))
    doubts = doubt(found)
    for name in INSTRUMENTS:
        assert doubts[name].instrument == INSTRUMENTS[name][1]
        assert doubts[name].both >= doubts[name].instrument
        assert (doubts[name].printed > 0) == doubts[name].known
    printed = doubt_module.printed_doubts()
    assert doubts["low_gauge"].printed == printed["low_gauge"][1]
    assert doubts["high_gauge"].printed == pytest.approx(printed["high_gauge"][1] * found.high_pressure, rel=1e-3)
    # A head of 1 % more absolute pressure condenses about 0.4 K warmer (R-134a near 57 C: 40 kPa/K at 1.57 MPa).
    per_percent = doubts["discharge_line"].printed / (100 * printed["high_gauge"][1])
    assert per_percent == pytest.approx(0.01 * found.high_pressure / 40e3, rel=0.1)
    assert not doubts["superheat_measured"].known
    # Superheat: a clip of 0.7 K and a gauge of 6 kPa, 10 kPa/K there.
    assert doubts["superheat_measured"].instrument == pytest.approx(np.hypot(0.7, 0.6), rel=0.1)


# The diagnosis.


def test_a_diagnosis_in_a_real_bay_counts_the_doubt() -> None:
    """A healthy machine whose low and high side both stand one doubt from the model's, line temperatures with them: the
    atlas of the model's own machines calls it sick, the one for a real bay less so. Superheat stays sharp in both."""
    machine = FLEET[7]
    charge = nominal_charge(machine, "R-134a")
    found = simulate(machine, DAY, refrigerant="R-134a", charge=charge)
    own = build_atlas(machine, DAY, refrigerant="R-134a", charge=charge, per_class=24)
    real = own.for_real()
    names = ("low_gauge", "high_gauge", "vent", "suction_line_at_evaporator", "liquid_line")
    shifted = {name: getattr(found, name) for name in names}
    for part in doubt_module.common_errors(found)[:2]:
        shifted |= {name: shifted[name] + part[name] for name in names if name in part}
    assert own.posterior(shifted)["healthy"] < 0.05 < real.posterior(shifted)["healthy"]
    assert own.posterior(shifted).misfit > 5 * real.posterior(shifted).misfit
    starved = shifted | {"suction_line_at_evaporator": shifted["suction_line_at_evaporator"] + 15.0}
    assert real.posterior(starved)["healthy"] < 0.1 * real.posterior(shifted)["healthy"]


# The page.


def page_text() -> str:
    cells = json.loads((COURSE / "refresher" / "how-true.ipynb").read_text(encoding="utf-8"))["cells"]
    return " ".join(" ".join("".join(cell["source"]).split()) for cell in cells if cell["cell_type"] == "markdown")


def distances_of(reading: str, names: tuple[str, ...]) -> tuple[int, int]:
    """Least and largest distance of a machine from the middle of the band, in whole printed units."""
    found = [
        abs(0.5 * (one.low + one.high) - one.value)
        for one in gauge_checks()
        if one.reading == reading and one.row in names
    ]
    return round(min(found)), round(max(found))


def test_what_the_page_says_is_so() -> None:
    text = page_text()
    doubts = doubt_module.printed_doubts()
    low, vent = doubts["low_gauge"][1] / PSI, doubts["vent"][1] / FAHRENHEIT_DEGREE
    machine = FLEET[7]
    found = simulate(machine, DAY, refrigerant="R-134a", charge=nominal_charge(machine, "R-134a"))
    high = doubt(found)["high_gauge"].printed / PSI
    assert f"about {low:.0f} psi ({round(low) * PSI / 1e5:.2f} bar) on the low side" in text
    assert f"about {high:.0f} psi ({high * PSI / 1e5:.1f} bar) on the high side" in text
    assert f"about {vent:.0f} F ({vent * FAHRENHEIT_DEGREE:.0f} K)" in text
    assert f"{found.low_gauge / PSI:.0f} psig, plus or minus {low:.0f} psi" in text
    least, largest = distances_of(HIGH, ("NG017", "NG023", "NG025"))
    assert (least >= 25, largest <= 75) == (True, True), (least, largest)
    least, largest = distances_of(VENT, ("VT005", "VT007", "VT009", "VT023"))
    assert (least >= 3, largest <= 19) == (True, True), (least, largest)
    cars = [one for one in gauge_checks() if one.reading == LOW and one.row in ("NG015", "NG017")]
    assert all(one.low - one.value >= 6.5 for one in cars)
    assert all(one.high - one.value <= 25.5 for one in cars)
    assert all(one.value - one.high >= 3.5 for one in gauge_checks() if (one.row, one.reading) == ("NG039", LOW))


@pytest.mark.parametrize("part", ["low side", "high side", "vent", "other figures", "left out", "doubt"])
def test_every_row_stands_on_the_page(part: str) -> None:
    """As table with its source, and as plot with a text alternative that holds every row."""
    shown = str(instruments.how_true(part, "table"))
    rows = published_tables.by_id("printed_rows")
    names = set(re.findall(r"^[A-Z]{1,2}\d{3}", shown, re.MULTILINE))
    if part == "doubt":
        assert "26 psig" in shown
        return
    assert names
    if part != "left out":
        assert all(rows[name]["source"] in shown for name in names)
    if part in how_true.GAUGES:
        plot = instruments.how_true(part)
        assert names == set(re.findall(r"[A-Z]{2}\d{3}", plot.description()))
        assert plot.picture().count("<circle") == 2 + sum(
            one["reading"] == part for one in published_tables.rows("beside_the_model")
        )


def test_all_parts_together_hold_every_printed_row() -> None:
    parts = ("low side", "high side", "vent", "other figures", "left out")
    shown = "".join(str(instruments.how_true(part, "table")) for part in parts)
    assert all(name in shown for name in published_tables.by_id("printed_rows"))
    with pytest.raises(ValueError, match="no part 'clouds'"):
        instruments.how_true("clouds")


# The planner.


def on_its_day(row: Row) -> model.Draws:
    """The planner's machines on a row's day, nothing known of them."""
    draws = model.draw(Job(), 120)
    count = np.size(draws.effects.charge)

    def all_of(value: float | None) -> np.ndarray | None:
        return None if value is None else np.full(count, value)

    names = ("ambient", "relative_humidity", "inlet_temperature", "inlet_relative_humidity")
    weather = {name: all_of(getattr(row.day, name)) for name in names}
    conditions = replace(draws.conditions, **weather, altitude=np.zeros(count), fresh_air=row.day.fresh_air)
    return replace(
        draws,
        conditions=conditions,
        refrigerant=row.refrigerant,
        charge=nominal_charge(draws.machine, row.refrigerant),
    )


@cache
def run_on_every_day() -> dict[str, dict[str, Readings]]:
    """Those machines at the speed of each row, by its name, solved in one batch."""
    speeds = {name: {"printed": row.day.engine_speed} for name, row in HEALTHY.items()}
    found = simulate_batches([bands.batch(on_its_day(row), speeds[name]) for name, row in HEALTHY.items()])
    return {name: bands.by_speed(own, speeds[name]) for name, own in zip(HEALTHY, found, strict=True)}


TO_SI = {
    LOW: lambda psig: psig * PSI,
    HIGH: lambda psig: psig * PSI,
    VENT: lambda fahrenheit: (fahrenheit + FAHRENHEIT_ZERO) * FAHRENHEIT_DEGREE,
}


def held_out(monkeypatch: pytest.MonkeyPatch, doubted: bool) -> tuple[int, int, float]:
    """Each healthy row against bands whose doubt was made without it: rows whose middle lies inside, how many there
    are, and the share of all printed values inside."""
    middles, shares, runs = 0, [], run_on_every_day()
    for name, row in HEALTHY.items():
        others = doubts_from(one for one in gauge_checks() if one.row != name)
        monkeypatch.setattr(doubt_module, "printed_doubts", lambda others=others: {k: v[:2] for k, v in others.items()})
        # A printed cell whose clutch stays in is of a machine without those switches; the planner's has them.
        assert row.effects in ({}, CLUTCH_KEPT_IN)
        found = {band.name: band for band in bands.bands_of(bands.healthy_as_read(runs[name], doubted=doubted))}
        for reading, band in row.bands.items():
            if reading in SCALES:
                printed = TO_SI[reading](np.linspace(*band, 101))
                inside = (printed >= found[reading].low) & (printed <= found[reading].high)
                shares.append(inside.mean())
                middles += bool(inside[50])
    return middles, len(shares), float(np.mean(shares))


def test_printed_rows_inside_the_planners_bands(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rows held out one by one: 8 in 10 of all printed values inside; without the doubt clearly fewer."""
    middles, count, share = held_out(monkeypatch, doubted=True)
    _, _, bare = held_out(monkeypatch, doubted=False)
    print(f"held-out rows: {middles} of {count} middles, {share:.3f} of all printed values; without doubt {bare:.3f}")
    assert middles >= 0.8 * count
    assert f"{100 * share:.0f} in 100 printed values lay inside" in page_text()
    assert f"Without the doubt it was {100 * bare:.0f} in 100" in page_text()
    assert share >= 0.8
    assert bare < share - 0.1
