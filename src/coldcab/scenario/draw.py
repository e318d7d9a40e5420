"""Numbers drawn from names: the same names give the same numbers on every computer, for ever.

A learner's copy and the instructor's computer never exchange a case; each works it out from assignment, term and
learner id. That only holds if the generator does not depend on a library's version, so it is a keyed hash of words
(BLAKE2b, RFC 7693), one call a quantity: adding a quantity to a case leaves all others as they were.
"""

from __future__ import annotations

import hashlib
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TypeVar

Choice = TypeVar("Choice")


@dataclass(frozen=True)
class Draw:
    """A source of numbers for one case.

    Parameters
    ----------
    names
        What the case belongs to, for example ``("cycle-1", "2026-autumn", "birch")``. Case of letters and
        look-alike characters do not matter (NFKC, case-folded).
    """

    names: tuple[str, ...]
    _begun: bytes = field(init=False, repr=False, compare=False)

    def __init__(self, *names: str) -> None:
        folded = tuple(unicodedata.normalize("NFKC", name).casefold().strip() for name in names)
        object.__setattr__(self, "names", folded)
        # The length before each word keeps ("ab", "c") and ("a", "bc") apart.
        object.__setattr__(self, "_begun", "".join(f"{len(word)}:{word};" for word in folded).encode())

    def fraction(self, quantity: str) -> float:
        """Return a number from 0 (included) to 1 (excluded) that belongs to ``quantity``."""
        words = self._begun + f"{len(quantity)}:{quantity};".encode()
        digest = hashlib.blake2b(words, digest_size=8).digest()
        return (int.from_bytes(digest, "big") >> 11) / 2**53

    def number(self, quantity: str, low: float, high: float, step: float) -> float:
        """Return one of ``low``, ``low + step`` … ``high``, as an instrument with that division would show it."""
        places = round((high - low) / step) + 1
        return round(low + step * int(self.fraction(quantity) * places), 6)

    def pick(self, quantity: str, options: Sequence[Choice]) -> Choice:
        """Return one of ``options``."""
        return options[int(self.fraction(quantity) * len(options))]

    def order(self, quantity: str, options: Sequence[Choice]) -> tuple[Choice, ...]:
        """Return all of ``options`` in an order of their own."""
        places = sorted(range(len(options)), key=lambda place: self.fraction(f"{quantity} {place}"))
        return tuple(options[place] for place in places)

    def some(
        self,
        quantity: str,
        one: Sequence[Choice],
        other: Sequence[Choice],
        numbers: Sequence[int],
        *,
        together: int = 6,
    ) -> tuple[Choice, ...]:
        """Return some of two groups in an order of their own: a drawn number of ``one``, the rest of ``other``."""
        count = self.pick(f"how many {quantity}", numbers)
        first, second = self.order(f"first {quantity}", one), self.order(f"second {quantity}", other)
        return self.order(f"order of {quantity}", (*first[:count], *second[: together - count]))
