"""The words a notebook understands: ``%practice``, ``%sheet``, ``%%answers`` and ``%check``.

They only carry text between the learner and the rooms that know the answers; nothing is calculated here.
"""

from __future__ import annotations

import os
import shlex
from collections.abc import Callable, Mapping
from html import escape
from pathlib import Path
from typing import Any

from IPython.core.magic import Magics, cell_magic, line_magic, magics_class
from IPython.display import display

from coldcab import answering, assess, learner, lessons
from coldcab.answering import Card, feedback_card, numbers_card
from coldcab.desk import marked as keep_marks
from coldcab.desk import opened as keep_opened
from coldcab.instruments import beside
from coldcab.practicing import Desk, PracticeNumbers, widget_bundle
from coldcab.quantities import ColdcabError
from coldcab.scenario.showing import in_order
from coldcab.words import _

ALONE = "alone"
"""The id of who gives none: working alone, but with units of one's own choice."""


class SheetError(ColdcabError):
    """A message to the learner; shown as its sentence alone, without a traceback."""

    def _render_traceback_(self) -> list[str]:
        return [str(self)]


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


class Enrollment:
    """Asks once for the learner's id and term, then shows the sheet's numbers."""

    def __init__(self, then: Any = None, saved: Callable[[], None] = lambda: None) -> None:
        self._then, self._saved = then, saved
        self._widget: Any = None

    text = _(
        "This course does not know you yet. Type the id your instructor gave you; working alone, any short name. "
        "Your numbers come from it, so no two learners have the same sheet."
    )

    @staticmethod
    def _known(who: learner.Learner) -> str:
        units = escape(learner.UNITS[who.units])
        if who.id == ALONE:
            return _("You work alone, without an id; {units}.").format(units=units)
        if who.term == learner.DEFAULT_TERM:
            return _("You are <strong>{id}</strong>, without a class term; {units}.").format(
                id=escape(who.id), units=units
            )
        return _("You are <strong>{id}</strong>, term {term}, {units}.").format(
            id=escape(who.id), term=escape(who.term), units=units
        )

    @staticmethod
    def _next(who: learner.Learner) -> str:
        """What to do where somebody may have left something out."""
        if who.id != ALONE and who.term == learner.DEFAULT_TERM:
            return _(
                "Does your class have a term, for example 2026-autumn? Type it as your instructor wrote it and press "
                "Save again: your numbers hang on it. No class? Nothing is missing."
            )
        return ""

    @property
    def widget(self) -> Any:
        """Three fields and a button."""
        if self._widget is None:
            import ipywidgets

            who = _enrolled()
            wide = {"description_width": "8em"}
            name = ipywidgets.Text(value=who.id if who else "", description=_("Learner id"), style=wide)
            # Pale until somebody types: who clicks into a filled field and types writes behind what stands there.
            own_term = who.term if who and who.term != learner.DEFAULT_TERM else ""
            term = ipywidgets.Text(
                value=own_term,
                placeholder=_("none"),
                description=_("Class term"),
                style=wide,
            )
            units = ipywidgets.Dropdown(
                options=[(words, name) for name, words in learner.UNITS.items()],
                value=who.units if who else "us",
                description=_("Units"),
                style=wide,
            )
            button = ipywidgets.Button(description=_("Save"), button_style="primary")
            intro = ipywidgets.HTML(self._known(who) if who else escape(self.text))
            # Below the button: there the eye is when it has been pressed.
            said = ipywidgets.HTML()

            def save(_button: Any) -> None:
                try:
                    saved = learner.Learner(
                        name.value.strip() or (ALONE if self._then is None else ""),
                        term.value.strip() or learner.DEFAULT_TERM,
                        units.value,
                    )
                    learner.write(saved, _learner_folder())
                except (ValueError, OSError) as error:
                    said.value = _("Not saved. {reason}").format(reason=escape(str(error)))
                    return
                intro.layout.visibility = "hidden"  # its room stays: nothing moves under the next press
                said.value = " ".join([_("Saved. {known}").format(known=self._known(saved)), self._next(saved)])
                if self._then is not None:
                    said.value += self._then(saved)
                self._saved()

            button.on_click(save)
            self._widget = ipywidgets.VBox([intro, name, term, units, button, said])
        return self._widget

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> Any:
        data, metadata = widget_bundle(self.widget)
        card = Card(self.text, escape(self.text))
        return {**data, **card._repr_mimebundle_()}, metadata


@magics_class
class SheetMagics(Magics):
    """The magics; they keep one desk for each sheet of the notebook."""

    def __init__(self, shell: Any) -> None:
        super().__init__(shell)
        self.desks: dict[str, Desk] = {}
        self._marked_with: assess.Assignment | None = None
        self._pages: list[Any] = []

    def listen(self, page: Any, _opening: Any = None) -> None:
        """Answer a page that opened a channel to this kernel, see `page_answer`."""
        self._pages.append(page)
        page.on_msg(lambda message: page.send(self.page_answer(message["content"]["data"])))
        page.on_close(lambda __: self._pages.remove(page))

    @property
    def listened(self) -> bool:
        """Whether a page has opened a channel to this kernel."""
        return bool(self._pages)

    def tell_pages(self, more: dict[str, Any] | None = None) -> None:
        """Say that numbers have changed; each page then asks for what it shows.

        With a ``sheet`` and what to ``fill`` in behind its labels the page writes that; with the number that the sheet
        has ``left`` it also sends back what stood there.
        """
        for page in self._pages:
            page.send({"changed": True, "units": learner.units(), **(more or {})})

    def write_beside(self, case: Any, answers: Mapping[str, str]) -> str:
        """Have the page write answers into its sheet with these numbers; return why it cannot, or nothing.

        Parameters
        ----------
        case
            The numbers that the sheet shows.
        answers
            By label; what stood there before can be brought back by undo.
        """
        desk = next((one for one in self.desks.values() if one.case is case), None)
        labels = {item.label for item in desk.assignment.items} if desk else set()
        if missing := [label for label in answers if label not in labels]:
            return _("This sheet does not ask for “{label}”.").format(label=missing[0])
        if desk is None or not self.listened:
            return beside.NO_PEN
        self.tell_pages({"sheet": desk.assignment.name, "fill": dict(answers)})
        return ""

    def page_answer(self, asked: dict[str, Any]) -> dict[str, Any]:
        """Return what a page shows beside a sheet: its lines, its numbers, and whether these have been opened here.

        ``asked`` has the ``sheet``, the ``text`` of its cell, and a ``number`` of its own that the answer repeats; with
        ``left``, the text is what stood there for those numbers before, and is set aside. With ``whole``, the text is
        that of all parts of a graded sheet, and the answer says how far it is.
        """
        name, text = str(asked.get("sheet", "")), str(asked.get("text", ""))
        # A sheet that lost its first line is the last one opened, as for `answers`.
        desk = self.desks.get(name) if name else next(reversed(self.desks.values()), None)
        if "left" in asked:
            self._set_aside(desk, asked["left"], text)
            return {"number": asked.get("number")}
        sheet = desk.assignment if desk else lessons.PRACTICE.get(name) or lessons.FORMS.get(name)
        lines = answering.sheet_lines(sheet, desk.case if desk else None, text) if sheet else []
        numbers = desk.card.html if desk and desk.card else ""
        if desk and desk.practice and sheet:
            desk.answers.update(assess.parse_sheet(text, [item.label for item in sheet.items]).answers)
        known = {"opened": desk is not None, "units": learner.units()}
        if asked.get("whole") and sheet and not (desk and desk.practice):
            known["whole"] = answering.whole_sheet(sheet, desk.case if desk else None, text)
        return {"number": asked.get("number"), "lines": lines, "numbers": numbers, **known}

    def _set_aside(self, desk: Desk | None, number: Any, text: str) -> None:
        """Keep what the page had last: the kernel may have been told of it before the last key."""
        if desk is None or not isinstance(number, int) or number == desk.number:
            return
        read = assess.parse_sheet(text, [item.label for item in desk.assignment.items]).answers
        if answered := {label: answer for label, answer in read.items() if answer}:
            desk.aside[number] = answered
            answering.keep_aside(desk.assignment.name, desk.aside)

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
        return Enrollment(saved=self.tell_pages)

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

            return Enrollment(then=numbers, saved=self.tell_pages)
        return self._show(form, who, term or who.term)

    def _show(self, form: assess.Assignment, who: learner.Learner, term: str) -> Card:
        case = form.case(term, who.id)
        previous = self.desks.get(form.name)
        note = _("Your numbers come from your id and the term. Invented shop, invented machine.")
        words = _("{title}: sheet of {id}, term {term}")
        if term == learner.DEFAULT_TERM:
            words = _("{title}: sheet of {id}, no class term")
        title = words.format(title=form.title, id=who.id, term=term)
        card = numbers_card(title, form.shown(case), note)
        self.desks[form.name] = Desk(form, case, previous.answers if previous else {}, card=card)
        self.tell_pages()
        return card

    @cell_magic
    def answers(self, line: str, cell: str) -> None:
        """Read a sheet: ``%%answers``, or ``%%answers practice-cycle-1`` where a notebook has several."""
        desk = self._desk(line.strip())
        items = desk.assignment.items
        sheet = assess.parse_sheet(cell, [item.label for item in items])
        desk.answers.update(sheet.answers)
        asked = [item for item in items if item.label in sheet.answers]
        if desk.practice:
            desk.written = answering.written_for(desk.written, sheet.answers, desk.number)
            marks, rows, summary = answering.practice_rows(desk.assignment, desk.number, sheet.answers, desk.written)
            answering.keep(desk.assignment.name, desk.number, desk.written)
            keep_marks(desk.assignment.name, desk.number, marks)
            beside.checked(desk.case, {mark.label: mark.status == "right" for mark in marks})
            card = feedback_card(rows, sheet.problems, summary)
            desk.feedback = display(card, display_id=True)
            return
        rows = [answering.form_row(item, sheet.answers[item.label], desk.case) for item in asked]
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
        status, __, read, said = answering.form_row(item, answer, desk.case)
        if status == "read" and desk.case is not None:
            display(
                Card(
                    _("✔ {label}: read as {read}").format(label=label, read=read),
                    _("✔ {label}: read as {read}").format(label=escape(label), read=escape(read)),
                )
            )
            return None
        message = f"{label}: " + (
            in_order(said) if status != "read" else _("no learner id yet; run the top of the sheet.")
        )
        # At the desk a calm line is enough; when the whole sheet is validated, an error is what gets counted.
        if "JPY_SESSION_NAME" in os.environ:
            display(Card(f"○ {message}", f"○ {escape(message)}"))
            return None
        raise SheetError(message)


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
        if getattr(shell, "kernel", None) is not None:
            from comm import get_comm_manager

            magics = shell.magics_manager.registry[SheetMagics.__name__]
            beside.lend(magics.write_beside)
            get_comm_manager().register_target(answering.TARGET, magics.listen)
    if mend_sheet not in shell.input_transformers_cleanup:
        shell.input_transformers_cleanup.insert(0, mend_sheet)
