"""Cases of lesson oil-2: three jobs whose oil must be accounted for, and books with a mistake in them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from coldcab import oil, units
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.words import _

LINES = ("leak", "gas", "drier")
"""The three ways in which oil left in the first job."""

DOUBTS = ((0.7, 0.5, 0.3), (0.6, 0.4, 0.3), (0.7, 0.4, 0.2), (0.6, 0.5, 0.2))
"""Uncertainties of the three lines, fl oz: near enough that none of them alone is the whole doubt."""


@dataclass(frozen=True)
class LedgerCase:
    """Three jobs of one shop in fluid ounces, as cups show them; the machine's data sheet is invented."""

    unit: Unit
    required: float
    leaked: float
    in_gas: float
    in_drier: float
    doubts: tuple[float, float, float]  # of the three lines of LINES
    swap_gas: float
    swap_drained: float
    swap_drier: float
    swap_shipping: float
    rebuild_shipping: float
    rebuild_residue: float
    refrigerant_pounds: float
    books_gas: float
    books_drained: float
    books_drier: float
    books_shipping: float
    books_added: float
    entered: tuple[tuple[str, float], ...]
    """The clerk's lines after the data sheet's amount, fl oz: what left is below 0."""

    @property
    def density(self) -> float:
        """Density of the oil (PAG) in kg/m3, as the sheet shows it: to 0.001 kg/L."""
        return 1e3 * round(oil.density("PAG") / 1e3, 3)

    @property
    def books_after(self) -> float:
        """What the clerk's books say is inside, fl oz."""
        return round(self.required + math.fsum(amount for _, amount in self.entered), 6)

    @property
    def counted(self) -> float:
        """What was really found inside, fl oz."""
        moved = moved_oil(self.books_gas, self.books_drained, self.books_drier, self.books_shipping, self.books_added)
        return round(self.required + math.fsum(amount for _, amount in moved), 6)

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        leak, gas, drier = self.doubts
        entered = "; ".join(f"{what} {amount:+.1f}".replace("-", "−") for what, amount in self.entered)
        return [
            ("machine", _("{machine}, invented data sheet").format(machine=self.unit.name)),
            (
                "oil on its data sheet",
                _("{amount} in the whole circuit, {density:.3f} kg/L").format(
                    amount=self._cup(self.required), density=self.density / 1e3
                ),
            ),
            ("refrigerant on its data sheet", shown(f"{self.refrigerant_pounds:g} lb", "mass")),
            (
                "job A, seal leak, new drier",
                _(
                    "lost at the leak {leaked:.1f} ± {leak:.1f} fl oz, came out with the gas {in_gas:.1f} ± {gas:.1f} "
                    "fl oz, poured out of the old drier {in_drier:.1f} ± {drier:.1f} fl oz"
                ).format(
                    leaked=self.leaked, leak=leak, in_gas=self.in_gas, gas=gas, in_drier=self.in_drier, drier=drier
                ),
            ),
            (
                "job B, compressor swap",
                _(
                    "came out with the gas {gas:.1f} fl oz, drained from the old compressor {drained:.1f} fl oz, "
                    "poured out of the old drier {drier:.1f} fl oz; the new compressor brings {shipping:.1f} fl oz"
                ).format(
                    gas=self.swap_gas, drained=self.swap_drained, drier=self.swap_drier, shipping=self.swap_shipping
                ),
            ),
            (
                "job C, rebuild",
                _(
                    "everything flushed or new, {residue:.1f} fl oz of clean oil left on the walls; the new compressor "
                    "brings {shipping:.1f} fl oz; evaporator, condenser, drier, liquid line and both hoses dry"
                ).format(residue=self.rebuild_residue, shipping=self.rebuild_shipping),
            ),
            (
                "the clerk's books, fl oz",
                _("data sheet {required:.1f}; {entered}; inside {inside:.1f}").format(
                    required=self.required, entered=entered, inside=self.books_after
                ),
            ),
            (
                "the shop's notes to them",
                _(
                    "gas {gas:.1f}, old compressor {drained:.1f}, old drier {drier:.1f}, new compressor brought "
                    "{shipping:.1f}, put in {added:.1f} fl oz"
                ).format(
                    gas=self.books_gas,
                    drained=self.books_drained,
                    drier=self.books_drier,
                    shipping=self.books_shipping,
                    added=self.books_added,
                ),
            ),
            ("counted at the end", _("{amount}, to 0.1 fl oz").format(amount=self._cup(self.counted))),
        ]

    @staticmethod
    def _cup(ounces: float) -> str:
        return shown(f"{ounces:.1f} fl oz", "volume", decimals=0)


def cubic_metres(ounces: float) -> float:
    """Fluid ounces in m3."""
    return units.from_unit(ounces, "volume", "fl oz")


def moved_oil(gas: float, drained: float, drier: float, shipping: float, added: float) -> tuple[tuple[str, float], ...]:
    """Return the lines of honest books from what the shop noted, fl oz: what left is below 0."""
    return (
        (_("came out with the gas"), -gas),
        (_("drained from the old compressor"), -drained),
        (_("poured out of the old drier"), -drier),
        (_("came with the new compressor"), shipping),
        (_("put in with the cup"), added),
    )


def draw_case(term: str, learner: str, *, assignment: str = "oil-2") -> LedgerCase:
    """Return the numbers of one learner."""
    draw = Draw(assignment, term, learner)
    required = draw.number("required", 8.5, 10.5, 0.5)
    noted = (
        draw.number("books gas", 0.3, 0.5, 0.1),
        draw.number("books drained", 5.0, 5.4, 0.1),
        draw.number("books drier", 0.7, 1.0, 0.1),
        draw.number("books shipping", 3.4, 3.8, 0.1),
        draw.number("books added", 0.2, 0.3, 0.1),
    )
    gas, drained, drier, shipping, added = moved_oil(*noted)
    entered = draw.pick(
        "mistake",
        ((gas, drained, drier, added), (gas, drained, shipping, added), (gas, gas, drained, drier, shipping, added)),
    )
    return LedgerCase(
        unit=draw.pick("unit", CONVERTED),
        required=required,
        leaked=draw.number("leaked", 0.9, 2.0, 0.1),
        in_gas=draw.number("gas", 0.5, 0.8, 0.1),
        in_drier=draw.number("drier", 1.1, 1.5, 0.1),
        doubts=draw.order("doubts", draw.pick("doubt", DOUBTS)),
        swap_gas=draw.number("swap gas", 0.3, 0.6, 0.1),
        swap_drained=draw.number("swap drained", 2.4, 3.2, 0.1),
        swap_drier=draw.number("swap drier", 0.8, 1.2, 0.1),
        swap_shipping=draw.number("swap shipping", 5.4, 6.2, 0.1),
        rebuild_shipping=draw.number("rebuild shipping", 2.0, 3.0, 0.1),
        rebuild_residue=draw.number("rebuild residue", 0.3, 0.5, 0.1),
        refrigerant_pounds=draw.number("refrigerant", 2.0, 3.5, 0.1),
        books_gas=noted[0],
        books_drained=noted[1],
        books_drier=noted[2],
        books_shipping=noted[3],
        books_added=noted[4],
        entered=entered,
    )
