"""Writing quantities for people: trade unit first and metric beside, or the other way round."""

from __future__ import annotations

import math

from coldcab.quantities import POUND, STANDARD_ATMOSPHERE
from coldcab.units.conversion import convert, known_atmosphere
from coldcab.units.table import UnitError, known_kind
from coldcab.words import _

_ALWAYS = math.inf
_DEEP_VACUUM = 1000.0  # Pa; below it vacuum gauges count what is left, in micron

# kind -> ((below this SI size, trade unit, metric unit), ...). The unit of the first row that fits is used.
_CHOICE = {
    "pressure difference": ((1000.0, "psi", "Pa"), (_ALWAYS, "psi", "kPa")),
    "temperature": ((_ALWAYS, "F", "C"),),
    "temperature difference": ((_ALWAYS, "F", "K"),),
    "mass": ((1.0, "oz", "g"), (_ALWAYS, "lb", "kg")),
    "volume": ((1e-3, "fl oz", "mL"), (0.02, "fl oz", "L"), (1.0, "cu ft", "L"), (_ALWAYS, "cu ft", "m3")),
    "length": ((1.0, "in", "mm"), (_ALWAYS, "ft", "m")),
    "power": ((1000.0, "Btu/h", "W"), (_ALWAYS, "Btu/h", "kW")),
    "specific energy": ((_ALWAYS, "Btu/lb", "kJ/kg"),),
    "mass flow": ((1e-7, "oz/year", "g/year"), (_ALWAYS, "lb/h", "g/s")),
    "volume flow": ((_ALWAYS, "cfm", "m3/h"),),
    "rotational speed": ((_ALWAYS, "rpm", "rpm"),),
    "ratio": ((_ALWAYS, "", ""),),
    "fraction": ((_ALWAYS, "%", "%"),),
    "density": ((_ALWAYS, "lb/cu ft", "kg/m3"),),
    "specific volume": ((_ALWAYS, "cu ft/lb", "m3/kg"),),
    "electric current": ((1.0, "mA", "mA"), (_ALWAYS, "A", "A")),
    "voltage": ((1.0, "mV", "mV"), (_ALWAYS, "V", "V")),
    "resistance": ((1e4, "ohm", "ohm"), (1e6, "kohm", "kohm"), (_ALWAYS, "Mohm", "Mohm")),
    "time": ((120.0, "s", "s"), (7200.0, "min", "min"), (172800.0, "h", "h"), (_ALWAYS, "days", "days")),
    "kinematic viscosity": ((_ALWAYS, "cSt", "cSt"),),
    "humidity ratio": ((_ALWAYS, "grains/lb", "g/kg"),),
    "energy": ((1e6, "Btu", "kJ"), (_ALWAYS, "Btu", "MJ")),
}
# Thermometers and gauges are read to a tenth, whatever the size of the number.
_TENTHS = frozenset({"F", "C", "K", "%", "psig", "inHg vacuum"})
_AT_MOST_TENTHS = frozenset({"oz", "fl oz", "psi"})  # as scales, measuring cups and gauges are read


def show(value: float, kind: str, *, system: str = "us", atmosphere: float = STANDARD_ATMOSPHERE) -> str:
    """A quantity in words, with as many digits as make sense.

    Parameters
    ----------
    value : SI value (Pa absolute, K, kg, ...). NaN or an infinite number is shown as "no value".
    kind : one of `KINDS`.
    system : "us" puts the trade unit first and the metric one beside it; "si" the other way round.
    atmosphere : air pressure around the gauge, Pa, within `ATMOSPHERE_RANGE`.

    Returns
    -------
    For example "31.0 psig (315 kPa absolute)", "12.0 inHg vacuum (60.7 kPa absolute)", "36.0 F (2.2 C)".

    Raises
    ------
    UnitError : unknown kind, system or atmosphere, or a value that is not one number.

    Example
    -------
    >>> show(275.372, "temperature")
    '36.0 F (2.2 C)'
    """
    known_kind(kind)
    atmosphere = known_atmosphere(atmosphere)
    if system not in ("us", "si"):
        raise UnitError(_("system is {value!r}; it must be us or si.").format(value=str(system)[:20]))
    try:
        value = float(value)
    except (TypeError, ValueError, OverflowError):
        raise UnitError(
            _("the value of {kind} to show must be one number, not {name}.").format(
                kind=kind, name=type(value).__name__
            )
        ) from None
    if not math.isfinite(value):
        return "no value"
    if kind == "pressure":
        trade, metric = _pressure(value, atmosphere)
    else:
        __, trade_unit, metric_unit = next((row for row in _CHOICE[kind] if abs(value) < row[0]), _CHOICE[kind][-1])
        trade, metric = _in_unit(value, kind, trade_unit), _in_unit(value, kind, metric_unit)
        if kind == "mass" and abs(value) >= POUND:
            trade = _pounds_and_ounces(value)
    if trade == metric:
        return trade
    return f"{trade} ({metric})" if system == "us" else f"{metric} ({trade})"


def _pressure(value: float, atmosphere: float) -> tuple[str, str]:
    if value < _DEEP_VACUUM:
        return _in_unit(value, "pressure", "micron"), f"{_in_unit(value, 'pressure', 'Pa')} absolute"
    metric = f"{_in_unit(value, 'pressure', 'kPa')} absolute"
    gauge = convert(value, "pressure", "psig", atmosphere=atmosphere)
    if gauge > -0.05:  # would round to zero on a gauge
        return f"{_digits(gauge, 'psig')} psig", metric
    vacuum = convert(value, "pressure", "inHg vacuum", atmosphere=atmosphere)
    return f"{_digits(vacuum, 'inHg vacuum')} inHg vacuum", metric


def _pounds_and_ounces(value: float) -> str:
    tenths = round(abs(value) / POUND * 160.0)
    pounds, tenths = divmod(tenths, 160)
    sign = "-" if value < 0.0 else ""
    return _("{sign}{pounds:,} lb {tenths:.1f} oz").format(sign=sign, pounds=pounds, tenths=tenths / 10)


def _in_unit(value: float, kind: str, unit: str) -> str:
    number = value if unit == "" else convert(value, kind, unit)
    return f"{_digits(number, unit)} {unit}".rstrip()


def _digits(number: float, unit: str) -> str:
    """Three figures, or tenths where instruments show tenths; never a rounded-off whole number."""
    decimals = 1
    if unit not in _TENTHS:
        size = math.floor(math.log10(abs(number))) if number else 0
        decimals = min(max(2 - size, 0), 9)
        if unit in _AT_MOST_TENTHS and size >= 0:
            decimals = min(decimals, 1)
    text = f"{number:,.{decimals}f}"
    return text.removeprefix("-") if not text.strip("-0.,") else text
