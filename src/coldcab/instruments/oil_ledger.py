"""The oil ledger as a drawing: the circuit filled with its oils, a balance that closes or shows what is missing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab import oil, units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice, Control, Slider, Switch
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.fills import stacked
from coldcab.instruments.drawing.rows import ROW
from coldcab.oil.ledger import KINDS, WHOLE_CIRCUIT
from coldcab.words import _

# Parts on the drawing: x, y, width, height of the box that stands for what a part can hold (m3).
PLACES = {
    "compressor": (40.0, 260.0, 90.0, 84.0, 240e-6),
    "discharge hose": (65.0, 164.0, 40.0, 40.0, 45e-6),
    "condenser": (40.0, 56.0, 90.0, 60.0, 120e-6),
    "receiver-drier": (190.0, 56.0, 60.0, 60.0, 60e-6),
    "liquid line": (308.0, 66.0, 40.0, 40.0, 45e-6),
    "evaporator": (408.0, 56.0, 90.0, 60.0, 180e-6),
    "suction hose": (433.0, 282.0, 40.0, 40.0, 45e-6),
    WHOLE_CIRCUIT: (190.0, 190.0, 150.0, 66.0, 400e-6),
}
ROUTE = [(85, 302), (85, 86), (453, 86), (453, 302)]
BALANCE = (560.0, 56.0, 300.0)  # x, top, height
BAR = 104.0
GAP_BETWEEN = 40.0
LIST_TOP = 422.0
MOST_LINES = 9
WHERE, HOW_MUCH = 500.0, 645.0
JOBS = (_("seal leak, drier changed"), _("compressor swapped, no flush"), "rebuild, all flushed")
MEASURED = 0.1  # fl oz that a measuring cup is read to
GUESSED = 1.0  # fl oz that a guess is worth, at best
SHEET_DOUBT = 0.5  # fl oz between machines of one data sheet
OUNCE = units.from_unit(1.0, "volume", "fl oz")


def _ounces(name: str, label: str, highest: float, start: float, folded: bool = False) -> Slider:
    return Slider(name, label, "volume", 0.0, highest, 0.1, start, "fl oz", "mL", 5.0, decimals=1, folded=folded)


class OilLedger(Instrument):
    """An oil job to keep the books of, or a ledger made elsewhere.

    Parameters
    ----------
    ledger : a `coldcab.oil.Ledger` to draw as it is, without controls; None for a job that the settings describe.

    Settings: `job` (one of `JOBS`), `required` (data sheet), `recovered` (came out with the gas), `leaked` (judged from
    the stain), `drained` (left with the old compressor), `brought` (came with the new one), `drier` (left with the old
    drier), `added`, `counted` (found in the end), all in fl oz; `measured` (True: with a cup, False: guessed), `check`
    (True: it was counted at the end). Readings (SI): `ledger`, `before`, `after`, `to_add`, `gap` and their
    uncertainties ("before doubt"), `balances`.
    """

    title = "The oil ledger"
    height = int(LIST_TOP + ROW * MOST_LINES + 20)
    word_lines = 5
    stamp = (270.0, 150.0)
    drawer = _("What was found at the end")
    controls = (
        Choice("job", "job", JOBS, JOBS[1]),
        _ounces("required", "data sheet", 16.0, 8.0),
        _ounces("recovered", "out with gas", 4.0, 0.3),
        _ounces("leaked", "lost at leak", 6.0, 1.0),
        _ounces("drained", "old compressor", 12.0, 2.4),
        _ounces("brought", "new compressor", 12.0, 4.0),
        _ounces("drier", "old drier", 4.0, 0.7),
        _ounces("added", "put in", 16.0, 0.0),
        Switch("measured", _("measured with a cup, not guessed"), True),
        Switch("check", _("the oil was drained and counted at the end"), False, folded=True),
        _ounces("counted", "found inside", 24.0, 8.0, folded=True),
    )

    def __init__(self, *, ledger: oil.Ledger | None = None, **settings: Any) -> None:
        self._given = ledger
        if ledger is not None:
            settings["fixed"] = True
        super().__init__(**settings)

    def show(self, ledger: oil.Ledger) -> OilLedger:
        """Draw another ledger made elsewhere."""
        self._given = ledger
        self._work_out()
        if self._panel is not None:
            self._panel.paint()
        return self

    def in_use(self, control: Control) -> bool:
        if self._given is not None:
            return False
        job = self._settings["job"]
        if control.name in ("drained", "brought"):
            return job != JOBS[0]
        if control.name == "counted":
            return self._settings["check"]
        if control.name == "leaked":
            return job == JOBS[0]
        return control.name not in ("recovered", "drier") or job != JOBS[2]

    def calculate(self) -> dict[str, Any]:
        ledger = self._job() if self._given is None else self._given
        gap = ledger.gap
        return {
            "ledger": ledger,
            "before": ledger.total_before.volume,
            "before doubt": ledger.total_before.uncertainty,
            "after": ledger.total_after.volume,
            "after doubt": ledger.total_after.uncertainty,
            "to_add": None if ledger.required is None else ledger.to_add.volume,
            "gap": None if gap is None else gap.volume,
            "gap doubt": None if gap is None else gap.uncertainty,
            "balances": ledger.balances,
        }

    def _job(self) -> oil.Ledger:
        """The books of the job that is set."""
        given, job = self._settings, self._settings["job"]
        doubt = (MEASURED if given["measured"] else GUESSED) * OUNCE
        sheet_doubt = SHEET_DOUBT * OUNCE
        books = oil.Ledger("PAG", required=given["required"])
        if job == JOBS[2]:
            books = books.enter("in", _("nothing: every part flushed or new"), 0.0, 0.2 * OUNCE)
            books = books.enter("added", _("came with the new compressor"), given["brought"], doubt, part="compressor")
        else:
            books = books.enter("in", _("data sheet of the machine"), given["required"], sheet_doubt)
            books = books.enter("out", _("came out with the recovered gas"), given["recovered"], doubt)
            if job == JOBS[0]:
                # Nobody can measure what a leak has carried off.
                books = books.enter("out", _("lost at the leak, judged"), given["leaked"], GUESSED * OUNCE)
            if job == JOBS[1]:
                books = books.replaced(
                    "compressor",
                    given["drained"],
                    given["brought"],
                    removed_uncertainty=doubt,
                    brought_uncertainty=doubt,
                )
            books = books.replaced("receiver-drier", given["drier"], 0.0, removed_uncertainty=doubt)
        if given["added"] > 0.0:
            books = books.enter("added", _("put in with the measuring cup"), given["added"], MEASURED * OUNCE)
        if given["check"]:
            books = books.enter("kept", _("drained and counted at the end"), given["counted"], MEASURED * OUNCE)
        return books

    # Drawing ----------------------------------------------------------------------------------------------------

    def face(self) -> str:
        drawn = svg.text(style.MARGIN, 28, _("Oil in the circuit"), bold=True)
        drawn += svg.path(ROUTE, closed=True, stroke=style.METAL, stroke_width=8)
        x, top, __ = BALANCE
        drawn += svg.text(x, 28, "The balance", bold=True)
        drawn += svg.text(x + BAR / 2, top - 8, "came", size=style.TICK, anchor="middle", color=style.SOFT)
        drawn += svg.text(
            x + BAR * 1.5 + GAP_BETWEEN, top - 8, "left, and inside", size=style.TICK, anchor="middle", color=style.SOFT
        )
        heads = ((130, "start"), (WHERE, "start"), (HOW_MUCH, "start"))
        for (at, anchor), words in zip(heads, ("what", "where", "how much"), strict=True):
            drawn += svg.text(at, LIST_TOP, words, size=style.TICK, color=style.SOFT, anchor=anchor)
        return drawn

    def moving(self, readings: Mapping[str, Any]) -> str:
        ledger = readings["ledger"]
        return self._circuit(ledger) + self._balance(ledger) + self._list(ledger)

    def _circuit(self, ledger: oil.Ledger) -> str:
        contents = ledger.contents()
        drawn = ""
        for part, (x, y, width, height, most) in PLACES.items():
            volumes = contents.get(part, {})
            there = sum(volumes.values())
            level = height * min(max(there, 0.0) / most, 1.0)
            drawn += svg.box(x, y, width, height, rx=3, fill=style.PAPER)
            drawn += stacked(x, y + height, width, level, volumes)
            dash = "5 4" if part == WHOLE_CIRCUIT else None
            drawn += svg.box(
                x, y, width, height, rx=3, fill="none", stroke=style.INK, stroke_width=2, stroke_dasharray=dash
            )
            words = _("part not named") if part == WHOLE_CIRCUIT else part
            drawn += svg.text(x + width / 2, y - 7, words, size=style.TICK, anchor="middle", halo=True)
            if part in contents or part == WHOLE_CIRCUIT:
                shown = self._short(there)
                drawn += svg.text(x + width / 2, y + height + 18, shown, anchor="middle", bold=True, halo=True)
        return drawn + self._key(
            {name for place in contents.values() for name, volume in place.items() if volume > 0.0}
        )

    def _key(self, oils: set[str]) -> str:
        """Which pattern is which oil, for the oils that are there."""
        drawn = ""
        for place, name in enumerate(name for name in style.OIL if name in oils):
            x = 40 + 130 * place
            drawn += stacked(x, 396, 22, 16, {name: 1.0}) + svg.box(x, 380, 22, 16, fill="none", stroke=style.INK)
            drawn += svg.text(x + 28, 393, name, size=style.TICK)
        return drawn

    def _balance(self, ledger: oil.Ledger) -> str:
        """Two columns of one scale: what came, and what went, what is, what was found."""
        x, top, height = BALANCE
        came = ledger.sum_of("in").volume, ledger.sum_of("added").volume
        went, after = ledger.sum_of("out").volume, ledger.total_after.volume
        gap = ledger.gap
        found = None if gap is None else after - gap.volume
        whole = max(sum(came), went + max(after, 0.0), went + (found or 0.0), 1e-6)
        scale = height / whole
        other = x + BAR + GAP_BETWEEN
        drawn = self._column(x, scale, (("was in", came[0], "solid"), ("put in", came[1], "open")))
        if found is None:
            drawn += self._column(other, scale, (("left", went, "gone"), ("must be in", max(after, 0.0), "open")))
            return drawn
        drawn += self._column(other, scale, (("left", went, "gone"), ("found inside", found, "solid")))
        base = top + height
        first, second = base - scale * (went + found), base - scale * (went + max(after, 0.0))
        if abs(second - first) > 1.0:
            high, low = min(first, second), max(first, second)
            color = style.SOFT if ledger.balances else style.HIGH
            drawn += svg.box(
                other, high, BAR, low - high, fill="none", stroke=color, stroke_width=2, stroke_dasharray="4 3"
            )
        verdict = "balances" if ledger.balances else ("missing" if gap.volume > 0.0 else "too much")
        words = verdict if ledger.balances else f"{self._short(abs(gap.volume))} {verdict}"
        drawn += svg.text(
            other + BAR, base + 42, words, anchor="end", bold=True, color=style.INK if ledger.balances else style.HIGH
        )
        # The doubt as a bar with two ends beside the column.
        half = scale * gap.uncertainty
        at = other + BAR + 10
        drawn += svg.line(at, second - half, at, second + half, stroke=style.INK, stroke_width=2)
        return drawn + "".join(
            svg.line(at - 5, end, at + 5, end, stroke=style.INK, stroke_width=2)
            for end in (second - half, second + half)
        )

    def _column(self, x: float, scale: float, pieces: tuple[tuple[str, float, str], ...]) -> str:
        __, top, height = BALANCE
        looks = {
            "solid": {"fill": style.LIQUID},
            "open": {"fill": style.VAPOR},
            "gone": {"fill": "none", "stroke_dasharray": "2 4"},
        }
        drawn, at = "", top + height
        for words, volume, kind in pieces:
            part = scale * volume
            if part <= 0.0:
                continue
            at -= part
            drawn += svg.box(x, at, BAR, part, stroke=style.INK, stroke_width=style.THIN, **looks[kind])
            if part > 44:
                drawn += svg.text(x + BAR / 2, at + part / 2 - 3, words, size=style.TICK, anchor="middle")
                shown = self._short(volume)
                drawn += svg.text(x + BAR / 2, at + part / 2 + 16, shown, anchor="middle", size=style.TICK, bold=True)
            elif part > 20:
                shown = f"{words.split()[0]} {self._short(volume).split()[0]}"
                drawn += svg.text(x + BAR / 2, at + part / 2 + 5, shown, size=style.TICK, anchor="middle")
        return drawn

    def _list(self, ledger: oil.Ledger) -> str:
        drawn = ""
        lines = ledger.entries[:MOST_LINES] if len(ledger.entries) <= MOST_LINES else ledger.entries[: MOST_LINES - 1]
        for row, entry in enumerate(lines):
            y = LIST_TOP + ROW * (row + 1)
            drawn += svg.line(20, y + 6, style.WIDTH - 20, y + 6, stroke=style.RULE)
            what = entry.what if len(entry.what) <= 44 else f"{entry.what[:41]}..."
            if entry.oil != ledger.oil:
                what = f"{what[:30]} ({entry.oil})"
            drawn += svg.text(20, y, KINDS[entry.kind], size=style.TICK, color=style.SOFT)
            drawn += svg.text(130, y, what, size=style.TICK)
            drawn += svg.text(WHERE, y, entry.part, size=style.TICK)
            drawn += svg.text(
                HOW_MUCH, y, f"{self._short(entry.volume)} ± {self._short(entry.uncertainty)}", size=style.TICK
            )
        left = len(ledger.entries) - len(lines)
        drawn = svg.group(drawn, data_table=4)
        if left:
            drawn += svg.text(
                130, LIST_TOP + ROW * MOST_LINES, _("and {left} more lines").format(left=left), size=style.TICK
            )
        return drawn

    # Words ------------------------------------------------------------------------------------------------------

    def summary(self, readings: Mapping[str, Any]) -> str:
        return readings["ledger"].verdict(self.system)

    def details(self, readings: Mapping[str, Any]) -> str:
        ledger = readings["ledger"]
        lines = "; ".join(
            _("{kinds}: {what}, {volume} plus or minus {uncertainty}").format(
                kinds=KINDS[entry.kind],
                what=entry.what,
                volume=self._short(entry.volume),
                uncertainty=self._short(entry.uncertainty),
            )
            + ("" if entry.part == WHOLE_CIRCUIT else f", {entry.part}")
            for entry in ledger.entries
        )
        return f"{self.summary(readings)} Lines: {lines}."

    def _short(self, value: float) -> str:
        """A volume of oil as a cup shows it."""
        unit, decimals = ("fl oz", 1) if self.system == "us" else ("mL", 0)
        shown = f"{units.convert(value, 'volume', unit):.{decimals}f}"
        return f"{shown.removeprefix('-') if not shown.strip('-0.') else shown} {unit}"
