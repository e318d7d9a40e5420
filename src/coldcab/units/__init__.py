"""What people type and read: units at the edge of the package.

Inside coldcab every number is SI: pressure is absolute and in Pa, temperature in K. This room turns what a
person writes ("31 psig", "28.5 inHg vac", "2 lb 4 oz") into such numbers and back into words.

`parse` reads text, `show` writes it, `convert` and `from_unit` change numbers and arrays, `in_order` puts a whole text
in the order of who reads it. `KINDS` lists what can be read. Whatever cannot be read raises `UnitError` with one plain
sentence.
"""

from coldcab.quantities import STANDARD_ATMOSPHERE
from coldcab.units.conversion import ATMOSPHERE_RANGE, convert, from_unit
from coldcab.units.order import in_order
from coldcab.units.reading import Quantity, parse
from coldcab.units.table import KINDS, UnitError
from coldcab.units.writing import show

__all__ = [
    "ATMOSPHERE_RANGE",
    "KINDS",
    "STANDARD_ATMOSPHERE",
    "Quantity",
    "UnitError",
    "convert",
    "from_unit",
    "in_order",
    "parse",
    "show",
]
