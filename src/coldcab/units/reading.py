"""Reading what people type. Nothing is ever evaluated: a number, then words from a closed table."""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass

from coldcab.quantities import STANDARD_ATMOSPHERE
from coldcab.units.conversion import (
    known_atmosphere,
    lowest,
    scale_and_offset,
    to_si,
)
from coldcab.units.table import Unit, UnitError, echo, known_kind, look_up, pick, unsaid, wanted
from coldcab.words import _

LONGEST_TEXT = 120
"""Characters. The longest sensible answer has about 40."""

LONGEST_NUMBER = 24
"""Characters. More than any instrument shows, and short enough to convert at once."""

NUMBER_RANGE = (1e-12, 1e12)
"""Size of a number, zero apart, that can be a reading or a result in this work."""

_NEVER_NEGATIVE = frozenset(
    {
        "density",
        "specific volume",
        "resistance",
        "kinematic viscosity",
        "rotational speed",
        "time",
        "humidity ratio",
    }
)
# "2 lb 4 oz", "5 ft 3 in", "1 h 20 min": kinds whose units people write one after the other.
_COMPOUND = frozenset({"mass", "length", "volume", "time"})

_NUMBER = re.compile(
    r"""(?P<sign>[+-]?)\ ?
    (?: (?P<whole>[0-9]+)[ -](?P<mixed_top>[0-9]+)/(?P<mixed_bottom>[0-9]+)
      | (?P<top>[0-9]+)\ ?/\ ?(?P<bottom>[0-9]+)
      | (?P<plain> [1-9][0-9]{0,2}(?:,[0-9]{3})+(?![0-9,])(?:\.[0-9]*)?   # 12,500; 0,122 is no thousand of anything
                 | [1-9][0-9]{0,2}(?:\ [0-9]{3})+(?![0-9,])(?:\.[0-9]*)?  # 12 500
                 | [0-9]+\.?[0-9]* | \.[0-9]+ )
        (?: [eE](?P<exponent>[+-]?[0-9]+) | \ ?[x*]\ ?10\ ?\^\ ?(?P<power>[+-]?[0-9]+) )?
    )""",
    re.VERBOSE,
)
_COLON = re.compile(r"(?<=[0-9.]) ?(?::|to\b) ?(?=[0-9.])", re.IGNORECASE)
_NEXT_PIECE = re.compile(r"(?P<unit>[^0-9]+?) ?(?:,|&|\band\b)? ?(?P<tail>\.?[0-9].*)")
_ARITHMETIC = frozenset("-+±~*^=x")
_ROUGHLY = re.compile(
    r"(?:(?:about|around|approx(?:imately|\.)?|roughly|circa|ca\.?)\s+|[~≈=]\s*)(?=[-+.0-9])", re.IGNORECASE
)
# "46.3 F (7.9 C)": the other system beside, as `show` writes it.
_BESIDE = re.compile(r"(?P<first>[^()]*[^()\s])\s*\((?P<second>\s*[-+.~]?[0-9][^()]*)\)")
_WRITTEN = re.compile(r"(?<![A-Za-z0-9^.,])[0-9.][0-9.,]*")
_LAST_DIGIT = re.compile(r"[0-9](?=[.,]?$)|[1-9](?=[0,]*$)")
# Marks that people and word processors use for plain ones; NFKC normalisation leaves most of them alone.
_PLAIN_MARKS = str.maketrans(
    dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212\ufe63\uff0d", "-")  # hyphens, dashes, minus signs
    | dict.fromkeys("\u2044\u2215", "/")  # fraction slash, division slash
    | dict.fromkeys("\u00ba\u02da\u1d52", "°")  # raised o and ring
    | dict.fromkeys("\u2032\u2019", "'")  # prime, curly quotation mark
    | dict.fromkeys("\u2033\u201d", '"')
    | {"\u00d7": "x"}  # multiplication sign
)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A quantity as it was read.

    Attributes
    ----------
    value : in SI (Pa absolute, K, kg, m3, rev/s, ...).
    kind : one of `KINDS`.
    unit : the unit that was read, in words people use; empty for a bare number.
    text : what was typed, tidied to one line.
    """

    value: float
    kind: str
    unit: str
    text: str


def parse(text: str, kind: str | None = None, *, atmosphere: float = STANDARD_ATMOSPHERE) -> Quantity:
    """Read a number with its unit as people write it.

    Parameters
    ----------
    text : for example "31 psig", "28.5 inHg vac", "500 micron", "36 F", "2 lb 4 oz", "8.5 fl oz", "4.6 to 1".
        SI pressures are absolute unless they say gauge. "about" may stand before it, and the same quantity in another
        unit behind it in brackets: "36.0 F (2.2 C)".
    kind : one of `KINDS`; anything else is then refused. Without it the usual meaning is taken: "10 F" is a
        temperature, a bare number is a ratio.
    atmosphere : air pressure around the gauge, Pa, within `ATMOSPHERE_RANGE`.

    Returns
    -------
    Quantity with its value in SI.

    Raises
    ------
    UnitError : one plain sentence on what is wrong and what to write.

    Example
    -------
    >>> round(parse("36 F").value, 2)
    275.37
    """
    if kind is not None:
        known_kind(kind)
    atmosphere = known_atmosphere(atmosphere)
    clean = _tidy(text, kind)
    if "(" in clean and (both := _BESIDE.fullmatch(clean)):
        return _first_of_two(both, clean, kind, atmosphere)
    if not clean[0].isdigit():
        clean = _ROUGHLY.sub("", clean, count=1) if _ROUGHLY.match(clean) else clean
    if ":" in clean or "to" in clean or "TO" in clean:
        ratio = _ratio(clean, kind)
        if ratio is not None:
            return ratio
    number, words = _leading_number(clean, kind)
    if not words:
        return _bare(number, clean, kind)
    units = look_up(words)
    if not units and (piece := _NEXT_PIECE.fullmatch(words)):
        return _compound(number, piece, clean, kind)
    unit = pick(words, units, kind)
    return Quantity(_value(number, unit, clean, atmosphere), unit.kind, unit.name, clean)


def _first_of_two(both: re.Match[str], clean: str, kind: str | None, atmosphere: float) -> Quantity:
    """The first of two ways to write one quantity; they must agree to the last digit of both."""
    first = parse(both["first"], kind, atmosphere=atmosphere)
    second = parse(both["second"], kind or first.kind, atmosphere=atmosphere)
    if second.kind != first.kind or abs(first.value - second.value) > _last_digit(first) + _last_digit(second):
        raise UnitError(_("the two values in {clean} differ; write one of them.").format(clean=echo(clean)))
    return Quantity(first.value, first.kind, first.unit, clean)


def _last_digit(quantity: Quantity) -> float:
    """Size of one step in the last digit written, SI: what the quantity would change by."""
    *__, number = _WRITTEN.finditer(quantity.text)
    last = _LAST_DIGIT.search(number[0])
    assert last is not None  # a written number holds a digit
    at = number.start() + last.start()
    digit = quantity.text[at]
    changed = quantity.text[:at] + str(int(digit) + 1 if digit < "9" else 8) + quantity.text[at + 1 :]
    try:
        return abs(parse(changed, quantity.kind).value - parse(quantity.text, quantity.kind).value)
    except UnitError:  # 100 % of a fraction has no neighbour
        return 0.0


def _tidy(text: str, kind: str | None) -> str:
    """One line of plain characters: full-width digits, odd spaces, dashes and fractions made ordinary."""
    if not isinstance(text, str):
        raise UnitError(
            _("what is read must be text, not {name}; {value}.").format(name=type(text).__name__, value=wanted(kind))
        )
    if len(text) > LONGEST_TEXT:
        raise UnitError(
            _("{value} is too long to be one value; {value_2}.").format(value=echo(text), value_2=wanted(kind))
        )
    if not text.isascii():
        text = "".join(map(_ordinary, text.translate(_PLAIN_MARKS)))
        text = unicodedata.normalize("NFKC", text).translate(_PLAIN_MARKS)
    clean = " ".join(text.split()).rstrip(",; ")
    if not clean:
        raise UnitError(_("nothing is written here; {value}.").format(value=wanted(kind)))
    return clean


def _ordinary(character: str) -> str:
    """A space before a written-out fraction (1½ is 1 1/2, not 11/2), a hat before a raised digit (10³)."""
    decomposition = unicodedata.decomposition(character)
    if decomposition.startswith("<fraction>"):
        return f" {character}"
    if decomposition.startswith("<super>") and (character.isdigit() or character in "⁻⁺"):
        return f"^{character}" if character not in "⁻⁺" else "^" + ("-" if character == "⁻" else "+")
    if unicodedata.category(character) == "Cf":  # invisible marks such as a zero-width space
        return ""
    digit = unicodedata.decimal(character, None)
    return character if digit is None else str(digit)


def _leading_number(clean: str, kind: str | None) -> tuple[float, str]:
    match = _NUMBER.match(clean)
    if match is None:
        raise UnitError(
            _("{clean} does not start with a number; {value}.").format(clean=echo(clean), value=wanted(kind))
        )
    rest = clean[match.end() :]
    if rest[:1] in (",", ".", "'") and rest[1:2].isdigit():
        raise UnitError(
            _(
                "{clean} is unclear; write decimals with a point, as in 3.66, and commas only between "
                "thousands, as in 12,500."
            ).format(clean=echo(clean))
        )
    rest = rest.strip()
    if rest[:1] in _ARITHMETIC or rest[:3].lower() in ("to ", "or "):
        raise UnitError(
            _("{clean} holds more than one number; write one value, for example 31 psig.").format(clean=echo(clean))
        )
    return _number(match, clean), rest


def _number(match: re.Match[str], clean: str) -> float:
    if match.end() - match.start() > LONGEST_NUMBER:
        raise UnitError(_("{clean} has too many digits to be a reading; write it shorter.").format(clean=echo(clean)))
    sign, whole, mixed_top, mixed_bottom, top, bottom, plain, exponent, power = match.groups()
    if plain is not None:
        digits = plain.replace(",", "").replace(" ", "")
        number = float(f"{digits}e{exponent or power or 0}")
        if number == 0.0 and digits.strip("0."):
            number = math.inf  # too small for the computer; refused below like one too large
    else:
        below = int(mixed_bottom or bottom)
        if below == 0:
            raise UnitError(_("{clean} divides by zero; write the number again.").format(clean=echo(clean)))
        number = int(whole or 0) + int(mixed_top or top) / below
    if number != 0.0 and not NUMBER_RANGE[0] <= number <= NUMBER_RANGE[1]:
        raise UnitError(
            _("{clean} is far outside anything met in this work; check the number.").format(clean=echo(clean))
        )
    return -number if sign == "-" else number


def _ratio(clean: str, kind: str | None) -> Quantity | None:
    """ "4.6 to 1" or "4.6:1"; None if it is not written so."""
    parts = _COLON.split(clean)
    numbers = [match for part in parts if (match := _NUMBER.fullmatch(part))]
    if len(parts) != 2 or len(numbers) != 2:
        return None
    if kind not in (None, "ratio"):
        raise UnitError(_("that is a ratio; {value}.").format(value=wanted(kind)))
    above, below = (_number(match, clean) for match in numbers)
    if below == 0.0:
        raise UnitError(
            _("{clean} divides by zero; write the ratio again, for example 4.6 to 1.").format(clean=echo(clean))
        )
    return Quantity(above / below, "ratio", "to 1", clean)


def _bare(number: float, clean: str, kind: str | None) -> Quantity:
    if kind in (None, "ratio"):
        return Quantity(number, "ratio", "", clean)
    if kind == "fraction":
        if not 0.0 <= number <= 1.0:
            raise UnitError(
                _("{clean} is not a fraction from 0 to 1; for per cent write {clean} %.").format(clean=echo(clean))
            )
        return Quantity(number, "fraction", "", clean)
    raise UnitError(_("{clean} has no unit; {value}.").format(clean=echo(clean), value=wanted(kind)))


def _compound(number: float, piece: re.Match[str], clean: str, kind: str | None) -> Quantity:
    """ "2 lb 4 oz": each further unit smaller than the one before, the sign before the whole."""
    sign = -1.0 if clean[0] == "-" else 1.0
    names: list[str] = []
    value, number, smallest = 0.0, abs(number), math.inf
    unit_words, tail = str(piece["unit"]), piece["tail"]
    while True:
        unit = pick(unit_words, look_up(unit_words), kind if kind in _COMPOUND or not names else None)
        scale, __ = scale_and_offset(unit)
        if unit.kind not in _COMPOUND or scale >= smallest:
            raise UnitError(
                _("{clean} holds more than one value; {value}.").format(clean=echo(clean), value=wanted(kind))
            )
        value, smallest, kind = value + number * scale, scale, unit.kind
        names.append(unit.name)
        if tail is None:
            if sign < 0.0 and kind in _NEVER_NEGATIVE:
                raise UnitError(_("{clean} is below zero; {value}.").format(clean=echo(clean), value=wanted(kind)))
            return Quantity(sign * value, unit.kind, " ".join(names), clean)
        number, words = _leading_number(tail, kind)
        if not words:
            raise UnitError(
                _("the last number in {clean} has no unit; {value}.").format(clean=echo(clean), value=wanted(kind))
            )
        unit_words, tail = words, None
        if not look_up(words):
            following = _NEXT_PIECE.fullmatch(words)
            if following is None:
                raise UnitError(
                    _("{clean} holds something after the value; {value}.").format(clean=echo(clean), value=wanted(kind))
                )
            unit_words, tail = following["unit"], following["tail"]


def _value(number: float, unit: Unit, clean: str, atmosphere: float) -> float:
    if unit.reference == "unsaid" and (number >= 0.0 or unit.name != "inHg"):
        raise UnitError(unsaid(unit))
    if unit.reference == "unsaid":  # -12 inHg can only be a vacuum
        value = atmosphere + number * scale_and_offset(unit)[0]
    elif unit.reference == "vacuum":  # and -12 inHg vac is meant as 12 inHg vac
        value = float(to_si(abs(number), unit, atmosphere))
    else:
        value = float(to_si(number, unit, atmosphere))
    if value < 0.0:
        if unit.kind in ("pressure", "temperature"):
            raise UnitError(
                _("{clean} is below absolute zero; {atmosphere}.").format(
                    clean=echo(clean), atmosphere=lowest(unit, atmosphere)
                )
            )
        if unit.kind in _NEVER_NEGATIVE:
            raise UnitError(_("{clean} is below zero; {value}.").format(clean=echo(clean), value=wanted(unit.kind)))
    return value
