"""A recovery cylinder on a scale: what it may hold, and how its liquid rises with warmth until nothing else fits."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import astuple
from typing import Any

import numpy as np

from coldcab import units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice, Slider, altitude_slider, gauge_words
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.cylinder import Cylinder
from coldcab.instruments.drawing.rows import ROW, rows
from coldcab.service import recovery
from coldcab.service.checks import ServiceError
from coldcab.words import _

CYLINDER = Cylinder(40.0, 60.0, 150.0, 236.0)
PLOT = (640.0, 70.0, 170.0, 236.0)  # level over temperature: x, y, width, height
WARMTH = (-20.0, 160.0)  # F, the ends of slider and plot
CURVE = np.linspace(*WARMTH, 46)
COLUMNS = (214.0, 452.0)
HALF_A_TENTH = units.from_unit(0.05, "mass", "lb")  # the scale shows no less
LEGAL = 80.0  # per cent of the volume, the line drawn on the cylinder (the law's, at 70 F)


class RecoveryCylinder(Instrument):
    """A cylinder with its two stamps, WC and TW, on a scale.

    Parameters
    ----------
    gross_rating : the gross weight that the container is rated for, kg or text such as "50 lb"; None leaves the law's
        second rule out.

    Settings: `refrigerant`, `water_capacity` (lb), `tare` (lb), `scale` (lb, what the scale shows), `temperature` (F),
    `altitude` (ft).
    Readings (SI): `net`, `allowed` (net, by the strictest rule), `rule`, `gross` (scale at the limit), `over` (net less
    allowed), `liquid_share`, `full`, `full_temperature` (infinite above the table), `gauge` (NaN when
    liquid-full).
    """

    title = "A recovery cylinder"
    height = 400
    word_lines = 5
    stamp = (400.0, 200.0)
    controls = (
        Choice("refrigerant", "refrigerant", ("R-12", "R-134a", "R-1234yf"), "R-12"),
        Slider("water_capacity", "water capacity WC", "mass", 8.0, 130.0, 0.1, 26.2, "lb", "kg", 0.1),
        Slider("tare", "tare weight TW", "mass", 4.0, 80.0, 0.1, 15.4, "lb", "kg", 0.1),
        Slider("scale", "scale shows", "mass", 4.0, 260.0, 0.2, 38.0, "lb", "kg", 0.1),
        Slider("temperature", "temperature", "temperature", *WARMTH, 1.0, 70.0, "F", "C", 0.5),
        altitude_slider(),
    )

    def __init__(self, *, gross_rating: float | str | None = None, **settings: object) -> None:
        self.gross_rating = units.parse(gross_rating, "mass").value if isinstance(gross_rating, str) else gross_rating
        self._curve: tuple[tuple, np.ndarray] | None = None
        super().__init__(**settings)

    def calculate(self) -> dict[str, Any]:
        given = self.settings
        net = given["scale"] - given["tare"]
        if net < 0:
            raise ValueError(
                _(
                    "the scale shows {scale}, less than the empty cylinder's {tare}; read the tare stamp TW again."
                ).format(scale=self.words(given["scale"], "mass"), tare=self.words(given["tare"], "mass"))
            )
        fill = recovery.allowed_fill(
            given["refrigerant"],
            water_capacity=given["water_capacity"],
            tare=given["tare"],
            gross_rating=self.gross_rating,
        )
        inside = self._inside(net, given["temperature"])
        limit = fill.strictest
        return {
            "net": net,
            "allowed": fill.mass,
            "rule": limit.rule,
            "citation": limit.citation,
            "limits": fill.limits,
            "gross": fill.gross,
            "over": 0.0 if abs(net - fill.mass) < HALF_A_TENTH else net - fill.mass,
            "liquid_share": float(inside.liquid_share),
            "full": bool(inside.full),
            "full_temperature": float(inside.full_temperature),
            "gauge": float(inside.pressure) - self.atmosphere,
        }

    def _inside(self, net: float, temperature: Any) -> recovery.FillState:
        capacity = self.settings["water_capacity"]
        try:
            return recovery.fill_state(
                self.settings["refrigerant"], mass=net, water_capacity=capacity, temperature=temperature
            )
        except ServiceError:
            raise ValueError(
                _(
                    "{net} of {refrigerant} cannot be in a cylinder of {capacity} water capacity, however "
                    "cold; read the stamps and the scale again."
                ).format(
                    net=self.words(net, "mass"),
                    refrigerant=self.settings["refrigerant"],
                    capacity=self.words(capacity, "mass"),
                )
            ) from None

    # Drawing -------------------------------------------------------------------------------------------------

    def face(self) -> str:
        x, y, width, height = astuple(CYLINDER)
        drawn = svg.text(style.MARGIN, 30, _("Recovery cylinder on its scale"), bold=True)
        drawn += CYLINDER.neck()
        drawn += svg.box(x - 16, y + height + 4, width + 32, 10, fill=style.METAL, stroke=style.INK)
        drawn += svg.box(x + 10, y + height + 14, width - 20, 34, rx=5, fill=style.PAPER, stroke=style.INK)
        px, py, wide, high = PLOT
        drawn += svg.text(px + wide, 30, _("Liquid level against warmth"), bold=True, anchor="end")
        drawn += svg.box(px, py, wide, high, fill=style.PAPER, stroke=style.RULE)
        for share in (0, 50, 100):
            at = py + high * (1 - share / 100)
            drawn += svg.text(px - 6, at + 5, f"{share} %", size=style.TICK, anchor="end", color=style.SOFT)
        unit = "F" if self.system == "us" else "C"
        for fahrenheit in (-20, 70, 160):
            kelvin = units.from_unit(float(fahrenheit), "temperature", "F")
            shown = f"{units.convert(kelvin, 'temperature', unit):.0f} {unit}"
            drawn += svg.text(
                px + wide * _along(fahrenheit), py + high + 18, shown, size=style.TICK, anchor="middle",
                color=style.SOFT,
            )  # fmt: skip
        return drawn

    def moving(self, readings: Mapping[str, Any]) -> str:
        return self._cylinder(readings) + self._sheet(readings) + self._plot(readings)

    def _cylinder(self, readings: Mapping[str, Any]) -> str:
        x, y, width, height = astuple(CYLINDER)
        alarm = readings["full"] or readings["over"] > 0
        drawn = CYLINDER.body(readings["liquid_share"], color=style.NOTE if alarm else style.INK)
        mark = y + height * (1 - LEGAL / 100)
        drawn += svg.line(x, mark, x + width, mark, stroke=style.INK, stroke_dasharray="6 4")
        drawn += svg.text(x + width - 8, mark - 5, f"{LEGAL:.0f} %", size=style.TICK, anchor="end")
        words = "LIQUID-FULL" if readings["full"] else f"{100 * readings['liquid_share']:.0f} % liquid"
        drawn += svg.text(x + width / 2, y + height - 20, words, anchor="middle", bold=True)
        unit = "lb" if self.system == "us" else "kg"
        shown = f"{units.convert(self.settings['scale'], 'mass', unit):.1f} {unit}"
        return drawn + svg.text(x + width / 2, y + height + 38, shown, size=style.STRONG, anchor="middle", bold=True)

    def _sheet(self, readings: Mapping[str, Any]) -> str:
        full = readings["full_temperature"]
        lines = [
            (_("net, scale less tare"), self._mass(readings["net"])),
            ("may hold, net", self._mass(readings["allowed"])),
            (_("stop when the scale shows"), self._mass(readings["gross"])),
            ("over the limit" if readings["over"] > 0 else "room left", self._mass(abs(readings["over"]))),
            ("gauge", self._gauge(readings)),
            ("liquid-full at", f"above {self._hottest()}" if math.isinf(full) else self._warmth(full)),
        ]
        drawn = rows(84.0, COLUMNS, lines, left=COLUMNS[0], right=580.0)
        y = 84.0 + ROW * len(lines) + 10
        drawn += svg.text(COLUMNS[0], y, _("Rules for this cylinder, net:"), bold=True, size=style.TICK)
        for limit in readings["limits"]:
            y += 19
            strict = limit.rule == readings["rule"]
            words = f"{self._mass(limit.mass)}: {units.in_order(_short(limit.rule), self.system)}"
            drawn += svg.text(COLUMNS[0], y, words, size=style.TICK, bold=strict)
        return drawn

    def _plot(self, readings: Mapping[str, Any]) -> str:
        x, y, width, height = PLOT
        sign = style.REFRIGERANT[self.settings["refrigerant"]]
        levels = self._levels(readings["net"])

        def place(fahrenheit: float, share: float) -> tuple[float, float]:
            return x + width * _along(fahrenheit), y + height * (1 - share)

        legal = y + height * (1 - LEGAL / 100)
        drawn = svg.line(x, legal, x + width, legal, stroke=style.SOFT, stroke_dasharray="6 4")
        points = [place(fahrenheit, share) for fahrenheit, share in zip(CURVE, levels, strict=True)]
        drawn += svg.path(points, stroke=sign.color, stroke_width=style.LINE)
        now = units.convert(self.settings["temperature"], "temperature", "F")
        px, py = place(now, readings["liquid_share"])
        return drawn + svg.marker(sign.shape, px, py, 7, fill=style.INK, stroke=style.PAPER, stroke_width=2)

    def _levels(self, net: float) -> np.ndarray:
        """Level over the plot's temperatures; kept, because the temperature only moves along it."""
        key = self.settings["refrigerant"], self.settings["water_capacity"], net
        if self._curve is None or self._curve[0] != key:
            kelvin = units.from_unit(CURVE, "temperature", "F")
            self._curve = key, np.asarray(self._inside(net, kelvin).liquid_share)
        return self._curve[1]

    # Words ---------------------------------------------------------------------------------------------------

    def summary(self, readings: Mapping[str, Any]) -> str:
        name = self.settings["refrigerant"]
        said = [
            _("{net} of {name} in the cylinder; it may hold {allowed}.").format(
                net=self._mass(readings["net"]), name=name, allowed=self._mass(readings["allowed"])
            )
        ]
        if readings["over"] == 0.0:
            said.append(_("That is the limit: stop."))
        if readings["over"] > 0:
            said.append(
                _("That is {over} too much: stop, and take some out.").format(over=self._mass(readings["over"]))
            )
        if readings["full"]:
            said.append(
                _(
                    "Liquid fills the whole cylinder. With every further degree the pressure leaps, and the "
                    "relief device or the steel gives way. On a real cylinder: keep away and call for help."
                )
            )
            return " ".join(said)
        warmth = self._warmth(self.settings["temperature"])
        said.append(
            _("At {warmth} the liquid takes {liquid_share:.0f} % of the space.").format(
                warmth=warmth, liquid_share=100 * readings["liquid_share"]
            )
        )
        full = readings["full_temperature"]
        if math.isinf(full):
            said.append(
                _("It swells as it warms, but below {hottest} it does not fill the cylinder.").format(
                    hottest=self._hottest()
                )
            )
        else:
            said.append(
                _("It swells as it warms and would fill the cylinder at {full}.").format(full=self._warmth(full))
            )
        return " ".join(said)

    def details(self, readings: Mapping[str, Any]) -> str:
        rules = "; ".join(f"{limit.rule}: {self._mass(limit.mass)} ({limit.citation})" for limit in readings["limits"])
        said = self.summary(readings)
        return _("{said} Gauge: {gauge}. Stop at {gross} on the scale. {rules}.").format(
            said=said, gauge=self._gauge(readings), gross=self._mass(readings["gross"]), rules=rules
        )

    def _mass(self, value: float) -> str:
        unit = "lb" if self.system == "us" else "kg"
        return f"{units.convert(value, 'mass', unit):.1f} {unit}"

    def _warmth(self, value: float) -> str:
        unit = "F" if self.system == "us" else "C"
        return f"{units.convert(value, 'temperature', unit):.0f} {unit}"

    def _hottest(self) -> str:
        return self._warmth(recovery.hottest_liquid(self.settings["refrigerant"]))

    def _gauge(self, readings: Mapping[str, Any]) -> str:
        return "off the scale" if readings["full"] else gauge_words(readings["gauge"], self.system)


SHORT = (
    ("liquid fills", _("80 % of the space at 70 F")),
    ("0.80 x water", "0.80 x WC x SG at 77 F"),
    ("60 %", _("60 % of the gross rating")),
    ("filling density", _("filling density, for transport")),
    ("not liquid full", _("not full at 131 F, for transport")),
)
"""Start of each rule of `recovery.allowed_fill` and a form that fits the drawing."""


def _short(rule: str) -> str:
    return next((words for start, words in SHORT if rule.startswith(start)), rule)


def _along(fahrenheit: float) -> float:
    return (fahrenheit - WARMTH[0]) / (WARMTH[1] - WARMTH[0])
