"""Cases of lesson rebuild-1: a dead compressor, the belt, oil and ring of the new one, and another shop's log."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.quantities import INCH, POUND_FORCE
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.service.compressor_swap import DEATHS
from coldcab.words import _

LETTERS = ("A", "B", "C", "D", "E", "F", "G", "H")

LOG = (
    (_("caps stayed on the new ports until each hose was in hand"),
     _("took all caps off the new parts first")),
    (_("suction hose to the port marked S"), _("suction hose to the port marked D")),
    (_("drained the new compressor, poured in what left"),
     _("left the oil of the box in and counted nothing")),
    (_("new O-rings of the maker's size, oiled"), _("new O-rings one size thicker, oiled")),
    (_("hub ten turns by hand, ports open to a cup"), _("no turn by hand, the engine will do that")),
    (_("belt in line, tension by the gauge"), _("belt in line, as tight as the bar would pull")),
    (_("bulb on the outlet pipe, strapped and wrapped"), _("bulb on the outlet pipe, strapped, left bare")),
    (_("drier opened last, arrow to the valve"), _("drier opened last, arrow to the condenser")),
)  # fmt: skip
"""The lines of a log in their order: as it is right, and as it is wrong."""

RINGS = ("right", "thin", "thick", "small", "wrong rubber", "used")
GROOVE = {"08": 0.070, "10": 0.103, "12": 0.139}  # cord, in, by the joint's number (invented numbers of joints)


@dataclass(frozen=True)
class SwapCase:
    """One job as the sheet shows it."""

    unit: Unit
    signs: tuple[str, ...]
    span_inches: float
    push_pounds: float
    bend_inches: float
    wanted_pounds: float
    drained: float
    gas: float
    drier: float
    brought: float
    cord_inches: float
    room_inches: float
    joint_inside: float
    joint_cord: float
    rings: tuple[str, ...]
    log: tuple[str, ...]

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        rows = [
            ("machine", _("{machine}, invented data sheet").format(machine=self.unit.name)),
            ("found on the old compressor", "; ".join(self.signs)),
            ("belt: free span", shown(f"{self.span_inches:g} in", "length", decimals=0)),
            (
                "belt: push at the middle",
                _("{push:g} lbf ({newton:.0f} N), it gives {bend:.2f} in ({metric:.1f} mm)").format(
                    push=self.push_pounds,
                    newton=POUND_FORCE * self.push_pounds,
                    bend=self.bend_inches,
                    metric=1e3 * INCH * self.bend_inches,
                ),
            ),
            (
                "belt: tension that the maker wants",
                _("{wanted:g} lbf ({newton:.0f} N)").format(
                    wanted=self.wanted_pounds, newton=POUND_FORCE * self.wanted_pounds
                ),
            ),
            (
                "oil of another job",
                _(
                    "old compressor gave {drained:.1f} fl oz, gas {gas:.1f} fl oz, old drier {drier:.1f} fl oz; the "
                    "new compressor gave {brought:.1f} fl oz and is now empty; nothing leaked, nothing was flushed"
                ).format(drained=self.drained, gas=self.gas, drier=self.drier, brought=self.brought),
            ),
            (
                "O-ring of another joint",
                _("cord {cord:.3f} in ({a:.2f} mm), room when closed {room:.3f} in ({b:.2f} mm)").format(
                    cord=self.cord_inches,
                    a=1e3 * INCH * self.cord_inches,
                    room=self.room_inches,
                    b=1e3 * INCH * self.room_inches,
                ),
            ),
            (
                "ring that the manual asks for",
                _("inside {inside:.3f} in, cord {cord:.3f} in, HNBR").format(
                    inside=self.joint_inside, cord=self.joint_cord
                ),
            ),
        ]
        rows += [(f"ring {letter}", words) for letter, words in zip(LETTERS, self.rings, strict=False)]
        rows += [(f"log {letter}", words) for letter, words in zip(LETTERS, self.log, strict=True)]
        return rows


def _rings(draw: Draw, inside: float, cord: float) -> tuple[str, ...]:
    made = {
        "right": (inside, cord, "HNBR, new"),
        "thin": (inside, round(cord - 0.020, 3), "HNBR, new"),
        "thick": (inside, round(cord + 0.020, 3), "HNBR, new"),
        "small": (round(inside - 0.060, 3), cord, "HNBR, new"),
        "wrong rubber": (inside, cord, _("rubber not known, new")),
        "used": (inside, cord, _("HNBR, the old one, flat on one side")),
    }
    words = _("inside {inside:.3f} in, cord {cord:.3f} in, {rubber}")
    return tuple(
        words.format(inside=made[kind][0], cord=made[kind][1], rubber=made[kind][2])
        for kind in draw.order("rings", RINGS)
    )


def draw_case(term: str, learner: str, *, assignment: str = "rebuild-1") -> SwapCase:
    """Return the numbers of one learner."""
    draw = Draw(assignment, term, learner)
    death = draw.pick("death", DEATHS)
    wrong = draw.pick("wrong", range(len(LOG)))
    wanted = draw.number("wanted", 60, 110, 5)
    span = draw.number("span", 9, 24, 0.5)
    push = draw.number("push", 8, 14, 1)
    times = draw.number("times", 1.6, 3.0, 0.05)
    cord = draw.pick("cord", (0.070, 0.103, 0.139))
    joint = draw.pick("joint", tuple(GROOVE))
    return SwapCase(
        unit=draw.pick("unit", CONVERTED),
        signs=draw.order(
            "signs",
            (
                _("oil {oil}").format(oil=death.oil),
                _("debris: {debris}").format(debris=death.debris),
                _("clutch face {face}").format(face=death.clutch),
                _("hub {hub}").format(hub=death.hub),
            ),
        ),
        span_inches=span,
        push_pounds=push,
        bend_inches=round(push * span / (4.0 * wanted * times), 2),
        wanted_pounds=wanted,
        drained=draw.number("drained", 1.4, 3.4, 0.1),
        gas=draw.number("gas", 0.4, 0.9, 0.1),
        drier=draw.number("drier", 0.7, 1.4, 0.1),
        brought=draw.number("brought", 6.2, 7.8, 0.1),
        cord_inches=cord,
        room_inches=round(cord * (1.0 - draw.number("squeeze", 0.04, 0.42, 0.01)), 3),
        joint_inside=draw.number("inside", 0.300, 0.800, 0.005),
        joint_cord=GROOVE[joint],
        rings=_rings(draw, draw.number("inside", 0.300, 0.800, 0.005), GROOVE[joint]),
        log=tuple(pair[place == wrong] for place, pair in enumerate(LOG)),
    )
