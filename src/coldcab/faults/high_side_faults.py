"""Compressor, condenser, receiver-drier and the lines between them, up to the expansion valve."""

from __future__ import annotations

from coldcab.faults.definitions import BELT, HOT, REFRIGERANT, Change, Entry

ENTRIES = (
    Entry(
        "condenser blocked",
        "Dust, chaff or mud keep air out of the condenser. The high side must get hotter to give off its heat.",
        (Change("condenser_air", 0.22, "closing"),),
        12.0,
        "Look through the fins against a light. The air that leaves is much hotter than the air that enters.",
        "condenser air",
        BELT,
    ),
    Entry(
        "condenser fan slow",
        "The fan's belt slips or its motor is weak. Less air passes the condenser.",
        (Change("fan", 0.25, "closing"),),
        4.0,
        "Stop the engine, turn the fan by hand and check the belt; then measure the fan's speed.",
        "condenser air",
        BELT,
    ),
    Entry(
        "hot air recirculated",
        "A missing seal or baffle lets the condenser breathe the warm air that it has just given off.",
        (Change("recirculation", 0.58, exponent=0.65),),
        3.0,
        "Hold a thermometer at the face of the condenser: the air there is clearly warmer than in the shade.",
        "hot air recirculated",
        BELT,
    ),
    Entry(
        "worn compressor",
        "Valves and rings leak. Hot gas slips back and is compressed again, so less is pumped and it leaves hotter.",
        # It pumps a sixth and lets gas back: it neither pulls the low side down nor builds a head.
        (Change("volumetric", 0.16, exponent=0.8), Change("leak_area", 2.85e-06, exponent=0.8)),
        4.0,
        "Low side high and high side low, with a hot discharge line and a hub that turns as fast as its pulley.",
        "worn compressor",
        HOT,
    ),
    Entry(
        "clutch or belt slipping",
        "The compressor turns slower than it should. It pumps less, and the discharge line is cooler than before.",
        (Change("slip", 0.85, exponent=0.75),),
        3.0,
        "Measure the speed of pulley and hub with a photo tachometer. A hub that lags slips.",
        "clutch or belt slipping",
        BELT,
    ),
    Entry(
        "discharge hose restricted",
        "The hose between compressor and condenser is narrowed. The port before it shows more than the condenser has.",
        (Change("discharge", 45.0, "closing"),),
        0.5,
        "The high gauge is high but the liquid line is not warm, and the standing pressure fits the table.",
        "discharge hose restricted",
        HOT + " " + REFRIGERANT,
    ),
    Entry(
        "drier inlet blocked",
        "The way into the receiver-drier is blocked. Liquid backs up into the condenser, so the high side climbs; when "
        "it is bad, liquid flashes at the blockage and the receiver runs dry.",
        (Change("receiver_inlet", 3500.0, "closing", 0.5),),
        0.5,
        "Clip one thermometer before the drier and one behind it. The high gauge is high, the line into the drier is "
        "cool, and the drier is colder still.",
        "drier inlet blocked",
        REFRIGERANT,
    ),
    Entry(
        "drier restricted",
        "The desiccant or strainer is clogged. Liquid loses pressure in the drier, flashes and turns cold behind it.",
        (Change("drier", 280.0, "closing"),),
        3.0,
        "Measure the line before and after the drier. A step down in temperature, or sweat and frost, gives it away.",
        "drier restricted",
        REFRIGERANT,
    ),
    Entry(
        "liquid line kinked",
        "A dent or kink between drier and valve. Liquid loses pressure there, flashes and turns cold.",
        (Change("liquid_line", 100.0, "closing"),),
        0.6,
        "Feel along the liquid line for a cold spot; compare its temperature behind the drier and before the valve.",
        "liquid line kinked",
        REFRIGERANT,
    ),
)
