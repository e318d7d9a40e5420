"""What people of the shop say on a sheet of lesson faults-2; what each is worth stands with the instructor."""

from __future__ import annotations

from coldcab.words import _

REASONS = (
    _("the cab: hot coolant warms the air behind the coil"),
    _("the cab: too little air goes through the coil"),
    _("the circuit: too little liquid reaches the evaporator"),
    _("the circuit: the valve lets too much liquid through"),
    _("the circuit: the compressor pulls too weakly"),
    _("the circuit: the condenser does not get rid of its heat"),
    _("neither: everything is as on the healthy machine of this day"),
)

CONCLUSIONS = (
    _("Gauges and lines as on the healthy machine, vent 22 F warmer: pinch the heater hose before anything else."),
    _("Vent 8 F colder than on the healthy machine, cab warm: look at filter, blower and coil first."),
    _("Low side 9 psi low, superheat 30 F high: too little liquid reaches the evaporator. Why, this does not say."),
    _("Line 14 F colder out of the drier than into it: the drier holds the liquid up."),
    _("Air at the condenser's face 12 F above the shade: look for a missing seal or baffle."),
    _("At rest overnight, both gauges 20 psi above the table: air or a foreign refrigerant. Identifier next."),
    _("Low side high, head low, hub slower than its pulley: the clutch slips."),
    _("Low side low, superheat high, glass black: recover and weigh before anybody adds a can."),
    _("Head 40 psi above the healthy machine, air behind the condenser much hotter: little air goes through it."),
    _("Low side 12 psi low: refrigerant is missing, top it up."),
    _("Head 60 psi high: too much is in, let some out."),
    _("Glass clear: the charge is right."),
    _("The owner says that the compressor is gone: order one."),
    _("Low side 24 psig today at 84 F, 33 psig last week at 102 F: it leaks."),
    _("Low side half a psi below the healthy machine: the drier begins to clog."),
    _("Block valve, superheat high: the head charge is lost, order a valve."),
)
"""Sixteen; a sheet shows eight of them."""

STEPS = (
    _("clamp a thermometer on the discharge line"),
    _("turn the condenser fan by hand to feel its bearing"),
    _("press the belt with a thumb to feel how tight it is"),
    _("pull chaff out of the condenser beside the fan"),
    _("the high side has passed 400 psig and still climbs"),
    _("oil mist blows from a crimp of the discharge hose"),
    _("gas hisses at a fitting of a machine with R-1234yf"),
    _("the suction line sweats up to the compressor, and it knocks"),
    _("read the thermometer in the vent from the seat"),
    _("read both gauges; the hoses are tied clear of belt and fan"),
    _("watch the clutch for five minutes from beside the machine"),
    _("read clamp-on thermometers that were put on before the start"),
    _("aim the photo tachometer at hub and pulley from outside the guard"),
)
"""Thirteen; a sheet shows six of them."""
