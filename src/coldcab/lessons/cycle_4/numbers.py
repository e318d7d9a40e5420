"""Cases of lesson cycle-4: readings at a bulb valve and at a block valve, and what a shop wrote about valves."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from coldcab import air, refrigerants, units
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, FLEET, Unit
from coldcab.scenario.showing import shown
from coldcab.words import _

CHANGES = tuple("ABCDEF")
MACHINES = tuple("ABCDEFGH")
STATEMENTS = tuple("ABCDEF")
STEPS = tuple("ABCDEF")

BLOCKS: tuple[Unit, ...] = tuple(unit for unit in FLEET if unit.number in (52, 58))
"""The machines with a block valve."""

# Three groups, two of each on every sheet; which way each moves the valve stands with the instructor.
HAPPENINGS = (
    (
        _("bulb valve: the bulb slips off the pipe into the warm bay"),
        _("bulb valve: the liquid line is kinked, so less reaches the coil"),
        _("bulb valve: the stem is turned out, which eases the spring"),
        _("bulb valve: refrigerant leaks away until the glass foams"),
        _("block valve: a door opens and hot air reaches the coil"),
        _("block valve: the cab blower goes from medium to high"),
        _("block valve: refrigerant leaks away until the suction line is warm"),
    ),
    (
        _("bulb valve: the cab filter clogs"),
        _("bulb valve: the bulb loses its charge through a crack"),
        _("bulb valve: the stem is turned in, which presses the spring"),
        _("bulb valve: the bulb is held in ice water"),
        _("block valve: the charge of its head leaks away"),
        _("block valve: the cab has cooled down, so cooler air reaches the coil"),
        _("block valve: the cab blower goes from high to low"),
    ),
    (
        _("bulb valve: a little more refrigerant goes in; the glass was clear before"),
        _("bulb valve: a longer hose is screwed to the low gauge"),
        _("block valve: an O-ring weeps a little; there is still liquid in the receiver"),
        _("block valve: a little more refrigerant goes in; liquid stood in the receiver before"),
    ),
)
"""What can happen to a running machine."""

FINDINGS = (
    (
        _("bulb valve: superheat 2 F; bulb tight on clean pipe, but bare in the warm bay"),
        _("bulb valve: superheat 1 F; bulb hangs off the pipe"),
        _("bulb valve: superheat 3 F; strap loose, the bulb turns by hand"),
        _("bulb valve: superheat 2 F; bulb strapped to the rubber hose, not to the pipe"),
        _("bulb valve: new since yesterday, floods; bulb strapped to the liquid line"),
    ),
    (
        _("bulb valve: glass foams; superheat 32 F; bulb right"),
        _("bulb valve: glass streaks; superheat 45 F; both gauges low"),
        _("block valve, no glass: superheat 30 F; charge not known; a wet crimp"),
        _("block valve, R-1234yf, no glass: superheat 36 F; topped up twice, never weighed"),
        _("block valve, no glass: superheat 27 F; both gauges low; charge not known"),
    ),
    (
        _("bulb valve: charge weighed in, bulb right; superheat 41 F; thin tube rubbed through"),
        _("bulb valve: charge weighed in, bulb right; superheat 38 F; bulb warmed, nothing moves"),
        _("bulb valve: charge weighed in, bulb right; superheat 0 F; bulb in ice water, nothing moves"),
        _("block valve: charge weighed in; superheat 39 F; head warmed, nothing moves"),
        _("block valve: charge weighed in; superheat 37 F; frost at its liquid inlet"),
    ),
    (
        _("bulb valve: charge, bulb and air right; steady superheat 18 F, manual 8 to 12 F with turns of the stem"),
        _("bulb valve: charge, bulb and air right; steady superheat 4 F, manual 8 to 12 F with turns of the stem"),
        _("bulb valve: new; charge, bulb and air right; steady 17 F, its sheet 9 to 11 F with turns of the stem"),
        _("bulb valve: converted; charge, bulb and air right; steady 5 F, manual 9 to 13 F with turns of the stem"),
    ),
    (
        _("block valve: charge and air right; steady superheat 5 F; a screw can be seen in its end"),
        _("bulb valve: superheat 9 F, steady; manual 8 to 12 F"),
        _("bulb valve: superheat 29 F, gauge at the compressor, clip at the coil; hose between them kinked"),
        _("block valve: superheat 3 F a minute after the start, still rising"),
        _("bulb valve: bulb right; superheat 4 F, low side low; cab filter full of dust"),
        _("block valve: charge weighed in; superheat 9 F, steady"),
    ),
)
"""What was found at machines: bulb first, charge first, the valve itself, stem may be turned, none of these."""

COUNTS = ((2, 2, 1, 1, 2), (1, 2, 2, 1, 2), (2, 1, 2, 1, 2), (1, 2, 1, 2, 2), (2, 1, 1, 2, 2), (1, 1, 2, 2, 2))
"""How many findings of each group a sheet shows; they are eight together."""

GLASS = (
    (
        _("cools well, glass clear: only liquid passes the glass now"),
        _("glass clear with 170 % of the charge inside: it does not show too much"),
        _("glass foams, superheat 30 F: vapor comes with the liquid"),
        _("glass clear, line cold behind a kink: vapor can still reach the valve"),
        _("no glass: only the scale knows the charge"),
        _("no glass, superheat 32 F, charge not known: recover and weigh before the valve is judged"),
        _("bubbles in the first minute after the start: wait before judging"),
    ),
    (
        _("glass clear: the charge is right"),
        _("glass clear, superheat 31 F: the charge is right, so the valve is bad"),
        _("glass clear, compressor held off by the low-pressure switch: it is full"),
    ),
    (
        _("glass clear: nothing but liquid reaches the valve"),
        _("glass clear on the way into the cab: no line behind it can be narrow"),
    ),
    (
        _("glass foams: turn the stem out until it clears"),
        _("glass foams: add until it clears, then the charge is right"),
        _("no glass: add until the suction line sweats, then the charge is right"),
    ),
)
"""Sentences of a log: those that stand, then three groups that do not."""

PLAN = (
    (
        _("refrigerant recovered, gauges still down after five minutes, then the valve's bolt loosened"),
        _("valve's bolt loosened half a turn under pressure, so that it hisses out slowly"),
    ),
    (
        _("bulb or head warmed in the hand, sleeves and leads clear of the belt"),
        _("bulb or head warmed with a small torch, for a quick answer"),
    ),
    (
        _("floods: machine stopped at once, then the bulb looked at"),
        _("floods: machine kept running until all readings were written"),
    ),
    (
        _("engine off, key out, then the bulb behind the fan strapped"),
        _("engine at idle, bulb behind the fan strapped while it can be felt"),
    ),
    (
        _("nitrogen through a regulator, up to the lowest plate, to test the new O-rings"),
        _("shop air with some R-134a in it, up to the lowest plate, to test the new O-rings"),
    ),
    (
        _("goggles and gloves on while the hoses come off"),
        _("no goggles while the hoses come off, for little is left in them"),
    ),
)
"""Steps around a valve: as it is safe, and as it hurts somebody."""


@dataclass(frozen=True)
class ValveCase:
    """Readings of two running machines and a shop's notes; numbers as the instruments show them."""

    unit: Unit
    refrigerant: str
    altitude_feet: float
    low_side_psig: float
    hose_loss_psi: float
    coil_outlet_fahrenheit: float
    compressor_fahrenheit: float
    high_side_psig: float
    liquid_loss_psi: float
    liquid_line_fahrenheit: float
    block_unit: Unit
    block_low_psig: float
    block_hose_psi: float
    block_outlet_fahrenheit: float
    changes: tuple[str, ...]
    findings: tuple[str, ...]
    statements: tuple[str, ...]
    plan: tuple[str, ...]

    @cached_property
    def atmosphere(self) -> float:
        """Air pressure of the yard in Pa."""
        return air.atmospheric_pressure(units.from_unit(self.altitude_feet, "length", "ft"))

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        return [*self._bulb_machine(), *self._block_machine(), *self._notes()]

    def _bulb_machine(self) -> list[tuple[str, str]]:
        return [
            ("altitude of the yard", shown(f"{self.altitude_feet:,.0f} ft", "length")),
            (
                "machine with a bulb",
                _("{machine}, {refrigerant}; the bulb holds the same; external equalizer").format(
                    machine=self.unit.name, refrigerant=self.refrigerant
                ),
            ),
            ("low side, gauge at the compressor", _gauge(self.low_side_psig)),
            ("lost in the suction hose", _loss(self.hose_loss_psi)),
            ("suction line beside the bulb", _degrees(self.coil_outlet_fahrenheit)),
            ("suction line at the compressor", _degrees(self.compressor_fahrenheit)),
            ("high side, gauge at the compressor", _gauge(self.high_side_psig)),
            ("lost between that gauge and the valve", _loss(self.liquid_loss_psi)),
            ("liquid line before the valve", _degrees(self.liquid_line_fahrenheit)),
        ]

    def _block_machine(self) -> list[tuple[str, str]]:
        return [
            (
                "machine with a block valve",
                _("{machine}, {refrigerant}; same yard").format(
                    machine=self.block_unit.name, refrigerant=self.block_unit.original_refrigerant
                ),
            ),
            ("its low side, at the compressor", _gauge(self.block_low_psig)),
            ("lost in its suction hose", _loss(self.block_hose_psi)),
            ("its suction line, behind the block", _degrees(self.block_outlet_fahrenheit)),
        ]

    def _notes(self) -> list[tuple[str, str]]:
        return [
            *((f"change {letter}", words) for letter, words in zip(CHANGES, self.changes, strict=True)),
            *((f"machine {letter}", words) for letter, words in zip(MACHINES, self.findings, strict=True)),
            *((f"log {letter}", words) for letter, words in zip(STATEMENTS, self.statements, strict=True)),
            *((f"step {letter}", words) for letter, words in zip(STEPS, self.plan, strict=True)),
        ]


def _degrees(value: float) -> str:
    return shown(f"{value:g} F", "temperature")


def _gauge(value: float) -> str:
    return shown(f"{value:g} psig", "pressure")


def _loss(value: float) -> str:
    return shown(f"{value:g} psi difference", "pressure difference")


LEAST_DIFFERENCE = 3.0
"""F by which superheat and subcooling of one machine differ at least."""


def draw_groups(draw: Draw, name: str, groups: tuple[tuple[str, ...], ...], counts: tuple[int, ...]) -> tuple[str, ...]:
    """Return so many texts of each group, all in an order of their own."""
    taken = [
        text
        for place, (group, count) in enumerate(zip(groups, counts, strict=True))
        for text in draw.order(f"{name} {place}", group)[:count]
    ]
    return draw.order(name, taken)


def draw_plan(draw: Draw) -> tuple[str, ...]:
    """Return the steps in an order of their own, one of them as it hurts somebody."""
    wrong = draw.pick("wrong step", range(len(PLAN)))
    return draw.order("plan", [pair[place == wrong] for place, pair in enumerate(PLAN)])


def draw_case(term: str, learner: str, *, assignment: str = "cycle-4") -> ValveCase:
    """Return the numbers of one learner: long hoses, and high enough for the altitude to show."""
    draw = Draw(assignment, term, learner)
    altitude = draw.number("altitude", 4500, 7500, 100)
    atmosphere = air.atmospheric_pressure(units.from_unit(altitude, "length", "ft"))
    refrigerant = draw.pick("refrigerant", ("R-12", "R-134a"))
    low, high = draw.number("low side", 22, 34, 1), draw.number("high side", 165, 220, 5)
    hose, liquid = draw.number("hose", 4, 6, 0.5), draw.number("liquid", 7, 10, 0.5)

    def saturation(gauge: float, name: str = refrigerant) -> float:
        pressure = units.from_unit(gauge, "pressure", "psig", atmosphere=atmosphere)
        return units.convert(refrigerants.saturation_temperature(name, pressure), "temperature", "F")

    superheat, subcooling = draw.number("superheat", 5, 26, 0.5), draw.number("subcooling", 3, 15, 0.5)
    if abs(superheat - subcooling) < LEAST_DIFFERENCE:  # who swaps the two must not be right by chance
        subcooling += 2 * LEAST_DIFFERENCE if subcooling >= superheat else -2 * LEAST_DIFFERENCE
    if subcooling < 2:
        subcooling += 4 * LEAST_DIFFERENCE
    coil = float(round(saturation(low + hose) + superheat))
    block = draw.pick("block", BLOCKS)
    block_low, block_hose = draw.number("block low", 24, 38, 1), draw.number("block hose", 4, 7, 0.5)
    return ValveCase(
        unit=draw.pick("unit", CONVERTED),
        refrigerant=refrigerant,
        altitude_feet=altitude,
        low_side_psig=low,
        hose_loss_psi=hose,
        coil_outlet_fahrenheit=coil,
        compressor_fahrenheit=coil + draw.number("warming", 7, 14, 1),
        high_side_psig=high,
        liquid_loss_psi=liquid,
        liquid_line_fahrenheit=float(round(saturation(high - liquid) - subcooling)),
        block_unit=block,
        block_low_psig=block_low,
        block_hose_psi=block_hose,
        block_outlet_fahrenheit=float(
            round(saturation(block_low + block_hose, block.original_refrigerant) + draw.number("block", 5, 24, 0.5))
        ),
        changes=draw_groups(draw, "changes", HAPPENINGS, draw.pick("moves", ((2, 3, 1), (3, 2, 1), (2, 2, 2)))),
        findings=draw_groups(draw, "findings", FINDINGS, draw.pick("counts", COUNTS)),
        statements=draw_groups(draw, "glass", GLASS, draw.pick("stand", ((2, 2, 1, 1), (2, 1, 1, 2), (3, 1, 1, 1)))),
        plan=draw_plan(draw),
    )
