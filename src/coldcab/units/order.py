"""Texts of the trade for who wants SI first: the metric quantity in front, the trade's behind it in brackets.

Notes, prompts and hints are written once, in trade units. `in_order` finds each quantity in such a text, a range or a
list of readings included, and writes it as `show` writes one.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache

from coldcab.units.conversion import convert, from_unit
from coldcab.units.writing import show

_NUMBER = r"[-−+]?(?:\d+[ -]\d+/\d+|\d+/\d+|\d+(?:,\d{3})*(?:\.\d+)?)"
_BETWEEN = r"(?:, (?:then |and |or )?| (?:to|and|or|then|against|instead of|±|[-−+=·]) | ?/ ?)"
# Unit in a text: kind, unit for `from_unit`, metric unit (None: the one that `show` takes for the size).
_TRADE: dict[str, tuple[str, str, str | None]] = {
    "psig": ("pressure", "psig", "kPa gauge"),
    "psia": ("pressure", "psia", "kPa absolute"),
    "psi": ("pressure difference", "psi", None),
    "inHg vacuum": ("pressure difference", "inHg", "kPa vacuum"),
    "inHg abs": ("pressure", "inHg abs", "kPa absolute"),
    "inHg": ("pressure difference", "inHg", "kPa"),
    "micron": ("pressure", "micron", "Pa"),
    "F": ("temperature", "F", "C"),
    "fl oz": ("volume", "fl oz", None),
    "oz/year": ("mass flow", "oz/year", "g/year"),
    "oz": ("mass", "oz", None),
    "lb/h": ("mass flow", "lb/h", None),
    "lb": ("mass", "lb", None),
    "in": ("length", "in", "mm"),
    "ft": ("length", "ft", "m"),
    "gal": ("volume", "gal", "L"),
    "cfm": ("volume flow", "cfm", "m3/h"),
    "Btu/h": ("power", "Btu/h", None),
    "Btu/lb": ("specific energy", "Btu/lb", None),
    "grains/lb": ("humidity ratio", "grains/lb", "g/kg"),
    "Btu": ("energy", "Btu", "kJ"),
    "cu ft": ("volume", "cu ft", "L"),
    "cu in": ("volume", "cu in", "mL"),
    "lb/cu ft": ("density", "lb/cu ft", "kg/m3"),
    "cu ft/lb": ("specific volume", "cu ft/lb", "m3/kg"),
}
_TURNED_ONLY = ("Btu/h for each F", "Btu/(lb F)", "oz/fl oz")
"""Written with the metric quantity beside them, or left as they are."""
_NEVER_ASKED = {"lbf": ("N", 4.4482216), "lbf ft": ("N m", 1.3558179), "mph": ("km/h", 1.609344)}
"""Units that no sheet asks for, so that `units` does not read them; what one of them is."""
_UNITS = "|".join(sorted((*_TRADE, *_TURNED_ONLY, *_NEVER_ASKED), key=len, reverse=True))
_QUANTITY = re.compile(
    rf"(?<![\w.,/(-])(?P<amount>{_NUMBER}(?:{_BETWEEN}{_NUMBER})*) (?P<unit>{_UNITS})\b(?![/²³-]|\.\w)"
    r"(?<!\bin(?= (?:\d|the\b|a\b|all\b|each\b|every\b)))"  # "68 in 100" counts no inches
    r"(?: (?P<ounces>\d+(?:\.\d+)?) oz\b)?"
    r"(?P<beside> \((?P<metric>[^()]*\d[^()]*)\))?"
)
_ONE = re.compile(_NUMBER)
_METRIC = re.compile(
    r"\d ?(?:kPa|Pa|bar|C|K|g|kg|kg/L|mL|L|mm|cm|m|cm3|m3|J|kJ|W|kW|W/K|g/s|g/year|m3/h|N|N m|kJ/kg|g/kg)\b"
)
# What makes degrees a difference, before or behind them.
_BY = re.compile(
    r"\b(?:superheat|subcooling|steady|more than|less than|closer than|within|by|each|every|another|manual|or)"
    r"(?: of| at| is)?:?(?: about| at most)? $",
    re.IGNORECASE,
)
_AWAY = re.compile(
    r"^ (?:hotter|colder|warmer|cooler|higher|lower|more|less|above|below|high\b|low\b|off|apart|of superheat"
    r"|of subcooling|superheat|subcooling|with turns)"
)


def in_order(text: str, system: str, *, difference: bool = False) -> str:
    """Return a text written in trade units in the order of who reads it.

    Parameters
    ----------
    text : with quantities in trade units, some with the metric one beside them in brackets.
    system : "us" leaves the text as it is; "si" puts the metric quantity first and the trade's in brackets. What stands
        in brackets behind its metric quantity stays there.
    difference : whether all its degrees are differences; else what stands around them says so.

    Example
    -------
    >>> in_order("head up 40 psi at 95 F (35 C)", "si")
    'head up 276 kPa (40 psi) at 35 C (95 F)'
    """
    if system != "si":
        return text
    return _QUANTITY.sub(lambda found: _turned(found, text, difference), text)


def _turned(found: re.Match[str], text: str, difference: bool) -> str:
    if text.count("(", 0, found.start()) > text.count(")", 0, found.start()):
        return found[0]  # it stands beside its metric quantity already
    amount, unit = found["amount"], found["unit"]
    trade = f"{amount} {unit}" + (f" {found['ounces']} oz" if found["ounces"] else "")
    if found["beside"] and _METRIC.search(found["metric"]):
        return f"{found['metric']} ({trade})"
    if unit in _TURNED_ONLY:
        return found[0]
    if "=" in amount and text[: found.start()].endswith(("× ", "÷ ")):  # a product, and what comes of it
        factors, equals, amount = amount.rpartition(" = ")
        return f"{factors}{equals}{in_order(f'{amount} {unit}', 'si')}"
    if unit in _NEVER_ASKED:
        its, size = _NEVER_ASKED[unit]
        return f"{_ONE.sub(lambda one: _digits(_number(one[0]) * size, its), amount)} {its} ({trade})"
    kind, name, metric = _TRADE[unit]
    if kind == "temperature" and (
        difference or _BY.search(text[: found.start()]) or _AWAY.match(text[found.end("unit") :])
    ):
        kind, metric = "temperature difference", "K"
    return f"{_metric(amount, kind, name, metric, float(found['ounces'] or 0))} ({trade}){found['beside'] or ''}"


@lru_cache(maxsize=4096)
def _metric(amount: str, kind: str, unit: str, metric: str | None, ounces: float) -> str:
    """The same amount, or range, or list, in a metric unit, with the words between its numbers."""
    more = from_unit(ounces, "mass", "oz") if ounces else 0.0
    values = [from_unit(_number(one), kind, unit) + more for one in _ONE.findall(amount)]
    if metric is None:
        largest = max(values, key=abs) or 1e3  # nothing of it is told in the larger unit
        metric = show(largest, kind, system="si").split(" (")[0].split(" ", 1)[1]
    in_unit = metric.removesuffix(" vacuum")  # a difference: what the air presses is another matter
    written = iter([_digits(convert(value, kind, in_unit), metric) for value in values])
    return _ONE.sub(lambda one: _signed(one[0], next(written)), amount) + f" {metric}"


def _signed(before: str, number: str) -> str:
    """The number with a plus, or with the minus of the text."""
    number = number.replace("-", "−") if before.startswith("−") else number
    return f"+{number}" if before.startswith("+") else number


def _number(text: str) -> float:
    text = text.replace("−", "-").replace(",", "")
    sign, text = (-1.0 if text.startswith("-") else 1.0), text.lstrip("+-")
    whole, _gap, share = text.replace("-", " ").rpartition(" ")
    top, _bar, bottom = share.partition("/")
    return sign * (float(whole or 0) + float(top) / float(bottom or 1))


def _digits(number: float, unit: str) -> str:
    """Three figures; tenths of a degree."""
    size = math.floor(math.log10(abs(number))) if number else 2
    decimals = 1 if unit in ("C", "K") else min(max(2 - size, 0), 9)
    text = f"{number:,.{decimals}f}"
    return text.removeprefix("-") if not text.strip("-0.,") else text
