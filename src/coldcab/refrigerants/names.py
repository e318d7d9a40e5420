"""Designations: forgiving reading, the list of what is known, the nearest name for a slip of the pen."""

import functools
import re

from coldcab.quantities import ColdcabError

__all__ = ["TABLES", "UnknownRefrigerant", "engine_name", "resolve"]


class UnknownRefrigerant(ColdcabError):
    """A designation that is not known here; the message names the nearest known one."""


TABLES = ("R-12", "R-134a", "R-152a", "R-1234yf")

# Everything else goes to CoolProp under the name at the right.
PURE = {
    "R-11": "R11",
    "R-12": "R12",
    "R-13": "R13",
    "R-22": "R22",
    "R-23": "R23",
    "R-32": "R32",
    "R-113": "R113",
    "R-114": "R114",
    "R-115": "R115",
    "R-123": "R123",
    "R-124": "R124",
    "R-125": "R125",
    "R-134a": "R134a",
    "R-141b": "R141b",
    "R-142b": "R142b",
    "R-143a": "R143a",
    "R-152a": "R152A",
    "R-161": "R161",
    "R-218": "R218",
    "R-227ea": "R227EA",
    "R-236fa": "R236FA",
    "R-245fa": "R245fa",
    "R-290": "n-Propane",
    "R-600": "n-Butane",
    "R-600a": "IsoButane",
    "R-717": "Ammonia",
    "R-744": "CarbonDioxide",
    "R-1233zd(E)": "R1233zd(E)",
    "R-1234yf": "R1234yf",
    "R-1234ze(E)": "R1234ze(E)",
    "R-1270": "Propylene",
}

# Blends whose composition and binary models CoolProp brings along.
BLENDS = {
    f"R-{number}": f"R{number}.mix"
    for number in (
        *("404A", "407A", "407C", "410A", "417A", "422D", "448A", "449A", "450A", "454B", "454C"),
        *("500", "502", "507A", "513A"),
    )
}

# Blends with or hydrocarbons that were sold to replace R-12: known by name, but CoolProp has no
# mixture model for their pairs. (Names from ASHRAE Standard 34, from memory.)
WITHOUT_MODEL = (
    "R-401A",
    "R-401B",
    "R-406A",
    "R-409A",
    "R-413A",
    "R-414A",
    "R-414B",
    "R-416A",
    "R-420A",
    "R-426A",
)

KNOWN = (*PURE, *BLENDS)


def _bare(text: str) -> str:
    """'r 134A', 'HFC-134a', '134a' -> '134A'."""
    text = re.sub(r"[\s_\-]+", "", text.upper())
    return re.sub(r"^(REFRIGERANT|HCFC|HFC|CFC|HFO|HCFO|R)(?=\d)", "", text)


_BY_BARE_NAME = {_bare(name): name for name in (*KNOWN, *WITHOUT_MODEL)}


@functools.lru_cache(maxsize=1024)
def _resolve(name: str) -> str:
    bare = _bare(name)
    if "/" in bare:
        return _own_blend(name)
    found = _BY_BARE_NAME.get(bare)
    if found in WITHOUT_MODEL:
        raise UnknownRefrigerant(
            f"{found} is known by name, but no property model of this blend is at hand; "
            "use the maker's pressure-temperature chart."
        )
    if found is None:
        raise UnknownRefrigerant(f"{name.strip()[:40]!r} is not a refrigerant known here; {_suggestion(bare)}")
    return found


def _suggestion(bare: str) -> str:
    import difflib

    near = difflib.get_close_matches(bare, list(_BY_BARE_NAME), n=5, cutoff=0.5)
    if near:
        # Of names about equally near, the one that starts alike: digits are mistaken less often than letters.
        best = max(near, key=lambda known: _alike(known, bare))
        return f"did you mean {_BY_BARE_NAME[best]}?"
    return f"give a designation such as {', '.join(TABLES)}."


def _alike(one: str, two: str) -> int:
    """How many characters from the start are the same."""
    return next((k for k, (a, b) in enumerate(zip(one, two, strict=False)) if a != b), min(len(one), len(two)))


def _own_blend(name: str) -> str:
    """'R-134a/R-12 (90/10)', shares by mass in percent -> one spelling of it."""
    sentence = (
        f"{name.strip()[:60]!r} is not a blend that can be read; write it like 'R-134a/R-12 (90/10)', percent by mass."
    )
    match = re.fullmatch(r"\s*([^()]+?)\s*\(?\s*([\d./\s]+?)\s*\)?\s*", name)
    if not match or (" " not in name.strip() and "(" not in name):
        raise UnknownRefrigerant(sentence)
    parts = [part.strip() for part in match[1].split("/")]
    try:
        shares = [float(share) for share in match[2].split("/")]
    except ValueError:
        raise UnknownRefrigerant(sentence) from None
    names = [_resolve(part) for part in parts]
    if not (len(names) == len(shares) > 1 and all(n in PURE for n in names) and len(set(names)) == len(names)):
        raise UnknownRefrigerant(sentence)
    if min(shares) <= 0 or abs(sum(shares) - 100) > 0.01:
        raise UnknownRefrigerant(
            f"the shares of the blend {name.strip()[:60]!r} must be above 0 and sum to 100 percent."
        )
    return f"{'/'.join(names)} ({'/'.join(f'{share:g}' for share in shares)})"


def resolve(name: str) -> str:
    """Standard spelling of a designation: ``resolve("r134a") == "R-134a"``.

    Raises
    ------
    UnknownRefrigerant
        when the name is not known; the message names the nearest known one.
    """
    if not isinstance(name, str):
        raise UnknownRefrigerant(f"a refrigerant is named by its designation, such as 'R-134a'; got {name!r:.40}.")
    return _resolve(name)


def engine_name(designation: str) -> tuple[str, tuple[float, ...] | None]:
    """CoolProp's name of a resolved designation and, for a blend of one's own, the mass fractions."""
    if designation in PURE:
        return PURE[designation], None
    if designation in BLENDS:
        return BLENDS[designation], None
    names, shares = designation[:-1].split(" (")
    return "&".join(PURE[n] for n in names.split("/")), tuple(float(s) / 100 for s in shares.split("/"))
