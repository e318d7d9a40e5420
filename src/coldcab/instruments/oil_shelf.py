"""The oil shelf: a machine with its plate, ten tins, and the six questions that a tin has to pass."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.fills import filled
from coldcab.oil import objections
from coldcab.oil.shelf import DRIVE, DYE, GRADE, REFRIGERANT, STATE, TYPE, UNIVERSAL, Tin
from coldcab.scenario.oil_shelf import MACHINES, SHELF
from coldcab.words import _

NAMES = tuple(one.machine for one in MACHINES)
COLUMNS, TIN_WIDTH, TIN_HEIGHT, GAP = 5, 150.0, 150.0, 10.0
SHELF_TOP, CHECKS_TOP, ROW = 52.0, 440.0, 27.0
ANSWERS = 776.0
QUESTIONS = {
    TYPE: _("Type?"),
    GRADE: _("Grade?"),
    REFRIGERANT: _("Refrigerant on the label?"),
    DRIVE: _("Belt or electric?"),
    DYE: _("Dye?"),
    STATE: _("Kept how?"),
}
DANGER = _("Never: this oil can bring high voltage to the housing.")


class OilShelf(Instrument):
    """A machine and a tin. Settings: `machine` (one of `NAMES`), `tin` (a letter of the shelf).

    Readings: `against` (what stands against this tin, see `coldcab.oil.objections`), `fitting` (letters of all tins
    that nothing stands against).
    """

    title = _("The oil shelf")
    height = int(CHECKS_TOP + 7 * ROW + 16)
    word_lines = 3
    words_above = True
    controls = (
        Choice("machine", "machine", NAMES, NAMES[0]),
        Choice("tin", "tin", tuple(SHELF), "K"),
    )

    @property
    def waiting(self):
        """The machine that is chosen."""
        return MACHINES[NAMES.index(self.settings["machine"])]

    def calculate(self) -> dict[str, Any]:
        plate = self.waiting.plate
        return {
            "against": objections(plate, SHELF[self.settings["tin"]]),
            "fitting": tuple(letter for letter, tin in SHELF.items() if not objections(plate, tin)),
        }

    def face(self) -> str:
        drawn = svg.text(style.MARGIN, 32, _("Ten tins"), size=style.STRONG, bold=True)
        for place, (letter, tin) in enumerate(SHELF.items()):
            drawn += _tin(*_corner(place), letter, tin)
        for row in (0, 1):
            y = SHELF_TOP + row * (TIN_HEIGHT + 34) + TIN_HEIGHT
            drawn += svg.line(
                style.MARGIN, y, style.WIDTH - style.MARGIN, y, stroke=style.INK, stroke_width=style.HEAVY
            )
        return drawn

    def moving(self, readings: Mapping[str, Any]) -> str:
        letter = self.settings["tin"]
        x, y = _corner(list(SHELF).index(letter))
        drawn = svg.box(x - 4, y - 4, TIN_WIDTH + 8, TIN_HEIGHT + 6, fill="none", stroke=style.AIR, stroke_width=4)
        head = _("Tin {letter} for {machine}").format(letter=letter, machine=self.settings["machine"])
        drawn += svg.text(style.MARGIN, CHECKS_TOP, head, size=style.STRONG, bold=True)
        lines = ""
        for place, (name, asked) in enumerate(self._asked().items()):
            row = CHECKS_TOP + ROW * (place + 1.2)
            bad = name in readings["against"]
            lines += svg.line(style.MARGIN, row - 18, style.WIDTH - style.MARGIN, row - 18, stroke=style.RULE)
            lines += svg.text(style.MARGIN, row, QUESTIONS[name], size=style.TICK, bold=True)
            lines += svg.text(266, row, asked, size=style.TICK)
            lines += svg.text(
                ANSWERS,
                row,
                _("NO") if bad else _("fits"),
                bold=bad,
                color=style.HIGH if bad else style.INK,
            )
        return drawn + svg.group(lines, data_table=3)

    def _asked(self) -> dict[str, str]:
        """What plate and tin say, question by question."""
        plate, tin = self.waiting.plate, SHELF[self.settings["tin"]]
        grade = _("none") if tin.grade is None else f"ISO {tin.grade}"
        return {
            TYPE: _("plate: {plate} · tin: {tin}").format(plate=plate.oil, tin=tin.oil),
            GRADE: _("plate: ISO {plate} · tin: {tin}").format(plate=plate.grade, tin=grade),
            REFRIGERANT: _("machine: {machine} · label: {label}").format(
                machine=plate.refrigerant, label=", ".join(tin.refrigerants)
            ),
            DRIVE: _("machine: {machine} · tin: {tin}").format(
                machine=_("electric") if plate.electric else _("belt"),
                tin=_("for electric compressors") if tin.electric else _("says nothing"),
            ),
            DYE: _("manual: {manual} · tin: {tin}").format(
                manual=_("allowed") if plate.dye_allowed else _("not allowed"),
                tin=_("dye in it") if tin.dye else _("none"),
            ),
            STATE: tin.state,
        }

    def summary(self, readings: Mapping[str, Any]) -> str:
        plate = self.waiting.words
        said = f"{plate[:1].upper()}{plate[1:]}. "
        against = readings["against"]
        if not against:
            return said + _("Tin {letter} passes all six questions.").format(letter=self.settings["tin"])
        said += _("Tin {letter}: {against}.").format(letter=self.settings["tin"], against=", ".join(against))
        if DRIVE in against:
            return f"{said} {DANGER}"
        return said if readings["fitting"] else said + _(" No tin on this shelf fits: order one.")

    def details(self, readings: Mapping[str, Any]) -> str:
        tins = " ".join(
            _("Tin {letter}: {words}.").format(letter=letter, words=tin.words) for letter, tin in SHELF.items()
        )
        return f"{self.summary(readings)} {tins}"


def _corner(place: int) -> tuple[float, float]:
    row, column = divmod(place, COLUMNS)
    return style.MARGIN + 4 + column * (TIN_WIDTH + GAP), SHELF_TOP + row * (TIN_HEIGHT + 34)


def _tin(x: float, y: float, letter: str, tin: Tin) -> str:
    """A tin with its label, its cap and how it was kept."""
    drawn = svg.box(x, y, TIN_WIDTH, TIN_HEIGHT, fill=style.PAPER, stroke=style.INK)
    if tin.oil != UNIVERSAL:
        drawn += filled(x, y, TIN_WIDTH, 24, tin.oil)
    drawn += svg.line(x, y + 24, x + TIN_WIDTH, y + 24, stroke=style.INK)
    drawn += svg.text(x + 8, y + 44, letter, bold=True)
    name = _("“universal”") if tin.oil == UNIVERSAL else f"{tin.oil.removesuffix(' oil')} {tin.grade}"
    drawn += svg.text(x + 28, y + 44, name, size=style.TICK, bold=True)
    lines = [", ".join(tin.refrigerants)]
    if tin.electric:
        lines.append(_("for electric"))
    if tin.dye:
        lines.append(_("with dye"))
    lines.append(tin.state)
    rows = [part for line in lines for part in svg.wrap(line, TIN_WIDTH - 12, 14)]
    return drawn + "".join(svg.text(x + 8, y + 64 + 18 * place, row, size=14) for place, row in enumerate(rows))
