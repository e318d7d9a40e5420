"""Cases of lesson oil-1: a shelf of tins, machines with plates, orders, boxes, machines with old oil, wishes."""

from __future__ import annotations

from dataclasses import dataclass, replace

from coldcab import units
from coldcab.oil import Plate, Tin
from coldcab.oil.shelf import DUSTY, IN_SPRING, LAST_WEEK, LOOSE, NO_DATE, SEALED, STATES, TODAY, UNIVERSAL
from coldcab.scenario.draw import Draw
from coldcab.scenario.oil_shelf import Waiting
from coldcab.scenario.showing import shown
from coldcab.words import _

TINS = tuple("ABCDEFGHIK")
LETTERS = tuple("ABCDEF")
CUSTOMERS = (_("a combine"), _("a grader"), _("a loader"), _("a sprayer"), _("a tractor"), _("an excavator"))
KINDS = (_("belt-driven piston compressor"), _("belt-driven scroll compressor"), _("belt-driven vane compressor"))
KEPT_DRY = (SEALED, DUSTY, TODAY, SEALED)
LEFT_OPEN = (LAST_WEEK, IN_SPRING, LOOSE, NO_DATE)
ANY_STATE = (SEALED, DUSTY, TODAY, *STATES)

BOXES = (
    _("paper: PAG ISO 46 for R-134a, 4 fl oz; plate: R-134a, PAG ISO 46"),
    _("paper: PAG ISO 100 for R-134a, 6 fl oz; plate: R-134a, PAG ISO 46"),
    _("paper: shipped with nitrogen, no oil; plate: R-134a, PAG ISO 100"),
    _("no paper, the oil looks clean; plate: R-134a, PAG ISO 46"),
    _("paper: the ester that the plate names, for electric compressors; gas hissed out of the ports"),
    _("paper: PAG ISO 46 for R-134a; plate: R-1234yf, PAG ISO 46"),
    _("paper: PAG ISO 150 for R-134a; plate: R-134a, PAG ISO 150; the port plugs were missing"),
    _("paper: PAG ISO 150 for R-134a, amount not told; plate: R-134a, PAG ISO 150"),
    _("rebuilt, tag: mineral oil; maker's note on the change to R-134a: POE ISO 100"),
    _("paper: POE ISO 100 for R-134a; maker's note on the change to R-134a: POE ISO 100"),
    _("paper: rust-proofing oil, pour out before use; plate: R-134a, PAG ISO 46"),
    _("paper: PAG ISO 46 for R-134a and R-1234yf; plate: R-1234yf, PAG ISO 46"),
)
"""Twelve new compressors in their boxes; a sheet shows six of them."""

INSIDE = (
    _("R-134a, plate PAG ISO 46; the label on the machine says PAG ISO 46, drained oil is clear"),
    _("changed from R-12 years ago, nothing written about its oil; drained oil lies in two layers"),
    _("R-134a; drained oil is clear and glows under the black light, the label says dye"),
    _("R-134a; drained oil is gray with glitter, the old compressor is worn"),
    _("R-134a; stood open all winter, drained oil is milky"),
    _("R-134a; the owner put in a can of “universal” oil, drained oil looks clear"),
    _("electric compressor; the last shop put dye for PAG machines in"),
    _("changed from R-12 and flushed; mineral oil worked out at 2 %, the maker allows 5 %"),
    _("changed from R-12, drained only; mineral oil worked out at 22 %, the maker allows 5 %"),
    _("still on R-12; its mineral oil is amber and clear"),
    _("seal leak; half a fluid ounce of the plate's oil is gone, the rest is clear"),
    _("still on R-12; somebody put PAG in"),
)
"""Twelve machines as they come in; a sheet shows six of them."""

WISHES = (
    _("3 fl oz more than the plate says, to be safe"),
    _("PAG 46 and PAG 150 half and half, because PAG 100 is out of stock"),
    _("a spoonful of PAG into the electric compressor, only to wet it"),
    _("more dye: the first shot does not show after one hour"),
    _("top up a machine whose oil nobody knows"),
    _("mineral oil on top of the PAG, it runs quieter"),
    _("what was left overnight in the open cup, back into its tin"),
    _("another maker's PAG ISO 46 for R-134a; the plate asks for PAG ISO 46 and R-134a, no name"),
    _("the ester of the maker's note on the change to R-134a, not the mineral oil of the R-12 plate"),
    _("dyed oil of the plate's type and grade; no dye inside yet, the manual allows it"),
    _("four small tins for one big one, though the ounce costs more"),
    _("pour out the oil of the new compressor though the paper is right, to measure it"),
)
"""Twelve wishes; a sheet shows six of them."""


@dataclass(frozen=True)
class Order:
    """What the parts counter sends, for which plate."""

    waiting: Waiting
    tin: Tin


@dataclass(frozen=True)
class OilCase:
    """What a technician has to decide about oil in one week; every number as cups, labels and clocks show it."""

    jobs: tuple[Waiting, ...]  # three with a belt
    electric: Waiting
    tins: tuple[Tin, ...]  # in the order of TINS
    orders: tuple[Order, ...]
    boxes: tuple[str, ...]
    inside: tuple[str, ...]
    wishes: tuple[str, ...]
    can_oil: str
    can_hours: float
    can_humidity: float
    can_inches: float
    clinging_ounces: float
    clinging_share: float
    total_ounces: float

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        return [
            *((f"job {number}", job.words) for number, job in enumerate(self.jobs, 1)),
            ("electric one", self.electric.words),
            *((f"tin {letter}", tin.words) for letter, tin in zip(TINS, self.tins, strict=True)),
            *(
                (
                    f"order {number}",
                    _("for {machine}. Sent: {tin}").format(machine=order.waiting.words, tin=order.tin.words),
                )
                for number, order in enumerate(self.orders, 1)
            ),
            *((f"box {letter}", box) for letter, box in zip(LETTERS, self.boxes, strict=True)),
            *((f"machine {letter}", one) for letter, one in zip(LETTERS, self.inside, strict=True)),
            *((f"wish {letter}", wish) for letter, wish in zip(LETTERS, self.wishes, strict=True)),
            (
                "open tin",
                _("{oil}, {hours:.0f} h at {humidity:.0%} humidity, {depth} deep").format(
                    oil=self.can_oil,
                    hours=self.can_hours,
                    humidity=self.can_humidity,
                    depth=shown(f"{self.can_inches:g} in", "length", decimals=0),
                ),
            ),
            (
                "a changed machine",
                _(
                    "{clings} clings after the flush, {share:.0%} of it mineral oil; {total} in the filled circuit"
                ).format(clings=_cup(self.clinging_ounces), share=self.clinging_share, total=_cup(self.total_ounces)),
            ),
        ]


def fluid_ounces(number: float) -> float:
    """Volume in m3."""
    return units.from_unit(number, "volume", "fl oz")


def _cup(ounces: float) -> str:
    return shown(f"{ounces:.1f} fl oz", "volume", decimals=0)


def _jobs(draw: Draw, one: int, other: int) -> tuple[tuple[Waiting, ...], tuple[Tin, ...]]:
    """Three machines with a belt, and seven tins for and against them: ``one`` and ``other`` are grades of PAG."""
    third = ({46, 100, 150} - {one, other}).pop()
    who, what = draw.order("customers", CUSTOMERS), draw.order("kinds", KINDS)
    old, ester = Plate("mineral oil", 100, "R-12"), Plate("POE", 100, "R-134a")
    kept = draw.pick("kept", (old, ester))
    note = "" if kept is old else _(" (maker's note on the change from R-12)")
    waiting = (
        Waiting(who[0], what[0], Plate("PAG", one, "R-134a", dye_allowed=False)),
        Waiting(who[1], what[1], Plate("PAG", other, "R-1234yf")),
        Waiting(who[2], what[2], kept, note),
    )

    def state(name: str) -> str:
        return draw.pick(f"{name} state", LEFT_OPEN if draw.fraction(f"{name} left open") < 0.2 else KEPT_DRY)

    spare = draw.pick("spare", ("dye", "open"))
    tins = (
        Tin("PAG", one, ("R-134a",), state("first")),
        Tin(
            "PAG",
            one,
            ("R-134a",),
            SEALED if spare == "dye" else draw.pick("spare state", LEFT_OPEN),
            dye=spare == "dye",
        ),
        Tin("PAG", third, ("R-134a",), draw.pick("third state", ANY_STATE)),
        Tin("PAG", other, ("R-134a", "R-1234yf"), state("second")),
        Tin("PAG", other, ("R-134a",), draw.pick("old label state", KEPT_DRY)),
        Tin("mineral oil", 100, ("R-12",), state("old") if kept is old else draw.pick("old state", ANY_STATE)),
        Tin("POE", 100, ("R-134a",), state("ester") if kept is ester else draw.pick("ester state", ANY_STATE)),
    )
    return draw.order("jobs", waiting), tins


def _electric(draw: Draw) -> tuple[Waiting, tuple[Tin, ...]]:
    """The electric machine, the tin that is made for such ones, and an ester that is not."""
    grade, refrigerant = draw.pick("electric grade", (46, 68)), draw.pick("electric gas", ("R-134a", "R-1234yf"))
    plate = Plate("POE", grade, refrigerant, electric=True, dye_allowed=False)
    waiting = Waiting(_("an electric yard loader"), _("electric scroll compressor"), plate)
    label = ("R-134a", "R-1234yf")
    state = draw.pick("electric state", LEFT_OPEN if draw.fraction("electric left open") < 0.25 else KEPT_DRY)
    return waiting, (
        Tin("POE", grade, label, state, electric=True),
        Tin("POE", grade, label, draw.pick("plain ester state", KEPT_DRY)),
    )


def _order(draw: Draw, number: int, changed: str) -> Order:
    """A plate and a tin that differs from it in one point, or in none."""
    name = f"order {number}"
    grade = draw.pick(f"{name} grade", (46, 100))
    electric = changed == "drive" or (changed in ("grade", "state", "none") and draw.fraction(f"{name} drive") < 0.3)
    refrigerant = draw.pick(f"{name} gas", ("R-134a", "R-1234yf"))
    oil = "POE" if electric else "PAG"
    kind = _("electric scroll compressor") if electric else draw.pick(f"{name} kind", KINDS)
    plate = Plate(oil, grade, refrigerant, electric, dye_allowed=not electric and changed != "dye")
    other = "R-1234yf" if refrigerant == "R-134a" else "R-134a"
    tin = Tin(oil, grade, (refrigerant,), draw.pick(f"{name} state", KEPT_DRY), electric)
    sent = {
        "type": replace(tin, oil="POE"),
        "grade": replace(tin, grade=draw.pick(f"{name} other grade", (68, 150))),
        "refrigerant": replace(tin, refrigerants=(other,)),
        "drive": replace(tin, electric=False),
        "dye": replace(tin, dye=True),
        "state": replace(tin, state=draw.pick(f"{name} left open", LEFT_OPEN)),
        "none": tin,
    }
    return Order(Waiting(draw.pick(f"{name} machine", CUSTOMERS), kind, plate), sent[changed])


def draw_case(term: str, learner: str, *, assignment: str = "oil-1") -> OilCase:
    """Return the numbers of one learner."""
    draw = Draw(assignment, term, learner)
    one, other = draw.order("grades", (46, 100, 150))[:2]
    jobs, tins = _jobs(draw, one, other)
    electric, more = _electric(draw)
    universal = Tin(UNIVERSAL, None, ("R-12", "R-134a", "R-1234yf"), draw.pick("universal state", ANY_STATE))
    changed = draw.order("orders", ("type", "grade", "refrigerant", "drive", "dye", "state", "none"))[:2]
    return OilCase(
        jobs=jobs,
        electric=electric,
        tins=draw.order("shelf", (*tins, *more, universal)),
        orders=tuple(_order(draw, number, what) for number, what in enumerate(changed, 1)),
        boxes=draw.order("boxes", BOXES)[: len(LETTERS)],
        inside=draw.order("inside", INSIDE)[: len(LETTERS)],
        wishes=draw.order("wishes", WISHES)[: len(LETTERS)],
        can_oil=draw.pick("can oil", ("PAG", "POE")),
        can_hours=draw.number("can hours", 12, 72, 1),
        can_humidity=draw.number("can humidity", 0.35, 0.80, 0.05),
        can_inches=draw.number("can depth", 2.0, 5.0, 0.5),
        clinging_ounces=draw.number("clinging", 0.8, 1.8, 0.1),
        clinging_share=draw.number("clinging share", 0.30, 0.60, 0.01),
        total_ounces=draw.number("total", 6.5, 10.0, 0.5),
    )
