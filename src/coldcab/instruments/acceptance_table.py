"""The table by which a freshly charged machine is accepted, as a page to hold beside the readings."""

from __future__ import annotations

from coldcab import learner, units
from coldcab.instruments.controls import gauge_words
from coldcab.instruments.tables import Table
from coldcab.machine import Conditions, nominal_charge
from coldcab.machine.fleet import FLEET
from coldcab.service import acceptance
from coldcab.words import _


def acceptance_table(
    machine: int = 31,
    *,
    refrigerant: str = "R-134a",
    ambient: float | str = 95.0,
    humidity: float = 40.0,
    system: str | None = None,
) -> Table:
    """Bands for a machine of the fleet on one day, doors open, at idle and at fast idle.

    Parameters
    ----------
    machine : the shop's number
    refrigerant : designation
    ambient : outside air, F or text with a unit
    humidity : relative, %
    system : "us" or "si"; without it the learner's own choice

    Raises ValueError with one plain sentence.
    """
    system = learner.units() if system is None else system
    if machine not in FLEET:
        raise ValueError(
            _("the shop has no unit {value}; it has {fleet}.").format(
                value=str(machine)[:20], fleet=", ".join(map(str, FLEET))
            )
        )
    outside = (
        units.parse(ambient, "temperature").value
        if isinstance(ambient, str)
        else units.from_unit(ambient, "temperature", "F")
    )
    chosen = FLEET[machine]
    charge = nominal_charge(chosen, refrigerant)
    day = Conditions(
        ambient=outside,
        relative_humidity=humidity / 100.0,
        inlet_temperature=outside,
        inlet_relative_humidity=humidity / 100.0,
    )
    table = acceptance.acceptance_table(chosen, day, refrigerant=refrigerant, charge=charge)
    rows = []
    for name, (words, kind, __) in acceptance.LINES.items():
        bands = [run[name] for run in table.runs]
        rows.append(
            (words, *(f"{_words(band.low, kind, system)} to {_words(band.high, kind, system)}" for band in bands))
        )
    if not chosen.valve.block:  # such machines have no sight glass
        rows.append(("sight glass", *(run.glass for run in table.runs)))
    heads = ("reading", *(f"{run.label}, {60 * run.engine_speed:.0f} rpm" for run in table.runs))
    caption = _(
        "{name}, {charge} of {refrigerant}, {outside}, {humidity:g} % humidity, doors open (invented machine)"
    ).format(
        name=chosen.name,
        charge=units.show(charge, "mass", system=system),
        refrigerant=refrigerant,
        outside=units.show(outside, "temperature", system=system),
        humidity=humidity,
    )
    return Table(caption, heads, tuple(rows))


def _words(value: float, kind: str, system: str) -> str:
    if kind == "pressure":
        return gauge_words(value, system)
    unit = ("F", "C") if kind == "temperature" else ("F", "K")
    shown = unit[0] if system == "us" else unit[1]
    return f"{round(float(units.convert(value, kind, shown)))} {shown}"
