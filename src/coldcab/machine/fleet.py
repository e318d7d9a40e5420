"""The machines of the invented shop, part by part: no real machine stands behind any number here.

Each is [invented] so that it lies where service manuals print it: receivers of 0.45 to 0.56 mL per gram of R-134a, of
which 0.30 to 0.40 move (charge_curves.csv, CC005 to CC011), valves 0.7 to 0.85 open at a service test, condensing some
22 K above a day of 35 C and a low side of about 26 psig there (normal_gauges.csv). The labels are what
`charge_determination` finds; the shop's data sheets (`coldcab.scenario.FLEET`) take them from here.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from coldcab.machine.cab import Cab, Storage
from coldcab.machine.compressor import Compressor
from coldcab.machine.condenser import Condenser, Fan
from coldcab.machine.evaporator import Blower, Evaporator
from coldcab.machine.layout import Machine
from coldcab.machine.line import Line
from coldcab.machine.receiver import ReceiverDrier
from coldcab.machine.switches import Switches
from coldcab.machine.valve import ExpansionValve

# Fins swing between 0 and 3 C, two to four times a minute on a day of work [common practice, no source].
SWITCHES = Switches(thermostat=272.95, hover=0.5, fin_rise=80.0)

# One family of valves: spring, stroke and gas charge alike, ports of their own.
valve = partial(ExpansionValve, spring=0.36e5, stroke=0.62e5, charge_limit=4.3e5)

# Two equal paths from end to end.
WHEEL_LOADER = Machine(
    name="Unit 7, the wheel loader",
    refrigerant="R-12",
    charge=1.20,
    compressor=Compressor(displacement=164e-6, pulley_ratio=1.30),
    discharge_hose=Line(resistance=5e8, volume=0.15e-3, conductance=3.0),
    condenser=Condenser(
        passes=(2,),
        pass_length=10.6,
        diameter=10e-3,
        air_conductance=617.0,
        rated_air=0.85,
        resistance=6e8,
        fan=Fan(flow=0.76),
    ),
    receiver=ReceiverDrier(volume=0.5e-3, filled=0.06e-3, unreachable=0.03e-3, resistance=6e9),
    liquid_line=Line(resistance=1.2e10, volume=0.1e-3, conductance=0.5),
    valve=valve(area=1.7e-6, bulb_fluid="R-12"),
    evaporator=Evaporator(
        circuits=5,
        length=24.0,
        diameter=8.5e-3,
        air_conductance=299.0,
        rated_air=0.125,
        resistance=1.5e8,
        blower=Blower(flow=0.106),
    ),
    suction_hose=Line(resistance=6e7, volume=0.4e-3, conductance=2.0),
    cab=Cab(
        conductance=43.0,
        solar=1010.0,
        engine_conductance=11.0,
        storage=Storage(volume=2.5, mass_capacity=115e3, mass_conductance=300.0),
    ),
    switches=SWITCHES,
)

# A small cab, used up in the hills: little air, a serpentine of one long tube.
ORCHARD_SPRAYER = Machine(
    name="Unit 12, the orchard sprayer",
    refrigerant="R-12",
    charge=0.88,
    compressor=Compressor(displacement=108e-6, pulley_ratio=1.40, volume=0.2e-3),
    discharge_hose=Line(resistance=8e8, volume=0.1e-3, conductance=2.0),
    condenser=Condenser(
        passes=(1,),
        pass_length=13.2,
        diameter=11e-3,
        air_conductance=406.0,
        rated_air=0.62,
        resistance=13e8,
        fan=Fan(flow=0.55, driven=0.3),
    ),
    receiver=ReceiverDrier(volume=0.37e-3, filled=0.04e-3, unreachable=0.02e-3, resistance=12e9),
    liquid_line=Line(resistance=2.4e10, volume=0.07e-3, conductance=0.4),
    valve=valve(area=1.18e-6, bulb_fluid="R-12", screen_area=8e-6),
    evaporator=Evaporator(
        circuits=4,
        length=17.0,
        diameter=8.5e-3,
        air_conductance=215.0,
        rated_air=0.0868,
        resistance=3e8,
        blower=Blower(flow=0.0736, power=110.0),
    ),
    suction_hose=Line(resistance=1.2e8, volume=0.25e-3, conductance=1.5),
    cab=Cab(
        conductance=28.0,
        solar=660.0,
        engine_conductance=7.8,
        heater_conductance=160.0,
        storage=Storage(volume=2.5, mass_capacity=80e3, mass_conductance=210.0),
    ),
    switches=SWITCHES,
    oil=0.15,
)

# The drier sits at the rear behind long hoses along the frame.
MOTOR_GRADER = Machine(
    name="Unit 18, the motor grader",
    refrigerant="R-12",
    charge=1.38,
    compressor=Compressor(displacement=155e-6, pulley_ratio=1.25),
    discharge_hose=Line(resistance=9e8, volume=0.3e-3, conductance=5.0),
    condenser=Condenser(
        passes=(2,),
        pass_length=10.4,
        diameter=10e-3,
        air_conductance=561.0,
        rated_air=0.8,
        resistance=6e8,
        fan=Fan(flow=0.72),
    ),
    receiver=ReceiverDrier(volume=0.58e-3, filled=0.07e-3, unreachable=0.03e-3, resistance=7.3e9),
    liquid_line=Line(resistance=1.4e10, volume=0.2e-3, conductance=1.6),
    valve=valve(area=1.55e-6, bulb_fluid="R-12"),
    evaporator=Evaporator(
        circuits=5,
        length=23.0,
        diameter=8.5e-3,
        air_conductance=280.0,
        rated_air=0.113,
        resistance=1.5e8,
        blower=Blower(flow=0.0957),
    ),
    suction_hose=Line(resistance=1.1e8, volume=0.8e-3, conductance=4.5),
    cab=Cab(
        conductance=39.0,
        solar=950.0,
        engine_conductance=9.5,
        storage=Storage(volume=2.5, mass_capacity=104e3, mass_conductance=270.0),
    ),
    switches=SWITCHES,
    bay_warmth=25.0,
    oil=0.25,
)

# Many tubes in four passes between headers, each narrower as the gas turns to liquid; electric fans on the roof.
FORAGE_HARVESTER = Machine(
    name="Unit 26, the forage harvester",
    refrigerant="R-12",
    charge=1.42,
    compressor=Compressor(displacement=178e-6, pulley_ratio=1.20, volume=0.28e-3),
    discharge_hose=Line(resistance=5e8, volume=0.28e-3, conductance=4.0),
    condenser=Condenser(
        passes=(16, 12, 9, 6),
        pass_length=0.78,
        diameter=9e-3,
        air_conductance=2000.0,
        rated_air=1.0,
        resistance=3e8,
        fan=Fan(flow=0.88, driven=0.0),
        own_recirculation=0.05,
    ),
    receiver=ReceiverDrier(volume=0.6e-3, filled=0.07e-3, unreachable=0.04e-3, resistance=5.8e9),
    liquid_line=Line(resistance=1.1e10, volume=0.13e-3, conductance=0.9),
    valve=valve(
        area=1.664e-6,
        bulb_fluid="R-12",
        screen_area=14e-6,
        external=True,
    ),
    evaporator=Evaporator(
        circuits=6,
        length=30.0,
        diameter=8.5e-3,
        air_conductance=279.0,
        rated_air=0.124,
        resistance=1.4e8,
        blower=Blower(flow=0.105, power=190.0),
    ),
    suction_hose=Line(resistance=6e7, volume=0.6e-3, conductance=3.0),
    cab=Cab(
        conductance=52.0,
        solar=1280.0,
        engine_conductance=5.1,
        storage=Storage(volume=2.5, mass_capacity=114e3, mass_conductance=300.0),
    ),
    switches=SWITCHES,
    oil=0.25,
)

# Condenser and evaporator in the roof, the compressor far below.
COMBINE = Machine(
    name="Unit 31, the combine",
    refrigerant="R-12",
    charge=1.48,
    compressor=Compressor(displacement=170e-6, pulley_ratio=1.35),
    discharge_hose=Line(resistance=8e8, volume=0.32e-3, conductance=5.0),
    condenser=Condenser(
        passes=(3,),
        pass_length=9.6,
        diameter=9.5e-3,
        air_conductance=661.0,
        rated_air=1.0,
        resistance=4e8,
        fan=Fan(flow=0.88, driven=0.2),
        own_recirculation=0.05,
    ),
    receiver=ReceiverDrier(volume=0.62e-3, filled=0.07e-3, unreachable=0.04e-3, resistance=5.3e9),
    liquid_line=Line(resistance=1.1e10, volume=0.12e-3, conductance=0.4),
    valve=valve(area=1.81e-6, bulb_fluid="R-12", screen_area=14e-6),
    evaporator=Evaporator(
        circuits=6,
        length=27.0,
        diameter=8.5e-3,
        air_conductance=346.0,
        rated_air=0.133,
        resistance=1.3e8,
        blower=Blower(flow=0.113, power=180.0),
    ),
    suction_hose=Line(resistance=9e7, volume=0.75e-3, conductance=3.5),
    cab=Cab(
        conductance=51.0,
        solar=1290.0,
        engine_conductance=5.4,
        storage=Storage(volume=2.5, mass_capacity=123e3, mass_conductance=320.0),
    ),
    switches=SWITCHES,
    oil=0.25,
)

# A small compressor turned fast, a condenser of two passes behind the brushes, where it clogs.
ROAD_SWEEPER = Machine(
    name="Unit 44, the road sweeper",
    refrigerant="R-12",
    charge=0.98,
    compressor=Compressor(displacement=125e-6, pulley_ratio=1.50, volume=0.22e-3),
    discharge_hose=Line(resistance=6e8, volume=0.14e-3, conductance=2.5),
    condenser=Condenser(
        passes=(6, 4),
        pass_length=1.95,
        diameter=9.5e-3,
        air_conductance=1350.0,
        rated_air=0.75,
        resistance=4.5e8,
        fan=Fan(flow=0.66, driven=0.4),
    ),
    receiver=ReceiverDrier(volume=0.41e-3, filled=0.05e-3, unreachable=0.02e-3, resistance=8.5e9),
    liquid_line=Line(resistance=1.7e10, volume=0.1e-3, conductance=0.5),
    valve=valve(area=1.39e-6, bulb_fluid="R-12", screen_area=10e-6),
    evaporator=Evaporator(
        circuits=5,
        length=21.0,
        diameter=8.5e-3,
        air_conductance=246.0,
        rated_air=0.104,
        resistance=1.6e8,
        blower=Blower(flow=0.088, power=130.0),
    ),
    suction_hose=Line(resistance=8e7, volume=0.35e-3, conductance=2.0),
    cab=Cab(
        conductance=32.0,
        solar=940.0,
        engine_conductance=7.6,
        storage=Storage(volume=2.5, mass_capacity=95e3, mass_conductance=250.0),
    ),
    switches=SWITCHES,
)

# The newest: built for R-1234yf, a small circuit with a block valve at the bulkhead and electric fans.
COMPACT_LOADER = Machine(
    name="Unit 52, the compact loader",
    refrigerant="R-1234yf",
    charge=0.62,
    compressor=Compressor(displacement=88e-6, pulley_ratio=1.45, volume=0.16e-3),
    discharge_hose=Line(resistance=9e8, volume=0.07e-3, conductance=1.5),
    condenser=Condenser(
        passes=(5, 3),
        pass_length=2.35,
        diameter=8.5e-3,
        air_conductance=351.0,
        rated_air=0.52,
        resistance=8e8,
        fan=Fan(flow=0.46, driven=0.0),
    ),
    receiver=ReceiverDrier(volume=0.32e-3, filled=0.05e-3, unreachable=0.02e-3, resistance=14e9),
    liquid_line=Line(resistance=2.7e10, volume=0.055e-3, conductance=0.3),
    valve=valve(
        area=1.05e-6,
        bulb_fluid="R-134a",
        screen_area=7e-6,
        block=True,
        bleed=0.01,
        contact_loss=0.02,
    ),
    evaporator=Evaporator(
        circuits=4,
        length=13.0,
        diameter=8e-3,
        air_conductance=145.0,
        rated_air=0.0586,
        resistance=3.2e8,
        blower=Blower(flow=0.0497, power=95.0),
    ),
    suction_hose=Line(resistance=1.5e8, volume=0.18e-3, conductance=1.2),
    cab=Cab(
        conductance=18.0,
        solar=480.0,
        engine_conductance=4.8,
        heater_conductance=150.0,
        storage=Storage(volume=2.5, mass_capacity=54e3, mass_conductance=140.0),
    ),
    switches=replace(SWITCHES, thermostat=272.35),
    oil=0.12,
)

# Built for R-134a, with a block valve; its condenser stands before the radiator and breathes with the engine fan.
TRACTOR = Machine(
    name="Unit 58, the tractor",
    refrigerant="R-134a",
    charge=1.56,
    compressor=Compressor(displacement=165e-6, pulley_ratio=1.30),
    discharge_hose=Line(resistance=6e8, volume=0.3e-3, conductance=4.0),
    condenser=Condenser(
        passes=(12, 9, 6),
        pass_length=1.35,
        diameter=10e-3,
        air_conductance=1330.0,
        rated_air=0.95,
        resistance=3.5e8,
        fan=Fan(flow=0.84, driven=0.6),
    ),
    receiver=ReceiverDrier(volume=0.73e-3, filled=0.09e-3, unreachable=0.04e-3, resistance=6e9),
    liquid_line=Line(resistance=1.2e10, volume=0.1e-3, conductance=1.0),
    valve=valve(
        area=1.403e-6,
        bulb_fluid="R-134a",
        block=True,
        bleed=0.01,
        contact_loss=0.02,
    ),
    evaporator=Evaporator(
        circuits=6,
        length=28.0,
        diameter=8.5e-3,
        air_conductance=299.0,
        rated_air=0.125,
        resistance=1.4e8,
        blower=Blower(flow=0.106, power=170.0),
    ),
    suction_hose=Line(resistance=7e7, volume=0.6e-3, conductance=3.0),
    cab=Cab(
        conductance=43.0,
        solar=1140.0,
        engine_conductance=8.7,
        storage=Storage(volume=2.5, mass_capacity=115e3, mass_conductance=300.0),
    ),
    switches=SWITCHES,
    oil=0.22,
)


FLEET: dict[int, Machine] = {
    7: WHEEL_LOADER,
    12: ORCHARD_SPRAYER,
    18: MOTOR_GRADER,
    26: FORAGE_HARVESTER,
    31: COMBINE,
    44: ROAD_SWEEPER,
    52: COMPACT_LOADER,
    58: TRACTOR,
}
"""The machines by the shop's number; block valves on the last two."""
