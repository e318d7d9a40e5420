"""Numbers in the sentences of lesson cycle-1."""

from coldcab import air, refrigerants, units


def _air(feet, unit="psia"):
    return units.convert(air.atmospheric_pressure(units.from_unit(feet, "length", "ft")), "pressure", unit)


def _saturation(refrigerant, psig):
    pressure = units.from_unit(psig, "pressure", "psig")
    return units.convert(refrigerants.saturation_temperature(refrigerant, pressure), "temperature", "F")


def _rings_agree():
    """Gauge reading at sea level where both rings show the same temperature, as that temperature."""
    readings = range(20, 120)
    nearest = min(readings, key=lambda psig: abs(_saturation("R-12", psig) - _saturation("R-134a", psig)))
    return _saturation("R-12", nearest)


SAID = [
    ("about 14.7 psi (101 kPa)", lambda: round(_air(0), 1) == 14.7 and round(_air(0, "kPa")) == 101),
    (
        "about half a psi for every thousand feet",
        lambda: all(0.4 < _air(h) - _air(h + 1000) < 0.6 for h in range(0, 9000, 1000)),
    ),
    ("leaves 9.9 inHg at sea level", lambda: round(_air(0, "inHg absolute") - 20, 1) == 9.9),
    ("about 4 inHg at 6,000 ft", lambda: round(_air(6000, "inHg absolute") - 20) == 4),
    ("Around 65 F both rings almost agree", lambda: abs(_rings_agree() - 65) < 5),
    ("at low pressures R-134a is warmer", lambda: _saturation("R-134a", 20) > _saturation("R-12", 20) + 2),
    ("at high pressures it is cooler", lambda: _saturation("R-134a", 200) < _saturation("R-12", 200) - 2),
]
