"""The closed table of units: which words mean which unit of which kind.

How large a unit is stands nowhere here: each row holds an expression that pint was asked about (``generate``). pint
never sees text that a person typed.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from coldcab.quantities import ColdcabError


class UnitError(ColdcabError):
    """What was typed cannot be read as the quantity that is wanted; the message is one plain sentence."""


# kind: (what it is called, an example, the SI unit for pint)
KIND_ROWS = {
    "pressure": ("a pressure", "31 psig", "pascal"),
    "pressure difference": ("a pressure difference", "5 psi", "pascal"),
    "temperature": ("a temperature", "36 F", "kelvin"),
    "temperature difference": ("a temperature difference", "10 F", "kelvin"),
    "mass": ("a mass", "2 lb 4 oz", "kilogram"),
    "volume": ("a volume", "8.5 fl oz", "meter**3"),
    "length": ("a length", "1 1/2 in", "meter"),
    "power": ("a power", "12,500 Btu/h", "watt"),
    "specific energy": ("a specific energy", "62.5 Btu/lb", "joule/kilogram"),
    "mass flow": ("a mass flow", "95 lb/h", "kilogram/second"),
    "volume flow": ("a volume flow", "250 cfm", "meter**3/second"),
    "rotational speed": ("a rotational speed", "1800 rpm", "revolution/second"),
    "ratio": ("a ratio", "4.6", ""),
    "fraction": ("a fraction", "46 %", ""),
    "density": ("a density", "78 lb/cu ft", "kilogram/meter**3"),
    "specific volume": ("a specific volume", "0.9 cu ft/lb", "meter**3/kilogram"),
    "electric current": ("an electric current", "3.5 A", "ampere"),
    "voltage": ("a voltage", "12.6 V", "volt"),
    "resistance": ("a resistance", "3.8 ohm", "ohm"),
    "time": ("a time", "20 min", "second"),
    "kinematic viscosity": ("a kinematic viscosity", "46 cSt", "meter**2/second"),
    "humidity ratio": ("a humidity ratio", "74 grains/lb", ""),
    "energy": ("an energy", "500 Btu", "joule"),
}

KINDS: Mapping[str, str] = MappingProxyType(
    {kind: f"{name}, for example {example}" for kind, (name, example, _) in KIND_ROWS.items()}
)
"""Every kind of quantity, with its name and an example of how people write it."""


@dataclass(frozen=True, eq=False, slots=True)
class Unit:
    """One unit of one kind: its name in words people use and the expression that pint is asked about.

    `reference` says what a pressure is counted from: "absolute", "gauge", "vacuum", or "unsaid" where the
    word leaves it open (psi, inHg); it is empty for every other kind.
    """

    name: str
    kind: str
    expression: str
    reference: str = ""


# Units that mean one thing: kind -> (name, pint expression, other words).
# Spaces, full stops, capitals and brackets do not matter; "per" is "/" (see `squash`).
_PLAIN = {
    "mass": (
        ("lb", "pound", "lbs lbm pound pounds"),
        ("oz", "ounce", "ounce ounces ozs oz(av)"),
        ("g", "gram", "gm gms gram grams gramme grammes"),
        ("kg", "kilogram", "kgs kilo kilos kilogram kilograms"),
        ("mg", "milligram", "milligram milligrams"),
        ("grains", "grain", "grain gr"),
    ),
    "volume": (
        ("fl oz", "US_fluid_ounce", "floz floza fluidounce fluidounces usfloz fluidoz ozfl flozs"),
        ("mL", "milliliter", "ml milliliter milliliters millilitre millilitres"),
        ("cc", "centimeter**3", "ccs cm3 cucm cubiccm cubiccentimeters cubiccentimetres"),
        ("L", "liter", "l lt ltr liter liters litre litres"),
        ("cu in", "inch**3", "in3 cuin cubicin cubicinch cubicinches cuinch cuinches"),
        ("cu ft", "foot**3", "ft3 cuft cubicft cubicfoot cubicfeet cufeet"),
        ("m3", "meter**3", "cum cubicmeter cubicmeters cubicmetre cubicmetres"),
        ("gal", "gallon", "gallon gallons gals usgal"),
        ("qt", "quart", "quart quarts qts"),
        ("pt", "US_pint", "pint pints pts"),
    ),
    "length": (
        ("in", "inch", "inch inches ins \" ''"),
        ("ft", "foot", "foot feet '"),
        ("mi", "mile", "mile miles"),
        ("mm", "millimeter", "millimeter millimeters millimetre millimetres"),
        ("cm", "centimeter", "centimeter centimeters centimetre centimetres"),
        ("m", "meter", "meter meters metre metres"),
        ("km", "kilometer", "kilometer kilometers kilometre kilometres"),
        ("um", "micrometer", "μm micrometer micrometers micrometre micrometres"),
    ),
    "power": (
        ("Btu/h", "Btu_it/hour", "btu/hr btuh btu/hour btus/h btus/hr btus/hour"),
        ("Btu/min", "Btu_it/minute", "btu/minute btus/min btus/minute"),
        (
            "tons of refrigeration",
            "12000*Btu_it/hour",
            "tonofrefrigeration tons ton tr rt refrigerationton refrigerationtons",
        ),
        ("W", "watt", "watt watts"),
        ("kW", "kilowatt", "kilowatt kilowatts"),
        ("MW", "megawatt", "megawatt megawatts"),
        ("mW", "milliwatt", "milliwatt milliwatts"),
        ("hp", "horsepower", "horsepower bhp"),
        ("kcal/h", "1000*international_calorie/hour", "kcal/hr kcal/hour"),
    ),
    "specific energy": (
        ("Btu/lb", "Btu_it/pound", "btu/lbm btu/pound btus/lb btus/pound"),
        ("kJ/kg", "kilojoule/kilogram", "kilojoules/kilogram kilojoules/kg"),
        ("J/kg", "joule/kilogram", "joules/kilogram"),
        ("J/g", "joule/gram", "joules/gram"),
        ("MJ/kg", "megajoule/kilogram", ""),
        ("kcal/kg", "1000*international_calorie/kilogram", ""),
    ),
    "mass flow": (
        ("lb/h", "pound/hour", "lb/hr lb/hour lbs/h lbs/hr lbs/hour lbm/h pounds/hour pound/hour"),
        ("lb/min", "pound/minute", "lb/minute lbs/min lbs/minute lbm/min pounds/minute pounds/min"),
        ("lb/s", "pound/second", "lb/sec lbs/s lbs/sec"),
        ("oz/min", "ounce/minute", "oz/minute ounces/minute"),
        ("oz/year", "ounce/year", "oz/yr oz/y ounces/year"),
        ("g/s", "gram/second", "g/sec grams/second grams/s"),
        ("g/min", "gram/minute", "g/minute grams/minute grams/min"),
        ("g/h", "gram/hour", "g/hr g/hour grams/hour"),
        ("g/year", "gram/year", "g/yr g/y g/a grams/year"),
        ("kg/s", "kilogram/second", "kg/sec"),
        ("kg/min", "kilogram/minute", "kg/minute"),
        ("kg/h", "kilogram/hour", "kg/hr kg/hour"),
    ),
    "volume flow": (
        ("cfm", "foot**3/minute", "ft3/min cuft/min cubicfeet/minute cubicft/min"),
        ("cu ft/h", "foot**3/hour", "cfh ft3/h ft3/hr cuft/hr cuft/hour cubicfeet/hour"),
        ("gpm", "gallon/minute", "gal/min gallons/minute"),
        ("m3/h", "meter**3/hour", "m3/hr m3/hour cubicmeters/hour cubicmetres/hour"),
        ("m3/min", "meter**3/minute", "m3/minute"),
        ("m3/s", "meter**3/second", "m3/sec"),
        ("L/min", "liter/minute", "lpm l/minute liters/minute litres/minute"),
        ("L/s", "liter/second", "l/sec lps liters/second litres/second"),
        ("mL/s", "milliliter/second", "cc/s cm3/s"),
        ("mL/min", "milliliter/minute", "cc/min cm3/min"),
    ),
    "rotational speed": (
        ("rpm", "revolution/minute", "r/min rev/min revs/min revolutions/minute rev/minute"),
        ("rev/s", "revolution/second", "rps r/s revs/s rev/sec revolutions/second"),
    ),
    "fraction": (("%", "percent", "percent pct /cent"),),
    "density": (
        (
            "lb/cu ft",
            "pound/foot**3",
            "lb/ft3 lbs/ft3 lbs/cuft lbm/ft3 lb/cubicft lb/cubicfoot pounds/cubicfoot",
        ),
        ("lb/gal", "pound/gallon", "lbs/gal"),
        ("kg/m3", "kilogram/meter**3", "kg/cubicmeter kg/cubicmetre"),
        ("kg/L", "kilogram/liter", "kg/liter kg/litre"),
        ("g/cm3", "gram/centimeter**3", "g/cc"),
        ("g/mL", "gram/milliliter", ""),
        ("g/L", "gram/liter", "g/liter g/litre"),
    ),
    "specific volume": (
        ("cu ft/lb", "foot**3/pound", "ft3/lb ft3/lbm cuft/lbm cubicft/lb cubicfeet/pound cubicfeet/lb"),
        ("m3/kg", "meter**3/kilogram", "cubicmeters/kilogram"),
        ("L/kg", "liter/kilogram", "dm3/kg"),
        ("cm3/g", "centimeter**3/gram", "cc/g"),
    ),
    "electric current": (
        ("A", "ampere", "amp amps ampere amperes adc"),
        ("mA", "milliampere", "milliamp milliamps"),
    ),
    "voltage": (
        ("V", "volt", "volt volts vdc vdc"),
        ("mV", "millivolt", "millivolt millivolts"),
        ("kV", "kilovolt", "kilovolt kilovolts"),
    ),
    "resistance": (
        ("ohm", "ohm", "ohms ω"),
        ("kohm", "kiloohm", "kohms kω kiloohm kiloohms kilohm kilohms"),
        ("Mohm", "megaohm", "Mohms MΩ megohm megohms megaohm megaohms"),
        ("mohm", "milliohm", "mohms mΩ milliohm milliohms"),
    ),
    "time": (
        ("s", "second", "sec secs second seconds"),
        ("ms", "millisecond", "millisecond milliseconds"),
        ("min", "minute", "mins minute minutes"),
        ("h", "hour", "hr hrs hour hours"),
        ("days", "day", "day d"),
        ("years", "year", "year yr yrs y"),
    ),
    "kinematic viscosity": (
        ("cSt", "centistokes", "centistoke centistokes"),
        ("mm2/s", "millimeter**2/second", "sqmm/s"),
        ("m2/s", "meter**2/second", "sqm/s"),
        ("St", "stokes", "stoke stokes"),
    ),
    "humidity ratio": (
        ("grains/lb", "grain/pound", "gr/lb grain/lb grains/pound gr/pound grains/lbda"),
        ("g/kg", "gram/kilogram", "g/kgda grams/kilogram grams/kg"),
        ("kg/kg", "kilogram/kilogram", "kg/kgda"),
        ("lb/lb", "pound/pound", "lb/lbda lbs/lb"),
    ),
    "energy": (
        ("Btu", "Btu_it", "btus"),
        ("J", "joule", "joule joules"),
        ("kJ", "kilojoule", "kilojoule kilojoules"),
        ("MJ", "megajoule", "megajoule megajoules"),
        ("mJ", "millijoule", "millijoule millijoules"),
        ("Wh", "watt*hour", "watthour watthours"),
        ("kWh", "kilowatt*hour", "kilowatthour kilowatthours"),
        ("kcal", "1000*international_calorie", "kilocalorie kilocalories"),
    ),
}

_TEMPERATURES = (
    # name, pint expression, pint expression of a difference, other words
    ("F", "degF", "delta_degF", "degf fdeg fahrenheit degfahrenheit degreef degreesf degreesfahrenheit"),
    ("C", "degC", "delta_degC", "degc cdeg celsius degcelsius degreec degreesc degreescelsius centigrade"),
    ("K", "kelvin", "kelvin", "degk kelvin kelvins"),
    ("R", "degR", "degR", "degr rankine degrankine degreesr degreesrankine"),
)
_DIFFERENCE_WORDS = ("difference", "diff", "delta", "superheat", "subcooling", "ofsuperheat", "ofsubcooling")

_PRESSURES = (
    # name, pint expression, other words, what the bare word counts from
    (
        "psi",
        "psi",
        "lb/in2 lbs/in2 lbf/in2 lb/sqin lbs/sqin lbf/sqin pounds/squareinch pound/squareinch",
        "unsaid",
    ),
    (
        "inHg",
        "inch_Hg",
        "inchhg incheshg inchmercury inchesmercury inchesofmercury inchofmercury inmercury",
        "unsaid",
    ),
    ("mmHg", "mmHg", "mmofhg mmofmercury", "unsaid"),
    ("cmHg", "10*mmHg", "cmofhg cmofmercury", "unsaid"),
    ("inH2O", "inH2O", "inwc inwg inchh2o incheswater inchesofwater incheswc", "unsaid"),
    ("kg/cm2", "kilogram*standard_gravity/centimeter**2", "kgf/cm2 kp/cm2 kg/sqcm", "unsaid"),
    ("bar", "bar", "bars", "absolute"),
    ("mbar", "millibar", "millibar millibars mbars", "absolute"),
    ("Pa", "pascal", "pascal pascals", "absolute"),
    ("hPa", "hectopascal", "hectopascal hectopascals", "absolute"),
    ("kPa", "kilopascal", "kilopascal kilopascals", "absolute"),
    ("MPa", "megapascal", "megapascal megapascals", "absolute"),
    ("atm", "standard_atmosphere", "atms atmosphere atmospheres", "absolute"),
)
# Deep vacuum is told as what is left, so "500 micron vacuum" is an absolute pressure too.
_DEEP_VACUUM = (
    ("micron", "0.001*torr", "microns micronhg micronshg mtorr millitorr umhg μmhg"),
    ("torr", "torr", "torrs"),
)
_GAUGE_WORDS = ("g", "gauge", "gage")
_ABSOLUTE_WORDS = ("a", "abs", "absolute")
_VACUUM_WORDS = ("vac", "vacuum", "v", "ofvacuum")

# Only here does a capital letter change the meaning: mega or milli.
_CASED = frozenset({"mw", "mj", "mj/kg", "mv", "ma", "mohm", "mohms", "mω"})
_DELETED = str.maketrans("", "", " .()[]^_")


def squash(words: str) -> str:
    """The form under which unit words are kept: no spaces, stops or brackets, small letters, "per" as "/"."""
    text = re.sub(r"\bper\b", "/", words.lower()) if "per" in words.lower() else words.lower()
    text = text.replace("°", "deg").translate(_DELETED)
    if words[:1] == "M" and (text in _CASED or text.startswith("mpa")):
        text = "M" + text[1:]
    return text


def _pressure_units() -> Iterator[tuple[str, Unit]]:
    for name, expression, more, bare in _PRESSURES:
        bases = [name, *more.split()]
        joined = name + ("a" if name == "psi" else " absolute"), name + ("g" if name == "psi" else " gauge")
        absolute = Unit(joined[0], "pressure", expression, "absolute")
        gauge = Unit(joined[1], "pressure", expression, "gauge")
        vacuum = Unit(f"{name} vacuum", "pressure", expression, "vacuum")
        unsaid = Unit(name, "pressure", expression, "unsaid")
        difference = Unit(f"{name} difference", "pressure difference", expression)
        for base in bases:
            yield base, absolute if bare == "absolute" else unsaid
            yield base, difference
            yield from ((base + word, absolute) for word in _ABSOLUTE_WORDS)
            yield from ((base + word, gauge) for word in _GAUGE_WORDS)
            yield from ((base + word, vacuum) for word in _VACUUM_WORDS)
            yield from ((base + word, difference) for word in ("d", *_DIFFERENCE_WORDS[:3]))
    for name, expression, more in _DEEP_VACUUM:
        absolute = Unit(name, "pressure", expression, "absolute")
        difference = Unit(f"{name} difference", "pressure difference", expression)
        for base in (name, *more.split()):
            yield base, absolute
            yield base, difference
            yield from ((base + word, absolute) for word in (*_ABSOLUTE_WORDS, *_VACUUM_WORDS))
            yield from ((base + word, difference) for word in _DIFFERENCE_WORDS[:3])


def _all_units() -> Iterator[tuple[str, Unit]]:
    yield from _pressure_units()
    for name, expression, difference_expression, more in _TEMPERATURES:
        temperature = Unit(name, "temperature", expression)
        difference = Unit(f"{name} difference", "temperature difference", difference_expression)
        for base in (name, *more.split()):
            yield base, temperature
            yield base, difference
            yield from ((base + word, difference) for word in _DIFFERENCE_WORDS)
    for kind, rows in _PLAIN.items():
        for name, expression, more in rows:
            unit = Unit(name, kind, expression)
            yield from ((word, unit) for word in (name, *more.split()))


def _index(pairs: Iterable[tuple[str, Unit]]) -> dict[str, tuple[Unit, ...]]:
    index: dict[str, tuple[Unit, ...]] = {}
    for word, unit in pairs:
        key = squash(word)
        if unit not in index.get(key, ()):
            index[key] = (*index.get(key, ()), unit)
    return index


WORDS: Mapping[str, tuple[Unit, ...]] = MappingProxyType(_index(_all_units()))
"""Squashed word -> the units it can mean, the usual meaning first."""


@lru_cache(maxsize=4096)
def look_up(words: str) -> tuple[Unit, ...]:
    """The units that `words` can mean, the usual meaning first; empty if none."""
    return WORDS.get(squash(words), ())


def known_kind(kind: str) -> str:
    """`kind` itself if it is one of `KINDS`."""
    if not isinstance(kind, str) or kind not in KINDS:
        raise UnitError(f"{str(kind)[:40]!r} is not a kind of quantity; the kinds are {', '.join(KINDS)}.")
    return kind


def pick(words: str, units: tuple[Unit, ...], kind: str | None) -> Unit:
    """The one of `units` that is of this kind, or a sentence on why there is none."""
    if not units:
        raise UnitError(_unknown(words, kind))
    if kind is None:
        return units[0]
    for unit in units:
        if unit.kind == kind:
            return unit
    found = units[0]
    if found.name == "oz" and kind == "volume":
        raise UnitError("oz is a mass; this line wants a volume: for fluid ounces write fl oz, for example 8.5 fl oz.")
    if found.name == "fl oz" and kind == "mass":
        raise UnitError("fl oz is a volume; this line wants a mass: for ounces by weight write oz, for example 8.5 oz.")
    if (found.kind, kind) == ("pressure", "pressure difference"):
        raise UnitError("that is a reading of a gauge; this line wants a difference of two: write plain psi, as 5 psi.")
    raise UnitError(f"that is {KIND_ROWS[found.kind][0]}; {wanted(kind)}.")


def wanted(kind: str | None) -> str:
    """What should stand in the line, in words."""
    return f"this line wants {KINDS[kind]}" if kind else "write a number and a unit, for example 31 psig"


def _unknown(words: str, kind: str | None) -> str:
    typed = squash(words)[:20]
    if typed.startswith("mpa"):
        return "mPa would be a thousandth of a pascal; for megapascal write MPa with a capital M."
    if typed in ("deg", "degs", "degree", "degrees", "°"):
        return f"degrees of which scale? Write F or C behind the number; {wanted(kind)}."
    names: dict[str, str] = {}
    for word, units in WORDS.items():
        fitting = [unit.name for unit in units if kind in (None, unit.kind)]
        if fitting:
            names[word] = fitting[0]
    near = difflib.get_close_matches(typed, names, n=5, cutoff=0.7)
    # Two letters changed over are the likeliest slip: psgi is psig rather than psi.
    best = min(near, key=lambda word: sorted(word) != sorted(typed), default=None)
    hint = f"did you mean {names[best]}? " if best else ""
    return f"{echo(words)} is not a unit known here; {hint}{wanted(kind)}."


def echo(text: str) -> str:
    """At most 40 characters of what was typed, without control characters and marks of page code."""
    plain = "".join(c for c in text[:200] if (c.isprintable() or c.isspace()) and c not in "<>&`")
    plain = " ".join(plain.split())
    return f"{plain[:37]}..." if len(plain) > 40 or len(text) > 200 else plain or "what is written"


def unsaid(unit: Unit) -> str:
    """The sentence for a pressure word that does not say what it counts from."""
    if unit.name == "psi":
        return "psi does not say gauge or absolute; write psig for a gauge reading or psia for absolute."
    if unit.name == "inHg":
        return "inHg does not say vacuum or absolute; write inHg vac for a vacuum reading or inHg abs."
    return f"{unit.name} does not say what it counts from; write {unit.name} gauge or {unit.name} abs."
