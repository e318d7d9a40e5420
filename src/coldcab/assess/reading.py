"""Reading one answer: from what a person wrote to a value in SI or to one of the choices."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from coldcab import units
from coldcab.assess.bystanders import are_harmless, speaks_in_signs
from coldcab.assess.cards import Value
from coldcab.assess.items import CHOICE, LIST, Item, listed
from coldcab.assess.sheet import fold
from coldcab.assess.synonyms import meant
from coldcab.quantities import STANDARD_ATMOSPHERE
from coldcab.words import _

SEA_LEVEL = STANDARD_ATMOSPHERE
"""Air pressure in Pa where a case names none (ISO 2533)."""


_APART = re.compile(r"[,;+&/]|\band\b", re.IGNORECASE)
"""What stands between the parts of a list."""

_TIMES = re.compile(r"(?<=[0-9]) ?(?:times|-?fold|x|cans?|rinses?)\.?$", re.IGNORECASE)
"""What people write behind a ratio or a count: 4.6 times, 4.6x, 3 cans."""

_ONES = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_TEENS = (
    *("ten", "eleven", "twelve", "thirteen", "fourteen"),
    *("fifteen", "sixteen", "seventeen", "eighteen", "nineteen"),
)
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_VALUES = {word: value for value, word in enumerate((*_ONES, *_TEENS), 1)}
_VALUES |= {word: 10 * value for value, word in enumerate(_TENS, 2)} | {"a": 1}
_IN_WORDS = re.compile(
    rf"(?:(?P<hundreds>a|{'|'.join(_ONES)}) hundred\b)?(?: ?(?:and )?(?:(?P<tens>{'|'.join(_TENS)})\b(?:[ -](?P<ones>"
    rf"{'|'.join(_ONES)})\b)?|(?P<few>{'|'.join((*_TEENS, *_ONES))})\b))?",
    re.IGNORECASE,
)
"""How a number below a thousand is said at the beginning of an answer: sixty-five, a hundred and ten."""

_PER_CENT = re.compile(r"%|\bper ?cent\b", re.IGNORECASE)

_EITHER_WAY = re.compile(r"^(?:±|\+ ?/ ?-) ?")
"""How a doubt is written, and printed: ± 0.8 fl oz."""

_ABOVE_OR_BELOW = re.compile(r"(?<=\w) +(lower|below|less|higher|above|more)\.?$", re.IGNORECASE)
"""What people write behind a difference: 16 psi lower."""

_GAUGE = re.compile(r"psig|gauge|vacuum")

_ABSOLUTE = re.compile(r"abs|(?:pa|bar|psi|hg|atm) ?\(?a\b|micron|torr", re.IGNORECASE)

_CONTRACTED_NOT = re.compile(
    r"\b(is|are|was|were|do|does|did|has|have|had|ca|could|would|should|wo|ai|must|need)n['’‘´`]?t\b", re.IGNORECASE
)
"""Isn't, doesn't, can't, and how a hurried hand writes them: isnt."""

_DENIAL = re.compile(
    r"\b(?:no|not|non|un|nor|never|neither|none|nothing|cannot|without|but|except|far from|rather than|instead of"
    r"|opposite of|other than|hardly|barely|scarcely|almost|nearly|wrong|incorrect|false|untrue|impossible"
    r"|doubt(?:s|ful)?|fail(?:s|ed)? to|lack(?:s|ing)?)\b"
)
"""What turns the words around it into their opposite, or takes them back; in folded text."""

_JOINING_SIGN = re.compile(r"[,;:/|&+]")
_JOINING_WORD = re.compile(r"\b(?:or|and|then|also)\b")
_AND_ON = re.compile(
    r"\.\.|…|[-–—] *(?:\d|\w\b)|\b(?:to|through|thru|until|till|onwards?|upwards?|etc|etcetera|so on)\b", re.IGNORECASE
)
"""What makes one letter of a list mean more than itself: C to Z."""

_LITTLE_WORDS = frozenset({"a", "an", "the", "it", "is", "of"})


NONE = "none"
"""The choice of a list that goes with no other."""


@dataclass(frozen=True)
class Reading:
    """How an answer was understood: its value in SI, how it reads in both systems, or what is wrong with it."""

    value: Value | None
    echo: str = ""
    problem: str = ""
    question: str = ""
    """What is asked back at the desk although the answer can be read; the grading takes it as it was read."""


def read_answer(item: Item, text: str, case: Any = None) -> Reading:
    """Understand ``text`` as an answer to ``item``, without judging it.

    Gauge pressures are read with the air pressure of the case, at sea level where it names none.
    """
    text = text.strip()
    if not text:
        return Reading(None)
    if item.kind == CHOICE:
        return _read_choice(item, text)
    if item.kind == LIST:
        return _read_list(item, text)
    atmosphere = getattr(case, "atmosphere", SEA_LEVEL)
    if "minus" in item.prompt and _EITHER_WAY.match(text):
        return Reading(
            None, problem=_("above or below? Write one sign, for example {example}.").format(example=item.example)
        )
    try:
        quantity = parse_quantity(text, item.kind, atmosphere)
    except units.UnitError as error:
        usual = units.KINDS[item.kind].partition(", for example ")[2]
        return Reading(None, problem=str(error).replace(f"for example {usual}", f"for example {item.example}"))
    if item.kind == "pressure" and "absolute" in item.prompt and _GAUGE.search(quantity.unit):
        # Copying the gauge names the right pressure, and leaves out what the line asks for.
        return Reading(
            None,
            problem=_(
                "this line wants an absolute pressure, and {unit} counts from the air's pressure; for "
                "example {example}."
            ).format(unit=quantity.unit, example=item.example),
        )
    return Reading(quantity.value, _echo(quantity, atmosphere), question=_gauge_or_absolute(item, text, quantity))


def _gauge_or_absolute(item: Item, text: str, quantity: units.Quantity) -> str:
    """The question to a bare kPa or bar on a line that is about a gauge: both would be a pressure."""
    unit = quantity.unit.removesuffix(" absolute")
    if item.kind != "pressure" or unit == quantity.unit or not _GAUGE.search(item.example) or _ABSOLUTE.search(text):
        return ""
    return _("gauge or absolute? Write {unit} gauge or {unit} abs; as it stands, it counts as absolute.").format(
        unit=unit
    )


def _in_digits(text: str) -> str:
    """Write a number in words at the beginning of an answer in digits: sixty percent is 60 percent."""
    found = _IN_WORDS.match(text)
    if found is None or not found[0].strip() or text[found.end() :][:1] == "-":  # two-thirds is no two
        return text
    parts = {name: _VALUES[word.lower()] for name, word in found.groupdict().items() if word}
    number = 100 * parts.get("hundreds", 0) + parts.get("tens", 0) + parts.get("ones", 0) + parts.get("few", 0)
    return f"{number} {text[found.end() :].strip()}".strip()


def parse_quantity(text: str, kind: str, atmosphere: float) -> units.Quantity:
    """Read a quantity; a part of a pressure (Dalton) may be called absolute, since it counts from nothing."""
    text = _in_digits(_EITHER_WAY.sub("", text))
    if kind.endswith("difference") and (way := _ABOVE_OR_BELOW.search(text)):
        text = text[: way.start()].strip()
        if way[1].lower() in ("lower", "below", "less") and not text.startswith(("-", "\u2212")):
            text = f"-{text}"
    if kind == "ratio":
        text = _TIMES.sub("", text.strip())
        if _PER_CENT.search(text):
            share = units.parse(text, "fraction")
            return units.Quantity(share.value, kind, "", share.text)
    try:
        return units.parse(text, kind, atmosphere=atmosphere)
    except units.UnitError:
        if kind != "pressure difference":
            raise
        try:
            part = units.parse(text, "pressure", atmosphere=atmosphere)
        except units.UnitError:
            part = None
        if part is None or not (part.unit == "psia" or "abs" in part.unit):
            raise
        return part


GAUGES = ("psig", "kPa gauge")
"""Units of a gauge reading, of the trade and metric."""


def _echo(quantity: units.Quantity, atmosphere: float) -> str:
    """How an answer was read, in the typed unit and in one of the other system: 29.5 psia = 203 kPa absolute."""
    value, kind, unit = quantity.value, quantity.kind, quantity.unit
    if kind == "ratio":
        return f"{value:.6g}"  # whether it was written 4.6, 4.6:1 or 4.6 to 1
    try:
        number = units.convert(value, kind, unit, atmosphere=atmosphere) if unit else value
        typed = f"{number:,.6g} {unit}".rstrip()
    except units.UnitError:
        typed = quantity.text  # two units, one after the other: 2 lb 9 oz
    trade, metric = (
        units.show(value, kind, system=system, atmosphere=atmosphere).split(" (")[0] for system in ("us", "si")
    )
    if unit in GAUGES:  # a gauge reading stays one, as the sheet writes it
        trade, metric = (
            f"{units.convert(value, kind, other, atmosphere=atmosphere):,.{places}f} {other}"
            for other, places in zip(GAUGES, (1, 0), strict=True)
        )
    if trade == metric:
        return typed
    return f"{typed} = {trade if unit and unit in metric else metric}"


def _read_choice(item: Item, text: str) -> Reading:
    choice, beside = _choice_in(item, text)
    if not choice or not are_harmless(beside):
        return Reading(None, problem=_("write one of these: {choices}").format(choices=", ".join(item.choices)))
    return Reading(choice, choice)


def _choice_in(item: Item, text: str) -> tuple[str, str]:
    """Return the one choice that an answer names, or nothing, and what else stands in it, folded."""
    if speaks_in_signs(text, "".join(item.choices)):
        return "", ""
    choices = {fold(choice): choice for choice in item.choices}
    text = _CONTRACTED_NOT.sub(r"\1 not", text.replace(">", " over ").replace("<", " under "))
    typed = fold(text)
    named = _choices_named(typed, choices)
    if len(named) != 1 or _names_another(fold(_JOINING_SIGN.sub(" or ", text)), named[0], choices):
        return "", ""
    beside = _beside(typed, named[0])
    # "A" is a letter of the line before it is a word.
    return ("", "") if choices.keys() & set(beside.split()) else (choices[named[0]], beside)


def _choices_named(typed: str, choices: Iterable[str]) -> list[str]:
    """Return the choices that an answer may mean; all of it is folded."""
    # "High" begins one choice, "falls" may end just one; "leak" does not stand for "no leak".
    begins = [choice for choice in choices if typed and choice.startswith(typed)] or [
        choice
        for choice in choices
        if choice.endswith(f" {typed}") and not typed.isdigit() and _denies(typed) == _denies(choice)
    ]
    # "subcooled liquid" says subcooled, "saturated mixture" saturated; two choices in one answer say neither.
    # "No leak" does not say leak; nor does "wet and leak", where "moisture and a leak" is a choice.
    within = [
        choice
        for choice in choices
        if f" {choice} " in f" {typed} " and _denies(typed) == _denies(choice) and not _is_half(choice, typed, choices)
    ]
    if len(within) == 1:
        return within
    if typed in choices:
        return [typed]
    if len(begins) == 1:
        return begins
    little = _LITTLE_WORDS.difference(choices)
    slips = [choice for choice in choices if _misspelt(typed, choice, little)]
    other = meant(typed, choices) if len(slips) != 1 else None
    return [other] if other else slips


def _names_another(typed: str, found: str, choices: Iterable[str]) -> bool:
    """Whether what stands around the choice found names a second one: yes or no; saturated, superheat."""
    if f" {found} " not in f" {typed} ":
        return False
    parts = [part.split() for part in _JOINING_WORD.split(f" {typed} ".replace(f" {found} ", " or "))]
    # "The" begins "the circuit" and says nothing; "no" is short and says much.
    little = _LITTLE_WORDS.difference(choices)
    telling = (" ".join(part) for part in parts if not little.issuperset(part))
    return any(
        named and named != [found]
        for part in telling
        if len(part) > 2 or part in choices
        for named in [_choices_named(part, choices)]
    )


def _beside(typed: str, found: str) -> str:
    """What stands beside the choice found, where the answer holds it as it is; all of it is folded."""
    rest, count = re.subn(rf"(?<!\S){re.escape(found)}(?!\S)", " ", typed)
    return rest if count else ""


def _is_half(choice: str, typed: str, choices: Iterable[str]) -> bool:
    """Whether the answer joins something to this choice, and some other choice does so too."""
    joined = (other for other in choices if other != choice and " and " in other and choice in other)
    return " and " in typed and " and " not in choice and any(joined)


def _denies(folded: str) -> bool:
    return _DENIAL.search(folded) is not None


def _misspelt(typed: str, choice: str, little: frozenset[str]) -> bool:
    """Whether both are the same words, some with a slip of the pen.

    Word by word: as a whole "turn the stem in" would be as near to "turn the stem out" as a misspelling is.
    """
    if typed.replace(" ", "") == choice.replace(" ", ""):
        return True
    ours, theirs = ([word for word in text.split() if word not in little] for text in (typed, choice))
    # "Blocked condenser" is "condenser blocked".
    return bool(ours) and len(ours) == len(theirs) and all(map(_slip, sorted(ours), sorted(theirs)))


def _slip(typed: str, word: str) -> bool:
    """Whether ``typed`` is ``word`` misspelt; a digit more, un- before or -less behind it is another word."""
    if typed == word:
        return True
    if min(len(typed), len(word)) < 4 or any(sign.isdigit() for sign in typed + word):
        return False
    if typed.endswith(word) or word.endswith(typed) or (typed.startswith(word) and len(typed) > len(word) + 2):
        return False
    if (typed.endswith("thing") and word.endswith("thing")) or _turned(typed, word):
        return False
    return difflib.SequenceMatcher(None, typed, word).ratio() >= 0.75


_TURNING = ("sub", "super", "over", "under", "in", "out")


def _turned(typed: str, word: str) -> bool:
    """Whether two words differ in what turns one into the other's opposite: supercooled, subcooled."""
    ours, theirs = ([each for each in _TURNING if text.startswith(each)] for text in (typed, word))
    return any(before != after and typed[len(before) :] == word[len(after) :] for before in ours for after in theirs)


def _read_list(item: Item, text: str) -> Reading:
    found = []
    parts = [text] if speaks_in_signs(text, "".join(item.choices)) else _parts_of_list(item, text)
    for part in parts:
        choice, beside = _choice_in(item, part)
        said = " ".join(part.split())[:40]
        if len(choice) == 1 and _AND_ON.search(re.sub(rf"\b{re.escape(choice)}\b", " ", part, flags=re.I)):
            problem = _("“{said}” may mean more than {choice}; write each one that you mean")
            return Reading(None, problem=problem.format(said=said, choice=choice))
        if not choice or not are_harmless(beside):
            problem = _("write one of these: {choices}").format(choices=", ".join(item.choices))
            return Reading(None, problem=_("“{said}” is not known here; {problem}").format(said=said, problem=problem))
        found.append(choice)
    value = listed(found, item.choices)
    return (
        Reading(value, value, question=_none_and_some(found))
        if value
        else Reading(None, problem=_("write some of these: {choices}").format(choices=", ".join(item.choices)))
    )


def _none_and_some(found: list[str]) -> str:
    """The question to a list that names something and says none."""
    if NONE not in found or set(found) == {NONE}:
        return ""
    return _("none, or {found}? Write none alone, or the letters alone.").format(
        found=", ".join(one for one in found if one != NONE)
    )


def _pieces(item: Item, text: str) -> list[str]:
    """Cut a list; what people say for one choice stays whole: no leak and the right charge."""
    choices = [fold(choice) for choice in item.choices]

    def is_whole(part: str) -> bool:
        return " and " in part and bool(meant(fold(part), choices))

    parts = [text] if is_whole(text) else text.split(",")
    return [piece for part in parts for piece in ([part] if is_whole(part) else _APART.split(part))]


def _parts_of_list(item: Item, text: str) -> list[str]:
    """Return the parts of a list; letters with only a space between them are parts, too: A C."""
    letters = {choice.casefold() for choice in item.choices if len(choice) == 1}
    parts: list[str] = []
    for part in filter(str.strip, _pieces(item, text)):
        words = part.split()
        parts += words if letters.issuperset(word.casefold() for word in words) else [part]
    return parts
