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
    "accept it|accept|leave it|leave it alone|leave it as it is|leave it be|it is right|hand it over"
    "|leave the clutch as it is|leave the clutch|leave the clutch alone",
    "add some|add more|add refrigerant|add charge|add gas|top up|top it up|put some in|put more in",
    "take some out|take refrigerant out|remove some|remove refrigerant|recover some|take out some|let some out",
    "look for another fault|look for something else|another fault|something else is wrong",
    "flush oil out|flush|flush it|flush out|flush it out|flush the oil out|flushing",
    "clear condenser fins|clean condenser fins|clean the condenser fins|clean the condenser|clean condenser"
    "|clean out the condenser|blow out the condenser|wash the condenser",
    "fit a micron gauge|put in a micron gauge|put on a micron gauge|hook up a micron gauge|connect a micron gauge"
    "|micron gauge|use a micron gauge",
    "dry the circuit|evacuate|evacuate it|vacuum|pull a vacuum",
    "find what opened the switch|find the cause|find out what opened the switch|find why the switch opened"
    "|find out why the switch opened|find out why it opened|find why it opened|look for the cause|find the reason",
    "clutch alone|new clutch|a new clutch|replace the clutch|replace clutch|fit a new clutch|clutch only"
    "|only the clutch|just the clutch|put in a new clutch",
    "compressor and clutch|new compressor and clutch|replace compressor and clutch|compressor and new clutch"
    "|replace the compressor and the clutch|new compressor with clutch|compressor with clutch|new compressor"
    "|replace the compressor",
    "set the air gap|set the gap|adjust the gap|adjust the air gap|set air gap|correct the gap|correct the air gap"
    "|shim the clutch|take out a shim|adjust air gap",
    "repair the wiring|fix the wiring|repair wiring|fix the wires|repair the wires|rewire it|repair the wire",
    "nothing|nothing wrong|none|none of them|healthy|no fault|all right|it is fine|nothing is wrong|nothing to repair"
    "|no repair needed|nothing to prove|no repair",
    # what proves a repair
    "no step over the drier|no step across the drier|no temperature step over the drier|no drop over the drier"
    "|no temperature step across the drier|no drop across the drier|no temperature drop across the drier"
    "|no temperature drop over the drier|no difference over the drier|no difference across the drier"
    "|no temperature difference across the drier|no temperature change across the drier|step over the drier is gone"
    "|step over the drier gone|step across the drier is gone|drier as warm out as in|drier in and out alike"
    "|same temperature before and after the drier|drier in and out the same|drier the same in and out",
    "hub as fast as the pulley|hub like the pulley|hub like pulley"
    "|hub turns as fast as the pulley|hub as fast as pulley|hub at pulley speed|hub not slower"
    "|hub and pulley the same speed|hub and pulley at the same speed|same speed at hub and pulley|hub speed normal"
    "|hub not slower than the pulley|clutch does not slip|no slip|no slip at the clutch|no more slip",
    "fan at its proper speed|fan at proper speed|fan at full speed|fan speed normal|fan speed right|fan speed proper"
    "|full fan speed|fan at the right speed|fan at normal speed|fan up to speed|fan speed back to normal",
    "full air flow at the vents|full airflow at the vents|full air flow|full airflow|good air flow at the vents"
    "|normal air flow at the vents|air flow at the vents normal|air flow normal|normal air flow|normal airflow",
    "air at the face like the shade|face air like the shade|face like the shade|air at the face as in the shade"
    "|air at the face same as the shade|face same as the shade|face as cool as the shade|face at shade temperature"
    "|air at the condenser face like the shade|air in front of the condenser like the shade",
    "air behind the condenser normal|air behind condenser normal|air behind the condenser back to normal"
    "|condenser air normal|condenser air back to normal|normal air behind the condenser",
    "both gauges normal at two speeds|gauges normal at two speeds|gauges right at two speeds|both gauges normal"
    "|normal gauges at two speeds|gauges normal at both speeds|both gauges normal at both speeds",
    "pinching the hose changes nothing|pinching the heater hose changes nothing|pinching changes nothing"
    "|no change with the hose pinched|no change when the hose is pinched|no change with the heater hose pinched"
    "|vent does not change with the hose pinched|pinched hose changes nothing|pinching makes no difference",
    "standing pressure fits the table|standing pressure matches the table|standing pressure agrees with the table"
    "|standing pressure as in the table|standing pressure fits the chart|standing pressure matches the chart"
    "|standing pressure normal|standing pressure right|standing pressure on the table",
    "tight with the right charge|tight and the right charge|no leak and the right charge"
    "|leak tight with the right charge|tight circuit and the right charge|tight and the right weight"
    "|tight circuit and the right weight"
    "|right charge and no leak|right charge and tight|no leaks and right charge|tight and right charge",
    # what a machine has
    "hot air recirculated|hot air recirculation|recirculated air|recirculation|hot air recirculating|air recirculated",
    "air in the circuit|air in the system|air inside|air in circuit|air in system|noncondensables|non condensables"
    "|non condensable gas|noncondensable gas",
    "worn compressor|weak compressor|compressor worn out|worn out compressor|bad compressor",
    "condenser fan slow|slow fan|fan slow|fan too slow|slow condenser fan|condenser fan too slow|weak condenser fan",
    "clutch or belt slipping|clutch slipping|belt slipping|slipping clutch|slipping belt|clutch slips|belt slips",
    "heater valve leaking|heater valve leaks|leaking heater valve|heater valve does not close|heater valve passing",
    "valve screen plugged|screen plugged|plugged screen|screen blocked|blocked screen|screen clogged|clogged screen",
    "low evaporator air|low air flow|low airflow|little air over the evaporator|evaporator air low"
    "|low air over the evaporator|little evaporator air|low evaporator air flow|low evaporator airflow",
    # what can be measured
    "heater pinched|heater hose pinched|pinch the heater hose|pinched heater hose|hose pinched|pinch the hose"
    "|pinching the hose",
    "hub speed|hub slip|pulley and hub|hub and pulley|hub|tachometer|photo tachometer",
    "drier|drier in and out|step over the drier|drier temperatures|both sides of the drier",
    "bulb loose or bare|bulb loose|bulb bare|loose bulb|bare bulb|bulb not clamped|bulb not wrapped",
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
