"""Numbers in the sentences of lesson cycle-3."""

from functools import lru_cache

from coldcab import air, instruments, units

FREEZING = 273.15


def _kelvin(fahrenheit):
    return units.from_unit(fahrenheit, "temperature", "F")


def _latent():
    """Btu for each pound of vapor that becomes water on a coil of 40 F: vapor minus water (4.186 kJ/(kg K))."""
    kelvin = _kelvin(40)
    vapor = (air.enthalpy(kelvin, 0.005) - air.enthalpy(kelvin, 0.0)) / 0.005
    return units.convert(vapor - 4186 * (kelvin - FREEZING), "specific energy", "Btu/lb")


@lru_cache(maxsize=32)
def _cab(**levers):
    return instruments.cab(system="us", **levers).readings


def _changed(name, kind, unit, before, after):
    return units.convert(_cab(**after)[name] - _cab(**before)[name], kind, unit)


def _fahrenheit(name, before, after):
    return _changed(name, "temperature difference", "F", before, after)


DRY, HUMID = {"fresh_air": 60, "humidity": 20}, {"fresh_air": 60, "humidity": 60}
SLOW, FAST = {"fresh_air": 100, "blower": 50}, {"fresh_air": 100, "blower": 100}


def _sensible(humidity):
    return instruments.psychrometric_chart(dry_bulb=85, humidity=humidity).readings["sensible_heat"]


SAID = [
    ("7,000 grains make a pound", lambda: round(units.convert(0.45359237, "mass", "grains")) == 7000),
    (
        "Warm air at 40 % can hold more water than cool air at 90 %",
        lambda: air.humidity_ratio(_kelvin(95), 0.4, 101325) > air.humidity_ratio(_kelvin(65), 0.9, 101325),
    ),
    ("about 1,070 Btu to condense", lambda: abs(_latent() - 1070) < 5),
    # A US gallon holds 3.785 L, so 8.34 lb of water.
    ("about 8,900 Btu/h", lambda: abs(8.34 * _latent() - 8900) < 50),
    ("The sensible heat hardly moves", lambda: abs(_sensible(60) / _sensible(25) - 1) < 0.03),
    ("Without the sun about a third of the load", lambda: 0.62 < _cab(sun=0)["capacity"] / _cab()["capacity"] < 0.71),
    ("5 % makes the vents about 9 F warmer", lambda: abs(_fahrenheit("vent", {}, {"heater": 5}) - 9) < 0.7),
    (
        "A blocked filter makes the vents *colder*",
        lambda: _fahrenheit("vent", {}, {"filter": 50}) < 0 < _fahrenheit("cab", {}, {"filter": 50}),
    ),
    ("The vents rise by about 16 F", lambda: abs(_fahrenheit("vent", DRY, HUMID) - 16) < 0.7),
    (
        "the low side by about 10 psi",
        lambda: abs(_changed("low_gauge", "pressure difference", "psi", DRY, HUMID) - 10) < 0.7,
    ),
    ("about a third more heat, not twice", lambda: 1.3 < _cab(**FAST)["capacity"] / _cab(**SLOW)["capacity"] < 1.4),
    ("the vents get about 17 F warmer", lambda: abs(_fahrenheit("vent", SLOW, FAST) - 17) < 0.7),
    (
        "Still the cab gets cooler",
        lambda: _fahrenheit("cab", SLOW, FAST) < 0,
    ),
    # 1 kJ/(kg K) and a little more.
    ("0.24 Btu warms a pound of dry air by 1 F", lambda: abs(1.006 / 4.1868 - 0.24) < 0.005),
    # Dry air, 0.24 Btu/(lb F), over 32 F.
    ("print about 7.7 Btu/lb more", lambda: abs(0.24 * 32 - 7.7) < 0.05),
]
