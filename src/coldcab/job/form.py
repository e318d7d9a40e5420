"""The job as a form in a notebook: one box a question, an answer read at once, the plan at the press of a button."""

from __future__ import annotations

import asyncio
from html import escape
from pathlib import Path
from typing import Any

from coldcab import learner, units
from coldcab.instruments.drawing import style
from coldcab.job import as_found, page
from coldcab.job.description import Job, JobError, as_toml, read_job
from coldcab.job.model import displacement_in_words, of_machine_and_day
from coldcab.job.plan import Plan, expected, plan
from coldcab.job.questions import CHOICE, LIST, NUMBER, QUESTIONS, SECTIONS, TEXT, YES_NO, Question
from coldcab.job.yard import yard_of
from coldcab.words import _

TITLES = {
    "job": "The job",
    "machine": "The machine",
    "work": "Complaint, findings, parts",
    "weather": "Weather and yard",
    "tools": "Tools at hand",
    "prices": "Prices",
    "found": _("As found: readings before any work"),
    "as_left": _("As left: readings after the work"),
}
NOT_KNOWN = "not known"
PAUSE = 1.0  # s without an answer before the plan is begun: who reads the next question does not wait for it


class JobForm:
    """A form for one job.

    Parameters
    ----------
    file : a job's TOML file to begin with; nothing is known without it.
    system : "us" or "si"; the learner's own without it.
    folder : where "Save the page" writes; the current folder without it.
    """

    def __init__(
        self, file: str | Path | None = None, *, system: str | None = None, folder: Path | None = None
    ) -> None:
        self.job = read_job(file) if file is not None else Job()
        self.system = system or learner.units()
        self.folder = folder or Path.cwd()
        self.made: Plan | None = None
        self._wrong: dict[str, str] = {}
        self._widget: Any = None
        self._soon: asyncio.TimerHandle | None = None

    # What the buttons do ----------------------------------------------------------------------------------------

    def answer(self, key: str, text: str) -> str:
        """Take one answer; return how it was read, or the sentence on why it could not be."""
        try:
            self.job = self.job.having(key, "" if text == NOT_KNOWN else text)
        except JobError as error:
            # The box stands under its question; its key in the job's file says nothing here.
            self._wrong[key] = str(error).removeprefix(f"{key}: ").removeprefix(f"{key} ")
            self._wrong[key] = units.in_order(self._wrong[key], self.system)
            return self._wrong[key][:1].upper() + self._wrong[key][1:]
        self._wrong.pop(key, None)
        return self.echo(QUESTIONS[key])

    def echo(self, question: Question) -> str:
        """How an answer was read; what happens where it is not known."""
        value = self.job[question.key]
        if value is None:
            unknown = units.in_order(question.unknown, self.system)
            return _("Not known: {unknown}.").format(unknown=unknown) if question.unknown != "left open" else ""
        if question.kind in (CHOICE, LIST, TEXT, YES_NO, NUMBER):
            return ""
        if question.kind == "pressure":
            return ""  # a gauge reading says all there is to say
        if question.key == "machine.displacement":
            return displacement_in_words(value, self.system)
        return units.show(value, question.kind, system=self.system)

    def work_out(self) -> str:
        """Make the plan; return its page, or the sentence on why there is none."""
        if self._wrong:
            rows = "<br>".join(f"{escape(QUESTIONS[key].words)} {escape(said)}" for key, said in self._wrong.items())
            return f"<p>{rows}</p>"
        try:
            self.made = plan(self.job)
        except ValueError as error:
            return f"<p>{escape(str(error))}</p>"
        return page.html(self.made, self.system, live=False)

    def begin(self) -> None:
        """Work out what the plan of these answers rests on, so that the press of the button finds it done."""
        if self._wrong:
            return
        try:
            expected(of_machine_and_day(self.job))
            speed, taken = as_found.readings(self.job)
            if taken:
                yard_of(self.job, speed)
        except ValueError:
            pass  # the press says what is wrong

    def _begin_in_a_pause(self) -> None:
        if self._soon is not None:
            self._soon.cancel()
        try:
            self._soon = asyncio.get_running_loop().call_later(PAUSE, self.begin)
        except RuntimeError:  # no page behind it
            self._soon = None

    def verdict(self) -> str:
        """What to say beside the buttons once a plan is made."""
        where = _("The plan stands below. Save its page to print it.")
        if self.made is None or self.made.as_left is None:
            return where
        return f"{units.in_order(self.made.as_left.words, self.system)} {where}"

    def save(self, name: str = "job") -> tuple[Path, ...]:
        """Write the job's file, its page and, where paper can be made, its PDF; return their paths.

        Raises
        ------
        JobError
            If no plan has been made yet.
        """
        from coldcab.job.paper import pdf
        from coldcab.paper import is_there

        if self.made is None:
            raise JobError(_("Make the plan first, then save its page."))
        stem = "".join(letter if letter.isalnum() else "-" for letter in name.lower()).strip("-")[:40] or "job"
        content = {
            "toml": as_toml(self.job, every=True, system=self.system).encode(),
            "html": page.html(self.made, self.system).encode(),
        }
        if is_there():  # else the page prints by the browser
            content["pdf"] = pdf(self.made, self.system)
        paths = tuple(self.folder / f"{stem}.{ending}" for ending in content)
        for path, held in zip(paths, content.values(), strict=True):
            learner.write_whole(path, held)
        return paths

    # What is shown ----------------------------------------------------------------------------------------------

    @property
    def widget(self) -> Any:
        """The boxes, the buttons and the page."""
        if self._widget is None:
            self._widget = self._built()
        return self._widget

    def _built(self) -> Any:
        import ipywidgets as widgets

        pages = [
            widgets.VBox([self._row(one) for one in QUESTIONS.values() if one.section == section])
            for section in SECTIONS
        ]
        sections = widgets.Accordion(children=pages, titles=[TITLES[section] for section in SECTIONS])
        sections.selected_index = 1
        make = widgets.Button(description=_("Make the plan"), button_style="primary", icon="check")
        save = widgets.Button(description=_("Save the page"), icon="download", disabled=True)
        said = widgets.HTML()
        shown = widgets.HTML()

        def work_out(_button: Any) -> None:
            said.value = "Working ..."
            text = self.work_out()
            shown.value = _framed(text)
            save.disabled = self.made is None
            said.value = "" if self.made is None else escape(self.verdict())

        def write(_button: Any) -> None:
            try:
                names = [path.name for path in self.save(self.job.get("job.name", "job"))]
            except (ValueError, OSError) as error:
                said.value = escape(str(error))
                return
            said.value = _("Saved beside this page: {names}.").format(names=escape(", ".join(names)))

        self._begin_in_a_pause()
        make.on_click(work_out)
        save.on_click(write)
        return widgets.VBox([sections, widgets.HBox([make, save]), said, shown])

    def _row(self, question: Question) -> Any:
        import ipywidgets as widgets

        text = self.job.texts.get(question.key, "")
        wide = widgets.Layout(width="98%")
        if question.kind == CHOICE or question.kind == YES_NO:
            options = (NOT_KNOWN, *(question.choices or ("yes", "no")))
            box: Any = widgets.Dropdown(options=options, value=text if text in options else NOT_KNOWN, layout=wide)
        else:
            box = widgets.Text(value=text, placeholder=f"for example {question.example_in(self.system)}", layout=wide,
                               continuous_update=False)  # fmt: skip
        label = widgets.HTML(f"<strong>{escape(question.words)}</strong>{_choices(question)}")
        read = widgets.HTML(_small(self.echo(question), wrong=False))

        def typed(change: Any) -> None:
            said = self.answer(question.key, change["new"])
            read.value = _small(said, wrong=question.key in self._wrong)
            self._begin_in_a_pause()

        box.observe(typed, "value")
        return widgets.VBox([label, box, read], layout=widgets.Layout(margin="0 0 6px 0"))

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> Any:
        bundle = self.widget._repr_mimebundle_()
        data, metadata = bundle if isinstance(bundle, tuple) else (bundle, {})
        text = _("A form for a job: machine, complaint, weather, tools. Nothing has to be known.")
        return {**data, "text/plain": text, "text/html": f"<p>{text}</p>"}, metadata


def _choices(question: Question) -> str:
    if question.kind != LIST:
        return ""
    return f'<br><span style="color:{style.CARD_QUIET}">one or more of: {escape(", ".join(question.choices))}</span>'


def _small(text: str, *, wrong: bool) -> str:
    color = style.CARD_WRONG if wrong else style.CARD_QUIET
    return f'<span style="color:{color};line-height:1.3">{escape(text)}</span>' if text else ""


def _framed(text: str) -> str:
    """The page in a frame of its own, so that its style stays its own and nothing in it can run."""
    return (
        f'<iframe sandbox srcdoc="{escape(text, quote=True)}" title="The plan" '
        f'style="width:100%;height:1100px;border:1px solid {style.CARD_QUIET};background:#fff"></iframe>'
        if text.startswith("<!DOCTYPE")
        else text
    )
