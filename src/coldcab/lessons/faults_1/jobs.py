"""Jobs of the shop that a sheet of faults-1 shows: readings half taken, notes, plans. Their keys stand elsewhere."""

from coldcab.words import _

SITUATIONS = (
    _("clutch on: {full} at the battery, {left} between the clutch's own two terminals; nothing else measured"),
    _("clutch on: the feed side loses {lost}, the ground side 0.1 V"),
    _("clutch on: the feed side loses {lost}, but from battery plus to relay 87 it is 0.1 V"),
    _("clutch on: {lost} are lost from battery plus to relay 87"),
    _("clutch on: the feed side loses 0.2 V, the ground side {lost}"),
    _("the relay does not click; key and A/C on, gauge and fins fine; nothing measured in the control circuit"),
    _("the relay does not click; {full} behind the A/C switch, gauge and fins fine"),
    _("the relay does not click; {full} at relay 86"),
    _("sensor and controller: the display says 0 psig, the gauge 140 psig; the controller keeps the clutch out"),
)
"""Nine; a sheet shows two of them."""

PAIRS = (
    _("battery plus and clutch feed terminal"),
    _("battery plus and relay 87"),
    _("relay 87 and behind the feed wire"),
    _("relay 30 and relay 87"),
    _("clutch ground terminal and engine block"),
    _("behind the A/C switch and battery minus"),
    _("relay 86 and battery minus"),
    _("relay 85 and battery minus"),
    _("sensor supply and sensor ground"),
)
"""The two points that come next, in the order of `SITUATIONS`."""

NOTES = (
    _("clutch on, 2.4 V across the relay contacts: the contacts are burnt"),
    _("clutch on, 1.9 V from the clutch ground terminal to battery minus: the ground side is bad"),
    _("battery voltage across the relay coil, no click: the relay is bad"),
    _("gauge 130 psig, battery voltage across the pressure switch, key and A/C on: the switch is bad"),
    _("coil 1.7 ohm at 70 F, lead off, manual 3.6 ohm at 68 F: turns are shorted"),
    _("a new fuse holds with the diode unplugged, opens with it plugged in: diode shorted or wrong way round"),
    _("sensor supply 5.0 V and ground 0.0 V at its plug, signal 0.02 V, gauge 130 psig: sensor or signal wire is bad"),
    _("gap 0.050 in, manual 0.016 to 0.031 in; set right, the clutch pulls in hot as well: the gap was too wide"),
    _("clutch plug pulled off, battery voltage at the plug: the feed side is good"),
    _("a test lamp lights at the clutch feed terminal: the coil gets enough voltage"),
    _("coil 3.6 ohm on the cold bench as the manual says: it is strong enough when it is hot"),
    _("ohmmeter 0.1 ohm over the ground strap, key off: the ground side is good"),
    _("pressure switch open, gauge 9 psig: the switch is bad"),
    _("load fuse open: the fuse was too small"),
    _("clutch faces blue: the clutch was badly made"),
    _("relay contacts burnt for the second time: the new relay was badly made"),
)
"""Sixteen; a sheet shows eight of them."""

PROPOSALS = (
    _("a wire across the high-pressure switch, so that the customer can finish the field"),
    _("a wire left across the low-pressure switch until the new one comes"),
    _("a 30 A fuse in place of the 10 A one that keeps opening"),
    _("foil around the open fuse, for the way home only"),
    _("engine running, a hand at the clutch plate, to feel whether it pulls"),
    _("key on, both hands at the clutch plug beside the belt, to hear it click"),
    _("on a 24 V machine, the 12 V fan fed from one of the two batteries"),
    _("battery plus off first with a bare wrench, minus still on"),
    _("key off and in the pocket, then the hub turned by hand"),
    _("meter leads clipped on with the key off, tied clear of belt and fan, then the engine started"),
    _("the relay changed for the horn relay of the same number and rating, as a test"),
    _("a 10 A fuse for the 10 A one, after the chafed wire was repaired"),
    _("battery minus off first and on last"),
    _("engine stopped, nobody near the belt, then key on and the meter across the pressure switch"),
    _("sensor unplugged and plugged in with the key off"),
    _("a clutch that slipped left to cool before anyone touches it"),
)
"""Sixteen; a sheet shows eight of them."""
