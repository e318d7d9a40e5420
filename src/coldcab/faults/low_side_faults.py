"""Expansion valve, evaporator, the air through it, and the suction hose."""

from __future__ import annotations

from coldcab.faults.definitions import BELT, HOT, REFRIGERANT, Change, Entry

ENTRIES = (
    Entry(
        "valve screen plugged",
        "Dirt closes the screen before the valve's port. The evaporator is starved.",
        (Change("screen", 0.02, "closing", 1.9),),
        3.0,
        "Warm the bulb and the valve body. If nothing changes, recover the refrigerant and look at the inlet screen.",
        "valve shut",
        REFRIGERANT,
    ),
    Entry(
        "valve stuck shut",
        "The valve's pin cannot lift far. The evaporator is starved however warm the bulb gets.",
        (Change("valve_maximum", 0.0, exponent=0.85),),
        2.0,
        "Warm the bulb. If the low side does not rise and the screen is clean, replace the valve.",
        "valve shut",
        REFRIGERANT,
    ),
    Entry(
        "bulb charge lost",
        "The bulb or its thin tube has leaked. With little pressure on the diaphragm the valve hardly opens.",
        (Change("bulb_charge", 0.3),),
        1.5,
        "Warm the bulb in the hand. A valve whose bulb is empty does not answer; look for a kinked or rubbed tube.",
        "valve shut",
        valve="bulb",
    ),
    Entry(
        "valve head charge lost",
        "The charge in the block valve's head has leaked. With little pressure on the diaphragm it hardly opens.",
        (Change("bulb_charge", 0.3),),
        1.5,
        "Warm the head of the valve in the hand. A head that is empty does not answer; the valve is replaced whole.",
        "valve shut",
        valve="block",
    ),
    Entry(
        "moisture freezing",
        "Water in the circuit freezes in the valve's port. The machine cools, stops, and cools again after a rest.",
        (Change("ice", 0.96, exponent=0.85),),
        2.5,
        "Warm the valve body with a cloth and warm water. If the low side comes back, it was ice: dry the circuit.",
        "valve shut",
        REFRIGERANT,
    ),
    Entry(
        "valve stuck open",
        "The valve passes too much. Liquid leaves the evaporator and can reach the compressor.",
        # Its pin has lifted out of the seat: it passes twice what it does fully open.
        (Change("valve_minimum", 1.0, exponent=0.4), Change("valve_capacity", 2.2, exponent=0.8)),
        2.0,
        "Re-seat and insulate the bulb. If superheat stays near nothing, the valve itself is stuck.",
        "valve open",
        "Liquid in the suction line can break the compressor: keep the run short.",
    ),
    Entry(
        "bulb loose or bare",
        "The bulb feels the warm engine bay instead of the suction line. The valve opens too far.",
        (Change("bulb_contact_loss", 0.3, exponent=2.6),),
        2.0,
        "Clean the line, clamp the bulb and wrap it. If the low side falls and superheat returns, that was it.",
        "valve open",
        BELT,
        valve="bulb",
    ),
    Entry(
        "evaporator blocked inside",
        "Dirt or sludge closes the evaporator's tubes. Pressure is lost inside the coil: warm at its inlet, starved at "
        "its outlet.",
        (Change("evaporator_passage", 80.0, "closing"),),
        0.7,
        "Clip a thermometer behind the expansion valve. With the low side low, that line is far warmer than the low "
        "gauge says.",
        "evaporator blocked inside",
        REFRIGERANT,
    ),
    Entry(
        "evaporator oil-logged",
        "Too much oil. It coats the evaporator's tubes, and the last refrigerant stays dissolved in it instead of "
        "boiling. The low side falls.",
        (Change("oil", 3.0, exponent=0.4), Change("boiling", 0.25, exponent=0.4)),
        1.5,
        "Low side low with normal superheat and a vent warmer than usual. Weigh the oil that comes out at recovery.",
        "evaporator oil-logged",
        REFRIGERANT,
    ),
    Entry(
        "low evaporator air",
        "A clogged filter, a dirty coil or a weak blower. The air is cold, but there is not enough of it.",
        (Change("blower", 0.35),),
        8.0,
        "Feel the air at the vents, look at the filter. The vent is colder than usual while the cab stays warm.",
        "low evaporator air",
    ),
    Entry(
        "heater valve leaking",
        "Hot coolant runs through the heater core behind the evaporator. The circuit is well, the air is warmed again.",
        (Change("heater_leak", 0.2),),
        4.0,
        "Pinch the heater hose with a proper clamp. If the vent turns cold, the heater valve leaks.",
        "heater valve leaking",
        HOT,
    ),
    Entry(
        "suction hose collapsed",
        "The hose's lining closes the passage. The compressor sucks against it; the evaporator gets less flow.",
        (Change("suction", 25.0, "closing"),),
        0.7,
        "Feel for a cold spot along the suction hose. The line warms less on its way than it should.",
        "suction hose collapsed",
        REFRIGERANT,
    ),
)
