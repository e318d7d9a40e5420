"""Lesson cycle-2: the numbers in its sentences."""

import re

from coldcab import instruments, refrigerants, worked
from lesson_rows import fahrenheit, tables_within, takes


def _older_book():
    """Per cent that this course lies above heat and work of the book with the older tables."""
    text = worked.textbook_cycles().text
    rows = text[text.index("Moran") : text.index("Cengel")].splitlines()
    return [float(re.search(r"([+-][\d.]+)%", row)[1]) for row in rows if "kW" in row]


SAID = [
    (
        "saturated liquid at 32 F (0 C) is set to 200 kJ/kg",
        lambda: (
            abs(refrigerants.saturation("R-134a", temperature=273.15).liquid_enthalpy - 200e3) < 50
            and abs(fahrenheit(32) - 273.15) < 1e-9
        ),
    ),
    (
        "the condensing temperature rises from 120 F to 150 F",
        lambda: takes(instruments.ph_chart, condensing=120) and takes(instruments.ph_chart, condensing=150),
    ),
    (
        "The chart stands at 120 F. Read the table below it, then go to 150 F",
        lambda: abs(instruments.ph_chart(condensing=120).settings["condensing"] - fahrenheit(120)) < 1e-6,
    ),
    (
        "They differ by 0.6 to 0.8 % in enthalpy differences",
        lambda: len(_older_book()) == 4 and (min(_older_book()), max(_older_book())) == (0.6, 0.8),
    ),
    ("tables within 0.01 % of it", lambda: tables_within(1e-4)),
]
