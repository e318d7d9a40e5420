"""How the machines are set to each printed row of healthy and sick readings, and why some rows cannot be set.

What a manual does not print is set as the other rows of its kind do, and the severity of a fault so that all machines
come near the band. Bands are printed in whole psi and degrees Fahrenheit.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from coldcab.machine import Conditions
from coldcab.quantities import FAHRENHEIT_DEGREE, FAHRENHEIT_ZERO

LOW, HIGH, VENT, REST = "low_gauge", "high_gauge", "vent", "standing_pressure"
ABOVE = "condensing above ambient"
CLUTCH_KEPT_IN = {"thermostat": -50.0, "low_switch": -2e5}
"""Effects by which neither thermostat nor low-pressure switch opens: a machine without them, or with a jumper."""


@dataclass(frozen=True)
class Row:
    """How a printed row is set: the day, its bands (psig and F, as printed), a fault, the refrigerant of R-12 machines,
    further effects, and why it is counted apart from the others."""

    day: Conditions
    bands: dict[str, tuple[float, float]]
    fault: str = ""
    severity: float = 1.0
    refrigerant: str = "R-134a"
    effects: dict[str, float] = field(default_factory=dict)
    apart: str = ""


def fahrenheit(degrees: float) -> float:
    """K."""
    return (degrees + FAHRENHEIT_ZERO) * FAHRENHEIT_DEGREE


def doors_open(degrees: float, rpm: float = 1500.0, humidity: float = 0.45) -> Conditions:
    """Doors and windows open on a day of so many F: the coil is given the air of the day."""
    air = fahrenheit(degrees)
    return Conditions(
        ambient=air,
        relative_humidity=humidity,
        engine_speed=rpm / 60,
        inlet_temperature=air,
        inlet_relative_humidity=humidity,
    )


def shut(degrees: float, rpm: float = 1000.0, humidity: float = 0.4) -> Conditions:
    """Doors shut, air recirculated, full sun."""
    return Conditions(ambient=fahrenheit(degrees), relative_humidity=humidity, engine_speed=rpm / 60)


def cooled(degrees: float, rpm: float = 1000.0) -> Conditions:
    """Ten minutes after the start: air of 80 F, dried to 35 %, comes back from the cab."""
    return Conditions(
        ambient=fahrenheit(degrees),
        engine_speed=rpm / 60,
        inlet_temperature=fahrenheit(80),
        inlet_relative_humidity=0.35,
    )


SERVICE = Conditions(ambient=308.15, inlet_temperature=303.15)
BUS = Conditions(ambient=305.65, inlet_temperature=302.15)  # 30 to 35 C

# Bands in the order of the printed cell; a test reads them back from the table.
ROWS: dict[str, Row] = {
    # 20 psig or less is a coil below freezing: only a clutch that stays in shows it.
    "NG001": Row(doors_open(70, 1000), {LOW: (10, 20), HIGH: (120, 190)}, effects=CLUTCH_KEPT_IN),
    "NG003": Row(cooled(90), {LOW: (15, 30), HIGH: (170, 240)}),
    "NG005": Row(cooled(110), {LOW: (15, 30), HIGH: (210, 300)}),
    "NG007": Row(SERVICE, {LOW: (21, 47), HIGH: (185, 270)}),
    "NG009": Row(SERVICE, {LOW: (15, 30), HIGH: (150, 280)}, refrigerant="R-12"),
    "NG011": Row(BUS, {LOW: (18, 28), HIGH: (130, 232)}),
    "NG013": Row(doors_open(90.5), {LOW: (21, 36), HIGH: (200, 227)}),
    "NG015": Row(
        doors_open(86),
        {LOW: (33, 50), HIGH: (200, 249)},
        apart="a car's low side; NG011 has 28 psig at most there",
    ),
    "NG017": Row(
        doors_open(86, 800, 0.5),
        {LOW: (42, 56), HIGH: (211, 259)},
        apart="a car at idle with a condenser before the radiator; NG023 has 35 psig at most for the same",
    ),
    "NG023": Row(
        doors_open(86, 800, 0.6),
        {LOW: (28, 35), HIGH: (189, 231)},
        apart="a car at idle; NG017 has 42 psig at least for the same",
    ),
    "NG025": Row(
        doors_open(104, 800, 0.6),
        {LOW: (42, 52), HIGH: (271, 331)},
        apart="a car at idle; NG005 has 30 psig at most on a hotter day",
    ),
    "NG027": Row(doors_open(95), {HIGH: (213, 256)}),  # the band is set with a cover over the condenser
    "NG029": Row(doors_open(80), {LOW: (15, 30), HIGH: (150, 170)}, refrigerant="R-12", effects=CLUTCH_KEPT_IN),
    "NG031": Row(doors_open(90, 1000), {ABOVE: (34, 40)}),
    "NG033": Row(doors_open(77), {REST: (71, 114)}),
    "NG035": Row(
        doors_open(80, humidity=0.7), {LOW: (27, 37), HIGH: (256, 341)}, apart="NG037 of the same manual denies it"
    ),
    "NG037": Row(
        doors_open(60),
        {LOW: (15, 20), HIGH: (100, 150)},
        effects=CLUTCH_KEPT_IN,
        apart="NG035 of the same manual denies it",
    ),
    "NG039": Row(doors_open(100), {LOW: (25, 30), HIGH: (180, 225)}, apart="NG035 of the same manual denies it"),
    "NG047": Row(
        doors_open(68),
        {LOW: (15, 29), HIGH: (160, 218)},
        apart="49 F or more above the air at 68 F; NG031 has 40 F at most, NG037 150 psig at most",
    ),
    "VT001": Row(doors_open(70, humidity=0.3), {VENT: (40, 50)}),
    "VT005": Row(
        doors_open(68, 800, 0.55), {VENT: (43, 46)}, apart="cars at idle, source of NG023; VT013 has 44 F at most"
    ),
    "VT007": Row(doors_open(86, 800, 0.55), {VENT: (58, 64)}, apart="cars at idle, source of NG023"),
    "VT009": Row(doors_open(77, 800, 0.65), {VENT: (52, 57)}, apart="cars at idle, source of NG023"),
    "VT013": Row(shut(70, 1500, 0.2), {VENT: (40, 44)}),  # dry
    "VT015": Row(shut(90, 1500, 0.2), {VENT: (40, 44)}),  # dry
    "VT017": Row(doors_open(70, 2000), {VENT: (40, 48)}),
    "VT019": Row(doors_open(90, 2000), {VENT: (43, 50)}),
    "VT021": Row(Conditions(ambient=fahrenheit(72), relative_humidity=0.7, fresh_air=1.0), {VENT: (39, 50)}),
    "VT023": Row(
        doors_open(90, humidity=0.7),
        {VENT: (68, 81)},
        apart="VT015 has 51 F at most, VT019 50 F, on the same day",
    ),
    "FG001": Row(SERVICE, {LOW: (4, 21), HIGH: (100, 142)}, "charge low", 0.95),
    "FG003": Row(SERVICE, {HIGH: (285, 355)}, "condenser blocked", 0.7),
    # A vacuum needs a machine without a low-pressure switch.
    "FG005": Row(
        SERVICE,
        {LOW: (-15, 0), HIGH: (71, 85)},
        "valve stuck shut",
        effects=CLUTCH_KEPT_IN,
        apart="71 to 85 psig is less than R-134a has at the air of the day (86 F: 99 psig), so no liquid was left",
    ),
    "FG009": Row(SERVICE, {LOW: (4, 14), HIGH: (100, 142)}, "charge low", 0.95),
    "FG011": Row(SERVICE, {HIGH: (284, 356)}, "air in the circuit", 0.93),
    "FG017": Row(SERVICE, {LOW: (57, 85), HIGH: (100, 156)}, "worn compressor"),
    "FG023": Row(SERVICE, {LOW: (57, 85), HIGH: (100, 142)}, "worn compressor"),
}
"""By the row's name in normal_gauges, vent_temperature and fault_gauges. A row with ``apart`` cannot be met together
with the others by one machine; it is run all the same."""

VARIABLE = "variable compressor"
SWINGS = "a needle that swings between two states"
NOT_SET: dict[str, str] = {
    "NG019": VARIABLE,
    "NG021": VARIABLE,
    "NG041": VARIABLE,
    "NG043": VARIABLE,
    "NG045": VARIABLE,
    "VT003": VARIABLE,
    "VT011": "one example out of a curve that is a picture",
    "FG007": SWINGS,
    "FG013": SWINGS,
    "FG015": "one reading without a band, from memory",
    "FG019": "the same as FG005, from memory",
    "FG021": "the same as FG011, from memory",
    "FG025": "a test with the inlet closed by hand",
    "FG027": "a bulb in ice",
    "FG029": "a switch, no reading",
    "FG031": "a switch, no reading",
    "FG033": "no numbers in what could be read",
}
"""Rows that no machine can be set to, and why."""
