"""The words a notebook understands: ``%practice``, ``%sheet``, ``%%answers`` and ``%check``.

They only carry text between the learner and the rooms that know the answers; nothing is calculated here.
"""

from __future__ import annotations

import os
import shlex
from dataclasses import dataclass, field
from html import escape
from pathlib import Path
from typing import Any

from IPython.core.magic import Magics, cell_magic, line_magic, magics_class
from IPython.display import display

from coldcab import assess, learner, lessons
from coldcab.assess.marking import Mark
from coldcab.desk import marked as keep_marks
from coldcab.desk import opened as keep_opened
from coldcab.instruments.drawing import style
from coldcab.instruments.tables import html_table
from coldcab.quantities import ColdcabError
from coldcab.words import _

_STYLE = (
    f"background:{style.CARD_GROUND};color:{style.CARD_INK};border:1px solid {style.CARD_RULE};"
    "border-radius:6px;padding:10px 14px;font:14px/1.45 system-ui,sans-serif;max-width:46em"
)
# Shape and word carry the meaning; the colour only helps.
_SIGNS = {
    "right": ("✔", "right", style.CARD_RIGHT),
    "idea": ("✎", "look again", style.CARD_WRONG),
    "wrong": ("✎", "look again", style.CARD_WRONG),
    "blank": ("○", "blank", style.CARD_QUIET),
    "unreadable": ("?", "not read", style.CARD_WRONG),
    "read": ("✔", "read", style.CARD_READ),
}


ALONE = "alone"
"""The id of who gives none: working alone, but with units of one's own choice."""


class SheetError(ColdcabError):
    """A message to the learner; shown as its sentence alone, without a traceback."""

    def _render_traceback_(self) -> list[str]:
        return [str(self)]


@dataclass
class Card:
    """Something to show, in words and as HTML."""

    text: str
    html: str

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> dict[str, str]:
        return {"text/plain": self.text, "text/html": f'<div style="{_STYLE}">{self.html}</div>'}


def numbers_card(title: str, case: Any, note: str = "") -> Card:
    """Show the numbers of a case."""
    lines = case.lines()
    width = max(len(label) for label, __ in lines)
    text = "\n".join([title, *(f"  {label:<{width}}  {value}" for label, value in lines), *([note] if note else [])])
    foot = f'<div style="color:{style.CARD_QUIET};margin-top:4px">{escape(note)}</div>' if note else ""
    return Card(text, f"<strong>{escape(title)}</strong>{_numbers_table(lines)}{foot}")


def _numbers_table(lines: list[tuple[str, str]]) -> str:
    cell = "text-align:left;padding:2px 14px 2px 0;vertical-align:top"
    head = "text-align:left;font-weight:600;min-width:12em;padding:2px 14px 2px 0;vertical-align:top"
    return html_table(lines, look="border-collapse:collapse;margin:4px 0", cell=cell, row_head=head)


def feedback_card(rows: list[tuple[str, str, str, str]], problems: tuple[str, ...], summary: str) -> Card:
    """Show what became of each line: (status, label, what was read, feedback)."""
    text = [summary, *problems]
    html = [f"<strong>{escape(summary)}</strong>"]
    html += [f'<p style="margin:4px 0;color:{style.CARD_WRONG}">{escape(problem)}</p>' for problem in problems]
    html.append('<table style="border-collapse:collapse;margin:4px 0">')
    for status, label, read, feedback in rows:
        sign, word, color = _SIGNS[status]
        text.append(f"{sign} {label}: " + "; ".join(part for part in (read, feedback) if part))
        html.append(
            f'<tr><td style="color:{color};padding:2px 10px 2px 0;white-space:nowrap;vertical-align:top;'
            f'text-align:left">{sign} {word}</td><th scope="row" style="text-align:left;font-weight:600;'
            f'padding:2px 12px 2px 0;vertical-align:top">{escape(label)}</th><td style="text-align:left;'
            f'padding:2px 0;vertical-align:top">{escape(read)}'
            + (f"<br>{escape(feedback)}" if read and feedback else escape(feedback))
            + "</td></tr>"
        )
    html.append("</table>")
    return Card("\n".join(text), "".join(html))


@dataclass
class Desk:
    """What lies on the learner's desk in this notebook: one sheet, its numbers, and what was written last."""

    assignment: assess.Assignment
    case: Any
    answers: dict[str, str] = field(default_factory=dict)
    number: int = 0
    """Of the practice sheet's card; 0 on a graded sheet."""
    feedback: Any = None
    """Where the feedback of a practice sheet stands on the page, so that new numbers can clear it."""

    @property
    def practice(self) -> bool:
        """Whether answers are marked at once."""
        return self.number > 0


def _open_form(name: str) -> assess.Assignment:
    if name not in lessons.FORMS:
        raise SheetError(
            _("There is no graded sheet named {name!r}; there are {forms}.").format(
                name=name, forms=", ".join(lessons.FORMS)
            )
        )
    return lessons.FORMS[name]


def _marking() -> tuple[str, str, str] | None:
    """Reference folder, term and learner where an instructor's own kernel marks a collected sheet; else None."""
    reference = os.environ.get("COLDCAB_REFERENCE")
    if not reference:
        return None
    # nbgrader runs a submission in autograded/<learner>/<assignment>; what the notebook claims does not count.
    who = os.environ.get("COLDCAB_GRADED_LEARNER") or Path.cwd().parent.name
    return reference, os.environ.get("COLDCAB_TERM", learner.DEFAULT_TERM), who


def _enrolled() -> learner.Learner | None:
    """The learner at this desk; None while nobody is, or while the file about it cannot be read."""
    try:
        return learner.read()
    except learner.LearnerError:
        return None


def _learner_folder() -> Path:
    """Where the learner's file belongs: the folder of start-here, or the current one."""
    here = Path.cwd()
    return learner.find() or next(
        (folder for folder in (here, *here.parents) if (folder / "start-here.ipynb").is_file()), here
    )


class PracticeNumbers:
    """The numbers of a practice sheet with a button that draws new ones."""

    def __init__(self, magics: SheetMagics, sheet: assess.Assignment) -> None:
        self._magics, self._sheet, self._number = magics, sheet, 0
        self._widget: Any = None
        self._draw()

    def _draw(self) -> None:
        self._number += 1
        case = lessons.practice_case(self._sheet.name, self._number)
        self._magics.desks[self._sheet.name] = Desk(self._sheet, case, number=self._number)
        note = _("Invented shop, invented numbers.")
        title = _("Practice {number}: {title}").format(number=self._number, title=self._sheet.title)
        self.card = numbers_card(title, case, note)

    def renew(self, _button: Any = None) -> None:
        """Draw new numbers, show them, and take away the feedback on the old ones."""
        feedback = self._magics.desks[self._sheet.name].feedback
        self._draw()
        if feedback is not None:
            said = _("New numbers are drawn. Write your answers for them, then press “Check this sheet”.")
            feedback.update(Card(said, escape(said)))
            self._magics.desks[self._sheet.name].feedback = feedback
        if self._widget is not None:
            self._html.value = self.card._repr_mimebundle_()["text/html"]

    @property
    def widget(self) -> Any:
        """The numbers and the button."""
        if self._widget is None:
            import ipywidgets

            self._html = ipywidgets.HTML(self.card._repr_mimebundle_()["text/html"])
            button = ipywidgets.Button(description=_("New numbers"), tooltip=_("Draw another machine and another day"))
            button.on_click(self.renew)
            self._widget = ipywidgets.VBox([self._html, button])
        return self._widget

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> Any:
        data, metadata = _widget_bundle(self.widget)
        return {**data, **self.card._repr_mimebundle_()}, metadata


def _widget_bundle(widget: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    bundle = widget._repr_mimebundle_()
    return bundle if isinstance(bundle, tuple) else (bundle, {})


class Enrollment:
    """Asks once for the learner's id and term, then shows the sheet's numbers."""

    def __init__(self, then: Any = None) -> None:
        self._then = then
        self._widget: Any = None

    text = _(
        "This course does not know you yet. Type the id your instructor gave you. Your numbers "
        "come from it, so no two learners have the same sheet."
    )

    @property
    def widget(self) -> Any:
        """Three fields and a button."""
        if self._widget is None:
            import ipywidgets

            who = _enrolled()
            wide = {"description_width": "8em"}
            name = ipywidgets.Text(value=who.id if who else "", description=_("Learner id"), style=wide)
            term = ipywidgets.Text(
                value=who.term if who else learner.DEFAULT_TERM, description=_("Class term"), style=wide
            )
            units = ipywidgets.Dropdown(
                options=[(words, name) for name, words in learner.UNITS.items()],
                value=who.units if who else "us",
                description=_("Units"),
                style=wide,
            )
            button = ipywidgets.Button(description=_("Save"), button_style="primary")
            said = ipywidgets.HTML(escape(self.text) if who is None else "")

            def save(_button: Any) -> None:
                try:
                    saved = learner.Learner(
                        name.value.strip() or (ALONE if self._then is None else ""),
                        term.value.strip() or learner.DEFAULT_TERM,
                        units.value,
                    )
                    learner.write(saved, _learner_folder())
                except (ValueError, OSError) as error:
                    said.value = escape(str(error))
                    return
                said.value = (
                    f"Saved. You are <strong>{escape(saved.id)}</strong>, term {escape(saved.term)}, "
                    f"{escape(learner.UNITS[saved.units])}."
                )
                if self._then is not None:
                    said.value += self._then(saved)

            button.on_click(save)
            self._widget = ipywidgets.VBox([said, name, term, units, button])
        return self._widget

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> Any:
        data, metadata = _widget_bundle(self.widget)
        card = Card(self.text, escape(self.text))
        return {**data, **card._repr_mimebundle_()}, metadata


@magics_class
class SheetMagics(Magics):
    """The magics; they keep one desk for each sheet of the notebook."""

    def __init__(self, shell: Any) -> None:
        super().__init__(shell)
        self.desks: dict[str, Desk] = {}
        self._marked_with: assess.Assignment | None = None

    def _desk(self, name: str) -> Desk:
        if name in self.desks:
            return self.desks[name]
        # A learner may well check a sheet before anything else of the page has run.
        if name in lessons.PRACTICE:
            PracticeNumbers(self, lessons.PRACTICE[name])
            return self.desks[name]
        if name in lessons.FORMS:
            self.sheet(name)  # type: ignore[call-arg, misc]  # IPython types a magic as if it had no self
            return self.desks[name]
        if name:
            raise SheetError(_("There is no sheet named {name!r} here.").format(name=name))
        if not self.desks:
            raise SheetError(_("No sheet is open in this notebook yet; press “Start this lesson” at the top."))
        return list(self.desks.values())[-1]

    @line_magic
    def enroll(self, line: str) -> Enrollment:
        """Show the fields for learner id and term."""
        return Enrollment()

    @line_magic
    def desk(self, line: str) -> Any:
        """Show the learner's desk."""
        from coldcab.desk.widget import LearnerDesk

        return LearnerDesk()

    @line_magic
    def cover(self, line: str) -> Any:
        """Show the picture of the course."""
        from coldcab.desk.cover import Cover

        return Cover()

    @line_magic
    def practice(self, line: str) -> PracticeNumbers:
        """Open a practice sheet: ``%practice cycle-1``."""
        name = f"practice-{line.strip()}"
        if name not in lessons.PRACTICE:
            raise SheetError(_("There is no practice sheet named {line!r}.").format(line=line.strip()))
        keep_opened(line.strip(), "lesson")
        return PracticeNumbers(self, lessons.PRACTICE[name])

    @line_magic
    def sheet(self, line: str) -> Any:
        """Open a graded sheet: ``%sheet cycle-1 --term 2026-autumn``."""
        words = shlex.split(line)
        form = _open_form(words[0] if words else "")
        term = words[words.index("--term") + 1] if "--term" in words[:-1] else None
        marking = _marking()
        if marking:
            from coldcab.lessons.keys import keyed

            reference, term, name = marking
            self._marked_with = keyed(Path(reference) / form.name, form.name)
            return self._show(form, learner.Learner(name, term), term)
        keep_opened(form.name, "sheet")
        who = _enrolled()
        if who is None:
            # The form can be read and filled before the id is known; only the numbers wait for it.
            self.desks[form.name] = Desk(form, None)

            def numbers(saved: learner.Learner) -> str:
                return self._show(form, saved, term or saved.term)._repr_mimebundle_()["text/html"]

            return Enrollment(then=numbers)
        return self._show(form, who, term or who.term)

    def _show(self, form: assess.Assignment, who: learner.Learner, term: str) -> Card:
        case = form.case(term, who.id)
        previous = self.desks.get(form.name)
        self.desks[form.name] = Desk(form, case, previous.answers if previous else {})
        note = _("Your numbers come from your id and the term. Invented shop, invented machine.")
        return numbers_card(
            _("{title}: sheet of {id}, term {term}").format(title=form.title, id=who.id, term=term), case, note
        )

    @cell_magic
    def answers(self, line: str, cell: str) -> None:
        """Read a sheet: ``%%answers``, or ``%%answers practice-cycle-1`` where a notebook has several."""
        desk = self._desk(line.strip())
        items = desk.assignment.items
        sheet = assess.parse_sheet(cell, [item.label for item in items])
        desk.answers.update(sheet.answers)
        asked = [item for item in items if item.label in sheet.answers]
        if desk.practice:
            deck = lessons.deck(desk.assignment.name)
            marks = [
                assess.mark_by_card(item, sheet.answers[item.label], deck.card(item.label, desk.number), desk.case)
                for item in asked
            ]
            keep_marks(desk.assignment.name, desk.number, marks)
            right = sum(mark.status == "right" for mark in marks)
            summary = _("{right} of {items} right.").format(right=right, items=len(items))
            if all(mark.status == "blank" for mark in marks):
                summary = _("Nothing filled in yet. Write an answer after a colon, then press “Check this sheet”.")
            card = feedback_card([_practice_row(mark) for mark in marks], sheet.problems, summary)
            desk.feedback = display(card, display_id=True)
            return
        rows = [_form_row(item, sheet.answers[item.label], desk.case) for item in asked]
        ready = sum(row[0] == "read" for row in rows)
        summary = _("{ready} of {asked} lines here can be read. Whether they are right is for the grading.").format(
            ready=ready, asked=len(asked)
        )
        display(feedback_card(rows, sheet.problems, summary))

    @line_magic
    def check(self, line: str) -> Any:
        """Check one line before handing in: ``%check absolute pressure``. On the instructor's side, mark it."""
        label = line.strip()
        desk = self._desk("")
        item = desk.assignment.item(label)
        answer = desk.answers.get(label, "")
        if _marking() and self._marked_with is not None:
            return assess.mark(self._marked_with.item(label), answer, desk.case).points
        status, __, read, said = _form_row(item, answer, desk.case)
        if status == "read" and desk.case is not None:
            display(
                Card(
                    _("✔ {label}: read as {read}").format(label=label, read=read),
                    _("✔ {label}: read as {read}").format(label=escape(label), read=escape(read)),
                )
            )
            return None
        message = f"{label}: " + (said if status != "read" else _("no learner id yet; run the top of the sheet."))
        # At the desk a calm line is enough; when the whole sheet is validated, an error is what gets counted.
        if "JPY_SESSION_NAME" in os.environ:
            display(Card(f"○ {message}", f"○ {escape(message)}"))
            return None
        raise SheetError(message)


def _practice_row(mark: Mark) -> tuple[str, str, str, str]:
    return mark.status, mark.label, mark.read, "" if mark.status == "right" else mark.feedback


def _form_row(item: assess.Item, answer: str, case: Any) -> tuple[str, str, str, str]:
    reading = assess.read_answer(item, answer, case)
    if reading.value is not None:
        return "read", item.label, reading.echo, ""
    if reading.problem:
        return "unreadable", item.label, "", reading.problem
    return "blank", item.label, "", _("not filled in yet, for example {example}").format(example=item.example)


def mend_sheet(lines: list[str]) -> list[str]:
    """Give a sheet its first line back.

    People delete, indent or push down the line ``%%answers``; then a kernel would take their words for a program.
    A cell that holds that line anywhere, or whose first line begins with a label of the course, is a sheet.
    """
    heads = [number for number, line in enumerate(lines) if line.strip().startswith(assess.MAGIC)]
    if heads:
        body = [line for number, line in enumerate(lines) if number not in heads]
        return [lines[heads[0]].strip() + "\n", *(body if "".join(body).strip() else ["#\n"])]
    first = next((line for line in lines if line.strip()), "")
    label = assess.fold(first.replace("=", ":").partition(":")[0])
    known = {assess.fold(item.label) for form in lessons.FORMS.values() for item in form.items}
    return [assess.MAGIC + "\n", *lines] if label in known else lines


def load(shell: Any) -> None:
    """Make the magics known to a kernel from the first cell of a page.

    That cell runs again whenever the lesson is started, and IPython would tell the learner each time that the
    extension is loaded already. So it is told to forget.
    """
    register(shell)

    def forget(__: object) -> None:
        shell.extension_manager.loaded.discard("coldcab")
        shell.events.unregister("post_run_cell", forget)

    shell.events.register("post_run_cell", forget)


def register(shell: Any) -> None:
    """Make the magics known to a kernel, once: what lies on the desk stays there."""
    if SheetMagics.__name__ not in shell.magics_manager.registry:
        shell.register_magics(SheetMagics)
    if mend_sheet not in shell.input_transformers_cleanup:
        shell.input_transformers_cleanup.insert(0, mend_sheet)
