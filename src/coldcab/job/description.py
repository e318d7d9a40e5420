"""A job as far as it is known: reading and writing its file, one plain sentence for what cannot be read."""

from __future__ import annotations

import difflib
import math
import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from coldcab import units
from coldcab.job.questions import CHOICE, LIST, NO, NUMBER, QUESTIONS, SECTIONS, TEXT, YES, YES_NO, Question
from coldcab.quantities import STANDARD_ATMOSPHERE, ColdcabError
from coldcab.words import _

LONGEST_TEXT = 120
LARGEST_FILE = 100_000
SEA_LEVEL = STANDARD_ATMOSPHERE
_BETWEEN = re.compile(r"[,;+&]|\band\b", re.IGNORECASE)
UNKNOWN_WORDS = ("", "?", "unknown", "not known")


class JobError(ColdcabError):
    """What cannot be used in a job's description, in one plain sentence."""


@dataclass(frozen=True)
class Job:
    """What is known of a job; whatever is not known is simply not there.

    ``texts`` holds each answer as it was written, ``values`` the same in SI (or as a word, a tuple of words, a number,
    True or False), both by the keys of `questions.QUESTIONS`.
    """

    texts: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, Any] = field(default_factory=dict)

    def __getitem__(self, key: str) -> Any:
        """The value of a key, None where it is not known."""
        if key not in QUESTIONS:
            raise KeyError(key)
        return self.values.get(key)

    def get(self, key: str, otherwise: Any) -> Any:
        """The value of a key, or something else where it is not known."""
        found = self[key]
        return otherwise if found is None else found

    def known(self, key: str) -> bool:
        """Whether the key was answered."""
        return self[key] is not None

    def having(self, key: str, text: str) -> Job:
        """The job with one more answer, or without it where the text says that it is not known.

        Raises
        ------
        JobError
            If there is no such key or the answer cannot be read.
        """
        question = known_question(key)
        texts, values = dict(self.texts), dict(self.values)
        if text.strip().lower() in UNKNOWN_WORDS:
            texts.pop(question.key, None)
            values.pop(question.key, None)
        else:
            values[question.key] = read_answer(question, text)
            texts[question.key] = text.strip()
        return Job(texts, values)


def known_question(key: str) -> Question:
    """The question with this key; JobError with the nearest one where there is none."""
    if key in QUESTIONS:
        return QUESTIONS[key]
    near = difflib.get_close_matches(str(key), QUESTIONS, n=1, cutoff=0.5)
    hint = (
        _("; did you mean {near}?").format(near=near[0])
        if near
        else _("; the parts of a job are {sections}.").format(sections=", ".join(SECTIONS))
    )
    raise JobError(_("A job has no entry {value!r}{hint}").format(value=str(key)[:60], hint=hint))


def read_answer(question: Question, text: Any) -> Any:
    """Understand one answer; a plain word, number, quantity with its unit, or list.

    Gauge readings are kept as the difference from the air pressure around them, Pa.

    Raises
    ------
    JobError
        If it cannot be read; the sentence names the entry and shows an example.
    """
    if isinstance(text, bool):
        text = YES if text else NO
    if isinstance(text, list | tuple):
        text = ", ".join(str(one) for one in text)
    text = str(text).strip()
    if len(text) > LONGEST_TEXT:
        raise JobError(
            _("{key} is longer than {longest_text} letters; write it shorter.").format(
                key=question.key, longest_text=LONGEST_TEXT
            )
        )
    if not text.isprintable():
        raise JobError(_("{key} holds characters that no keyboard types; write it again.").format(key=question.key))
    if question.kind == TEXT:
        return text
    if question.kind == CHOICE:
        return _one_of(question, text)
    if question.kind == LIST:
        words = [one.strip() for one in _BETWEEN.split(text) if one.strip()]
        return tuple(dict.fromkeys(_one_of(question, one) for one in words))
    if question.kind == YES_NO:
        return _one_of(question, text, (YES, NO)) == YES
    if question.kind == NUMBER:
        return _number(question, text)
    try:
        value = units.parse(text, question.kind).value
    except units.UnitError as error:
        wrong = str(error).split(", for example")[0].rstrip(".")
        raise JobError(
            _("{key}: {wrong}. For example {example}.").format(key=question.key, wrong=wrong, example=question.example)
        ) from None
    if question.limits is not None and not question.limits[0] <= value <= question.limits[1]:
        low, high, given = (units.show(one, question.kind) for one in (*question.limits, value))
        raise JobError(
            _("{key}: {given} is outside what a cab's machine can have, {low} to {high}.").format(
                key=question.key, given=given, low=low, high=high
            )
        )
    return value - SEA_LEVEL if question.kind == "pressure" else value


def _one_of(question: Question, text: str, choices: tuple[str, ...] | None = None) -> str:
    choices = choices or question.choices
    folded = {one.lower(): one for one in choices}
    typed = text.lower().replace("_", " ")
    if typed in folded:
        return folded[typed]
    near = difflib.get_close_matches(typed, folded, n=1, cutoff=0.8)
    if near:
        return folded[near[0]]
    part = [one for one in folded if typed and set(typed.split()) <= set(re.findall(r"[a-z0-9]+", one))]
    if len(part) == 1:  # "metal" for metal debris, "drier" for receiver-drier
        return folded[part[0]]
    raise JobError(
        _("{key}: {text!r} is not one of {choices}.").format(
            key=question.key, text=text[:40], choices=", ".join(choices)
        )
    )


def _number(question: Question, text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not 0.0 <= value < 1e6:
        raise JobError(
            _("{key}: {text!r} is not a number from 0 up; for example {example}.").format(
                key=question.key, text=text[:30], example=question.example
            )
        )
    return value


def job_of(entries: Mapping[str, Any]) -> Job:
    """A job from nested sections, as a TOML file or a form gives them.

    Raises
    ------
    JobError
        For the first entry that is not known or cannot be read.
    """
    job = Job()
    for section, found in entries.items():
        if not isinstance(found, Mapping):
            raise JobError(
                _("{value!r} must stand in a section such as [machine]; see coldcab plan --new.").format(
                    value=str(section)[:40]
                )
            )
        for name, text in found.items():
            question = known_question(f"{section}.{name}")
            if isinstance(text, Mapping):
                raise JobError(
                    _("{key} is a section where one answer belongs, such as {example!r}.").format(
                        key=question.key, example=question.example
                    )
                )
            value = read_answer(question, text)
            said = ", ".join(value) if isinstance(value, tuple) else (text if isinstance(text, str) else str(text))
            if isinstance(text, bool):
                said = YES if text else NO
            if str(said).strip().lower() not in UNKNOWN_WORDS:
                job = Job({**job.texts, question.key: str(said).strip()}, {**job.values, question.key: value})
    return job


def read_job(path: str | Path) -> Job:
    """Read a job's TOML file.

    Raises
    ------
    JobError
        If the file is missing, too large, no TOML, or holds something that cannot be read.
    """
    path = Path(path)
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise JobError(_("{name} is too large for the description of a job.").format(name=path.name))
        text = path.read_text(encoding="utf-8")
    except OSError:
        raise JobError(
            _("There is no job file {path}; make one with  coldcab plan --new {name}").format(path=path, name=path.name)
        ) from None
    except UnicodeDecodeError:
        raise JobError(_("{name} is not a text file.").format(name=path.name)) from None
    try:
        entries = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise JobError(
            _("{name} is not written as a job file ({error}); put texts in quotation marks.").format(
                name=path.name, error=error
            )
        ) from None
    return job_of(entries)


def as_toml(job: Job, *, every: bool = False, system: str = "us") -> str:
    """The job as the text of its file; with ``every`` what is not known stands there as a comment to fill in.

    Its answers stand as they were given; ``system``, "us" or "si", has the units of the examples.
    """
    parts = [_("# A job for `coldcab plan`. Nothing has to be known; take the # away where you know it.")]
    for section in SECTIONS:
        rows = []
        for question in QUESTIONS.values():
            if question.section != section:
                continue
            if question.key in job.texts:
                rows.append(f"{question.name} = {quoted(job.texts[question.key])}")
            elif every and question.asked:
                rows.append(f"# {question.name} = {quoted(question.example_in(system))}  # {question.words}")
        if rows:
            parts += ["", f"[{section}]", *rows]
    return "\n".join(parts) + "\n"


def quoted(text: str) -> str:
    """A text as a TOML string."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def with_changes(job: Job, changes: Iterable[str]) -> Job:
    """The job after changes such as "weather.ambient=100 F".

    Raises
    ------
    JobError
        If a change has no equals sign, names nothing known, or cannot be read.
    """
    for change in changes:
        key, sign, text = change.partition("=")
        if not sign:
            raise JobError(
                _("{change!r} has no equals sign; write it like  weather.ambient=95 F").format(change=change[:60])
            )
        job = job.having(key.strip(), text)
    return job
