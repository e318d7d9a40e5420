"""Air: the standard atmosphere, moist air, what a coil does to it, and its way through a cab.

Temperatures are in K, pressures in Pa, altitudes in m, relative humidity from 0 to 1; humidity ratio,
enthalpy and specific volume are counted per kilogram of dry air. Numbers and arrays are taken everywhere;
numbers in give numbers out. Whatever lies outside a range raises `AirError` with one plain sentence.
"""

from coldcab.air.atmosphere import atmospheric_pressure
from coldcab.air.cab_side import (
    AirBox,
    CabAir,
    CabLevers,
    CabShell,
    cab_air,
    duct_loss_share,
    gap_area,
    gap_pressure,
    outside_share,
    water_column,
)
from coldcab.air.checks import (
    ALTITUDE_RANGE,
    DRY_BULB_RANGE,
    PRESSURE_RANGE,
    SATURATION_RANGE,
    AirError,
)
from coldcab.air.moist import (
    density,
    dew_point,
    enthalpy,
    humidity_ratio,
    humidity_ratio_from_dew_point,
    humidity_ratio_from_wet_bulb,
    relative_humidity,
    specific_volume,
    vapor_pressure,
    wet_bulb,
)
from coldcab.air.processes import CoilResult, MixingResult, coil, mix
from coldcab.air.saturation import saturation_pressure
from coldcab.air.state import MoistAir, moist_air

__all__ = [
    "ALTITUDE_RANGE",
    "DRY_BULB_RANGE",
    "PRESSURE_RANGE",
    "SATURATION_RANGE",
    "AirBox",
    "AirError",
    "CabAir",
    "CabLevers",
    "CabShell",
    "CoilResult",
    "MixingResult",
    "MoistAir",
    "atmospheric_pressure",
    "cab_air",
    "coil",
    "density",
    "dew_point",
    "duct_loss_share",
    "enthalpy",
    "gap_area",
    "gap_pressure",
    "humidity_ratio",
    "humidity_ratio_from_dew_point",
    "humidity_ratio_from_wet_bulb",
    "mix",
    "moist_air",
    "outside_share",
    "relative_humidity",
    "saturation_pressure",
    "specific_volume",
    "vapor_pressure",
    "water_column",
    "wet_bulb",
]
