"""The machines of the invented shop, part by part: no real machine stands behind any number here.

Displacement, pulley ratio, refrigerant and charge are those of the shop's data sheets (`coldcab.scenario.FLEET` takes
them from here). Everything is invented so that each charge sits in the middle of its receiver's plateau.
"""

from __future__ import annotations

from coldcab.machine.cab import Cab
from coldcab.machine.compressor import Compressor
from coldcab.machine.condenser import Condenser, Fan
from coldcab.machine.evaporator import Blower, Evaporator
from coldcab.machine.layout import Machine
from coldcab.machine.line import Line
from coldcab.machine.receiver import ReceiverDrier
from coldcab.machine.valve import ExpansionValve

WHEEL_LOADER = Machine(
    name="Unit 7, the wheel loader",
    refrigerant="R-12",
    charge=1.25,
    compressor=Compressor(displacement=164e-6, pulley_ratio=1.30),
    discharge_hose=Line(resistance=5e8, volume=0.15e-3, conductance=3.0),
    # Two equal paths from end to end.
    condenser=Condenser(
        passes=(2,),
        pass_length=8.6,
        diameter=9e-3,
        air_conductance=1250.0,
        rated_air=0.85,
        resistance=0.75e9,
        fan=Fan(flow=0.76),
    ),
    receiver=ReceiverDrier(volume=0.85e-3, resistance=3e9),
    liquid_line=Line(resistance=6e9, volume=0.13e-3, conductance=0.5),
    valve=ExpansionValve(area=2.9e-6, bulb_fluid="R-12"),
    evaporator=Evaporator(
        circuits=5,
        length=20.0,
        diameter=7.5e-3,
        air_conductance=520.0,
        rated_air=0.155,
        resistance=1.5e8,
        blower=Blower(flow=0.131),
    ),
    suction_hose=Line(resistance=6e7, volume=0.40e-3, conductance=2.0),
    cab=Cab(),
)

# A small cab, used up in the hills: little air, a serpentine of one long tube.
ORCHARD_SPRAYER = Machine(
    name="Unit 12, the orchard sprayer",
    refrigerant="R-12",
    charge=0.90,
    compressor=Compressor(displacement=108e-6, pulley_ratio=1.40, volume=0.20e-3),
    discharge_hose=Line(resistance=8e8, volume=0.10e-3, conductance=2.0),
    condenser=Condenser(
        passes=(1,),
        pass_length=10.5,
        diameter=10e-3,
        air_conductance=880.0,
        rated_air=0.62,
        resistance=1.6e9,
        fan=Fan(flow=0.55, driven=0.3),
    ),
    receiver=ReceiverDrier(volume=0.58e-3, resistance=5e9),
    liquid_line=Line(resistance=9e9, volume=0.09e-3, conductance=0.4),
    valve=ExpansionValve(area=2.0e-6, bulb_fluid="R-12", screen_area=8e-6),
    evaporator=Evaporator(
        circuits=4,
        length=14.0,
        diameter=7.5e-3,
        air_conductance=380.0,
        rated_air=0.110,
        resistance=3e8,
        blower=Blower(flow=0.093, power=110.0),
    ),
    suction_hose=Line(resistance=1.2e8, volume=0.25e-3, conductance=1.5),
    cab=Cab(conductance=36.0, solar=850.0, engine_conductance=10.0, heater_conductance=160.0),
    oil=0.15,
)

# The drier sits at the rear behind long hoses along the frame.
MOTOR_GRADER = Machine(
    name="Unit 18, the motor grader",
    refrigerant="R-12",
    charge=1.45,
    compressor=Compressor(displacement=155e-6, pulley_ratio=1.25),
    discharge_hose=Line(resistance=9e8, volume=0.30e-3, conductance=5.0),
    condenser=Condenser(
        passes=(2,),
        pass_length=8.2,
        diameter=9e-3,
        air_conductance=1150.0,
        rated_air=0.80,
        resistance=0.75e9,
        fan=Fan(flow=0.72),
    ),
    receiver=ReceiverDrier(volume=0.75e-3, resistance=4e9),
    liquid_line=Line(resistance=1.5e10, volume=0.36e-3, conductance=1.6),
    valve=ExpansionValve(area=2.9e-6, bulb_fluid="R-12"),
    evaporator=Evaporator(
        circuits=5,
        length=19.0,
        diameter=7.5e-3,
        air_conductance=500.0,
        rated_air=0.150,
        resistance=1.5e8,
        blower=Blower(flow=0.127),
    ),
    suction_hose=Line(resistance=1.1e8, volume=0.80e-3, conductance=4.5),
    cab=Cab(conductance=58.0, solar=1400.0),
    bay_warmth=25.0,
    oil=0.25,
)

# Many tubes in four passes between headers, each pass narrower as the gas turns to liquid; electric fans on the roof.
FORAGE_HARVESTER = Machine(
    name="Unit 26, the forage harvester",
    refrigerant="R-12",
    charge=1.70,
    compressor=Compressor(displacement=178e-6, pulley_ratio=1.20, volume=0.28e-3),
    discharge_hose=Line(resistance=5e8, volume=0.28e-3, conductance=4.0),
    condenser=Condenser(
        passes=(14, 10, 7, 4),
        pass_length=0.66,
        diameter=6e-3,
        air_conductance=1500.0,
        rated_air=1.00,
        resistance=4e8,
        fan=Fan(flow=0.88, driven=0.0),
        own_recirculation=0.05,
    ),
    receiver=ReceiverDrier(volume=1.25e-3, resistance=2.5e9),
    liquid_line=Line(resistance=7e9, volume=0.24e-3, conductance=0.9),
    valve=ExpansionValve(area=3.3e-6, bulb_fluid="R-12", external=True, screen_area=14e-6),
    evaporator=Evaporator(
        circuits=6,
        length=24.0,
        diameter=7.5e-3,
        air_conductance=620.0,
        rated_air=0.185,
        resistance=1.4e8,
        blower=Blower(flow=0.156, power=190.0),
    ),
    suction_hose=Line(resistance=6e7, volume=0.60e-3, conductance=3.0),
    cab=Cab(conductance=82.0, solar=2000.0, engine_conductance=8.0),
    oil=0.25,
)

# Condenser and evaporator in the roof, the compressor far below.
COMBINE = Machine(
    name="Unit 31, the combine",
    refrigerant="R-12",
    charge=1.55,
    compressor=Compressor(displacement=170e-6, pulley_ratio=1.35),
    discharge_hose=Line(resistance=8e8, volume=0.32e-3, conductance=5.0),
    condenser=Condenser(
        passes=(3,),
        pass_length=7.0,
        diameter=8.5e-3,
        air_conductance=1450.0,
        rated_air=1.00,
        resistance=4.5e8,
        fan=Fan(flow=0.88, driven=0.2),
        own_recirculation=0.05,
    ),
    receiver=ReceiverDrier(volume=1.15e-3, resistance=3e9),
    liquid_line=Line(resistance=5e9, volume=0.12e-3, conductance=0.4),
    valve=ExpansionValve(area=3.2e-6, bulb_fluid="R-12", screen_area=14e-6),
    evaporator=Evaporator(
        circuits=6,
        length=23.0,
        diameter=7.5e-3,
        air_conductance=600.0,
        rated_air=0.180,
        resistance=1.3e8,
        blower=Blower(flow=0.152, power=180.0),
    ),
    suction_hose=Line(resistance=9e7, volume=0.75e-3, conductance=3.5),
    cab=Cab(conductance=75.0, solar=1900.0, engine_conductance=8.0),
    oil=0.25,
)

# A small compressor turned fast, a condenser of two passes behind the brushes, where it clogs.
ROAD_SWEEPER = Machine(
    name="Unit 44, the road sweeper",
    refrigerant="R-12",
    charge=1.10,
    compressor=Compressor(displacement=125e-6, pulley_ratio=1.50, volume=0.22e-3),
    discharge_hose=Line(resistance=6e8, volume=0.14e-3, conductance=2.5),
    condenser=Condenser(
        passes=(6, 4),
        pass_length=1.55,
        diameter=8e-3,
        air_conductance=1050.0,
        rated_air=0.75,
        resistance=5e8,
        fan=Fan(flow=0.66, driven=0.4),
    ),
    receiver=ReceiverDrier(volume=0.80e-3, resistance=3.5e9),
    liquid_line=Line(resistance=7e9, volume=0.12e-3, conductance=0.5),
    valve=ExpansionValve(area=2.5e-6, bulb_fluid="R-12", screen_area=10e-6),
    evaporator=Evaporator(
        circuits=5,
        length=17.0,
        diameter=7.5e-3,
        air_conductance=450.0,
        rated_air=0.135,
        resistance=1.6e8,
        blower=Blower(flow=0.114, power=130.0),
    ),
    suction_hose=Line(resistance=8e7, volume=0.35e-3, conductance=2.0),
    cab=Cab(conductance=50.0, solar=1500.0, engine_conductance=12.0),
)

FLEET: dict[int, Machine] = {
    7: WHEEL_LOADER,
    12: ORCHARD_SPRAYER,
    18: MOTOR_GRADER,
    26: FORAGE_HARVESTER,
    31: COMBINE,
    44: ROAD_SWEEPER,
}
"""The machines by the shop's number."""
