"""What the law and the trade say, each fact with its source, its edition and how sure it is.

The facts are the rows of two tables. ``retrofit_rules`` is United States law in the text of 2015 and 2016, with
practice of the trade. ``law_today`` is what came or changed since, with Europe's rules beside. Laws change, and other
countries have their own: whatever is shown goes with `CURRENT_LAW`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from coldcab import published
from coldcab.service.checks import ServiceError
from coldcab.words import _

CURRENT_LAW = _("Check the current law where you work.")
READ, EXCERPT, FROM_MEMORY, COMMON_PRACTICE = "read", "excerpt read", "from memory", "common practice"

ANNUAL = "2015 annual edition"
LATER = _("text with the amendments through November 2016")
UNDATED = "edition not recorded"
READ_LATER = ("82.34", "82.152")  # sections read in the later text
DATED = {"archived regulator page": "archived copy, undated", "SAE J2791-2019": "2019, public abstract"}


@dataclass(frozen=True)
class Fact:
    """One row of the law or of trade practice.

    ``value`` is as printed (a number, several, or empty where the text says it all) in ``unit``; ``status`` is one of
    "read", "excerpt read" (only the part that the source names in brackets was open), "from memory", "common practice".
    ``standing`` is what was found about it until November 2026: in force, reopened, to be checked.
    """

    id: str
    topic: str
    text: str
    value: str
    unit: str
    source: str
    status: str
    edition: str
    standing: str = ""

    @property
    def number(self) -> float:
        """The value as a number in its unit; ServiceError where the row holds none, or several."""
        try:
            return float(self.value)
        except ValueError:
            raise ServiceError(
                _("fact {id} holds no single number; its value is {value}.").format(
                    id=self.id, value=self.value or "empty"
                )
            ) from None

    @property
    def citation(self) -> str:
        """Source, edition and mark in one phrase."""
        if self.source.startswith(COMMON_PRACTICE):
            return f"{COMMON_PRACTICE}, no source"
        return ", ".join(part for part in (self.source, self.edition, self.status) if part)

    @property
    def sentence(self) -> str:
        """The fact with its value, where it is written, and the reminder to look up what holds now."""
        shown = f": {self.value} {self.unit}" if self.value else ""
        text = self.text[:1].upper() + self.text[1:]
        return f"{text}{shown.removesuffix('-').rstrip()} ({self.citation}). {CURRENT_LAW}"


def fact(name: str) -> Fact:
    """The fact with this id, such as "V12".

    Raises ServiceError for an id that the table does not hold.
    """
    key = name.strip().upper() if isinstance(name, str) else name
    found = _facts().get(key) if isinstance(key, str) else None
    if found is None:
        raise ServiceError(
            _("{value!r} is not a fact of this table; its ids run from {value_2}.").format(
                value=str(name)[:20], value_2=_span()
            )
        )
    return found


def facts(topic: str | None = None) -> tuple[Fact, ...]:
    """All facts, or those of one topic ("retrofit", "recovery", ...).

    Raises ServiceError for a topic that the table does not hold.
    """
    every = tuple(_facts().values())
    if topic is None:
        return every
    found = tuple(one for one in every if one.topic == topic)
    if not found:
        topics = ", ".join(dict.fromkeys(one.topic for one in every))
        raise ServiceError(
            _("{value!r} is not a topic of this table; the topics are {topics}.").format(
                value=str(topic)[:30], topics=topics
            )
        )
    return found


def cite(*names: str) -> str:
    """The citations of several facts in one phrase, for a table or a caption."""
    return "; ".join(dict.fromkeys(fact(name).citation for name in names))


@cache
def _facts() -> Mapping[str, Fact]:
    return MappingProxyType(_of_2016() | _since())


def _since() -> dict[str, Fact]:
    """What came or changed since the text of 2016, in the table ``law_today``."""
    return {
        row["id"]: Fact(
            row["id"], row["topic"], row["asks"], "", "", row["rule"], row["how"], row["dated"], row["standing"]
        )
        for row in published.rows("law_today")
    }


def _of_2016() -> dict[str, Fact]:
    found: dict[str, Fact] = {}
    before = ""
    for row in published.rows("retrofit_rules"):
        given = before if row["source"] == "same" else row["source"]
        before = given
        unit = "" if row["unit"] == "-" else row["unit"]
        source = _whole(given, row["topic"])
        found[row["id"]] = Fact(
            row["id"], row["topic"], row["fact"], row["value"], unit, source, _mark(row), _edition(source, row)
        )
    return found


def _whole(source: str, topic: str) -> str:
    """The source with the title and subpart that its row leaves out."""
    if re.match(r"App\. [A-H]\b", source):
        return _("40 CFR 82 Subpart {topic} {source}").format(
            topic="G" if topic in ("retrofit", "fitting") else "B", source=source
        )
    source = re.sub(r" \(2015 annual ed\.\)", "", source)
    return f"40 CFR 82 {source}" if source.startswith("Subpart") else source


def _mark(row: Mapping[str, str]) -> str:
    if re.search(r"(common|trade) practice", row["source"]):
        return COMMON_PRACTICE
    return {"read": READ, "memory": FROM_MEMORY}[row["status"]]


def _edition(source: str, row: Mapping[str, str]) -> str:
    """Which edition or date the row was read in; a recalled row has none."""
    if row["status"] != "read" or _mark(row) == COMMON_PRACTICE:
        return "" if _mark(row) == COMMON_PRACTICE else UNDATED
    for start, edition in DATED.items():
        if source.startswith(start):
            return edition
    if " FR " in source:
        return ""  # the date stands in the source
    later = [section for section in READ_LATER if section in source]
    if not later:
        return ANNUAL
    return (
        LATER
        if source.count("82.") == len(later)
        else _("{annual}; {later} in the {later_2}").format(annual=ANNUAL, later=" and ".join(later), later_2=LATER)
    )


def _span() -> str:
    ids = tuple(_facts())
    return _("{ids} to {ids_2} (with gaps), for example V12").format(ids=ids[0], ids_2=ids[-1])
