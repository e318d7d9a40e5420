"""What a worked example shows: a table or a picture, with its text alternative."""

from __future__ import annotations

import re
from collections.abc import Container, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from coldcab import learner, units

_BESIDE = re.compile(r" \([^()]*\)")
# "84.8 − 12.2" and, in the next cell, what comes out of it.
_PLAIN_SUM = re.compile(r"(?P<one>[\d.,]+)(?P<sign> [−-] )(?P<other>[\d.,]+)(?=$|,)")
# What makes pounds of ounces, hours of minutes, and so on.
_FACTOR = re.compile(r"[×÷] (?:16|12|60|28\.35|7,000|1,728|0\.24)\b(?!\.\d)|\b0\.24 ×")
_RESULT = re.compile(r"-?[\d.,]+ (?P<unit>psi(?=[ag]?\b)|inHg|F\b)")
_RANKINE = re.compile(r"([\d.]+) F \+ 459\.7")
_SUMS = {"psi": ("pressure difference", "kPa"), "inHg": ("pressure difference", "kPa"), "F": ("temperature", "C")}
_DIFFERENCE = re.compile(
    r"superheat|subcooling|\b(?:less|drop|step|rise|over|above|off|apart|forgotten)\b|\bscale$", re.IGNORECASE
)


@dataclass(frozen=True)
class Example:
    """Something to show: a text alternative, and a table or a drawing as HTML."""

    text: str
    html: str = ""

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> dict[str, Any]:
        # A table is turned cell by cell when it is made; of a chart its words are.
        text = self.text if "<table" in self.html else units.in_order(self.text, learner.units())
        bundle: dict[str, Any] = {"text/plain": text}
        if self.html:
            bundle["text/html"] = self.html.replace(self.text, text)
        return bundle


class Sum(str):
    """A sum as the trade does it, with its factors between units; ``metric`` is the same sum in metric units."""

    metric: str

    def __new__(cls, trade: str, metric: str) -> Sum:
        """Return the trade's sum, with the metric one at hand."""
        one = super().__new__(cls, trade)
        one.metric = metric
        return one


Row = tuple[str, ...]


def metric_first(cell: str, *, difference: bool = False) -> str:
    """A cell with the metric quantities first; of a sum with brackets the metric one, and the trade's behind it.

    A sum with a factor between units of the trade has the metric one in front (`Sum`); without one it stays as it is,
    for its numbers hold in no other units.
    """
    if isinstance(cell, Sum):
        return f"{cell.metric}; {cell}"
    if _FACTOR.search(cell):
        return cell
    if re.search(r"[×÷] ?\(|^\(", cell):
        opened = units.in_order(cell.replace("(", "[").replace(")", "]"), "si", difference=difference)
        metric = _BESIDE.sub("", opened).replace("[", "(").replace("]", ")")
        return cell if metric == cell else f"{metric}; {cell}"
    return units.in_order(cell, "si", difference=difference)


def in_si(head: Row, body: Sequence[Row], differences: Container[str] = ()) -> tuple[Row, list[Row]]:
    """Return head and rows of a table with the metric quantities first.

    A column that repeats another one in metric units goes before it. Degrees are differences where the row's or the
    column's name says so, or is one of ``differences``.
    """
    order, as_they_are = _columns(body)

    def told(row: Row, column: int) -> str:
        if column in as_they_are:
            return row[column]
        names = (row[0] if column else "", head[column])
        difference = any(name in differences or bool(_DIFFERENCE.search(name)) for name in names)
        told = "" if isinstance(row[column], Sum) else _sum_in_si(row, column)
        return told or metric_first(row[column], difference=difference)

    body = _from_absolute_zero(body)
    rows = [tuple(told(row, column) for column in order) for row in body]
    return tuple(units.in_order(head[column], "si") for column in order), rows


def _from_absolute_zero(body: Sequence[Row]) -> list[Row]:
    """Rows in which temperatures that count from absolute zero are kelvin: "70 F + 459.7" and what comes of it."""
    kelvin: dict[str, str] = {}
    rows = []
    for row in body:
        for cell, result in pairwise(row):
            if found := _RANKINE.fullmatch(cell):
                warm = units.from_unit(float(found[1]), "temperature", "F")
                kelvin[cell] = f"{warm - 273.15:.1f} C + 273.1 ({cell})"
                kelvin[result] = f"{warm:.1f}"
        rows.append(tuple(_in_kelvin(cell, kelvin) for cell in row))
    return rows


def _in_kelvin(cell: str, kelvin: dict[str, str]) -> str:
    if isinstance(cell, Sum):
        return cell
    return re.sub(r"\d{3}\.\d|.*459\.7", lambda one: kelvin.get(one[0], one[0]), cell)


def _columns(body: Sequence[Row]) -> tuple[list[int], set[int]]:
    """The order of a table's columns, and which of them say the same in both systems."""
    order, both = list(range(len(body[0]) if body else 0)), set()
    columns = range(1, len(order))
    for metric in columns:
        if metric + 1 < len(order) and all(_same(row[metric + 1], row[metric]) for row in body):
            both |= {metric, metric + 1}
        twins = [trade for trade in range(metric) if all(_same(row[trade], row[metric]) for row in body)]
        if twins:
            order.remove(metric)
            order.insert(order.index(twins[0]), metric)
            both |= {metric, *twins}
    return order, both


def _same(trade: str, metric: str) -> bool:
    """Whether two cells are one quantity, in a unit of the trade and in a metric one."""
    turned = units.in_order(trade, "si")
    if "(" in trade or turned == trade or units.in_order(metric, "si") != metric:
        return False
    try:
        unit = metric.split()[1].replace("/yr", "/year")
        one, other = float(turned.split()[0].replace(",", "")), float(metric.split()[0].replace(",", ""))
        own = turned.partition(" (")[0].split(maxsplit=1)[1].split()[0]
    except (IndexError, ValueError):
        return False
    return own == unit and abs(one - other) <= 0.1 * abs(one) + 0.6 * (unit == "C")


def _sum_in_si(row: Row, column: int) -> str:
    """A difference of two bare numbers before its result, in that one's metric unit; empty for any other cell."""
    cell = row[column]
    found, result = _PLAIN_SUM.match(cell), _RESULT.match(row[column + 1]) if column + 1 < len(row) else None
    if not (found and result):
        return ""
    kind, metric = _SUMS[result["unit"]]
    one, other = (
        units.convert(units.from_unit(float(found[name].replace(",", "")), kind, result["unit"]), kind, metric)
        for name in ("one", "other")
    )
    rest = units.in_order(cell[found.end() :], "si")
    return f"{one:.1f}{found['sign']}{other:.1f} ({found[0]}){rest}".replace("- -", "+ ").replace("− -", "+ ")


def example_table(head: Row, body: Sequence[Row], caption: str, *, differences: Container[str] = ()) -> Example:
    """Return rows as a table: in words with aligned columns, and as HTML; the cells are text of our own.

    ``differences`` names rows or columns whose degrees are differences, where their names do not say so.
    """
    if learner.units() == "si":
        caption = units.in_order(caption, "si")
        head, body = in_si(head, body, differences)
    widths = [max(len(row[column]) for row in [head, *body]) for column in range(len(head))]
    text = [caption] + [
        "  ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)).rstrip() for row in [head, *body]
    ]
    cell = 'style="text-align:left;padding:2px 14px 2px 0"'
    html = (
        f'<table style="border-collapse:collapse"><caption style="text-align:left">{caption}</caption><tr>'
        + "".join(f'<th scope="col" {cell}>{each}</th>' for each in head)
        + "</tr>"
        + "".join("<tr>" + "".join(f"<td {cell}>{each}</td>" for each in row) + "</tr>" for row in body)
        + "</table>"
    )
    return Example("\n".join(text), html)
