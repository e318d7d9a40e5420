"""How the numbers of a case are written: as the instrument shows them, with the other system beside."""

from __future__ import annotations

from collections.abc import Iterable

from coldcab import learner, units


def in_order(text: str) -> str:
    """Return a text written in trade units as the learner at the desk wants it, see `units.in_order`."""
    return units.in_order(text, learner.units())


def lines_in_order(lines: Iterable[tuple[str, str]], system: str | None = None) -> list[tuple[str, str]]:
    """Return labels and texts of a case, in the order of units of the learner at the desk, or of ``system``."""
    system = learner.units() if system is None else system

    def label_in_order(label: str) -> str:
        # "1 F" is the letter of an offer, no temperature.
        return label if label.lstrip()[:1].isdigit() else units.in_order(label, system)

    return [(label_in_order(label), units.in_order(text, system)) for label, text in lines]


_METRIC_GAUGE = {"psig": "kPa gauge", "psia": "kPa absolute"}


def shown(text: str, kind: str, *, decimals: int | None = None) -> str:
    """Return a reading in trade units with the metric one beside, or the other way round for who wants SI first.

    Parameters
    ----------
    text
        The reading as the instrument shows it: "34 psig", "105 F", "1 lb 4 oz".
    kind
        Its kind, one of `units.KINDS`; a difference of temperatures is not a temperature.
    decimals
        Of the metric number; as many as make sense where it is not given.

    Returns
    -------
    For example "34 psig (234 kPa gauge)", or "234 kPa gauge (34 psig)". A vacuum reading is left as it is, since it
    counts from the air pressure of the day in any unit.

    Raises
    ------
    units.UnitError
        If the text is not a quantity of this kind.
    """
    quantity = units.parse(text, kind)
    if quantity.unit in _METRIC_GAUGE:
        unit = _METRIC_GAUGE[quantity.unit]
        number = units.convert(quantity.value, kind, unit)
        metric = f"{number:,.{decimals or 0}f} {unit}"
    elif "vac" in quantity.unit:
        return text
    elif decimals is not None:
        metric = units.show(quantity.value, kind, system="si").split(" (")[0]
        unit = metric.split(" ", 1)[1]
        metric = f"{units.convert(quantity.value, kind, unit):,.{decimals}f} {unit}"
    else:
        metric = units.show(quantity.value, kind, system="si").split(" (")[0]
    if metric.replace(",", "").split()[-1] == text.split()[-1]:
        return text  # the same unit in both systems
    return f"{metric} ({text})" if learner.units() == "si" else f"{text} ({metric})"
