"""An open can of oil: the water it draws from the air, hour by hour."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from coldcab import oil
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice, Slider
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.fills import filled
from coldcab.oil.moisture import DOUBT_FACTOR, USUAL_LIMIT
from coldcab.words import _

PLOT = (90.0, 66.0, 500.0, 250.0)  # x, y, width, height
LONGEST = 200.0  # hours
TIMES = np.linspace(0.0, LONGEST, 41) * 3600.0
TOPS = (100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10_000.0, 20_000.0)  # ppm
CAN = (650.0, 66.0, 150.0, 250.0)
DEEPEST = 0.2  # m, a full can on the drawing

WETTER_THAN_USUAL = _(
    "After {hours:.0f} h at {humidity:.0f} % humidity the {oil} holds {content} of water, "
    "{times:.3g} times the usual limit of {limit}. This is good to a factor of two: {low} to "
    "{high}."
)
WITHIN_THE_USUAL = _(
    "After {hours:.0f} h at {humidity:.0f} % humidity the {oil} holds {content} of water, no "
    "more than the usual limit of {limit}. This is good to a factor of two: {low} to {high}."
)
IN_THE_END = _("In the end it would come to {balance}.")


class OpenCan(Instrument):
    """A can that was left open.

    Settings: `oil` (a type of `coldcab.oil.OILS`), `hours`, `humidity` (% relative humidity of the air), `depth` (in,
    of the oil below its open surface). Readings (SI): `content` (kg of water in a kg of oil), `times_limit` (against
    `coldcab.oil.moisture.USUAL_LIMIT`), `balance` (kg/kg that it would reach in the end), `curve` (at `TIMES`).
    """

    title = _("An open can of oil")
    height = 396
    word_lines = 4
    stamp = (340.0, 190.0)
    controls = (
        Choice("oil", "oil", ("PAG", "POE", "mineral oil"), "PAG"),
        Slider("hours", "open for", "time", 0.0, LONGEST, 1.0, 24.0, "h", "h", 1.0, decimals=0),
        Slider("humidity", "relative humidity", "fraction", 5.0, 100.0, 5.0, 50.0, "%", "%", 5.0, decimals=0),
        Slider("depth", _("depth of the oil"), "length", 0.5, 8.0, 0.5, 4.0, "in", "mm", 10.0),
    )

    def calculate(self) -> dict[str, Any]:
        given = self.settings
        more = {"relative_humidity": given["humidity"], "depth": given["depth"]}
        content = oil.moisture_content(given["oil"], given["hours"], **more)
        return {
            "content": content,
            "times_limit": content / USUAL_LIMIT,
            "balance": oil.HYGROSCOPY[given["oil"]].saturation * given["humidity"],
            "curve": oil.moisture_content(given["oil"], TIMES, **more),
        }

    def face(self) -> str:
        x, y, width, height = PLOT
        drawn = svg.text(x, 34, _("Water in the oil over the time that the can stands open"), bold=True)
        drawn += svg.box(x, y, width, height, fill=style.PAPER, stroke=style.INK)
        words = "".join(
            svg.text(x + width * hours / LONGEST, y + height + 20, f"{hours} h", anchor="middle")
            for hours in (0, 50, 100, 150, 200)
        )
        return drawn + svg.group(words, font_size=style.TICK, fill=style.SOFT)

    def moving(self, readings: Mapping[str, Any]) -> str:
        x, y, width, height = PLOT
        ppm = readings["curve"] * 1e6
        top = next((end for end in TOPS if max(ppm.max(), 60.0) <= end), TOPS[-1])

        def place(seconds: float, content: float) -> tuple[float, float]:
            return x + width * seconds / TIMES[-1], y + height * (1.0 - min(content, top) / top)

        drawn = ""
        for value in (0.0, top / 2, top):
            __, py = place(0.0, value)
            drawn += svg.line(x, py, x + width, py, stroke=style.RULE)
            drawn += svg.text(x - 8, py + 5, f"{value:,.0f}", size=style.TICK, anchor="end", color=style.SOFT)
        drawn += svg.text(x - 8, y - 12, "ppm", size=style.TICK, anchor="end", color=style.SOFT, bold=True)
        __, limit = place(0.0, USUAL_LIMIT * 1e6)
        drawn += svg.line(x, limit, x + width, limit, stroke=style.HIGH, stroke_dasharray="6 4")
        drawn += svg.text(
            x + width - 6,
            limit - 5,
            f"{USUAL_LIMIT * 1e6:.0f} ppm",
            size=style.TICK,
            anchor="end",
            color=style.HIGH,
            halo=True,
        )
        drawn += svg.path(
            [place(t, value) for t, value in zip(TIMES, ppm, strict=True)], stroke=style.INK, stroke_width=style.LINE
        )
        here = place(self.settings["hours"], readings["content"] * 1e6)
        drawn += svg.marker("diamond", *here, 7, fill=style.AIR, stroke=style.PAPER, stroke_width=2)
        return drawn + self._can(readings)

    def _can(self, readings: Mapping[str, Any]) -> str:
        x, y, width, height = CAN
        level = height * min(self.settings["depth"] / DEEPEST, 1.0)
        drawn = filled(x, y + height - level, width, level, self.settings["oil"])
        outline = [(x, y), (x, y + height), (x + width, y + height), (x + width, y)]
        drawn += svg.path(outline, stroke=style.INK, stroke_width=style.HEAVY)
        drawn += svg.text(x + width / 2, y + height + 22, self.settings["oil"], anchor="middle", bold=True)
        shown = f"{_ppm(readings['content'])} of water"
        return drawn + svg.text(x + width / 2, y + height + 44, shown, anchor="middle", size=style.TICK)

    def summary(self, readings: Mapping[str, Any]) -> str:
        given, content = self.settings, readings["content"]
        return (WETTER_THAN_USUAL if readings["times_limit"] > 1.005 else WITHIN_THE_USUAL).format(
            hours=given["hours"] / 3600.0,
            humidity=100 * given["humidity"],
            oil=given["oil"],
            content=_ppm(content),
            times=readings["times_limit"],
            limit=_ppm(USUAL_LIMIT),
            low=_ppm(content / DOUBT_FACTOR),
            high=_ppm(content * DOUBT_FACTOR),
        )

    def details(self, readings: Mapping[str, Any]) -> str:
        return f"{self.summary(readings)} {IN_THE_END.format(balance=_ppm(readings['balance']))}"


def _ppm(value: float) -> str:
    """Parts per million by weight, three figures."""
    return f"{float(f'{value * 1e6:.3g}'):,.10g} ppm"
