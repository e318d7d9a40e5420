"""Cases of lesson oil-2: three jobs whose oil must be accounted for, counts beside books, and a clerk's books."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import oil, units
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.words import _

LETTERS = tuple("ABCDEF")
ENTRIES = tuple("ABCDE")
LINES = ("leak", "gas", "drier", "hose", "floor")
"""The five ways in which oil left in the first job."""

LEFT_BY = (
    _("lost at the leak"),
    _("came out with the gas"),
    _("poured out of the old drier"),
    _("poured out of the old hose"),
    _("spilled and wiped from the floor"),
)
"""The same as the books call them."""

NOTED = ("gas", "old compressor", "old drier", "new compressor", "cup")
"""The five lines that the shop noted for the clerk."""

ENTERED_AS = (
    _("came out with the gas"),
    _("drained from the old compressor"),
    _("poured out of the old drier"),
    _("came with the new compressor"),
    _("put in with the cup"),
)
SIGNS = (-1, -1, -1, 1, 1)

JOBS = (
    _("only the drier was replaced"),
    _("seal leak, seal and drier replaced"),
    _("compressor and drier replaced, nothing flushed"),
    _("every part flushed or new"),
    _("evaporator replaced"),
    _("burnt in a fire, every part of the circuit new"),
    _("unknown oil drained, all parts flushed, new drier and compressor"),
    _("gas recovered and weighed back in"),
    _("condenser flushed, the rest untouched"),
    _("changed from R-12: all parts flushed, compressor and drier new"),
    _("old compressor resealed and put back"),
    _("metal in the oil: hoses, condenser, drier, compressor new, evaporator and lines flushed"),
)
"""Twelve repairs on other machines; a sheet shows six of them."""


@dataclass(frozen=True)
class Count:
    """What the books say is inside, how far off they can be, and what was counted; fl oz."""

    books: float
    plus_or_minus: float
    counted: float


@dataclass(frozen=True)
class LedgerCase:
    """Three jobs of one shop in fluid ounces, as cups show them; the machine's data sheet is invented."""

    unit: Unit
    required: float
    left: tuple[float, ...]  # by LINES
    plus_or_minus: tuple[float, ...]  # of the same lines
    swap_gas: float
    swap_drained: float
    swap_drier: float
    swap_shipping: float
    rebuild_shipping: float
    rebuild_residue: float
    refrigerant_pounds: float
    jobs: tuple[str, ...]
    counts: tuple[Count, ...]
    noted: tuple[float, ...]  # by NOTED, without a sign
    entered: tuple[tuple[str, float], ...]
    """The clerk's lines after the data sheet's amount, fl oz: what left should be below 0."""

    @property
    def density(self) -> float:
        """Density of the oil (PAG) at 20 C in kg/m3, as the sheet shows it: to 0.001 kg/L."""
        return 1e3 * round(oil.density("PAG") / 1e3, 3)

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        return [*self._three_jobs(), *self._counts(), *self._clerk()]

    def _three_jobs(self) -> list[tuple[str, str]]:
        first = ", ".join(
            f"{what} {amount:.1f} ± {off:.1f} fl oz"
            for what, amount, off in zip(LEFT_BY, self.left, self.plus_or_minus, strict=True)
        )
        return [
            ("machine", _("{machine}, invented data sheet").format(machine=self.unit.name)),
            (
                "oil on its data sheet",
                _("{amount} in the whole circuit, {weight:.3f} oz/fl oz ({density:.3f} kg/L) at 68 F (20 C)").format(
                    amount=shown(f"{self.required:.1f} fl oz", "volume", decimals=0),
                    weight=units.convert(self.density * cubic_metres(1.0), "mass", "oz"),
                    density=self.density / 1e3,
                ),
            ),
            ("refrigerant on its data sheet", shown(f"{self.refrigerant_pounds:g} lb", "mass")),
            ("job A, seal leak, new drier and hose", first),
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
            *((f"repair {letter}", job) for letter, job in zip(LETTERS, self.jobs, strict=True)),
        ]

    def _counts(self) -> list[tuple[str, str]]:
        words = _("books {books:.1f} ± {off:.1f} fl oz, drained and counted {counted:.1f} fl oz")
        return [
            (f"count {letter}", words.format(books=one.books, off=one.plus_or_minus, counted=one.counted))
            for letter, one in zip(LETTERS, self.counts, strict=True)
        ]

    def _clerk(self) -> list[tuple[str, str]]:
        notes = ", ".join(f"{name} {amount:.1f} fl oz" for name, amount in zip(NOTED, self.noted, strict=True))
        return [
            ("the shop's notes", notes),
            *(
                (f"clerk's line {letter}", f"{what} {amount:+.1f} fl oz".replace("-", "−"))
                for letter, (what, amount) in zip(ENTRIES, self.entered, strict=False)
            ),
        ]


def cubic_metres(ounces: float) -> float:
    """Fluid ounces in m3."""
    return units.from_unit(ounces, "volume", "fl oz")


def _count(draw: Draw, place: int) -> Count:
    """Books and a count: their gap is clearly inside the plus or minus, or clearly outside."""
    books, off = draw.number(f"books {place}", 6.0, 9.5, 0.1), draw.number(f"off {place}", 0.3, 0.9, 0.1)
    times = draw.pick(f"times {place}", (0.0, 0.3, 0.6, 0.8, 1.6, 2.0, 2.6))
    way = draw.pick(f"way {place}", (-1, 1))
    gap = int(10.0 * times * off + (0.99 if times > 1.0 else 0.0)) / 10.0
    return Count(books, off, round(books + way * gap, 1))


def _entered(draw: Draw, noted: tuple[float, ...]) -> tuple[tuple[str, float], ...]:
    """The clerk's lines: perhaps one is missing, and of the others one or two are wrong."""
    missing = draw.pick("missing", (*range(len(NOTED)), None))
    places = [place for place in range(len(NOTED)) if place != missing]
    wrong = draw.order("wrong", places)[: draw.pick("how many", (1, 2, 2))]
    lines = []
    for place in places:
        amount = SIGNS[place] * noted[place]
        if place in wrong:
            turned = draw.pick(f"mistake {place}", (True, False))
            off = draw.number(f"off by {place}", 0.3, 0.9, 0.1)
            amount = -amount if turned else amount + SIGNS[place] * off
        lines.append((ENTERED_AS[place], round(amount, 1)))
    return draw.order("lines", lines)


def draw_case(term: str, learner: str, *, assignment: str = "oil-2") -> LedgerCase:
    """Return the numbers of one learner."""
    draw = Draw(assignment, term, learner)
    swap = (
        draw.number("swap gas", 0.3, 0.9, 0.1),
        draw.number("swap drained", 1.6, 4.0, 0.1),
        draw.number("swap drier", 0.5, 1.6, 0.1),
    )
    noted = (
        draw.number("noted gas", 0.3, 0.9, 0.1),
        draw.number("noted drained", 1.8, 4.0, 0.1),
        draw.number("noted drier", 0.5, 1.2, 0.1),
        draw.number("noted shipping", 2.4, 6.0, 0.1),
        draw.number("noted cup", 0.3, 1.5, 0.1),
    )
    return LedgerCase(
        unit=draw.pick("unit", CONVERTED),
        required=draw.number("required", 8.5, 10.5, 0.5),
        left=(
            draw.number("leaked", 0.6, 2.4, 0.1),
            draw.number("gas", 0.2, 1.0, 0.1),
            draw.number("drier", 0.5, 1.6, 0.1),
            draw.number("hose", 0.2, 0.5, 0.1),
            draw.number("floor", 0.1, 0.6, 0.1),
        ),
        plus_or_minus=draw.order("plus or minus", (0.7, 0.4, 0.3, 0.2, 0.1)),
        swap_gas=swap[0],
        swap_drained=swap[1],
        swap_drier=swap[2],
        swap_shipping=round(sum(swap) + draw.number("swap over", 0.5, 3.0, 0.1), 1),
        rebuild_shipping=draw.number("rebuild shipping", 1.4, 3.6, 0.1),
        rebuild_residue=draw.number("rebuild residue", 0.3, 0.7, 0.1),
        refrigerant_pounds=draw.number("refrigerant", 2.0, 3.5, 0.1),
        jobs=draw.order("jobs", JOBS)[: len(LETTERS)],
        counts=tuple(_count(draw, place) for place in range(len(LETTERS))),
        noted=noted,
        entered=_entered(draw, noted),
    )
