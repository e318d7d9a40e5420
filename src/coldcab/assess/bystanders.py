"""What may stand beside a choice in an answer: a closed list of words that neither deny, doubt nor widen it.

"Saturated liquid" and "it is saturated" say saturated; "maybe saturated", "nope, saturated" and "saturated, ruled out"
do not. Words that take back what they stand beside have no end, so those are listed that do not; whatever else stands
there is asked back. Words of the trade from common practice, no source.
"""

from __future__ import annotations

import re

from coldcab.assess.sheet import clean

_WORDS = """
a an the it its itself s is are am be being of at in to into for by with here there this that these those my our your
i we you they he she us one ones will has have get gets because as since think believe say says said call called find
answer choice letter option number yes and or clearly surely certainly definitely really very just only simply fully
completely totally machine machines compressor compressors condenser evaporator receiver drier accumulator valve
valves screen orifice tube bulb stem spring switch switches thermostat clutch hub pulley belt fan motor coil relay
fuse wire wiring strap connector contact contacts hose hoses line lines pipe fitting fittings port joint ring seal
seals gauge gauges instrument scale meter glass filter duct flap heater vent vents cab cabs dash engine circuit
circuits system loop refrigerant gas liquid vapor vapour mixture state oil lubricant iso grade water moisture air
nitrogen charge pressure temperature superheat subcooling saturation side suction discharge point points spot spots
place part parts piece sample samples container containers cylinder bottle tin tins box boxes shelf order owner job
jobs case work step steps plan plans note notes sentence sentences saying sayings quote quotes scene scenes moment
moments hookup hookups wish wishes sign signs suspect suspects fault cause measurement measurements reading readings
row field fields label book books log word words repair repairs proof cold hot warm cool wet dry dirty clean new old
worn
"""
_HARMLESS = frozenset(_WORDS.split())

_PLAIN_SIGNS = re.compile(r"[A-Za-z0-9\s.,;:()\[\]'\"…–—\-/|+&%*_`’‘´“”„«»°=<>•·✓✔☑]*")
_OPEN = re.compile(r"\(\s*\)|\[\s*\]|[-+–—]\s*$")
"""A box without a cross, and what leads on to something that does not come: A, C+."""


def speaks_in_signs(text: str, choices: str) -> bool:
    """Whether signs of an answer may mean something of their own: ≠ saturated, saturated?, a line through the letters.

    Letters of other scripts are such signs, too: a Cyrillic "не" denies. Signs of the ``choices`` are none.
    """
    plain = clean(text).strip().rstrip("!").translate(dict.fromkeys(map(ord, choices)))
    return not _PLAIN_SIGNS.fullmatch(plain) or bool(_OPEN.search(text))


def are_harmless(folded: str) -> bool:
    """Whether all these words may stand beside a choice."""
    return _HARMLESS.issuperset(folded.split())
