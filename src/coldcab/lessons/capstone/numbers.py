"""Cases of the capstone: one machine, from what is inside to the owner's copy, in the order of the job."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import units
from coldcab.lessons.capstone.texts import (
    CAUSES,
    FLAMMABLE,
    HOLDS,
    LABEL,
    LEFT,
    MIXED,
    OWN_GAS,
    PARTS,
    PLAN,
    PROMISES,
    REPORTS,
    SEATS,
    SHOWN_AGAIN,
    SHOWN_ONCE,
    UNITS,
)
from coldcab.machine.fleet import FLEET as MACHINES
from coldcab.scenario import sick_machines
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import FLEET, Unit
from coldcab.scenario.showing import shown
from coldcab.scenario.sick_machines import Noted, in_words, note
from coldcab.words import _

LETTERS = tuple("ABCDEFGH")
SIX = LETTERS[:6]
RPM = 1500.0
AFTER_A_CHARGE = 0.85
"""Severity of what is still wrong after a charge."""
PLATES = (_("condenser"), _("evaporator"), _("hoses"), _("receiver-drier"))
READ = ("low_gauge", "high_gauge", "vent", "drier_in", "drier_out", "condenser_air_in", "condenser_air_out", "glass")
NIGHT = "standing_pressure"


@dataclass(frozen=True)
class RebuildCase:
    """One job as the sheet shows it; lists are lettered from A in their order."""

    unit: Unit
    refrigerant: str  # that it leaves with
    day_fahrenheit: float
    inside: str  # what the identifier shows
    recovery_units: tuple[str, ...]
    as_found: Noted
    healthy_before: Noted
    notes: tuple[str, ...]
    parts: tuple[str, ...]
    sheet_oil: float
    drained: float
    drier_oil: float
    condenser_oil: float
    flushed: float
    walls: float
    brought: float
    plates_psig: tuple[float, ...]  # of PLATES
    manual_psig: float
    evening_psig: float
    evening_fahrenheit: float
    morning_psig: float
    morning_fahrenheit: float | None  # None where nobody wrote it down
    microns: tuple[float, ...]  # pump shut off, then each five minutes; empty where no micron gauge was used
    sheet_ounces: float
    scale_ounces: float  # cylinder and contents before the charge
    hose_ounces: float
    as_left: Noted
    healthy_after: Noted
    label: tuple[str, ...]
    owner: tuple[str, ...]
    plan: tuple[str, ...]

    @property
    def found_on(self) -> str:
        """The refrigerant that it was built for."""
        return self.unit.original_refrigerant

    @property
    def converts(self) -> bool:
        """Whether it leaves with another refrigerant."""
        return self.found_on != self.refrigerant

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        return [*self._before(), *self._open(), *self._closed(), *self._after()]

    def _before(self) -> list[tuple[str, str]]:
        job = (
            _("{machine}, built for {old}, will run on {new}; its compressor is replaced in any case")
            if self.converts
            else _("{machine}, built for {old}, stays on it; its compressor is replaced in any case")
        )
        return [
            ("machine", job.format(machine=self.unit.name, old=self.found_on, new=self.refrigerant)),
            (
                "day",
                _("{temperature}, humidity 40 %, doors open, engine {speed:,.0f} rpm, sea level").format(
                    temperature=shown(f"{self.day_fahrenheit:g} F", "temperature"), speed=RPM
                ),
            ),
            *((f"plan {letter}", words) for letter, words in zip(LETTERS, self.plan, strict=True)),
            ("identifier", self._identified()),
            *((f"unit {letter}", words) for letter, words in zip(SIX, self.recovery_units, strict=True)),
            ("as found", in_words(self.as_found)),
            ("healthy one, same day", in_words(self.healthy_before)),
            *((f"place {letter}", words) for letter, words in zip(SIX, self.notes, strict=True)),
        ]

    def _identified(self) -> str:
        """What the identifier shows; a mixture came after the readings, which are those of one refrigerant."""
        if self.inside.endswith(_("air 1 %")):
            return self.inside
        return _("{inside}; somebody put a can in after the readings as found").format(inside=self.inside)

    def _open(self) -> list[tuple[str, str]]:
        def cup(amount: float) -> str:
            return shown(f"{amount:g} fl oz", "volume")

        return [
            *((f"part {letter}", words) for letter, words in zip(LETTERS, self.parts, strict=True)),
            ("oil on the data sheet", cup(self.sheet_oil)),
            (
                "oil that left",
                _(
                    "old compressor {drained}; old drier {drier}; tipped out of the condenser {condenser}; out with "
                    "the flush {rest}"
                ).format(
                    drained=cup(self.drained),
                    drier=cup(self.drier_oil),
                    condenser=cup(self.condenser_oil),
                    rest=cup(self.flushed),
                ),
            ),
            ("oil that stayed", _("about {walls} on the walls").format(walls=cup(self.walls))),
            (
                "oil in the new compressor",
                _("{brought}, drained, measured, poured back").format(brought=cup(self.brought)),
            ),
        ]

    def _closed(self) -> list[tuple[str, str]]:
        plates = ", ".join(
            f"{part} {shown(f'{psig:g} psig', 'pressure')}" for part, psig in zip(PLATES, self.plates_psig, strict=True)
        )
        morning = (
            shown(f"{self.morning_fahrenheit:g} F", "temperature")
            if self.morning_fahrenheit is not None
            else _("temperature not written down")
        )
        return [
            (
                "plates",
                _("{plates}; the manual's test pressure is {manual}").format(
                    plates=plates, manual=shown(f"{self.manual_psig:g} psig", "pressure")
                ),
            ),
            (
                "nitrogen, evening",
                _("{pressure}, circuit {temperature}").format(
                    pressure=shown(f"{self.evening_psig:g} psig", "pressure"),
                    temperature=shown(f"{self.evening_fahrenheit:g} F", "temperature"),
                ),
            ),
            (
                "nitrogen, morning",
                _("{pressure}, circuit {temperature}").format(
                    pressure=shown(f"{self.morning_psig:g} psig", "pressure"), temperature=morning
                ),
            ),
            ("pump shut off", self._rise()),
        ]

    def _rise(self) -> str:
        if not self.microns:
            return _("after an hour, the low gauge at 29 inHg; no other gauge on the circuit")
        steps = ", ".join(f"{micron:,.0f}" for micron in self.microns)
        return _("at 70 F: {steps} micron, five minutes apart").format(steps=steps)

    def _after(self) -> list[tuple[str, str]]:
        return [
            (
                "charge",
                _("{mass} of {old} on the data sheet").format(
                    mass=shown(f"{self.sheet_ounces:g} oz", "mass"), old=self.found_on
                ),
            ),
            (
                "scale",
                _("cylinder of {name} {scale}; {hose} stay in the hose").format(
                    name=self.refrigerant,
                    scale=shown(f"{self.scale_ounces:g} oz", "mass"),
                    hose=shown(f"{self.hose_ounces:g} oz", "mass"),
                ),
            ),
            (_("as left"), in_words(self.as_left)),
            (_("healthy one, charged"), in_words(self.healthy_after)),
            *((f"label {letter}", words) for letter, words in zip(LETTERS, self.label, strict=True)),
            *((f"sentence {letter}", words) for letter, words in zip(SIX, self.owner, strict=True)),
        ]


def draw_case(term: str, learner: str, *, assignment: str = "capstone") -> RebuildCase:
    """Return the numbers of one learner."""
    draw = Draw(assignment, term, learner)
    # Half the jobs are conversions, so that the machines that keep their refrigerant come often enough.
    kept = tuple(unit for unit in FLEET if unit.original_refrigerant != "R-12")
    old = tuple(unit for unit in FLEET if unit.original_refrigerant == "R-12")
    unit = draw.pick("unit", old if draw.fraction("conversion") < 0.5 else kept)
    refrigerant = "R-134a" if unit.original_refrigerant == "R-12" else unit.original_refrigerant
    converts, day = refrigerant != unit.original_refrigerant, draw.pick("day", (90.0, 100.0))
    sheet = float(round(units.convert(unit.charge, "mass", "oz")))
    plates = _plates(draw)
    return RebuildCase(
        unit=unit,
        refrigerant=refrigerant,
        day_fahrenheit=day,
        inside=_inside(draw, unit.original_refrigerant),
        recovery_units=draw.order("units", UNITS),
        as_found=_look(unit, day, draw.pick("cause", CAUSES), unit.original_refrigerant),
        healthy_before=_look(unit, day, "", unit.original_refrigerant),
        notes=_notes(draw),
        parts=_parts(draw, unit, converts=converts),
        **_oil(draw),
        plates_psig=plates,
        manual_psig=min(plates) + draw.number("manual", 15.0, 60.0, 5.0),
        **_night(draw),
        sheet_ounces=sheet,
        scale_ounces=draw.number("scale", 300.0, 520.0, 1.0),
        hose_ounces=draw.number("hose", 1.2, 3.2, 0.2),
        as_left=_look(unit, day, draw.pick("left", LEFT), refrigerant, AFTER_A_CHARGE),
        healthy_after=_look(unit, day, "", refrigerant),
        label=_label(draw, refrigerant, converts=converts),
        owner=_owner(draw),
        plan=_plan(draw),
    )


def _look(unit: Unit, day: float, fault: str, refrigerant: str, severity: float = 1.0) -> Noted:
    """Readings of the running machine, and of the machine after a night's rest, as somebody notes them."""
    severity = severity if fault else 0.0
    return note(sick_machines.run(unit.number, day, RPM, fault, severity, refrigerant), *READ, NIGHT)


def _inside(draw: Draw, own: str) -> str:
    kind = draw.pick("inside", (OWN_GAS, MIXED, FLAMMABLE))
    share = int(draw.number("share", 60.0, 88.0, 1.0))
    if kind == OWN_GAS:
        return _("{own} 99 %, air 1 %").format(own=own)
    other = "R-134a" if own == "R-12" else "R-12"
    if kind == FLAMMABLE or own == "R-1234yf":
        return _("{own} {share} %, hydrocarbons {rest} %").format(own=own, share=share, rest=100 - share)
    return _("{own} {share} %, {other} {rest} %").format(own=own, share=share, other=other, rest=100 - share)


def _notes(draw: Draw) -> tuple[str, ...]:
    """Six places, one of them proved."""
    seats, rumors = draw.order("seats", SEATS), draw.order("rumors", SHOWN_ONCE)
    words = [draw.pick("proof", SHOWN_AGAIN), *rumors[:5]]
    told = [f"{seat}: {text}" for seat, text in zip(seats, words, strict=False)]
    return draw.order("places", told)


def _parts(draw: Draw, unit: Unit, *, converts: bool) -> tuple[str, ...]:
    """Eight parts, each in one of the states that such a machine can have."""
    machine = MACHINES[unit.number]
    block, parallel = bool(machine.valve.block), machine.condenser.passes[0] > 3
    found = []
    for part, states in PARTS.items():
        name = _("block valve") if part == "valve" and block else part
        fitting = tuple(
            state.words for state in states if state.fits(converts=converts, block=block, parallel=parallel)
        )
        found.append(f"{name}: {draw.pick(part, fitting)}")
    return draw.order("parts", found)


def _oil(draw: Draw) -> dict[str, float]:
    drained, brought = draw.number("drained", 1.6, 3.2, 0.1), draw.number("brought", 2.2, 4.4, 0.1)
    drier, condenser = draw.number("drier", 0.6, 1.2, 0.1), draw.number("condenser oil", 0.8, 1.6, 0.1)
    flushed, walls = draw.number("flushed", 2.6, 4.0, 0.1), draw.number("walls", 0.3, 0.4, 0.1)
    return {
        "sheet_oil": round(drained + drier + condenser + flushed + walls, 1),
        "drained": drained,
        "drier_oil": drier,
        "condenser_oil": condenser,
        "flushed": flushed,
        "walls": walls,
        "brought": brought,
    }


def _plates(draw: Draw) -> tuple[float, ...]:
    least = draw.number("lowest plate", 150.0, 290.0, 5.0)
    return draw.order("plates", [least, *(least + draw.number(f"plate {one}", 80.0, 300.0, 10.0) for one in range(3))])


def _night(draw: Draw) -> dict[str, object]:
    """Hold test and rise test of one of the six nights of HOLDS."""
    kind = draw.pick("night", HOLDS)
    evening, fall = draw.number("evening", 82.0, 98.0, 1.0), draw.number("colder", 18.0, 34.0, 1.0)
    pressure = draw.number("nitrogen", 120.0, 145.0, 1.0)
    explained = (pressure + 14.696) * (evening - fall + 459.67) / (evening + 459.67) - 14.696
    lost = draw.number("lost", 6.0, 14.0, 0.5) if kind == "leaks" else 0.0
    start, slope = draw.number("start", 280.0, 460.0, 10.0), draw.number("slope", 420.0, 900.0, 10.0)
    water = draw.number("water", 17600.0, 18600.0, 100.0)
    rises = {
        "ready": (start, start + 60.0, start + 80.0, start + 90.0),
        "leaks": tuple(start + slope * step for step in range(4)),
        "hoses": tuple(start + slope * step for step in range(4)),
        "wet": (start, round(0.55 * water, -2), round(0.94 * water, -2), water),
        "unwritten": (start, start + 50.0, start + 70.0, start + 80.0),
        "no gauge": (),
    }
    return {
        "evening_psig": pressure,
        "evening_fahrenheit": evening,
        "morning_psig": round(2.0 * (explained - lost)) / 2.0,
        "morning_fahrenheit": None if kind == "unwritten" else evening - fall,
        "microns": rises[kind],
    }


def _label(draw: Draw, refrigerant: str, *, converts: bool) -> tuple[str, ...]:
    """Eight lines, one to four of them wrong."""
    many = int(draw.number("wrong lines", 2.0, 4.0, 1.0))
    wrong = set(draw.order("which lines", tuple(LABEL))[:many])
    burns = refrigerant == "R-1234yf"
    told = [pair.words(name in wrong, refrigerant=refrigerant, burns=burns) for name, pair in LABEL.items()]
    return draw.order("label", told)


def _owner(draw: Draw) -> tuple[str, ...]:
    return draw.order("sentences", [draw.pick("false", PROMISES), *draw.order("true", REPORTS)[:5]])


def _plan(draw: Draw) -> tuple[str, ...]:
    """The plan in its order, one of its lines done so that somebody gets hurt."""
    wrong = draw.pick("hurts", range(len(PLAN)))
    return tuple(pair[place == wrong] for place, pair in enumerate(PLAN))
