"""Oil on the way: how the evaporator's cooling changes with the oil in a circuit."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from coldcab import oil, units
from coldcab.faults import Fault
from coldcab.instruments.controls import Slider
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.fills import filled
from coldcab.instruments.drawing.rows import rows
from coldcab.instruments.machine_view import MACHINES, STATUS, MachineView, pick
from coldcab.machine import simulate, simulate_many
from coldcab.machine.effects import HEALTHY, Effects, gather
from coldcab.machine.readings import RUNNING
from coldcab.words import _

PLOT = (90.0, 66.0, 560.0, 240.0)  # x, y, width, height
SHARES = np.linspace(0.0, 3.0, 13)  # of the machine's own oil
NO_CURVE = np.empty(0)
SPAN = 0.25  # of the capacity with the right oil: what the plot shows below it
ABOVE = 0.05
SUMP = (700.0, 66.0, 100.0, 240.0)  # the oil in the circuit as a column
COLUMN_TOP = 3.0
TABLE_TOP = 368.0
CIRCUIT_OIL = {"R-12": "mineral oil", "R-134a": "PAG", "R-1234yf": "PAG"}  # a PAG of its own kind for the last
LEAVING = 0.90  # quality at which the last tenth of the liquid is looked at
LOGGED = "evaporator oil-logged"  # the fault whose hindered boiling stands for oil that lies in the coil


class OilCirculation(MachineView):
    """What too much oil costs in the evaporator, on a machine of the shop with its doors open.

    Settings: `machine`, `refrigerant`, `oil` (% of the oil that belongs in the circuit), `lying` (%: how much of the
    coil's boiling is hindered by oil that stays in it, 100 as in the fault "evaporator oil-logged" at its worst),
    `charge`, `engine_speed`, `ambient`, `blower`. Readings as `MachineView`, and (SI) `oil_volume` (m3 in the circuit),
    `circulation` (kg of oil per kg that flows), `last_liquid` (share of oil in the liquid when nine tenths have boiled
    away), `change` (of the capacity against the right amount of oil, a share), `right` (W, with the right oil and a
    clean coil), `curve` (W at `SHARES` of the right amount).
    """

    title = "Oil in circulation"
    height = 500
    word_lines = 5
    stamp = (370.0, 190.0)
    drawer = ""
    two_steps = True
    controls = (
        *pick("machine", "refrigerant"),
        Slider("oil", _("oil in the circuit"), "fraction", 10.0, 300.0, 5.0, 100.0, "%", "%", 5.0, decimals=0),
        Slider("lying", _("oil lying in the coil"), "fraction", 0.0, 100.0, 5.0, 0.0, "%", "%", 5.0, decimals=0),
        *pick("charge", "engine_speed", "ambient", "blower"),
    )

    def __init__(self, **settings: Any) -> None:
        self._curves: dict[tuple, tuple[float, np.ndarray]] = {}
        super().__init__(**settings)

    @property
    def effects(self) -> Effects:
        return HEALTHY.changed(oil=self._settings["oil"], boiling=self._boiling)

    @property
    def _boiling(self) -> float:
        """What oil that lies in the coil leaves of its boiling."""
        return gather((Fault(LOGGED, self._settings["lying"]),)).boiling

    @property
    def faults(self) -> tuple[Fault, ...]:
        return ()

    def calculate(self) -> dict[str, Any]:
        readings = super().calculate()
        machine, refrigerant = MACHINES[self.setting("machine")], self.setting("refrigerant")
        share = self._settings["oil"]
        circulation = machine.oil_share * share
        right, curve = self._curve() if self.resting or self._curve_key in self._curves else (self._right(), NO_CURVE)
        if not right > 0.0:
            raise ValueError(_("on this day the machine with the right oil does not cool; make it warmer."))
        return {
            **readings,
            "oil_volume": oil.volume(machine.oil * share, CIRCUIT_OIL[refrigerant]),
            "circulation": circulation,
            "last_liquid": float(oil.local_oil_fraction(circulation, min(LEAVING, 1.0 - circulation))),
            "change": readings["capacity"] / right - 1.0,
            "right": right,
            "curve": curve,
        }

    def _right(self) -> float:
        """W with the right oil and none lying in the coil, alone: the curve follows when the hand rests."""
        machine, refrigerant = MACHINES[self.setting("machine")], self.setting("refrigerant")
        charge = self.setting("charge") * self.right_charge
        near = self._healthy if self._healthy is not None and self._healthy.solved else None
        run = simulate(machine, self.conditions, refrigerant=refrigerant, charge=charge, start=near)
        return float(run.capacity)

    @property
    def _curve_key(self) -> tuple:
        machine = MACHINES[self.setting("machine")]
        return machine.name, self.setting("refrigerant"), self.conditions, self.setting("charge"), self._boiling

    def _curve(self) -> tuple[float, np.ndarray]:
        """Capacity with the right oil, and over the oil in the circuit; kept, because only the oil moves along it."""
        machine, refrigerant = MACHINES[self.setting("machine")], self.setting("refrigerant")
        key = self._curve_key
        if key not in self._curves:
            runs = simulate_many(
                machine,
                self.conditions,
                refrigerant=refrigerant,
                charge=self.setting("charge") * self.right_charge,
                # The first run is the machine with the right oil and none lying in its coil.
                faults=HEALTHY.changed(
                    oil=np.append(1.0, SHARES), boiling=np.append(1.0, np.full(SHARES.size, self._boiling))
                ),
            )
            self._curves = {key: (float(runs.capacity[0]), runs.capacity[1:])}
        return self._curves[key]

    def face(self) -> str:
        x, y, width, height = PLOT
        drawn = svg.box(x, y, width, height, fill=style.PAPER, stroke=style.INK)
        drawn += svg.text(x, 34, _("Cooling of the evaporator over the oil in the circuit"), bold=True)
        lines, words = "", ""
        for change in (-0.2, -0.1, 0.0):
            __, py = _at(0.0, change)
            lines += svg.line(x, py, x + width, py)
            words += svg.text(
                x - 8, py + 5, f"{100 * change:+.0f} %".replace("-", "−").replace("+0", "0"), anchor="end"
            )
        for share in (0, 1, 2, 3):
            px, __ = _at(share, 0.0)
            lines += svg.line(px, y, px, y + height)
            words += svg.text(px, y + height + 20, f"{100 * share} %", anchor="middle")
        words += svg.text(
            x + width / 2, y + height + 40, _("oil in the circuit, of what belongs in it"), anchor="middle"
        )
        drawn += svg.group(lines, stroke=style.RULE, stroke_width=0.6)
        drawn += svg.group(words, font_size=style.TICK, fill=style.SOFT)
        # Below half of the right oil: where the warning begins is a judgement, no source.
        px, __ = _at(0.5, 0.0)
        hungry = svg.box(x, y, px - x, height, fill="none", stroke=style.HIGH, stroke_dasharray="5 4")
        for row, words in enumerate(("compressor", "starves")):
            hungry += svg.text(
                0.5 * (x + px), y + height - 28 + 18 * row, words, size=style.TICK, anchor="middle", color=style.HIGH
            )
        return drawn + hungry

    def moving(self, readings: Mapping[str, Any]) -> str:
        points = [
            _at(share, max(capacity / readings["right"] - 1.0, -SPAN))
            for share, capacity in zip(SHARES, readings["curve"], strict=False)  # none yet while the hand moves
            if capacity == capacity
        ]
        drawn = svg.path(points, stroke=style.INK, stroke_width=style.LINE) if points else ""
        here = _at(self._settings["oil"], max(readings["change"], -SPAN))
        drawn += svg.marker("diamond", *here, 7, fill=style.AIR, stroke=style.PAPER, stroke_width=2)
        return drawn + self._column(readings) + self._table(readings)

    def _column(self, readings: Mapping[str, Any]) -> str:
        x, y, width, height = SUMP
        kind = CIRCUIT_OIL[self.setting("refrigerant")]
        level = height * min(self._settings["oil"] / COLUMN_TOP, 1.0)
        drawn = filled(x, y + height - level, width, level, kind)
        drawn += svg.box(x, y, width, height, fill="none", stroke=style.INK, stroke_width=style.LINE)
        mark = y + height * (1.0 - 1.0 / COLUMN_TOP)
        drawn += svg.line(x - 8, mark, x + width + 8, mark, stroke=style.INK, stroke_dasharray="5 3")
        drawn += svg.text(x + width / 2, mark - 6, "right", size=style.TICK, anchor="middle", halo=True)
        shown = self._volume(readings["oil_volume"])
        drawn += svg.text(x + width / 2, y + height + 20, shown, anchor="middle", bold=True)
        return drawn + svg.text(
            x + width / 2, y + height + 40, kind, size=style.TICK, anchor="middle", color=style.SOFT
        )

    def _table(self, readings: Mapping[str, Any]) -> str:
        return rows(TABLE_TOP + 40, (20.0, 380.0), self._lines(readings))

    def _lines(self, readings: Mapping[str, Any]) -> list[tuple[str, str]]:
        change = f"{100 * readings['change']:+.1f} %".replace("-", "−").replace("−0.0", "0.0").replace("+0.0", "0.0")
        return [
            ("evaporator cooling", f"{self.words(readings['capacity'], 'power')}, {change}"),
            ("vent", self.words(readings["vent"], "temperature")),
            (_("oil in what flows"), f"{100 * readings['circulation']:.1f} % by mass"),
            (_("oil in the last tenth of the liquid"), f"{100 * readings['last_liquid']:.0f} % by mass"),
        ]

    def summary(self, readings: Mapping[str, Any]) -> str:
        share = self._settings["oil"]
        said = [
            _(
                "{oil_volume} of oil, {share:.0f} % of what belongs in the circuit: the evaporator cools "
                "with {capacity}."
            ).format(
                oil_volume=self._volume(readings["oil_volume"]),
                share=100 * share,
                capacity=self.words(readings["capacity"], "power"),
            )
        ]
        if self._settings["lying"] > 0.0 or share > 1.025:
            said.append(
                _(
                    "That is {change:.1f} % less than with the right oil and a clean coil. Oil hinders "
                    "boiling, and the last refrigerant stays dissolved in it. Too much oil can also break a "
                    "compressor."
                ).format(change=-100 * readings["change"])
            )
        elif share < 0.975:
            said.append(
                _(
                    "Less oil on the way lets the coil cool a little better. The compressor pays for it: it "
                    "runs short of oil, and no reading here shows the wear."
                )
            )
        else:
            said.append(_("This is the amount of the invented data sheet."))
        if readings["status"] != RUNNING:
            said.append(STATUS[readings["status"]])
        return " ".join(said)

    def details(self, readings: Mapping[str, Any]) -> str:
        told = ", ".join(f"{label} {words}" for label, words in self._lines(readings))
        return f"{self.summary(readings)} {told}. {self.day_words(readings)}"

    def _volume(self, value: float) -> str:
        unit = "fl oz" if self.system == "us" else "mL"
        number = units.convert(value, "volume", unit)
        return f"{number:.1f} {unit}" if self.system == "us" else f"{number:.0f} {unit}"


def _at(share: float, change: float) -> tuple[float, float]:
    x, y, width, height = PLOT
    return x + width * share / SHARES[-1], y + height * (ABOVE - change) / (ABOVE + SPAN)
