"""Looking up properties for answer sheets. It takes absolute pressure only: turning a gauge reading into one is
the learner's own step."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab import refrigerants, units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice, Control, Entry
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.rows import rows
from coldcab.words import _

TABLE, STATE, COMPRESSION, ENTHALPY = (
    "saturation table",
    "one state",
    "ideal compression",
    _("state at an enthalpy"),
)
USED = {
    TABLE: ("given",),
    STATE: ("pressure", "temperature"),
    COMPRESSION: ("pressure", "temperature", "outlet_pressure"),
    ENTHALPY: ("pressure", "enthalpy"),
}
ABSOLUTE_ONLY = _("Absolute pressures only; a gauge reading is refused.")
VALUES = _("{refrigerant}, {page}: {values}.")
VALUES_AND_STATE = _("{refrigerant}, {page}: {values}. State: {state}.")
REFERENCE = _("Enthalpy counts from 200 kJ/kg for saturated liquid at 0 C (32 F).")

# kind: trade unit, its digits, metric unit, its digits; digits are decimals, or figures where negative.
_DIGITS = {
    "pressure": ("psia", 2, "kPa absolute", 1),
    "temperature": ("F", 1, "C", 1),
    "specific energy": ("Btu/lb", 2, "kJ/kg", 2),
    "density": ("lb/cu ft", -4, "kg/m3", -4),
    "specific volume": ("cu ft/lb", -4, "m3/kg", -4),
}
Row = tuple[str, str, float]  # name, kind, SI value


class PropertyReader(Instrument):
    """A looking-up tool with four pages.

    Settings: `refrigerant`, `page` ("saturation table", "one state", "ideal compression", "state at an enthalpy")
    and what the page asks, as text with a unit: `given` (an absolute pressure or a temperature), `pressure`,
    `temperature`, `outlet_pressure` (all pressures absolute), `enthalpy`.
    Readings: SI values by the names of the rows shown, and `state` in words where there is one.
    """

    title = "Looking up properties"
    height = 350
    word_lines = 3
    stamp = (420.0, 180.0)
    face_settings = ("refrigerant", "page")
    controls = (
        Choice("refrigerant", "refrigerant", tuple(refrigerants.TABLES), "R-134a"),
        Choice("page", "look up", (TABLE, STATE, COMPRESSION, ENTHALPY), TABLE),
        Entry("given", "pressure or temperature", "45.7 psia"),
        Entry("pressure", "absolute pressure", "45.7 psia"),
        Entry("temperature", "temperature", "50 F"),
        Entry("outlet_pressure", "outlet absolute pressure", "214 psia"),
        Entry("enthalpy", "enthalpy", "110 Btu/lb"),
    )

    def in_use(self, control: Control) -> bool:
        return not isinstance(control, Entry) or control.name in USED[self.settings["page"]]

    def calculate(self) -> dict[str, Any]:
        pages = {TABLE: _table, STATE: _state, COMPRESSION: _compression, ENTHALPY: _at_enthalpy}
        page = self.settings["page"]
        asked = {name: self.settings[name] for name in USED[page]}
        rows, state = pages[page](self.settings["refrigerant"], asked)
        self._rows = rows
        return {**{name: value for name, __, value in rows}, **({"state": state} if state else {})}

    def face(self) -> str:
        drawn = svg.text(
            style.MARGIN,
            34,
            f"{self.settings['refrigerant']}: {self.settings['page']}",
            size=style.STRONG,
            bold=True,
        )
        for y, words in ((56, ABSOLUTE_ONLY), (self.height - 16, REFERENCE)):
            drawn += svg.text(style.MARGIN, y, words, size=style.TICK, color=style.SOFT)
        return drawn

    def moving(self, readings: Mapping[str, Any]) -> str:
        lines = []
        for name, kind, value in self._rows:
            pair = _written(value, kind)
            lines.append((name, *(pair if self.system == "us" else pair[::-1])))
        if "state" in readings:
            lines.append(("state", readings["state"], ""))
        return rows(86, (20.0, 330.0, 590.0), lines)

    def summary(self, readings: Mapping[str, Any]) -> str:
        return self._values(readings, self._rows[:3])

    def details(self, readings: Mapping[str, Any]) -> str:
        return f"{self._values(readings, self._rows)} {REFERENCE}"

    def _values(self, readings: Mapping[str, Any], rows: list[Row]) -> str:
        pairs = [(name, _written(value, kind)) for name, kind, value in rows]
        values = ", ".join(
            f"{name} {first} ({second})"
            for name, (first, second) in ((name, pair if self.system == "us" else pair[::-1]) for name, pair in pairs)
        )
        return (VALUES_AND_STATE if "state" in readings else VALUES).format(
            refrigerant=self.settings["refrigerant"],
            page=self.settings["page"],
            values=values,
            state=readings.get("state", ""),
        )


def absolute_pressure(text: str, label: str = "absolute pressure") -> float:
    """An absolute pressure from text, Pa; a gauge or vacuum reading is refused with a sentence."""
    read = units.parse(text, "pressure")
    _refuse_gauge(read, label)
    return read.value


def _refuse_gauge(read: units.Quantity, label: str) -> None:
    if read.unit == "psig" or "gauge" in read.unit or "vac" in read.unit:
        raise ValueError(
            _(
                "{label}: {text} is a gauge reading; work out the absolute pressure first, with the air "
                "pressure of your altitude, and write it as psia, inHg abs or kPa abs."
            ).format(label=label, text=read.text)
        )


def _table(name: str, asked: Mapping[str, str]) -> tuple[list[Row], str]:
    read = units.parse(asked["given"])
    if read.kind == "pressure":
        _refuse_gauge(read, "saturation table")
        line = refrigerants.saturation(name, pressure=read.value)
    elif read.kind == "temperature":
        line = refrigerants.saturation(name, temperature=read.value)
    else:
        raise ValueError(
            _(
                "saturation table: {text} is neither a pressure nor a temperature; write for example 45.7 psia or 36 F."
            ).format(text=read.text)
        )
    rows = [
        ("saturation temperature", "temperature", line.temperature),
        ("absolute pressure", "pressure", line.pressure),
        (_("enthalpy of the liquid"), "specific energy", line.liquid_enthalpy),
        (_("enthalpy of the vapor"), "specific energy", line.vapor_enthalpy),
        ("latent heat", "specific energy", line.vapor_enthalpy - line.liquid_enthalpy),
        (_("density of the liquid"), "density", line.liquid_density),
        (_("density of the vapor"), "density", line.vapor_density),
        (_("specific volume of the vapor"), "specific volume", 1.0 / line.vapor_density),
        (_("entropy of the liquid"), "entropy", line.liquid_entropy),
        (_("entropy of the vapor"), "entropy", line.vapor_entropy),
    ]
    return [(label, kind, float(value)) for label, kind, value in rows], ""


def _state_rows(state: refrigerants.State) -> list[Row]:
    return [
        ("temperature", "temperature", float(state.temperature)),
        ("absolute pressure", "pressure", float(state.pressure)),
        ("enthalpy", "specific energy", float(state.enthalpy)),
        ("entropy", "entropy", float(state.entropy)),
        ("density", "density", float(state.density)),
        ("specific volume", "specific volume", 1.0 / float(state.density)),
    ]


def _state(name: str, asked: Mapping[str, str]) -> tuple[list[Row], str]:
    pressure = absolute_pressure(asked["pressure"])
    temperature = units.parse(asked["temperature"], "temperature").value
    state = refrigerants.state(name, pressure=pressure, temperature=temperature)
    return _state_rows(state), _in_words(state)


def _compression(name: str, asked: Mapping[str, str]) -> tuple[list[Row], str]:
    inlet, __ = _state(name, asked)
    first = {label: value for label, __, value in inlet}
    outlet = absolute_pressure(asked["outlet_pressure"], "outlet absolute pressure")
    if outlet <= first["absolute pressure"]:
        raise ValueError(
            _(
                "outlet absolute pressure: {outlet_pressure} is not above the inlet's {pressure}; a "
                "compressor raises the pressure."
            ).format(outlet_pressure=asked["outlet_pressure"], pressure=asked["pressure"])
        )
    state = refrigerants.state(name, pressure=outlet, entropy=first["entropy"])
    rows = [
        ("inlet enthalpy", "specific energy", first["enthalpy"]),
        ("inlet entropy, kept", "entropy", first["entropy"]),
        ("ideal outlet enthalpy", "specific energy", float(state.enthalpy)),
        ("ideal outlet temperature", "temperature", float(state.temperature)),
        ("ideal work", "specific energy", float(state.enthalpy) - first["enthalpy"]),
        ("inlet density", "density", first["density"]),
    ]
    return rows, _("{state} at the outlet").format(state=_in_words(state))


def _at_enthalpy(name: str, asked: Mapping[str, str]) -> tuple[list[Row], str]:
    pressure = absolute_pressure(asked["pressure"])
    enthalpy = units.parse(asked["enthalpy"], "specific energy").value
    state = refrigerants.state(name, pressure=pressure, enthalpy=enthalpy)
    return _state_rows(state), _in_words(state)


def _in_words(state: refrigerants.State) -> str:
    if state.phase == "two-phase":
        return _("liquid and vapor, {quality:.1f} % vapor by mass").format(quality=100 * float(state.quality))
    return str(state.phase)


def _written(value: float, kind: str) -> tuple[str, str]:
    """A value in the trade unit and in the metric one, with digits enough to calculate on."""
    if kind == "entropy":  # a heat per mass and degree; 1 Btu/(lb F) is 1.8 times a Btu/lb over a kelvin
        trade = units.convert(value, "specific energy", "Btu/lb") / 1.8
        return f"{trade:.4f} Btu/(lb F)", f"{value / 1000:.4f} kJ/(kg K)"
    trade_unit, trade_digits, metric_unit, metric_digits = _DIGITS[kind]
    return _digits(value, kind, trade_unit, trade_digits), _digits(value, kind, metric_unit, metric_digits)


def _digits(value: float, kind: str, unit: str, digits: int) -> str:
    number = float(units.convert(value, kind, unit))
    shown = f"{number:.{digits}f}" if digits >= 0 else f"{number:#.{-digits}g}".rstrip(".")
    return f"{shown} {unit.replace(' absolute', ' abs')}"
