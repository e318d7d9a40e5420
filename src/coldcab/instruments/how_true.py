"""The model beside printed figures: a plot and a table of each reading, what could not be set, and the doubt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from html import escape

from coldcab.instruments.drawing import style, svg
from coldcab.instruments.tables import Table
from coldcab.machine import Conditions, Readings, nominal_charge, simulate
from coldcab.machine.doubt import doubt
from coldcab.machine.fleet import FLEET
from coldcab.published import rows
from coldcab.quantities import FAHRENHEIT_DEGREE, FAHRENHEIT_ZERO, FREEZING, PSI
from coldcab.words import _

GAUGES = ("low side", "high side", "vent")
SCALES = {"low side": (-15.0, 90.0, 15.0), "high side": (50.0, 375.0, 50.0), "vent": (35.0, 85.0, 10.0)}
"""Of the plots: from, to, step, in the printed unit."""

ROW, TOP, LEFT, RIGHT = 26.0, 74.0, 118.0, 20.0  # of the plot, drawing units
BAR = 1e5


@dataclass(frozen=True)
class Line:
    """One printed figure and what the machines show: ``low`` None: at most ``high``."""

    row: str
    reading: str
    unit: str
    low: float | None
    high: float
    values: tuple[float, ...]
    inside: int | None  # machines inside the band, None for one number without a band

    @property
    def printed(self) -> str:
        """The band as it is printed."""
        if self.low is None:
            return _("at most {value}").format(value=in_words(self.unit, self.high))
        return in_words(self.unit, self.low, self.high)

    @property
    def agrees(self) -> str:
        """How many machines lie inside."""
        if self.inside is None:
            return _("one number")
        return _("{inside} of {count}").format(inside=self.inside, count=len(self.values))


def lines(readings: tuple[str, ...] | None = None) -> list[Line]:
    """The printed figures of some readings; without them all that are neither a gauge nor the vent."""
    groups: dict[tuple[str, str], list[dict[str, str]]] = {}
    for one in rows("beside_the_model"):
        if one["reading"] in readings if readings else one["reading"] not in GAUGES:
            groups.setdefault((one["id"], one["reading"]), []).append(one)
    return [
        Line(
            row,
            reading,
            some[0]["unit"],
            float(some[0]["low"]) if some[0]["low"] else None,
            float(some[0]["high"]),
            tuple(float(one["model"]) for one in some),
            None if not some[0]["inside"] else sum(one["inside"] == "yes" for one in some),
        )
        for (row, reading), some in groups.items()
    ]


def in_words(unit: str, *values: float) -> str:
    """One value or two as a span, trade unit first and metric beside it."""

    def span(numbers: list[float], digits: int) -> str:
        shown = [f"{value:.{digits}f}" for value in numbers]
        return shown[0] if len(set(shown)) == 1 else f"{shown[0]} to {shown[-1]}"

    ends = list(values)
    if unit in ("psig", "psi"):
        return f"{span(ends, 0)} {unit} ({span([value * PSI / BAR for value in ends], 1)} bar)"
    if unit == "F apart":
        return f"{span(ends, 0)} F ({span([value * FAHRENHEIT_DEGREE for value in ends], 0)} K)"
    if unit == "F":
        return f"{span(ends, 0)} F ({span([_celsius(value) for value in ends], 0)} C)"
    digits = 0 if max(ends) >= 100 else 2 if max(ends) < 10 else 1
    return f"{span(ends, digits)} {unit}"


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit + FAHRENHEIT_ZERO) * FAHRENHEIT_DEGREE - FREEZING


def table(chosen: list[Line], caption: str) -> Table:
    """The printed figures with their source, the model beside them, and how many machines lie inside."""
    sources = {row["id"]: row for row in rows("printed_rows")}
    heads = (_("row"), _("what"), _("printed"), _("machines"), _("inside"), _("printed for; set as"), _("source"))
    body = []
    for one in chosen:
        row = sources[one.row]
        told = "; ".join(part for part in (row["condition"], row["set_as"], row["why"]) if part)
        source = row["source"] if row["how_read"] == "read" else f"{row['source']} ({row['how_read']})"
        span = in_words(one.unit, min(one.values), max(one.values))
        body.append((one.row, one.reading, one.printed, span, one.agrees, told, source))
    return Table(caption, heads, tuple(body), left=True)


@dataclass(frozen=True)
class Plot:
    """One reading: each printed band as an open box, each machine as a dot, filled where it lies inside."""

    reading: str

    def picture(self) -> str:
        """The plot as SVG; boxes and dots are told apart by shape and filling, not by color."""
        chosen = lines((self.reading,))
        height = TOP + ROW * len(chosen) + 46
        low, high, step = SCALES[self.reading]

        def across(value: float) -> float:
            part = min(max((value - low) / (high - low), 0.0), 1.0)
            return LEFT + (style.WIDTH - LEFT - RIGHT) * part

        base = height - 40
        drawn = svg.text(20, 28, self.title, size=style.STRONG, bold=True) + self._key()
        for value in svg.stops(low, high, step):
            drawn += svg.line(across(value), TOP - 8, across(value), base, stroke=style.RULE)
            drawn += svg.text(across(value), base + 18, f"{value:g}", size=style.TICK, anchor="middle")
        drawn += svg.text(style.WIDTH / 2, base + 35, chosen[0].unit, size=style.TICK, anchor="middle")
        for place, one in enumerate(chosen):
            drawn += self._row(one, TOP + ROW * (place + 0.5), across)
        told = escape(self.description(), quote=True)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{style.WIDTH}" height="{height:g}" '
            f'viewBox="0 0 {style.WIDTH} {height:g}" style="display:block;width:100%;max-width:{style.SHEET}px;'
            f'height:auto;background:{style.GROUND}" font-family="{style.FONT}" font-size="{style.BODY}" '
            f'fill="{style.INK}" role="img" aria-label="{told}"><title>{escape(self.title)}</title>'
            f"<desc>{told}</desc>{svg.box(0, 0, style.WIDTH, height, fill=style.GROUND)}{drawn}</svg>"
        )

    @property
    def title(self) -> str:
        """What is plotted."""
        return _("Printed bands and the machines: {reading}").format(reading=self.reading)

    def _row(self, one: Line, y: float, across: Callable[[float], float]) -> str:
        drawn = svg.text(20, y + 5, f"{one.row} {one.agrees.replace(' of ', '/')}", size=style.TICK)
        assert one.low is not None
        left, right = across(one.low), across(one.high)
        drawn += svg.box(left, y - 8, max(right - left, 2.0), 16, fill=style.PAPER, stroke=style.INK)
        for value in one.values:
            good = one.low <= round(value) <= one.high
            drawn += svg.circle(
                across(value),
                y,
                4.5,
                fill=style.INK if good else style.PAPER,
                stroke=style.INK,
                stroke_width=style.THIN,
            )
        return drawn

    def _key(self) -> str:
        drawn = svg.box(20, 42, 26, 14, fill=style.PAPER, stroke=style.INK) + svg.text(54, 54, _("printed"))
        drawn += svg.circle(140, 49, 4.5, fill=style.INK, stroke=style.INK) + svg.text(152, 54, _("machine inside"))
        drawn += svg.circle(300, 49, 4.5, fill=style.PAPER, stroke=style.INK, stroke_width=style.THIN)
        return drawn + svg.text(312, 54, _("machine outside"))

    def description(self) -> str:
        """The plot in words: each row, its band and where the machines lie."""
        said = [
            _("{row}: printed {printed}, machines {machines}, inside {agrees}").format(
                row=one.row,
                printed=one.printed,
                machines=in_words(one.unit, min(one.values), max(one.values)),
                agrees=one.agrees,
            )
            for one in lines((self.reading,))
        ]
        return f"{self.title}. {'; '.join(said)}."

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        return {"text/html": self.picture(), "text/plain": self.description()}


def left_out() -> Table:
    """Printed rows that no machine can be set to, and why."""
    body = tuple((row["id"], row["quantity"], row["printed"], row["why"])
                 for row in rows("printed_rows") if row["place"] == "not set")  # fmt: skip
    return Table(
        _("Printed, but no machine can be set to it"), (_("row"), _("what"), _("printed"), _("why")), body, True
    )


SERVICE = Conditions(ambient=308.15, inlet_temperature=303.15)
TOLD = {
    "low_gauge": _("low gauge"),
    "high_gauge": _("high gauge"),
    "low_saturation_temperature": _("boiling temperature, from the gauge"),
    "high_saturation_temperature": _("condensing temperature, from the gauge"),
    "vent": _("air at the vent"),
    "suction_line_at_evaporator": _("suction line at the evaporator"),
    "liquid_line": _("liquid line before the valve"),
    "discharge_line": _("discharge line"),
    "superheat_measured": _("superheat"),
    "subcooling_measured": _("subcooling"),
    "condenser_air_out": _("air behind the condenser"),
    "standing_pressure": _("standing pressure"),
}
GAUGE_READINGS = ("low_gauge", "high_gauge", "standing_pressure")
DIFFERENCES = ("superheat_measured", "subcooling_measured")


def doubt_table(number: int = 7) -> Table:
    """The doubt to write beside each reading of a machine at a service test at 95 F, one standard deviation."""
    machine = FLEET[number]
    refrigerant = "R-134a" if machine.refrigerant == "R-12" else machine.refrigerant
    found = simulate(machine, SERVICE, refrigerant=refrigerant, charge=nominal_charge(machine, refrigerant))
    doubts = doubt(found)
    body = []
    for name, told in TOLD.items():
        one = doubts[name]
        instrument = _difference(name, float(one.instrument))
        printed, beside = _("not known"), _("{doubt} or more").format(doubt=instrument)
        if one.known:
            printed, beside = _difference(name, float(one.printed)), _difference(name, float(one.both))
        body.append((told, _shown(name, found), printed, instrument, beside))
    heads = (_("reading"), _("model"), _("a real machine"), _("instrument"), _("write beside it"))
    caption = _(
        "{machine}, 95 F (35 C), doors open, 1,500 rpm: plus or minus for each reading, one standard deviation"
    ).format(machine=machine.name)
    return Table(caption, heads, tuple(body), left=True)


def _shown(name: str, found: Readings) -> str:
    value = float(getattr(found, name))
    if name in GAUGE_READINGS:
        return in_words("psig", value / PSI)
    if name in DIFFERENCES:
        return _difference(name, value, "")
    return in_words("F", value / FAHRENHEIT_DEGREE - FAHRENHEIT_ZERO)


def _difference(name: str, size: float, sign: str = "± ") -> str:
    if name in GAUGE_READINGS:
        return f"{sign}{size / PSI:.0f} psi ({size / BAR:.2g} bar)"
    return f"{sign}{size / FAHRENHEIT_DEGREE:.1f} F ({size:.1f} K)"


def how_true(part: str, shape: str = "plot") -> Plot | Table:
    """A piece of the page on truth.

    Parameters
    ----------
    part : "low side", "high side", "vent", "other figures", "left out" or "doubt".
    shape : "plot" or "table"; the last three are tables only.

    Raises ValueError with one plain sentence.
    """
    if part in GAUGES:
        if shape == "plot":
            return Plot(part)
        return table(lines((part,)), _("Printed figures and the machines: {reading}").format(reading=part))
    if part == "other figures":
        return table(lines(), _("Charge, volumes, power, conversion, switches and the rest"))
    if part == "left out":
        return left_out()
    if part == "doubt":
        return doubt_table()
    raise ValueError(_("There is no part {part!r}; there are {parts}.").format(
        part=part, parts=", ".join((*GAUGES, "other figures", "left out", "doubt"))))  # fmt: skip
