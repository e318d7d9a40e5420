"""One machine of the fleet with R-12 and with R-134a on the same day, side by side."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from coldcab import units
from coldcab.faults import Fault
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Slider, gauge_words
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.dial import HEADS, manifold
from coldcab.instruments.drawing.rows import ROW, rows
from coldcab.instruments.machine_view import MACHINES, pick
from coldcab.machine import Conditions
from coldcab.service import comparison
from coldcab.words import _

OLD, NEW = "R-12", "R-134a"
RADIUS = 132.0
SHEET_TOP = 398.0
COLUMNS = (20.0, 302.0, 478.0, 654.0)
SIDES = ("low", "high")
BLOCKED = "condenser blocked"
BUILT_FOR_OLD = tuple(name for name, machine in MACHINES.items() if machine.refrigerant == OLD)


class TwoRefrigerants(Instrument):
    """The same hardware with the old and with the new refrigerant, each with the charge that is right for it.

    Settings: `machine` (name, or the shop's number), `ambient` (F), `engine_speed` (rpm), `blocked` (% of the way to
    the worst condenser of the fault catalogue), `blower` (%), `humidity` (%), `altitude` (ft). Doors are open, as for
    a test.
    Readings: `old` and `new` (every field of `coldcab.machine.Readings` by name, SI), `high_rise` (Pa), `vent_rise`
    (K), `margin` (Pa to the high-pressure switch), and `ratios` of new over old.
    """

    title = _("One machine, two refrigerants")
    height = int(SHEET_TOP + ROW * 8 + 16)
    word_lines = 5
    stamp = (420.0, 142.0)
    drawer = "Weather"
    controls = (
        replace(pick("machine")[0], options=BUILT_FOR_OLD),
        *pick("ambient", "engine_speed"),
        Slider("blocked", "condenser blocked", "fraction", 0.0, 100.0, 2.0, 0.0, "%", "%", 2.0, decimals=0),
        *pick("blower", "humidity", "altitude"),
    )
    dials = manifold(152.0, 688.0, 142.0, RADIUS)

    def __init__(self, **settings: object) -> None:
        self._last: tuple[str, comparison.Comparison] | None = None
        super().__init__(**settings)

    def calculate(self) -> dict[str, Any]:
        given = self.settings
        ambient, humidity, name = given["ambient"], given["humidity"], given["machine"]
        day = Conditions(
            ambient=ambient,
            relative_humidity=humidity,
            altitude=given["altitude"],
            engine_speed=given["engine_speed"],
            blower=given["blower"],
            inlet_temperature=ambient,
            inlet_relative_humidity=humidity,
        )
        start = self._last[1] if self._last and self._last[0] == name else None
        faults = (Fault(BLOCKED, given["blocked"]),) if given["blocked"] else ()
        found = comparison.side_by_side(MACHINES[name], day, old=OLD, new=NEW, faults=faults, start=start)
        self._last = name, found
        return {
            "old": vars(found.old),
            "new": vars(found.new),
            "high_rise": found.high_rise,
            "vent_rise": found.vent_rise,
            "margin": found.margin,
            "ratios": {name: found.ratio(name) for name in comparison.SHARES},
        }

    # Drawing -------------------------------------------------------------------------------------------------

    def face(self) -> str:
        us = self.system == "us"
        drawn = ""
        for side, gauge in self.dials.items():
            drawn += gauge.face(self.system, (OLD, NEW))
            drawn += svg.text(gauge.x, gauge.y + 120, "psig" if us else "kPa", size=style.TICK, anchor="middle")
            drawn += svg.text(gauge.x - 132, 302, HEADS[side], bold=True, color=gauge.color, size=style.TICK)
        drawn += svg.line(304, 118, 340, 118, stroke=style.INK, stroke_width=style.HEAVY)
        drawn += svg.text(350, 123, f"{NEW}, thick needle")
        drawn += svg.line(304, 146, 340, 146, stroke=style.SOFT, stroke_width=2, stroke_dasharray="6 4")
        drawn += svg.text(350, 151, f"{OLD}, dashed")
        drawn += svg.text(420, 186, _("same hardware, same day,"), size=style.TICK, anchor="middle", color=style.SOFT)
        drawn += svg.text(420, 205, _("each with its own charge"), size=style.TICK, anchor="middle", color=style.SOFT)
        for x, head in zip(COLUMNS[1:], (OLD, NEW, "change"), strict=True):
            drawn += svg.text(x, SHEET_TOP - 26, head, bold=True, size=style.TICK, color=style.SOFT)
        return drawn

    def moving(self, readings: Mapping[str, Any]) -> str:
        drawn = ""
        for side, gauge in self.dials.items():
            name, left = f"{side}_gauge", gauge.x - 132
            drawn += gauge.ghost(readings["old"][name])
            drawn += gauge.needle(readings["new"][name])
            for row, (fluid, run) in enumerate(((NEW, readings["new"]), (OLD, readings["old"]))):
                sign = style.REFRIGERANT[fluid]
                drawn += svg.marker(sign.shape, left + 6, 320 + 21 * row, 5, fill=sign.color)
                words = f"{fluid} {gauge_words(run[name], self.system)}"
                drawn += svg.text(left + 20, 325 + 21 * row, words, bold=row == 0)
        for row, (fluid, run) in enumerate(((NEW, readings["new"]), (OLD, readings["old"]))):
            words = f"{fluid}: {run['status']}"
            drawn += svg.text(420, 242 + 22 * row, words, size=style.TICK, anchor="middle", bold=True)
        return drawn + rows(SHEET_TOP, COLUMNS, self._lines(readings), bold=2)  # as the thick needle

    def _lines(self, readings: Mapping[str, Any]) -> list[tuple[str, ...]]:
        old, new, ratios = readings["old"], readings["new"], readings["ratios"]
        margin = {key: readings["margin"] + new["high_gauge"] - run["high_gauge"] for key, run in
                  (("old", old), ("new", new))}  # fmt: skip
        return [
            ("right charge", *(self._mass(run["charge"]) for run in (old, new)), _share(new["charge"] / old["charge"])),
            *(
                (
                    f"{side} side",
                    *(gauge_words(run[f"{side}_gauge"], self.system) for run in (old, new)),
                    self._difference(new[f"{side}_gauge"] - old[f"{side}_gauge"]),
                )
                for side in SIDES
            ),
            (_("left to the high-pressure switch"), *(self._difference(one, sign="") for one in margin.values()), ""),
            (
                "compression ratio",
                *(f"{run['compression_ratio']:.2f}" for run in (old, new)),
                _share(ratios["compression_ratio"]),
            ),
            ("cooling capacity", *(self._power(run["capacity"]) for run in (old, new)), _share(ratios["capacity"])),
            (_("power at the belt"), *(self._belt(run["power"]) for run in (old, new)), _share(ratios["power"])),
            ("discharge line", *(self._warmth(run["discharge_line"]) for run in (old, new)),
             self._kelvins(new["discharge_line"] - old["discharge_line"])),
            ("vent", *(self._warmth(run["vent"]) for run in (old, new)), self._kelvins(readings["vent_rise"])),
        ]  # fmt: skip

    # Words ---------------------------------------------------------------------------------------------------

    def summary(self, readings: Mapping[str, Any]) -> str:
        old, new = readings["old"], readings["new"]
        said = [
            _("On this day the high side stands at {high_gauge} with {old} and at {high_gauge_2} with {new}.").format(
                high_gauge=gauge_words(old["high_gauge"], self.system),
                old=OLD,
                high_gauge_2=gauge_words(new["high_gauge"], self.system),
                new=NEW,
            )
        ]
        if new["status"] == "high-pressure cut-out":
            said.append(
                _(
                    "With {new} the high-pressure switch stops the clutch again and again. Clean the "
                    "condenser, repair fan and shroud, or do not convert."
                ).format(new=NEW)
            )
        else:
            said.append(
                _("{margin} are left to the high-pressure switch.").format(
                    margin=self._difference(readings["margin"], sign="")
                )
            )
        said.append(
            _(
                "Cooling changes by {capacity}, the vent by {vent_rise}, and {new} needs {charge:.0f} % "
                "of the old charge."
            ).format(
                capacity=_share(readings["ratios"]["capacity"]),
                vent_rise=self._kelvins(readings["vent_rise"]),
                new=NEW,
                charge=100 * new["charge"] / old["charge"],
            )
        )
        return " ".join(said)

    def details(self, readings: Mapping[str, Any]) -> str:
        listed = "; ".join(
            f"{name}: {OLD} {first}, {NEW} {second}" + (f", change {change}" if change else "")
            for name, first, second, change in self._lines(readings)
        )
        statuses = ", ".join(f"{fluid} {readings[key]['status']}" for fluid, key in ((OLD, "old"), (NEW, "new")))
        return f"{self.summary(readings)} Running: {statuses}. {listed}."

    def _difference(self, value: float, *, sign: str = "+") -> str:
        unit, decimals = ("psi", 1) if self.system == "us" else ("kPa", 0)
        return _signed(units.convert(value, "pressure difference", unit), decimals, unit, sign)

    def _kelvins(self, value: float) -> str:
        unit = "F" if self.system == "us" else "K"
        return _signed(units.convert(value, "temperature difference", unit), 1, unit)

    def _warmth(self, value: float) -> str:
        unit = "F" if self.system == "us" else "C"
        return f"{units.convert(value, 'temperature', unit):.1f} {unit}"

    def _mass(self, value: float) -> str:
        unit, decimals = ("lb", 2) if self.system == "us" else ("kg", 2)
        return f"{units.convert(value, 'mass', unit):.{decimals}f} {unit}"

    def _power(self, value: float) -> str:
        if self.system == "us":
            return f"{units.convert(value, 'power', 'Btu/h'):,.0f} Btu/h"
        return f"{value / 1e3:.2f} kW"

    def _belt(self, value: float) -> str:
        unit = "hp" if self.system == "us" else "kW"
        return f"{units.convert(value, 'power', unit):.2f} {unit}"


def _share(ratio: float) -> str:
    return _signed(100 * (ratio - 1), 1, "%")


def _signed(value: float, decimals: int, unit: str, sign: str = "+") -> str:
    return f"{round(value, decimals) + 0.0:{sign}.{decimals}f} {unit}"  # no minus before a zero
