"""Cases of lesson retrofit-3: owners' requests, one machine to convert, its day, switch, parts, hookups and label."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import units
from coldcab.lessons.retrofit_3.wordings import GROUNDED, HOOKUPS, MOMENTS, PARTS, REQUESTS, SHOWN
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.service import comparison
from coldcab.words import _

LETTERS = ("A", "B", "C", "D", "E", "F", "G", "H")
FEW, SEVEN = LETTERS[:6], LETTERS[:7]

FIELDS = (
    "technician",
    "company",
    "date",
    "refrigerant",
    "charge",
    "lubricant type",
    "lubricant maker",
    "lubricant amount",
)
"""What can be blank on the draft of a label."""

LEFT = 20.0
"""psi that the shop wants between the high side of the hottest day and the cut-out."""
THREADS = ("1/4 flare", "7/16-20", "M10 x 1.25")
SWITCHES = ("right", "old", "added", "direction", "thread", "cold")


@dataclass(frozen=True)
class ConversionCase:
    """One machine that is to run on R-134a, and what else the shop is asked; numbers as instruments show them."""

    unit: Unit
    ambient_fahrenheit: float
    engine_rpm: float
    blocked_percent: float
    cutout_psig: float
    low_switch_psig: float
    thread: str
    switches: tuple[str, ...]
    requests: tuple[str, ...]
    refused: str
    parts: tuple[str, ...]
    hookups: tuple[str, ...]
    seen: tuple[str, ...]
    moments: tuple[str, ...]
    draft: str  # of the new label, some fields left blank
    leaking_unit: Unit
    leaking_refrigerant: str
    added_oz: tuple[float, ...]

    @property
    def charge_lb(self) -> float:
        """Charge of R-12 on the data sheet in lb, as printed there."""
        return round(float(units.convert(self.unit.charge, "mass", "lb")), 2)

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        return [
            *_lettered("owner", self.requests),
            ("owner G", self.refused),
            ("machine", self.unit.name),
            ("data sheet", _("{charge} of R-12").format(charge=shown(f"{self.charge_lb:.2f} lb", "mass"))),
            ("hottest day", shown(f"{self.ambient_fahrenheit:g} F", "temperature")),
            ("engine", _("{speed:,.0f} rpm, all else as the instrument starts").format(speed=self.engine_rpm)),
            ("condenser as found", _("{blocked:g} % blocked").format(blocked=self.blocked_percent)),
            ("cut-out to be fitted", shown(f"{self.cutout_psig:g} psig", "pressure")),
            *_lettered("shown", self.seen),
            (
                "cycling switch, R-12",
                _("sealed, opens at {pressure} as the pressure falls, {thread}").format(
                    pressure=shown(f"{self.low_switch_psig:g} psig", "pressure"), thread=self.thread
                ),
            ),
            *_lettered("switch", self.switches),
            *_lettered("part", self.parts),
            *_lettered("hookup", self.hookups),
            ("draft label", self.draft),
            *_lettered("moment", self.moments),
            (
                "other machine",
                _("{machine}: {refrigerant} added, {amounts}").format(
                    machine=self.leaking_unit.name,
                    refrigerant=self.leaking_refrigerant,
                    amounts=", ".join(shown(f"{ounces:g} oz", "mass", decimals=0) for ounces in self.added_oz),
                ),
            ),
        ]


def _lettered(word: str, texts: tuple[str, ...]) -> list[tuple[str, str]]:
    return [(f"{word} {letter}", text) for letter, text in zip(LETTERS, texts, strict=False)]


def draw_case(term: str, learner: str, *, assignment: str = "retrofit-3") -> ConversionCase:
    """Return the numbers of one learner: a hot day and a dirty condenser, so that the margin counts."""
    draw = Draw(assignment, term, learner)
    unit, other = draw.order("unit", CONVERTED)[:2]
    low_switch = draw.number("low switch", 20, 32, 1)
    thread = draw.pick("thread", THREADS)
    states = draw.order("states", (0, 0, 0, 0, 1, 1, 1, 1))
    return ConversionCase(
        unit=unit,
        ambient_fahrenheit=draw.number("ambient", 94, 118, 3),
        engine_rpm=draw.number("engine", 1300, 2000, 100),
        blocked_percent=draw.number("blocked", 10, 40, 10),
        cutout_psig=draw.number("cut-out", 300, 350, 5),
        low_switch_psig=low_switch,
        thread=thread,
        switches=draw.order("switches", tuple(_switch(kind, low_switch, thread) for kind in SWITCHES)),
        requests=draw.order("requests", REQUESTS)[:6],
        refused=draw.pick("refused", GROUNDED),
        parts=draw.order("parts", tuple(pair[state] for pair, state in zip(PARTS, states, strict=True))),
        hookups=draw.order("hookups", HOOKUPS)[:6],
        seen=tuple(
            text.format(psi=draw.number(f"shown {text}", 20, 50, 5))
            for text in draw.order("place", (SHOWN[0], *draw.order("shown", SHOWN[1:])[:6]))
        ),
        moments=_moments(draw),
        draft=_draft(draw),
        leaking_unit=other,
        leaking_refrigerant=draw.pick("leaking refrigerant", ("R-134a", "R-12")),
        added_oz=tuple(draw.number(f"added {visit}", 6, 20, 1) for visit in range(int(draw.number("visits", 3, 4, 1)))),
    )


def same_coil(psig: float) -> float:
    """Return the psig of R-134a at the temperature at which R-12 boils at ``psig``; sea level."""
    gauge = comparison.same_temperature(units.from_unit(psig, "pressure difference", "psi"), old="R-12", new="R-134a")
    return float(units.convert(gauge, "pressure difference", "psi"))


def _switch(kind: str, old: float, thread: str) -> str:
    """One switch of the shelf; each but one is wrong in one thing."""
    rated = round(same_coil(old))
    psig = {"old": old, "added": 2 * old - rated, "cold": rated - 8}.get(kind, rated)
    other = THREADS[(THREADS.index(thread) + 1) % len(THREADS)]
    way = _("rises") if kind == "direction" else _("falls")
    return _("sealed, opens at {pressure} as the pressure {way}, {thread}").format(
        pressure=shown(f"{psig:g} psig", "pressure"), way=way, thread=other if kind == "thread" else thread
    )


def _moments(draw: Draw) -> tuple[str, ...]:
    """Six moments of a job; in one of them somebody can get hurt."""
    bad, sound = MOMENTS
    return draw.order("order of moments", (draw.pick("moment", bad), *draw.order("moments", sound)[:5]))


def _draft(draw: Draw) -> str:
    """The label as far as it is written, one to three of `FIELDS` left blank."""
    blank = draw.order("blank", FIELDS)[: int(draw.number("blanks", 1, 3, 1))]
    said = {"refrigerant": "R-134a", "lubricant type": "PAG"}
    return "; ".join(f"{name}: {'blank' if name in blank else said.get(name, 'written in')}" for name in FIELDS)
