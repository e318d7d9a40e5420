"""What people say for a choice: other words that mean the same, one table for all sheets.

A saying counts only as the whole answer, and only where it fits exactly one choice of the line; so "not warmer" or
"warmer or colder" is none. Words of the trade from common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

_SAYINGS: tuple[str, ...] = (
    # which way a reading goes
    "rises|rise|rising|up|goes up|went up|higher|increases|increase|climbs|more|warmer|hotter|heats up",
    "falls|fall|falling|down|goes down|went down|lower|decreases|decrease|drops|drop|less|colder|cooler|cools down",
    "stays the same|unchanged|no change|does not change|no difference|as before|same as before|the same as before|same"
    "|the same|stays|stays as it is|remains the same|holds|steady|nothing changes|unaffected|does not move",
    # what a valve, flap or switch does
    "opens|opens more|opens further|opens up|opens wider|more open",
    "closes|closes more|closes further|closes down|throttles|throttles more|less open",
    # how much is inside
    "charge high|high charge|too much charge|overcharged|overcharge|overfilled|over charged|too much gas"
    "|too much refrigerant|too much inside|charge too high",
    "charge low|low charge|too little charge|undercharged|undercharge|under charged|low on gas|low on refrigerant"
    "|low on charge|short of gas|short of refrigerant|short of charge|too little gas|too little refrigerant"
    "|charge too low",
    # what to do
    "accept it|accept|leave it|leave it alone|leave it as it is|leave it be|it is right|hand it over",
    "add some|add more|add refrigerant|add charge|add gas|top up|top it up|put some in|put more in",
    "take some out|take refrigerant out|remove some|remove refrigerant|recover some|take out some|let some out",
    "look for another fault|look for something else|another fault|something else is wrong",
    "flush oil out|flush|flush it|flush out|flush it out|flush the oil out|flushing",
    "clear condenser fins|clean condenser fins|clean the condenser fins|clean the condenser|clean condenser"
    "|clean out the condenser|blow out the condenser|wash the condenser",
    "fit a micron gauge|put in a micron gauge|put on a micron gauge|hook up a micron gauge|connect a micron gauge"
    "|micron gauge|use a micron gauge",
    "dry the circuit|evacuate|evacuate it|vacuum|pull a vacuum",
    "nothing|nothing wrong|none|none of them|healthy|no fault|all right|it is fine|nothing is wrong",
)
_GROUPS = tuple(frozenset(line.split("|")) for line in _SAYINGS)

_ALIKE = {
    **dict.fromkeys(("plugged", "blocked", "clogged", "choked", "restricted", "dirty"), "blocked"),
    **dict.fromkeys(("kinked", "bent", "pinched"), "kinked"),
    **dict.fromkeys(("defective", "bad", "broken", "faulty"), "bad"),
    **dict.fromkeys(("vapor", "vapour"), "vapor"),
}
"""Words that stand for each other within a choice: plugged valve screen, clogged valve screen."""

_DRESS = re.compile(
    r"^(?:(?:it|they|will|would|goes|gets|becomes|is|are)\b ?)+|(?: (?:a lot|a little|a bit|much|slightly))+$"
)
"""What may stand around a saying: it gets warmer, up a lot."""
_SMALL = frozenset({"a", "an", "the", "it", "is", "of", "are"})


def meant(typed: str, choices: Iterable[str]) -> str | None:
    """Return the one choice that an answer names in other words, or None; all texts are folded.

    Parameters
    ----------
    typed
        The whole answer.
    choices
        The choices of the line.
    """
    choices = list(choices)
    for said in dict.fromkeys((typed, _DRESS.sub("", typed))):
        for group in _GROUPS:
            if said in group:
                found = [choice for choice in choices if choice in group or _DRESS.sub("", choice) in group]
                return found[0] if len(found) == 1 else None
    ours = _core(typed)
    found = [choice for choice in choices if _core(choice) == ours]
    return found[0] if ours and len(found) == 1 else None


def _core(text: str) -> list[str]:
    return sorted(_ALIKE.get(word, word) for word in text.split() if word not in _SMALL)
