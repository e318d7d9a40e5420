"""What confirms each fault, as measurements: so that nobody is sent to one that is on the list already.

The same tests stand in words in the catalogue (`Entry.test`); common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass

from coldcab.words import _

_WEIGH = _("Find the leak, recover and weigh what is left.")


@dataclass(frozen=True)
class Confirmation:
    """The measurements that confirm a fault, any one of the ``groups``, and what is ``left`` to do after them.

    Of several groups the first is the one that the catalogue tells in words. No group: what confirms the fault is
    none of the measurements.
    """

    groups: tuple[tuple[str, ...], ...] = ()
    left: str = ""

    def group(self, possible: Callable[[str], bool]) -> tuple[str, ...]:
        """Return the first group that a machine lets one take as a whole; none where there is no such group.

        Parameters
        ----------
        possible
            Whether a measurement, by name, can be taken on the machine.
        """
        return next((group for group in self.groups if all(map(possible, group))), ())

    def missing(self, taken: Collection[str], possible: Callable[[str], bool]) -> tuple[str, ...]:
        """Return the measurements of that group that are not yet ``taken``."""
        return tuple(name for name in self.group(possible) if name not in taken)


confirmations: dict[str, Confirmation] = {
    "charge low": Confirmation((("glass",), ("gauges", "suction line", "drier")), _WEIGH),
    "charge high": Confirmation((("gauges", "liquid line", "standing pressure"),), _("Recover and weigh.")),
    "air in the circuit": Confirmation((("standing pressure", "identifier"),)),
    "foreign refrigerant": Confirmation((("identifier",),)),
    "condenser blocked": Confirmation((("condenser air",),), _("Look through the fins against a light.")),
    "condenser fan slow": Confirmation((("fan",),), _("Check the fan's belt or motor.")),
    "hot air recirculated": Confirmation((("condenser air",),)),
    "worn compressor": Confirmation((("gauges", "discharge line", "hub speed"),)),
    "clutch or belt slipping": Confirmation((("hub speed",),)),
    "discharge hose restricted": Confirmation((("gauges", "liquid line", "standing pressure"),)),
    "drier inlet blocked": Confirmation((("gauges", "drier"),)),
    "drier restricted": Confirmation((("drier",),)),
    "liquid line kinked": Confirmation((("drier", "liquid line"),), _("Feel along the liquid line for the cold spot.")),
    "valve screen plugged": Confirmation(
        (("bulb warmed", "valve warmed"),), _("Recover the refrigerant and look at the inlet screen.")
    ),
    "valve stuck shut": Confirmation((("bulb warmed",),), _("Recover, and replace the valve if its screen is clean.")),
    "bulb charge lost": Confirmation((("bulb warmed",),), _("Look for a kinked or rubbed tube.")),
    "valve head charge lost": Confirmation((("bulb warmed",),)),
    "moisture freezing": Confirmation((("valve warmed",),), _("Recover, and dry the circuit.")),
    "valve stuck open": Confirmation((("bulb re-seated",), ("gauges", "suction line", "hub speed"))),
    "bulb loose or bare": Confirmation((("bulb re-seated",),)),
    "evaporator blocked inside": Confirmation((("gauges", "evaporator inlet"),)),
    "evaporator oil-logged": Confirmation(
        (("gauges", "suction line", "vent"),), _("Weigh the oil that comes out at recovery.")
    ),
    "low evaporator air": Confirmation((("vent", "cab air"),), _("Look at the filter.")),
    "heater valve leaking": Confirmation((("heater pinched",),)),
    "suction hose collapsed": Confirmation(
        (("suction line", "suction hose"),), _("Feel for the cold spot along the suction hose.")
    ),
    "clutch does not engage": Confirmation(),
    "high-pressure switch opens early": Confirmation((("switches",),)),
    "low-pressure switch opens early": Confirmation((("switches",),)),
    "thermostat never opens": Confirmation((("thermostat",),)),
    "thermostat opens early": Confirmation((("thermostat",),)),
}
"""By fault. The second groups are for machines without a sight glass or without a bulb."""
