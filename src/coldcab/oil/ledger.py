"""The oil ledger: what was in, what left, what stays, what was added, each with its uncertainty.

Oil is neither made nor lost in a circuit: in + added = out + what stays. The ledger keeps that sum, part by part and
oil by oil, refuses entries that cannot be, and compares what should be inside with what was found there.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from coldcab import units
from coldcab.oil.checks import VOLUME_RANGE, OilError, number
from coldcab.oil.distribution import Proposal, known_part, propose
from coldcab.oil.properties import oil_named

WHOLE_CIRCUIT = "whole circuit"
"""The place of oil that no single part is named for: the data sheet's total, or oil that left with the gas."""

KINDS = {
    "in": "was in",
    "out": "left",
    "kept": "is still inside",
    "added": "was put in",
}
"""Kinds of entry and how they are told."""

LONGEST_NAME = 80


@dataclass(frozen=True)
class Amount:
    """A volume of oil and its uncertainty either way, m3."""

    volume: float
    uncertainty: float

    def words(self, system: str = "us") -> str:
        """The amount in words, such as "8.0 fl oz (237 mL) plus or minus 0.5 fl oz (15 mL)"."""
        return f"{volume_words(self.volume, system)} plus or minus {volume_words(self.uncertainty, system)}"


@dataclass(frozen=True)
class Entry:
    """One line of the ledger, SI."""

    kind: str
    what: str
    volume: float
    uncertainty: float
    part: str
    oil: str


@dataclass(frozen=True)
class Ledger:
    """The books of one job. Every method that enters something gives a new ledger; the old one stays as it was.

    Parameters
    ----------
    oil : the oil that belongs in this machine, see `properties.oil_named`.
    required : m3 that the data sheet asks for in the whole circuit; None if it is not known.
    required_uncertainty : m3 either way, of the data sheet's figure.
    entries : the lines so far.

    Uncertainties are limits either way; independent ones are combined by the root of the sum of squares (JCGM
    100:2008, section 5.1.2). They are not forms of error: what was never measured needs a wide one.
    """

    oil: str
    required: float | None = None
    required_uncertainty: float = 0.0
    entries: tuple[Entry, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "oil", oil_named(self.oil).name)
        if self.required is not None:
            object.__setattr__(self, "required", _volume("required", self.required))
        object.__setattr__(self, "required_uncertainty", _volume("required_uncertainty", self.required_uncertainty))
        lines = tuple(self.entries)
        entries: tuple[Entry, ...] = ()
        object.__setattr__(self, "entries", entries)
        for entry in lines:  # one after the other, so that an impossible line is refused here too
            entries = (*entries, self._checked(entry))
            object.__setattr__(self, "entries", entries)

    # Entering ---------------------------------------------------------------------------------------------------

    def enter(
        self,
        kind: str,
        what: str,
        volume: float,
        uncertainty: float = 0.0,
        *,
        part: str = WHOLE_CIRCUIT,
        oil: str | None = None,
    ) -> Ledger:
        """A ledger with one more line.

        Parameters
        ----------
        kind : "in" (was in before work began), "out" (left), "added" (was put in) or "kept" (found or judged to stay
            in the end; an independent count, it moves no oil).
        what : a few words, such as "drained from the old compressor".
        volume, uncertainty : m3, 0 or more.
        part : one of `distribution.PARTS`, or `WHOLE_CIRCUIT`.
        oil : type of an oil that was in or was put in; the ledger's own without it.

        Returns
        -------
        `Ledger`.

        Raises
        ------
        OilError : unknown kind, part or oil, a number out of range, more oil out than was ever there, or a place
            counted twice.

        Source
        ------
        Conservation of mass; oil expands less than 1 % over a day's temperatures, so volumes are added.
        """
        entry = Entry(kind, what, volume, uncertainty, part, self.oil if oil is None else oil)
        return replace(self, entries=(*self.entries, entry))

    def replaced(
        self,
        part: str,
        removed: float,
        brought: float,
        *,
        removed_uncertainty: float = 0.0,
        brought_uncertainty: float = 0.0,
        oil: str | None = None,
    ) -> Ledger:
        """A ledger after a part was replaced: the oil the old one took along is out, what the new one brings is in.

        Measure what a new compressor brings: drain it into a cup. See `enter` for units and errors.
        """
        after = self.enter("out", f"left with the old {part}", removed, removed_uncertainty, part=part)
        if brought == 0.0 and brought_uncertainty == 0.0:
            return after  # a dry part brings nothing, and nothing needs no line
        return after.enter("added", f"came with the new {part}", brought, brought_uncertainty, part=part, oil=oil)

    def flushed(self, part: str, left: float = 0.0, *, uncertainty: float = 0.0) -> Ledger:
        """A ledger after a part was flushed: all its oil left but what is judged to remain (m3).

        Raises OilError where it was never said how much the part held. See `enter`.
        """
        there = sum(self.contents().get(known_part(part), {}).values())
        if there <= 0.0:
            raise OilError(f"the ledger does not say what the {part} held; enter that first, then flush it.")
        stays = _volume("left", left)
        if stays > there:
            raise OilError(f"more oil is said to stay in the {part} than it held; check both volumes.")
        return self.enter("out", f"flushed from the {part}", there - stays, uncertainty, part=part)

    # Adding up --------------------------------------------------------------------------------------------------

    def sum_of(self, kind: str) -> Amount:
        """All lines of one kind together."""
        known = _kind(kind)
        lines = [entry for entry in self.entries if entry.kind == known]
        return Amount(math.fsum(e.volume for e in lines), _together(e.uncertainty for e in lines))

    @property
    def total_before(self) -> Amount:
        """Oil in the circuit before work began."""
        return self.sum_of("in")

    @property
    def total_after(self) -> Amount:
        """Oil that must be in the circuit now: in + added - out."""
        moved = [entry for entry in self.entries if entry.kind != "kept"]
        signs = {"in": 1.0, "added": 1.0, "out": -1.0}
        return Amount(
            math.fsum(signs[e.kind] * e.volume for e in moved),
            _together(e.uncertainty for e in moved),
        )

    @property
    def to_add(self) -> Amount:
        """What is missing from the data sheet's amount; a volume below 0 is oil too much.

        Raises OilError without a required amount.
        """
        if self.required is None:
            raise OilError("this ledger has no required amount; take it from the machine's data sheet.")
        after = self.total_after
        return Amount(
            self.required - after.volume,
            _together((after.uncertainty, self.required_uncertainty)),
        )

    @property
    def gap(self) -> Amount | None:
        """What should be inside less what was counted there; None where nothing was counted."""
        found = [entry for entry in self.entries if entry.kind == "kept"]
        if not found:
            return None
        after, counted = self.total_after, self.sum_of("kept")
        return Amount(after.volume - counted.volume, _together((after.uncertainty, counted.uncertainty)))

    @property
    def balances(self) -> bool | None:
        """Whether the gap is within its uncertainty; None where nothing was counted, so nothing was checked."""
        gap = self.gap
        # 1e-12 m3 is what adding numbers leaves behind.
        return None if gap is None else abs(gap.volume) <= gap.uncertainty + 1e-12

    @property
    def doubt(self) -> tuple[Entry, float] | None:
        """The line that carries most of the doubt, and its share of the combined uncertainty's square."""
        whole = math.fsum(entry.uncertainty**2 for entry in self.entries)
        if whole <= 0.0:
            return None
        worst = max(self.entries, key=lambda entry: entry.uncertainty)
        return worst, worst.uncertainty**2 / whole

    def contents(self) -> dict[str, dict[str, float]]:
        """Oil by place and type after all lines, m3; `WHOLE_CIRCUIT` holds what no part is named for."""
        places: dict[str, dict[str, float]] = {}
        # What was in before work began counts first, wherever it stands in the list.
        for entry in sorted(self.entries, key=lambda entry: entry.kind != "in"):
            if entry.kind in ("in", "added"):
                place = places.setdefault(entry.part, {})
                place[entry.oil] = place.get(entry.oil, 0.0) + entry.volume
            elif entry.kind == "out":
                self._take(places, entry)
        return places

    def shares(self) -> dict[str, float]:
        """Share of each type of oil in what is left, by volume; empty where nothing is left."""
        by_oil: dict[str, float] = {}
        for place in self.contents().values():
            for oil, volume in place.items():
                by_oil[oil] = by_oil.get(oil, 0.0) + volume
        whole = math.fsum(by_oil.values())
        return {oil: volume / whole for oil, volume in by_oil.items() if volume > 0.0} if whole > 1e-12 else {}

    def proposal(self, dry: tuple[str, ...], *, compressor_limit: float | None = None) -> Proposal:
        """Where to put what is to be added; see `distribution.propose`. Raises OilError where nothing is missing."""
        missing = self.to_add.volume
        if missing < 0.0:
            raise OilError("there is more oil in the circuit than the data sheet asks for; drain, do not add.")
        holds = {part: sum(v.values()) for part, v in self.contents().items() if part != WHOLE_CIRCUIT}
        return propose(missing, dry, holds=holds, compressor_limit=compressor_limit)

    # Telling ----------------------------------------------------------------------------------------------------

    def verdict(self, system: str = "us") -> str:
        """In plain sentences: what is inside, whether the books balance, which line carries the doubt.

        Parameters
        ----------
        system : "us" or "si", the order of units.
        """
        if not self.entries:
            return "The ledger is empty."
        said = [f"Inside now: {self.total_after.words(system)}."]
        gap = self.gap
        if gap is None:
            said.append("Nothing inside was counted on its own, so this is a sum and not a check.")
        elif self.balances:
            said.append(
                f"The books balance: the gap of {volume_words(abs(gap.volume), system)} is within plus or minus "
                f"{volume_words(gap.uncertainty, system)}."
            )
        else:
            side = "is missing" if gap.volume > 0.0 else "is too much"
            said.append(
                f"The books do not balance: {volume_words(abs(gap.volume), system)} {side}, and they can be off by "
                f"{volume_words(gap.uncertainty, system)}."
            )
        doubt = self.doubt
        if doubt is None:
            said.append("No line has an uncertainty; nothing is ever measured that well.")
        else:
            entry, part = doubt
            said.append(f"Least sure ({100 * part:.0f} %): {entry.what}.")
        if gap is not None and not self.balances:
            said.append("Find the mistake before you add or drain anything.")
        elif self.required is not None:
            missing = self.to_add
            if missing.volume < -missing.uncertainty:
                more = Amount(-missing.volume, missing.uncertainty)
                said.append(f"There is too much oil: drain {more.words(system)}.")
            elif missing.volume <= missing.uncertainty:
                said.append("Within plus or minus nothing needs to be added.")
            else:
                said.append(f"To add: {missing.words(system)}.")
        return " ".join(said)

    # Helpers ----------------------------------------------------------------------------------------------------

    def _checked(self, entry: Entry) -> Entry:
        """The line with its names made regular, or a sentence on why it cannot be."""
        kind = _kind(entry.kind)
        what = " ".join(str(entry.what).split())
        if not what or len(what) > LONGEST_NAME or not what.isprintable():
            raise OilError(f"each line of the ledger needs a few words, at most {LONGEST_NAME} letters.")
        part = entry.part if entry.part == WHOLE_CIRCUIT else known_part(entry.part)
        volume, doubt = _volume(f"the volume of {what}", entry.volume), _volume("uncertainty", entry.uncertainty)
        line = Entry(kind, what, volume, doubt, part, oil_named(entry.oil).name)
        if kind == "out":
            self._can_leave(line)
        if kind == "kept":
            counted = [e.part for e in self.entries if e.kind == "kept"]
            if part in counted or (counted and WHOLE_CIRCUIT in (part, *counted)):
                raise OilError(f"what stays in the {part} was counted already; each place is counted once.")
        return line

    def _can_leave(self, line: Entry) -> None:
        places = self.contents()
        if line.part == WHOLE_CIRCUIT:
            there = self.total_after.volume
        else:
            there = sum(sum(places.get(name, {}).values()) for name in (line.part, WHOLE_CIRCUIT))
        doubt = _together((self.total_after.uncertainty, line.uncertainty))
        if line.volume > there + doubt + 1e-12:
            raise OilError(
                f"{volume_words(line.volume)} cannot leave the {line.part}: the ledger knows of "
                f"{volume_words(max(there, 0.0))} there. Either the first amount is wrong, or what was "
                "drained holds refrigerant or solvent."
            )

    def _take(self, places: dict[str, dict[str, float]], entry: Entry) -> None:
        """Take a line's oil from its place, then from what no part is named for, each as it is mixed."""
        left = entry.volume
        order = [entry.part] if entry.part == WHOLE_CIRCUIT else [entry.part, WHOLE_CIRCUIT]
        for name in order:
            left -= _draw(places.get(name, {}), left)
        if entry.part == WHOLE_CIRCUIT and left > 0.0:
            named = {name: sum(v.values()) for name, v in places.items() if name != WHOLE_CIRCUIT}
            whole = sum(named.values())
            wanted = min(left, whole)
            for name, there in named.items():
                if whole > 0.0:
                    left -= _draw(places[name], wanted * there / whole)
        if left != 0.0:
            # More left than the books knew, within the doubt of the lines: the difference stands as a debt.
            rest = places.setdefault(WHOLE_CIRCUIT, {})
            rest[self.oil] = rest.get(self.oil, 0.0) - left


def _draw(place: dict[str, float], wanted: float) -> float:
    """Take up to `wanted` from a place, each oil by its share; give back what was taken."""
    there = sum(place.values())
    if there <= 0.0 or wanted <= 0.0:
        return 0.0
    if wanted >= there:
        taken = dict.fromkeys(place, 0.0)
    else:
        taken = {oil: volume * (1.0 - wanted / there) for oil, volume in place.items()}
    place.update(taken)
    return there - sum(place.values())


def _together(uncertainties: Iterable[float]) -> float:
    return math.sqrt(math.fsum(value**2 for value in uncertainties))


def _volume(name: str, value: float) -> float:
    return number(name, value, VOLUME_RANGE)


def _kind(kind: str) -> str:
    if kind not in KINDS:
        raise OilError(f"{str(kind)[:40]!r} is not a kind of entry; there are {', '.join(KINDS)}.")
    return kind


def volume_words(volume: float, system: str = "us") -> str:
    """A volume of oil as a measuring cup shows it: tenths of a fluid ounce, whole millilitres."""
    ounces, millilitres = (units.convert(volume, "volume", unit) for unit in ("fl oz", "mL"))
    shown = f"{ounces:.1f} fl oz", f"{millilitres:.0f} mL"
    return f"{shown[0]} ({shown[1]})" if system == "us" else f"{shown[1]} ({shown[0]})"
