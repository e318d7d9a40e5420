"""A closed container: what its gauge says about the charge, and what air does to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import astuple
from types import MappingProxyType
from typing import Any

import numpy as np

from coldcab import refrigerants, units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice, Slider, altitude_slider, gauge_words
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.cylinder import Cylinder
from coldcab.instruments.drawing.dial import compound
from coldcab.words import _

CYLINDER = Cylinder(40.0, 74.0, 150.0, 326.0)
PLOT = (586.0, 70.0, 230.0, 250.0)  # the curve: x, y, width, height
PLOT_TOPS = {"us": (100.0, 200.0, 400.0, 800.0), "si": (700.0, 1400.0, 2800.0, 5600.0)}  # psig, kPa gauge
PLOT_BOTTOM = {"us": -20.0, "si": -140.0}
SHARES = np.concatenate([np.linspace(1.0, 0.12, 12), np.linspace(0.10, 0.0, 11)])
SPECKS = 420  # in a cylinder full of gas at the top of the scale
SPECK_SCALE = 2.8e6  # Pa


def _specks(start: float) -> tuple[tuple[float, float], ...]:
    """Places spread evenly over a unit square, always the same ones."""
    return tuple(((start + n * 0.7548777) % 1, (start + n * 0.5698403) % 1) for n in range(SPECKS))


VAPOR_SPECKS, AIR_SPECKS = _specks(0.1), _specks(0.55)


class ClosedContainer(Instrument):
    """A cylinder or a parked machine at one temperature.

    Parameters
    ----------
    volume : inside volume, m3 or text such as "0.42 cu ft"
    full_charge : mass at 100 %, kg or text such as "22 lb"

    Settings: `refrigerant`, `temperature` (F), `charge` (% left of the full charge), `air` (oz), `altitude` (ft).
    Readings (SI): `absolute`, `gauge`, `refrigerant_pressure`, `air_pressure`, `table` (saturation pressure at
    this temperature, absolute), `excess` (pressure above the table), `liquid_level` (share of the volume),
    `last_liquid` (share of the charge at which the last liquid is gone).
    """

    title = "A closed container"
    height = 420
    word_lines = 5
    stamp = (384.0, 190.0)
    plays = MappingProxyType({"charge": -15.0})  # boiled off, from full to empty
    controls = (
        Choice("refrigerant", "refrigerant", ("R-134a", "R-12", "R-1234yf"), "R-134a"),
        Slider("temperature", "temperature", "temperature", -20.0, 150.0, 1.0, 70.0, "F", "C", 0.5),
        Slider("charge", "charge left", "fraction", 0.0, 100.0, 1.0, 100.0, "%", "%", 1.0),
        Slider("air", "air inside", "mass", 0.0, 1.0, 0.02, 0.0, "oz", "g", 0.5, decimals=2),
        altitude_slider(),
    )
    dial = compound(384.0, 168.0, 118.0, 400.0)

    def __init__(self, *, volume: float | str = 0.012, full_charge: float | str = 10.0, **settings: object) -> None:
        self.volume = units.parse(volume, "volume").value if isinstance(volume, str) else float(volume)
        self.full_charge = (
            units.parse(full_charge, "mass").value if isinstance(full_charge, str) else float(full_charge)
        )
        self._curves: dict[tuple, np.ndarray] = {}
        super().__init__(**settings)

    def calculate(self) -> dict[str, Any]:
        name, temperature = self.settings["refrigerant"], self.settings["temperature"]
        inside = self._inside(self.settings["charge"])
        return {
            "temperature": temperature,
            "absolute": float(inside.pressure),
            "gauge": float(inside.pressure) - self.atmosphere,
            "refrigerant_pressure": float(inside.refrigerant_pressure),
            "air_pressure": float(inside.air_pressure),
            "table": float(inside.saturation_pressure),
            "excess": float(inside.pressure) - float(inside.saturation_pressure),
            "liquid_level": float(inside.liquid_level),
            "last_liquid": float(
                refrigerants.saturation(name, temperature=temperature).vapor_density * self.volume / self.full_charge
            ),
        }

    def face(self) -> str:
        us = self.system == "us"
        size = f"{self._unit(self.volume, 'volume', 'cu ft', 'L')} inside"
        full = f"{self._unit(self.full_charge, 'mass', 'lb', 'kg')} when full"
        drawn = svg.text(style.MARGIN, 30, "Closed container", bold=True)
        drawn += svg.text(style.MARGIN, 50, f"{size}, {full}", size=style.TICK, color=style.SOFT)
        drawn += CYLINDER.neck() + self.dial.face(self.system)
        drawn += svg.text(384, 262, "psig" if us else "kPa gauge", size=style.TICK, anchor="middle", bold=True)
        px, py, wide, high = PLOT
        drawn += svg.text(px + wide, 30, _("Gauge reading against charge left"), bold=True, anchor="end")
        drawn += svg.box(px, py, wide, high, fill=style.PAPER, stroke=style.RULE)
        ticks = "".join(
            svg.text(px + wide * (1 - share / 100), py + high + 18, f"{share:g} %", size=style.TICK)
            for share in (100, 50, 0)
        )
        drawn += svg.group(ticks, text_anchor="middle", fill=style.SOFT)
        return drawn + svg.text(px + wide, py + high + 38, "leaking →", size=style.TICK, anchor="end", color=style.SOFT)

    def standing(self) -> str:
        return ""

    def moving(self, readings: Mapping[str, Any]) -> str:
        drawn = self._cylinder(readings) + self.dial.needle(readings["gauge"]) + self._plot(readings)
        table = gauge_words(readings["table"] - self.atmosphere, self.system)
        for y, label, shown in (
            (316, "gauge shows", gauge_words(readings["gauge"], self.system)),
            (344, "table says", table),
        ):
            drawn += svg.text(250, y, label, color=style.SOFT)
            drawn += svg.text(362, y, shown, size=style.STRONG, bold=True)
        if readings["air_pressure"] > 0:
            unit, decimals = ("psi", 1) if self.system == "us" else ("kPa", 0)
            air = units.convert(readings["air_pressure"], "pressure difference", unit)
            drawn += svg.marker("diamond", 258, 366, 6, fill=style.AIR)
            drawn += svg.text(272, 372, f"air: {air:.{decimals}f} {unit}", color=style.AIR, bold=True)
        level = 100 * readings["liquid_level"]
        empty = _("no liquid, only gas") if readings["absolute"] > 0 else "empty"
        return drawn + svg.text(
            250, 400, _("liquid fills {level:.0f} % of the space").format(level=level) if level > 0 else empty
        )

    def summary(self, readings: Mapping[str, Any]) -> str:
        name = self.settings["refrigerant"]
        gauge = gauge_words(readings["gauge"], self.system)
        table = gauge_words(readings["table"] - self.atmosphere, self.system)
        said = [
            _(
                "At {temperature} the table gives {table} for {name}; the gauge shows {gauge} with "
                "{charge:.0f} % of the charge left."
            ).format(
                temperature=self.words(readings["temperature"], "temperature"),
                table=table,
                name=name,
                gauge=gauge,
                charge=100 * self.settings["charge"],
            )
        ]
        air = readings["air_pressure"]
        if readings["liquid_level"] > 0:
            if air > 0:
                said.append(
                    _(
                        "The gauge is {air} above the table: that is the air, whose pressure adds to that of the "
                        "refrigerant."
                    ).format(air=self.words(air, "pressure difference"))
                )
            else:
                said.append(
                    _(
                        "Liquid is left, so the temperature alone sets the pressure. The gauge starts to fall "
                        "when the last liquid is gone, at {last_liquid:.1f} % of the charge."
                    ).format(last_liquid=100 * readings["last_liquid"])
                )
        elif readings["refrigerant_pressure"] == 0:
            said.append(_("No refrigerant is left."))
        else:
            said.append(_("No liquid is left, so now the pressure falls with the charge."))
        if air > 0 and readings["liquid_level"] == 0:
            said.append(_("Air makes {air} of it.").format(air=self.words(air, "pressure difference")))
        return " ".join(said)

    def _inside(self, share: Any, temperature: float | None = None) -> refrigerants.Container:
        return refrigerants.closed_container(
            self.settings["refrigerant"],
            self.settings["temperature"] if temperature is None else temperature,
            mass=share * self.full_charge,
            volume=self.volume,
            air_mass=self.settings["air"],
        )

    def _unit(self, value: float, kind: str, trade: str, metric: str) -> str:
        unit = trade if self.system == "us" else metric
        return f"{units.convert(value, kind, unit):.3g} {unit}"

    def _cylinder(self, readings: Mapping[str, Any]) -> str:
        x, y, width, height = astuple(CYLINDER)
        surface, gas = CYLINDER.surface(readings["liquid_level"]), ""
        for places, pressure, shape, color in (
            (VAPOR_SPECKS, readings["refrigerant_pressure"], "circle", style.SOFT),
            (AIR_SPECKS, readings["air_pressure"], "diamond", style.AIR),
        ):
            count = min(SPECKS, round(SPECKS * pressure / SPECK_SCALE))
            spots = ((x + 6 + u * (width - 12), y + 6 + v * (height - 12)) for u, v in places[:count])
            gas += svg.group(
                "".join(svg.marker(shape, px, py, 2.6) for px, py in spots if py < surface - 5), fill=color
            )
        drawn = CYLINDER.body(readings["liquid_level"], gas)
        if readings["liquid_level"] > 0.12:
            drawn += svg.text(x + width / 2, y + height - 22, "liquid", anchor="middle", bold=True)
        return drawn

    def _plot(self, readings: Mapping[str, Any]) -> str:
        """The gauge over the charge left at this temperature, and where it stands now."""
        x, y, width, height = PLOT
        unit = "psi" if self.system == "us" else "kPa"
        curve = self._curve(readings["last_liquid"])
        shown = units.convert(curve[1] - self.atmosphere, "pressure difference", unit)
        now = units.convert(readings["gauge"], "pressure difference", unit)
        bottom = PLOT_BOTTOM[self.system]
        highest = max(float(shown.max()), now)
        top = next((end for end in PLOT_TOPS[self.system] if highest <= 0.95 * end), PLOT_TOPS[self.system][-1])

        def place(share: float, pressure: float) -> tuple[float, float]:
            return x + width * (1 - share), y + height * (top - min(pressure, top)) / (top - bottom)

        drawn = ""
        for value in (0.0, top / 2, top):
            __, py = place(0.0, value)
            drawn += svg.line(x, py, x + width, py, stroke=style.RULE)
            drawn += svg.text(x - 6, py + 5, f"{value:g}", size=style.TICK, anchor="end", color=style.SOFT)
        drawn += svg.text(
            x - 6, y - 17, "psig" if unit == "psi" else "kPa", size=style.TICK, anchor="end", color=style.SOFT
        )
        table = units.convert(readings["table"] - self.atmosphere, "pressure difference", unit)
        ends = place(1.0, table), place(0.0, table)
        drawn += svg.path(ends, stroke=style.SOFT, stroke_dasharray="3 4", stroke_width=style.THIN)
        sign = style.REFRIGERANT[self.settings["refrigerant"]]
        points = [place(share, pressure) for share, pressure in zip(curve[0], shown, strict=True)]
        drawn += svg.path(points, stroke=sign.color, stroke_width=style.LINE)
        px, py = place(self.settings["charge"], now)
        drawn += svg.marker(sign.shape, px, py, 7, fill=style.INK, stroke=style.PAPER, stroke_width=2)
        words = "the table, dotted"
        return drawn + svg.text(x + 8, ends[0][1] + 17, words, size=style.TICK, color=style.SOFT)

    def _curve(self, knee: float) -> np.ndarray:
        """Charge left and absolute pressure; kept, because only the charge moves along it."""
        key = self.settings["refrigerant"], self.settings["temperature"], self.settings["air"]
        if key not in self._curves:
            shares = np.unique(np.append(SHARES, knee))[::-1]
            self._curves = {key: np.array([shares, self._inside(shares).pressure])}
        return self._curves[key]
