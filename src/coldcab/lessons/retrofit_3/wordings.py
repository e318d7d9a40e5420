"""The sentences that the sheets of lesson retrofit-3 draw from: requests, parts, hookups, readings, moments."""

from __future__ import annotations

from coldcab.words import _

REQUESTS = (
    _("an R-12 loader to R-134a: R-12 recovered, new fittings, label, oil and drier"),
    _("an R-1234yf grader to R-134a, because the gas is cheaper"),
    _("an R-12 tractor stays on R-12, filled with reclaimed gas by certified people"),
    _("an R-134a combine to R-1234yf, because it is better for the climate"),
    _("an R-12 roller to R-134a now, and to a propane blend next week"),
    _("an R-134a sprayer that leaked is repaired and filled with R-134a again"),
    _("an R-12 dozer topped up with a pound of R-134a to get through the season"),
    _("an R-1234yf tractor filled with R-1234yf, with a machine made for it"),
    _("an R-12 harvester: new R-134a fittings only, the R-12 stays in"),
    _("an R-12 crane to R-134a, R-12 recovered; new compressor, condenser cleaned first"),
)
"""What owners ask for."""

GROUNDED = (
    _("fill my R-1234yf tractor with R-134a; a full cylinder of it stands in my shed"),
    _("put propane from the camp stove into my R-12 loader; it cools well"),
    _("leave the R-12 in and add R-134a until the vent is cold"),
    _("put the R-22 blend into my R-12 truck; the old hoses look fine"),
    _("screw an adapter on each R-12 port; conversion fittings cost too much"),
    _("put carbon dioxide into my R-12 grader; it costs nothing"),
    _("let the R-12 blow off behind the shed, then fill R-134a"),
    _("fill R-134a and leave the old white label; everybody here knows it"),
)
"""What one owner more asks for; each is refused on a ground of its own."""

PARTS = (
    (_("hoses: barrier type, dry at the crimps"), _("hoses: cracked, oily at the crimps")),
    (_("oil: mineral"), _("oil: POE, type and amount as the compressor's maker names for R-134a")),
    (
        _("receiver-drier: new, marked for R-134a, capped until an hour ago"),
        _("receiver-drier: ten years old, for R-12"),
    ),
    (
        _("low-charge switch: opens at 5 psig, when the machine is nearly empty"),
        _("cycling switch: sealed, rated for R-12"),
    ),
    (
        _("high-pressure cut-out: none; a relief device is there"),
        _("high-pressure cut-out: tested, stops the clutch before the relief device opens"),
    ),
    (_("O-ring in a tight joint that stays closed"), _("O-rings of the joints that were opened, swollen")),
    (_("service ports: R-12 threads"), _("service ports: R-134a fittings, locked, unused port plugged for good")),
    (
        _("compressor: its maker names it for R-134a, shaft seal dry"),
        _("compressor: oil thrown from the shaft seal, maker silent on R-134a"),
    ),
)
"""Eight parts of the machine, each in two states."""

HOOKUPS = (
    _("R-134a coupler, 16 mm, on the R-134a high-side port"),
    _("R-134a hose on an R-1234yf port, through a homemade adapter"),
    _("R-134a conversion fitting on the R-12 low port, held by thread lock"),
    _("R-12 hose on a converted machine, with the adapter from the drawer"),
    _("R-1234yf coupler of an R-1234yf machine on an R-1234yf port"),
    _("R-134a recovery machine on an R-12 machine, fittings swapped"),
    _("unused R-12 port plugged so that the plug cannot come off"),
    _("unused R-12 port with its dust cap hand-tight, in case someone goes back"),
    _("R-134a can with the 1/2-16 ACME tap made for it"),
    _("R-134a can tap forced onto the left-hand thread of an R-1234yf can"),
)
"""Connections that somebody has made or wants to make."""

SHOWN = (
    _("right charge lighter than the R-12 charge"),
    _("high side with R-134a at least {psi:g} psi above R-12"),
    _("low side within 3 psi of R-12"),
    _("discharge line hotter than with R-12"),
    _("vent warmer by 2 F or more"),
    _("cooling within 5 % of R-12"),
    _("left to the instrument's own switch: at least {psi:g} psi"),
    _("more power at the belt than with R-12"),
    _("R-134a stopped by the high-pressure cut-out"),
    _("compression ratio lower than with R-12"),
)
"""Sentences about the instrument at the sheet's settings, with the condenser as found."""

MOMENTS = (
    (
        _("a helper tests the circuit for leaks with 120 psig of shop air"),
        _("a helper warms the R-134a cylinder with a torch to speed it up"),
        _("a helper loosens a hose fitting with 60 psig still in the hose"),
        _("a helper plugs the relief device, because it once let gas out"),
        _("a helper recovers R-1234yf with a machine that is not made for flammable gas"),
        _("a helper lets R-12 out in the pit, with the heater's flame lit"),
    ),
    (
        _("nitrogen through a regulator, at less than the lowest rating"),
        _("the cylinder stands in water that a hand can bear"),
        _("the hose is emptied by the recovery machine before it is taken off"),
        _("glasses and gloves on while the couplers come off"),
        _("the R-1234yf machine is recovered outdoors, with equipment made for it"),
        _("the key is in the mechanic's pocket while the belt is off"),
        _("R-12 is recovered into its own cylinder on the scale"),
        _("the new cut-out is tested before the machine leaves"),
    ),
)
"""Moments of a job: in which somebody can get hurt, and as it should be."""
