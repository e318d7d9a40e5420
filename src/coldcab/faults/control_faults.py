"""Clutch coil, pressure switches and thermostat."""

from __future__ import annotations

from coldcab.faults.definitions import LIVE, Change, Entry

ENTRIES = (
    Entry(
        "clutch does not engage",
        "No current reaches the coil, or the coil is open. The compressor stands still and both gauges agree.",
        (Change("clutch", 0.0, "at once"),),
        6.0,
        "Measure the voltage at the coil with the system switched on, then follow the circuit back switch by switch.",
        "clutch does not engage",
        LIVE,
    ),
    Entry(
        "high-pressure switch opens early",
        "The switch's set point has fallen. It stops the clutch at a high side that is still normal.",
        (Change("high_switch", -16e5),),
        1.0,
        "Watch the high gauge when the clutch drops out, or test the switch on nitrogen with a meter.",
        "high-pressure switch opens early",
        LIVE + " Use a regulator on nitrogen, and stay below the switch's marked limit.",
    ),
    Entry(
        "low-pressure switch opens early",
        "The switch's set point has risen. It stops the clutch at a low side that is still normal.",
        (Change("low_switch", 2.2e5),),
        1.5,
        "Watch the low gauge when the clutch drops out. It should be near the marked cut-out, not far above.",
        "low-pressure switch opens early",
        LIVE,
    ),
    Entry(
        "thermostat never opens",
        "The contacts stick. On a mild day the fins freeze, air stops passing, and cooling fades after an hour.",
        (Change("thermostat", -50.0),),
        1.5,
        "Put the feeler in ice water with a little salt: the contact must open a little below freezing.",
        "thermostat never opens",
        LIVE,
    ),
    Entry(
        "thermostat opens early",
        "The thermostat stops the clutch while the fins are still warm. The cab never gets cold.",
        (Change("thermostat", 12.0),),
        1.5,
        "Watch the vent when the clutch drops out, or put the feeler in cold water beside a thermometer.",
        "thermostat opens early",
        LIVE,
    ),
)
