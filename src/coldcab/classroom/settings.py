"""The settings of a class, in one small file that a person can read and edit: ``class.toml``."""

from __future__ import annotations

import difflib
import json
import os
import re
import tomllib
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from coldcab.classroom.settings_text import key, with_line
from coldcab.learner import UNITS, write_whole
from coldcab.quantities import ColdcabError

SETTINGS = "class.toml"
OPEN_TERM = "open"
"""The term of a folder without settings, such as the checkout's instructor folder itself."""

NAME = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9._-]{0,62}[A-Za-z0-9_-])?")
"""Learner ids, terms and assignment names: they become names of folders, so nothing else is allowed."""

GRADEBOOK_VARIABLE = "COLDCAB_GRADEBOOK"
"""Environment variable that names the database of the gradebook, so that a password need not stand in a file."""


class ClassError(ColdcabError):
    """Something about the class folder is not as it should be; the message is one plain sentence."""


UPLOAD_COLUMNS = ("sheets", "outcomes", "safety")
_UPLOAD_LINES = ("who", "columns", "scores", "separator", "decimal")


@dataclass(frozen=True)
class Upload:
    """How the table for a platform looks: who (columns of the roster), which scores, in points or per cent, headings.

    ``headings`` gives columns other names: those of the roster, sheets, ``safety``, or codes of a competency list.
    """

    who: tuple[str, ...] = ("id", "first_name", "last_name", "email")
    columns: tuple[str, ...] = ("sheets",)
    scores: str = "points"
    separator: str = ","
    decimal: str = "."
    headings: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Late:
    """What a late sheet loses: per cent of its points for each day begun, and how many at most."""

    percent_a_day: float = 0.0
    most: float = 100.0


@dataclass(frozen=True)
class Settings:
    """What ``class.toml`` says: the term, the time zone, when sheets are due, where the gradebook is, which units
    come first."""

    term: str = OPEN_TERM
    zone: str = "UTC"
    gradebook: str = ""
    course: str = ""
    exchange: str = ""
    due: dict[str, str] = field(default_factory=dict)
    extensions: dict[str, dict[str, str]] = field(default_factory=dict)
    late: Late = field(default_factory=Late)
    upload: Upload = field(default_factory=Upload)
    units: str = "us"

    def due_time(self, name: str) -> datetime | None:
        """Return when a sheet is due, with its time zone, or None."""
        return parse_due(self.due[name], self.zone) if name in self.due else None

    def due_time_of(self, name: str, learner: str) -> datetime | None:
        """Return when a sheet is due for one learner, who may have more time than the class, or None."""
        own = self.extensions.get(name, {}).get(learner)
        return parse_due(own, self.zone) if own is not None else self.due_time(name)


_TAKEN = re.compile(r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\..*)?", re.IGNORECASE)
"""Names that Windows keeps for devices, whatever their ending: no folder there can be called so."""


def check_name(text: object, what: str, example: str) -> str:
    """Return ``text`` if it may become the name of a folder.

    Raises
    ------
    ClassError
        If it may not.
    """
    if not isinstance(text, str) or not NAME.fullmatch(text):
        raise ClassError(
            f"{str(text)!r} cannot be used as {what}; use at most 64 letters without accents, digits, and . _ - "
            f"between them, for example {example}."
        )
    if _TAKEN.fullmatch(text):
        raise ClassError(f"{text!r} cannot be used as {what}; Windows keeps this name for a device, so add a letter.")
    return text


def check_units(text: str) -> str:
    """Return which units come first in a class, "us" or "si".

    Raises
    ------
    ClassError
        If it is neither.
    """
    if text not in UNITS:
        raise ClassError(f"The units of a class are us or si, not {text[:20]!r}.")
    return text


def parse_due(text: str, zone: str) -> datetime:
    """Return a moment that a person wrote, such as ``2026-10-08 18:00``, in the time zone of the class.

    A day without a time lasts until its last minute.

    Raises
    ------
    ClassError
        If the text is no date and time, or the zone is not known.
    """
    try:
        place = ZoneInfo(zone)
    except (ValueError, OSError, KeyError):
        raise ClassError(f"The time zone {zone!r} is not known; write one such as Europe/Vienna or UTC.") from None
    try:
        moment = datetime.fromisoformat(text.strip())
        if is_day(text.strip()):
            moment = moment.replace(hour=23, minute=59)
    except ValueError:
        raise ClassError(f"{text!r} is no date and time; write one such as 2026-10-08 18:00.") from None
    return moment if moment.tzinfo else moment.replace(tzinfo=place)


def is_day(text: str) -> bool:
    """Whether a text is a day without a time, such as ``2026-10-12``."""
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def in_utc(moment: datetime) -> str:
    """Return a moment as nbgrader writes it."""
    return f"{moment.astimezone(UTC):%Y-%m-%d %H:%M:%S} UTC"


_WORDS = ("zone", "gradebook", "course", "exchange", "units")
_TABLES = ("due", "extensions", "late", "upload")
"""What else ``class.toml`` may hold: words, and tables."""


def read_settings(path: Path) -> Settings:
    """Return the settings of the class in ``path``; a folder without the file has the open term.

    Raises
    ------
    ClassError
        If the file cannot be used.
    """
    file = path / SETTINGS
    if not file.is_file():
        return Settings()
    try:
        text = file.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise ClassError(f"{file} cannot be read; save it as text in UTF-8.") from None
    return _settings_in(text, file)


def _settings_in(text: str, file: Path) -> Settings:
    """Return what the text of a settings file says; ``file`` is named where it cannot be used.

    Raises
    ------
    ClassError
        If it cannot.
    """
    try:
        found = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ClassError(
            f"{file} cannot be read: {error}. Words stand in quotation marks, and a heading in brackets stands once."
        ) from None
    if "term" not in found:
        raise ClassError(f'{file} should hold one line such as: term = "2026-autumn".')
    if unknown := sorted(set(found) - set(_TABLES) - set(_WORDS) - {"term"}):
        near = difflib.get_close_matches(unknown[0].lower(), (*_TABLES, *_WORDS), 1, 0.75)
        meant = f"did you mean {near[0]!r}?" if near else f"there are term, {', '.join((*_WORDS, *_TABLES))}."
        raise ClassError(f"{file} knows no {unknown[0]!r}; {meant}")
    due = found.get("due", {})
    words = {name: found.get(name, "") for name in _WORDS}
    for name, value in words.items():
        if not isinstance(value, str):
            raise ClassError(f"{file}: {name} should be text in quotation marks, not {value!r}.")
    if not isinstance(due, dict) or not all(isinstance(value, str) for value in due.values()):
        raise ClassError(f'{file}: [due] should hold lines such as cycle-1 = "2026-10-08 18:00".')
    settings = Settings(
        check_name(found["term"], "term", "2026-autumn"), words["zone"] or "UTC", words["gradebook"], words["course"],
        words["exchange"], dict(due), _extensions(file, found.get("extensions", {})),
        _late(file, found.get("late", {})), _upload(file, found.get("upload", {})), check_units(words["units"] or "us"),
    )  # fmt: skip
    for name in settings.due:
        settings.due_time(name)
    for name, mine in settings.extensions.items():
        for who in mine:
            settings.due_time_of(name, who)
    return settings


def _extensions(file: Path, found: object) -> dict[str, dict[str, str]]:
    """Return what ``[extensions.SHEET]`` says.

    Raises
    ------
    ClassError
        If it says something else than times of learners.
    """
    if not isinstance(found, dict) or not all(
        isinstance(mine, dict) and all(isinstance(text, str) for text in mine.values()) for mine in found.values()
    ):
        raise ClassError(f'{file}: [extensions.cycle-1] should hold lines such as  s07 = "2026-10-12 18:00".')
    return {str(name): dict(mine) for name, mine in found.items()}


def _late(file: Path, found: object) -> Late:
    """Return what ``[late]`` says.

    Raises
    ------
    ClassError
        If it says something else than shares of the points.
    """
    known = Late()
    if not isinstance(found, dict) or not set(found) <= {"percent_a_day", "most"}:
        raise ClassError(f"{file}: [late] should hold  percent_a_day = 10  and perhaps  most = 50.")
    shares = [found.get("percent_a_day", known.percent_a_day), found.get("most", known.most)]
    if not all(
        isinstance(share, int | float) and not isinstance(share, bool) and 0 <= share <= 100 for share in shares
    ):
        raise ClassError(f"{file}: [late] holds per cent, 0 to 100, such as  percent_a_day = 10.")
    return Late(*map(float, shares))


def _upload(file: Path, found: object) -> Upload:
    """Return what ``[upload]`` says.

    Raises
    ------
    ClassError
        If it says what cannot be done.
    """
    if not isinstance(found, dict):
        raise ClassError(f'{file}: [upload] should hold lines such as  scores = "percent".')
    if unknown := set(found) - {*_UPLOAD_LINES, "headings"}:
        raise ClassError(f"{file}: [upload] knows no {min(unknown)}; there are {', '.join(_UPLOAD_LINES)}, headings.")
    plain, headings = Upload(), found.get("headings", {})
    if not isinstance(headings, dict) or not all(isinstance(text, str) and text for text in headings.values()):
        raise ClassError(f'{file}: [upload.headings] should hold lines such as  cycle-1 = "Cycle 1 (4711)".')
    upload = Upload(
        # The roster's own headings are compared without regard to capitals.
        tuple(name.strip().casefold() for name in _names(file, "who", found.get("who", plain.who))),
        _names(file, "columns", found.get("columns", plain.columns)),
        str(found.get("scores", plain.scores)), str(found.get("separator", plain.separator)),
        str(found.get("decimal", plain.decimal)),
        {str(name): text for name, text in headings.items()},
    )  # fmt: skip
    if unknown := set(upload.columns) - set(UPLOAD_COLUMNS):
        raise ClassError(f"{file}: columns of [upload] can be {', '.join(UPLOAD_COLUMNS)}, not {min(unknown)}.")
    if upload.scores not in ("points", "percent"):
        raise ClassError(f'{file}: scores of [upload] are "points" or "percent", not {upload.scores!r}.')
    if upload.decimal not in (".", ","):
        raise ClassError(f'{file}: decimal of [upload] is "." or ",", not {upload.decimal!r}.')
    if upload.separator not in (",", ";", "\t") or not upload.who:
        raise ClassError(f'{file}: [upload] needs a comma, a semicolon or "\\t" as separator, and somebody in who.')
    return upload


def _names(file: Path, what: str, found: object) -> tuple[str, ...]:
    """Return one name, or several.

    Raises
    ------
    ClassError
        If it is something else.
    """
    names = (found,) if isinstance(found, str) else found
    if not isinstance(names, list | tuple) or not all(isinstance(name, str) for name in names):
        raise ClassError(f'{file}: {what} of [upload] should be names in quotation marks, such as  {what} = ["email"].')
    return tuple(dict.fromkeys(names))


def _upload_lines(upload: Upload) -> list[str]:
    if upload == Upload():
        return []
    lines = [
        "", "[upload]", f"who = {json.dumps(list(upload.who))}", f"columns = {json.dumps(list(upload.columns))}",
        f"scores = {json.dumps(upload.scores)}", f"separator = {json.dumps(upload.separator)}",
        f"decimal = {json.dumps(upload.decimal)}",
    ]  # fmt: skip
    if upload.headings:
        named = (f"{json.dumps(name)} = {json.dumps(text)}" for name, text in sorted(upload.headings.items()))
        lines += ["", "[upload.headings]", *named]
    return lines


def write_settings(path: Path, settings: Settings) -> None:
    """Write the settings of the class in ``path``."""
    lines = [
        "# The term is part of what every learner's numbers are drawn from:",
        "# do not change it once forms have been handed out.",
        f"term = {json.dumps(settings.term)}",
        f"zone = {json.dumps(settings.zone)}",
    ]
    # What JSON writes as a string, TOML reads as the same string.
    lines += [f"{name} = {json.dumps(text)}" for name in ("gradebook", "course", "exchange")
              if (text := getattr(settings, name))]  # fmt: skip
    if settings.units != "us":
        lines.append(f"units = {json.dumps(settings.units)}")
    if settings.due:
        lines += ["", "[due]", *(f"{key(name)} = {json.dumps(text)}" for name, text in sorted(settings.due.items()))]
    for name, mine in sorted(settings.extensions.items()):
        if mine:
            lines += ["", f"[extensions.{json.dumps(name)}]"]
            lines += [f"{json.dumps(who)} = {json.dumps(text)}" for who, text in sorted(mine.items())]
    if settings.late != Late():
        lines += ["", "[late]", f"percent_a_day = {settings.late.percent_a_day:g}", f"most = {settings.late.most:g}"]
    lines += _upload_lines(settings.upload)
    write_whole(path / SETTINGS, ("\n".join(lines) + "\n").encode())


def set_due(path: Path, name: str, text: str) -> datetime:
    """Write down when a sheet is due; return the moment.

    Raises
    ------
    ClassError
        If ``text`` is no date and time.
    """
    settings = read_settings(path)
    moment = parse_due(text, settings.zone)
    _change(path, replace(settings, due={**settings.due, name: text.strip()}), ("due",), name, text.strip())
    return moment


def _change(path: Path, settings: Settings, table: tuple[str, ...], name: str, value: str) -> None:
    """Write settings of which one line is another; the rest of the file stays as a person wrote it, where it can."""
    file = path / SETTINGS
    with suppress(ClassError, OSError, UnicodeDecodeError):
        text = with_line(file.read_text(encoding="utf-8-sig"), table, name, value)
        if _settings_in(text, file) == settings:
            write_whole(file, text.encode())
            return
    write_settings(path, settings)


def set_extension(path: Path, name: str, learner: str, text: str) -> datetime | None:
    """Write down until when one learner may hand in a sheet; return the moment. Without text the class's time counts.

    Raises
    ------
    ClassError
        If the sheet is not due at any time, or ``text`` is no date and time.
    """
    settings = read_settings(path)
    if text and settings.due_time(name) is None:
        raise ClassError(
            f"{name} is not due at any time, so nobody is late; set one with: coldcab class release {name} --due"
        )
    mine = {who: said for who, said in settings.extensions.get(name, {}).items() if who != learner}
    if text:
        parse_due(text, settings.zone)
        mine[learner] = text.strip()
    changed = replace(settings, extensions={**settings.extensions, name: mine})
    _change(path, changed, ("extensions", name), learner, mine.get(learner, ""))
    return read_settings(path).due_time_of(name, learner)


def gradebook_url(path: Path) -> str:
    """Return the database of the gradebook: the environment's, else the settings', else a file in the folder."""
    url = os.environ.get(GRADEBOOK_VARIABLE) or read_settings(path).gradebook
    if not url:
        return f"sqlite:///{path / 'gradebook.db'}"
    # Whatever SQLAlchemy takes for granted in its next version: the driver that the extra installs is named.
    return re.sub(r"^postgres(ql)?://", "postgresql+psycopg://", url)
