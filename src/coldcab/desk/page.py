"""The desk as HTML: where to go on, what to repeat, ideas to mend, the map of the course, what one can do."""

from __future__ import annotations

from datetime import date
from html import escape

from coldcab import lessons
from coldcab.desk import can_do, record
from coldcab.desk.look import CARD, card, link, quiet
from coldcab.desk.state import UNITS, LessonState, Mistake, State, sheet_file
from coldcab.instruments.drawing import style
from coldcab.scenario.showing import in_order
from coldcab.words import _

MOST_MISTAKES = 4
SIGNS = {"done": "●", "begun": "◐", "open": "○"}
"""A station's sign; the word beside it says the same."""


def desk_page(state: State) -> str:
    """Return the whole desk of one learner."""
    return "".join((greeting(state), today(state), mistakes(state.mistakes), course_map(state)))


def greeting(state: State) -> str:
    """Return the card with the way on: where one was, or the first lesson."""
    name = f", {escape(state.who)}" if state.who else ""
    if not state.known:
        words = _("Nothing is done yet. The first lesson takes about 35 minutes.")
        first = state.lessons[0]
        return card(f"<strong>{_('Your desk')}{name}</strong><p>{words}</p>{_begin(first)}{_ask_id(state)}")
    one, on_sheet = _where(state)
    button = link(_("Continue: {title}").format(title=one.title), one.sheet if on_sheet else one.page, strong=True)
    return card(f"<strong>{_('Welcome back')}{name}</strong><p>{escape(_standing(one))}</p>{button}{_ask_id(state)}")


def _ask_id(state: State) -> str:
    """The way to the fields below, for somebody in a class whom the course does not know."""
    if state.who:
        return ""
    return f"<p>{link(_('In a class? Type your id first'), 'start-here.ipynb#Your-id,-and-your-units')}</p>"


def _begin(one: LessonState) -> str:
    return link(_("Begin: {title}").format(title=one.title), one.page, strong=True)


def _where(state: State) -> tuple[LessonState, bool]:
    """Return the lesson to go on with, and whether with its sheet: the last one, or after a finished one the next."""
    last = state.of(state.last.lesson) if state.last else next(one for one in state.lessons if one.begun)
    if last.done:
        place = state.lessons.index(last)
        last = next((one for one in (*state.lessons[place:], *state.lessons) if not one.done), last)
        return last, False
    sheet = state.last is not None and state.last.kind == "sheet" and state.last.lesson == last.name
    return last, sheet or (last.practiced == last.practice and last.practice > 0)


def _standing(one: LessonState) -> str:
    sheet = (
        _("its sheet is handed in")
        if one.handed_in
        else _("on its sheet {filled} of {lines} lines have an answer").format(filled=one.filled, lines=one.lines)
    )
    return _("{title}: {practiced} of {practice} practice lines right, {sheet}.").format(
        title=one.title, practiced=one.practiced, practice=one.practice, sheet=sheet
    )


def today(state: State) -> str:
    """Return what to repeat today, in a line or two; the button for it stands below the desk."""
    if state.due:
        titles = dict.fromkeys(lessons.FORMS[lesson].title for lesson, _label in state.due)
        words = _("{count} lines of lessons that you took, about {minutes} minutes: {titles}.").format(
            count=len(state.due), minutes=2 * len(state.due), titles=", ".join(titles)
        )
    elif state.next_due is not None:
        day = f"{state.next_due:%B} {state.next_due.day}"
        words = _("Nothing today. The next line comes back on {day}.").format(day=day)
    else:
        return ""
    return card(f"<strong>{_('To repeat today')}</strong><p style='margin:4px 0 0'>{escape(words)}</p>")


def mistakes(found: tuple[Mistake, ...]) -> str:
    """Return the notebook of mistakes: ideas that showed and are not mended."""
    if not found:
        return ""
    rows, older = ("".join(map(_mistake, part)) for part in (found[:MOST_MISTAKES], found[MOST_MISTAKES:]))
    look = "margin:6px 0 0;padding-left:1.2em"
    more = _("{count} older ones").format(count=len(found) - MOST_MISTAKES)
    rest = f"<details><summary>{more}</summary><ul style='{look}'>{older}</ul></details>" if older else ""
    how = quiet(_("An idea leaves this list when you answer its line right with new numbers."))
    return card(
        f"<strong>{_('Ideas to mend')}</strong>{how}<ul style='margin:6px 0 0;padding-left:1.2em'>{rows}</ul>{rest}"
    )


def _mistake(one: Mistake) -> str:
    title = lessons.FORMS[one.lesson].title
    where = ""
    if one.passage:
        page = lessons.LESSONS[one.passage.lesson]
        heading = in_order(one.passage.heading)  # as the lab shows it, which names its place by what is shown
        words = _("read again: {heading}").format(heading=heading)
        where = " " + link(words, f"{page}#{heading.replace(' ', '-')}")
    again = link(_("answer again"), f"{lessons.LESSONS[one.lesson]}#Practice")
    return (
        f"<li style='margin-bottom:6px'><strong>{escape(in_order(one.idea))}</strong> "
        f"<span style='color:{style.CARD_QUIET}'>({escape(title)}, {escape(one.label)})</span><br>"
        f"{escape(in_order(one.said))}{where} · {again}</li>"
    )


def course_map(state: State) -> str:
    """Return the map of units: a band for each, a station for each lesson."""
    bands = "".join(_band(title, [state.of(name) for name in names]) for title, names in UNITS)
    key = " · ".join(f"{sign} {_word(kind)}" for kind, sign in SIGNS.items())
    done = sum(one.done for one in state.lessons)
    head = _("The course: {done} of {count} lessons done").format(done=done, count=len(state.lessons))
    return card(f"<strong>{escape(head)}</strong>{quiet(key)}{bands}")


def _word(kind: str) -> str:
    return {"done": _("done"), "begun": _("begun"), "open": _("open")}[kind]


def _kind(one: LessonState) -> str:
    return "done" if one.done else "begun" if one.begun else "open"


def _band(title: str, own: list[LessonState]) -> str:
    stations = "".join(_station(one) for one in own)
    return (
        f"<div style='border-left:5px solid {style.FIRST};margin-top:10px;padding-left:12px'>"
        f"<div style='font-weight:600'>{escape(title)}</div>"
        f"<div style='display:flex;flex-wrap:wrap;gap:8px;margin-top:4px'>{stations}</div></div>"
    )


def _station(one: LessonState) -> str:
    kind = _kind(one)
    ground = {"done": "#e6f1ea", "begun": "#fdf6e3", "open": "#fff"}[kind]
    practice = _("practice {right} of {all}").format(right=one.practiced, all=one.practice)
    sheet = (
        _("handed in") if one.handed_in else _("sheet {filled} of {lines}").format(filled=one.filled, lines=one.lines)
    )
    once = "white-space:nowrap"
    return (
        f"<div style='flex:1 1 14em;max-width:24em;box-sizing:border-box;border:1px solid {style.CARD_RULE};"
        f"border-radius:6px;padding:6px 10px;background:{ground}'>"
        f"<div><span aria-hidden='true' style='color:{style.FIRST}'>{SIGNS[kind]}</span> {link(one.title, one.page)}"
        f"<span style='position:absolute;width:1px;height:1px;overflow:hidden'> {_word(kind)}</span></div>"
        f"<div style='color:{style.CARD_QUIET};font-size:13px'><span style='{once}'>{escape(practice)}</span> "
        f"· <span style='{once}'>{link(sheet, one.sheet)}</span></div></div>"
    )


def blank_map() -> str:
    """Return the map for a page that knows nobody: units, lessons, sheets."""
    bands = ""
    for title, names in UNITS:
        stations = "".join(
            f"<li>{link(lessons.FORMS[name].title, lessons.LESSONS[name])} · {link(_('sheet'), sheet_file(name))}</li>"
            for name in names
        )
        bands += (
            f"<div style='margin-top:6px;font-weight:600'>{escape(title)}</div><ul style='margin:2px 0'>{stations}</ul>"
        )
    start = _("Press “Start this lesson” above this page: your own desk appears here.")
    return card(f"<strong>{_('The course')}</strong>{quiet(start)}{bands}")


def can_do_page(state: State, day: date | None = None) -> str:
    """Return "What I can do", a whole page to print: every outcome, shown, begun or open."""
    known = {name: record.lines(name) for name in lessons.LESSONS} if state.kept else {}
    rows, shown = "", 0
    for title, names in UNITS:
        rows += f"<tr><th colspan='3' style='text-align:left;padding:12px 0 2px'>{escape(title)}</th></tr>"
        for one in (each for each in can_do.outcomes() if each.lesson in names):
            own = known.get(one.lesson, {})
            shown += one.standing(own) == can_do.SHOWN
            rows += _outcome(one, own)
    when = (day or date.today()).isoformat()
    head = _("What I can do") + (f" · {state.who}" if state.who else "")
    count = _("{shown} of {all} shown in practice, {day}").format(shown=shown, all=len(can_do.outcomes()), day=when)
    note = _(
        "Shown: every practice line of it was right the last time. Kept: right again on later days. This page is from "
        "practice; what the graded sheets say stands in the class's own records."
    )
    return (
        f"<div style='{CARD}'><h2 style='margin:0'>{escape(head)}</h2>{quiet(count)}"
        f"<table style='border-collapse:collapse;width:100%'>{rows}</table>{quiet(note)}</div>"
    )


def _outcome(one: can_do.Outcome, known: dict[str, record.Line]) -> str:
    standing = one.standing(known)
    word = _("kept") if one.kept(known) else {"shown": _("shown"), "begun": _("begun"), "open": _("open")}[standing]
    sign = {"shown": "●", "begun": "◐", "open": "○"}[standing]
    cell = f"padding:3px 12px 3px 0;border-bottom:1px solid {style.CARD_RULE};text-align:left;vertical-align:top"
    day = one.day(known) if standing != can_do.OPEN else ""
    return (
        f"<tr><td style='{cell}'>{escape(_('I can {words}.').format(words=one.words))}</td>"
        f"<td style='{cell};white-space:nowrap'>{sign} {word}</td>"
        f"<td style='{cell};white-space:nowrap'>{day}</td></tr>"
    )
