"""The sentences that the sheets of lesson retrofit-4 draw from: machines after charging, the glass, a log, moments."""

from __future__ import annotations

from coldcab.words import _

CHARGED = (
    _("full weight in, every reading inside its band, glass clear"),
    _("glass clear, both gauges inside their bands, weight not known"),
    _("block valve, no glass: label weight in, every reading inside its band"),
    _("full weight in, glass clear, subcooling above its band, all else inside"),
    _("R-1234yf machine: label weight in by its own machine, every reading inside its band"),
    _("full weight in, glass clear, vent above its band, all else inside"),
    _("full weight in, glass clear, subcooling just below zero but inside its band, all else inside"),
    _("glass clear, every reading inside its band, scale 6 oz short of the target"),
    _("mild day, thermostat cycles the clutch, full weight in, glass clear, every reading inside its band"),
    _("full weight in, bubbles, superheat above its band, low side below"),
)
"""Machines after charging."""

GLASS = (
    _("clear: liquid passes it at this moment"),
    _("clear: the charge is right"),
    _("clear: it looks the same with far too much"),
    _("clear: no air is in the circuit"),
    _("clear at 75 F: the same weight may bubble at 95 F"),
    _("just cleared: one more can makes the charge right"),
    _("bubbles with the full weight in: something may hold the liquid back"),
    _("bubbles: refrigerant is missing, whatever the scale says"),
    _("no glass on a block-valve machine: the scale and the readings decide"),
    _("no glass on a block-valve machine: fill until the suction pipe sweats"),
)
"""What people say of a sight glass."""

LOG = (
    (_("can on the scale, scale set to zero"), _("cans counted, scale left on the shelf")),
    (_("hose purged into the open air"), _("hose evacuated before the can was opened")),
    (_("first liquid into the high side, engine off, key out"), _("first liquid into the low side, engine idling")),
    (_("started at once after the liquid, to save time"), _("hub turned ten times by hand before the start")),
    (_("finished with vapor, can upright, low side only"), _("finished with the can upside down, low side wide open")),
    (
        _("block-valve machine: charged to the weight on its label"),
        _("block-valve machine: charged to the old pressures of the shop's chart"),
    ),
    (
        _("R-1234yf machine: its own charging machine, in moving air"),
        _("R-1234yf machine: the R-134a machine and an adapter"),
    ),
    (_("label: three cans"), _("label and record: the weight that went in")),
)
"""The lines of another shop's log, each in two versions."""

MOMENTS = (
    (
        _("engine runs, can on the hose, high-side valve opened a little to fill faster"),
        _("engine runs, can upside down, both valves of the manifold open"),
        _("engine just started, high-side valve still open after the liquid, can on the hose"),
        _("engine runs, low-side valve shut, high-side valve open for the last ounces of the can"),
    ),
    (
        _("engine off, key out, can upside down, high-side valve open into the vacuum"),
        _("engine runs, can upright, low-side valve open, high-side valve shut"),
        _("engine runs, both valves of the manifold shut, can on the scale"),
        _("engine off, both valves open, recovery machine on the center hose"),
        _("engine runs, low-side valve opened and shut in turns, can upright in warm water"),
        _("engine off, vacuum pump on the center hose, both valves open"),
        _("engine runs, high-side coupler closed and taken off, low-side valve open, can upright"),
    ),
)
"""Moments of charging: in which a can may burst, and in which it may not."""
