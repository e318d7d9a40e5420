"""Worked examples of lesson cycle-3: moist air from the books, and the load of a cab step by step."""

from __future__ import annotations

from collections.abc import Callable

from coldcab import air, published, units
from coldcab.lessons.example import Example, example_table
from coldcab.quantities import FREEZING
from coldcab.words import _


def _celsius(value: float) -> float:
    return value + FREEZING


def _mixture() -> air.MoistAir:
    cold = air.moist_air(_celsius(14), relative_humidity=1.0)
    warm = air.moist_air(_celsius(32), relative_humidity=0.6)
    return air.mix(cold, 50.0 / cold.specific_volume, warm, 20.0 / warm.specific_volume).air


def _window_unit() -> air.CoilResult:
    """Air that leaves full has all touched the surface: no bypass."""
    warm = air.moist_air(_celsius(30), relative_humidity=0.8)
    return air.coil(warm, 10.0 / 60.0 / warm.specific_volume, surface_temperature=_celsius(14), bypass_factor=0.0)


# The example's name and quantity: how this course computes it, in the unit printed.
PROBLEMS: dict[tuple[str, str], Callable[[], float]] = {
    ("AEx1", "relative humidity"): lambda: air.moist_air(_celsius(40), wet_bulb=_celsius(20)).relative_humidity,
    ("AEx1", "enthalpy"): lambda: air.moist_air(_celsius(40), wet_bulb=_celsius(20)).enthalpy / 1e3,
    ("CB14.3", "humidity ratio"): lambda: air.moist_air(_celsius(25), wet_bulb=_celsius(15)).humidity_ratio,
    ("CB14.3", "relative humidity"): lambda: air.moist_air(_celsius(25), wet_bulb=_celsius(15)).relative_humidity,
    ("CB14.6", "heat taken"): lambda: _window_unit().total_heat * 60.0 / 1e3,
    ("CB14.8", "humidity ratio"): lambda: _mixture().humidity_ratio,
    ("CB14.8", "relative humidity"): lambda: _mixture().relative_humidity,
}


def moist_air_problems() -> Example:
    """Published moist-air answers beside those of this course."""
    body, last = [], ""
    for row in published.rows("moist_air_problems"):
        printed, computed = float(row["printed"]), PROBLEMS[row["id"], row["quantity"]]()
        decimals = len(row["printed"].partition(".")[2]) + 1
        unit = "" if row["unit"] == "-" else f" {row['unit']}"
        name = row["problem"] if row["problem"] != last else ""
        book = row["source"] if row["problem"] != last else ""
        apart = f"{computed / printed - 1:+.1%}"
        body.append((book, name, row["quantity"], f"{row['printed']}{unit}", f"{computed:.{decimals}f}{unit}", apart))
        last = row["problem"]
    head = ("book", "problem", "quantity", "printed", "this course", "apart")
    return example_table(head, body, _("Moist air at sea level, in the units of the books"))


def cab_step_by_step() -> Example:
    """The load of one invented cab, with every step on the way; each goes on with the rounded number, as by hand."""
    pressure = air.atmospheric_pressure(units.from_unit(4000, "length", "ft"))

    def state(fahrenheit: float, humidity: float) -> air.MoistAir:
        return air.moist_air(units.from_unit(fahrenheit, "temperature", "F"), pressure, relative_humidity=humidity)

    outside, inside = state(96, 0.45), state(76, 0.45)
    volume = round(units.convert(outside.specific_volume, "specific volume", "cu ft/lb"), 2)
    flow = round(60 * 60 / volume)  # 60 cfm
    out, into = (round(units.convert(one.enthalpy, "specific energy", "Btu/lb"), 1) for one in (outside, inside))
    fresh = flow * (out - into)
    walls = 110 * (96 - 76)
    parts = {"walls": walls, "sun": 4400, "engine": 3200, "driver": 270 + 190, "blower": 510, "fresh air": fresh}
    total = sum(parts.values())
    warm_only = flow * 0.24 * (96 - 76)
    body = [
        (
            _("volume of the outside air"),
            "chart: 4,000 ft, 96 F, 45 %",
            _("{volume:.2f} cu ft/lb of dry air").format(volume=volume),
        ),
        (_("dry air that comes in"), f"60 cfm × 60 ÷ {volume:.2f}", f"{flow:.0f} lb/h"),
        (
            _("enthalpy outside and inside"),
            "chart: 96 F and 76 F, both 45 %",
            _("{out:.1f} and {into:.1f} Btu/lb").format(out=out, into=into),
        ),
        ("fresh air", f"{flow:.0f} × ({out:.1f} - {into:.1f})", f"{fresh:,.0f} Btu/h"),
        (_("of it, only to cool the air"), f"{flow:.0f} × 0.24 × (96 - 76)", f"{warm_only:,.0f} Btu/h"),
        ("walls and glass", "110 Btu/h for each F × (96 - 76)", f"{walls:,.0f} Btu/h"),
        (_("sun through the glass"), "data sheet", "4,400 Btu/h"),
        ("engine wall", "data sheet", "3,200 Btu/h"),
        ("driver", _("270 of heat + 190 of moisture"), "460 Btu/h"),
        ("blower motor", "data sheet", "510 Btu/h"),
        ("cab load", "the sum", units.show(units.from_unit(total, "power", "Btu/h"), "power")),
    ]
    caption = _("A cab at 4,000 ft, invented: 96 F and 45 % outside, 76 F and 45 % wanted inside, 60 cfm of fresh air")
    return example_table(("what", "how", "result"), body, caption)
