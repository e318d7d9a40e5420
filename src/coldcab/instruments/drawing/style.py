"""The look of the instruments: the only place for colors, type sizes and line widths.

Every color that carries a meaning is paired with a second sign (a label, a dash, a marker's shape), so that the
drawings read without color. tests/test_instruments.py checks contrast and the distance of the colors as seen
with the three kinds of color blindness.
"""

from __future__ import annotations

from dataclasses import dataclass

# Grounds and inks
GROUND = "#fbfaf6"
PAPER = "#ffffff"  # faces, plots and boxes on the ground
INK = "#1d2632"
SOFT = "#4d5866"  # secondary text
RULE = "#cbc6b8"  # hairlines and quiet frames, never text
METAL = "#b9bec4"

# Colors with a meaning
LOW = "#2263cc"  # low side
HIGH = "#8c150d"  # high side
FIRST = "#1d6b5c"  # R-134a
SECOND = "#946312"
AIR = "#8a2f9e"  # air: around the gauge, or inside a cylinder
NOTE = HIGH  # a sentence that says why there is no reading

# Fills; always outlined in INK or labeled
LIQUID = "#a9c9cf"
VAPOR = "#eef3f0"

# Cards of words in a notebook: feedback, numbers of a sheet, the form of a job
CARD_INK = "#1d2a33"
CARD_QUIET = "#52616b"
CARD_RULE = "#cfd8dc"
CARD_GROUND = "#fbfcfd"
CARD_RIGHT = "#1b6e3c"
CARD_WRONG = "#8a4b00"
CARD_READ = "#1b5e8a"

# Type: one scale, in units of the drawing (WIDTH units across)
TICK = 15
BODY = 16
STRONG = 20
NUMBER = 27
FONT = "system-ui, 'Segoe UI', 'Noto Sans', 'DejaVu Sans', sans-serif"
LETTER_WIDTH = 0.55  # mean width of a letter over its size, of a wide face; for wrapping and keeping labels apart

# Lines
HAIR = 1.0
THIN = 1.5
LINE = 2.5
HEAVY = 4.0

# The sheet
WIDTH = 840  # units across; every instrument has the same width
SHEET = 960  # pixels; a drawing never grows wider than this
MARGIN = 20
CORNER = 8


@dataclass(frozen=True, slots=True)
class Sign:
    """How one thing is told apart: color, dash pattern and shape of its marker."""

    color: str
    dash: str | None
    shape: str  # "circle", "square", "triangle" or "diamond"


REFRIGERANT = {
    "R-134a": Sign(FIRST, None, "circle"),
    "R-12": Sign(SECOND, "8 4", "square"),
    "R-152a": Sign(INK, "2 3", "triangle"),
    "R-1234yf": Sign(AIR, "10 3 2 3", "diamond"),
}


@dataclass(frozen=True, slots=True)
class Fill:
    """How a filled area is told apart: a pale color and the pattern drawn over it in ink."""

    color: str
    pattern: str  # "lines", "dots", "crosses" or "rungs"


OIL = {
    "mineral oil": Fill("#ecd9a8", "lines"),
    "PAG": Fill("#bfe3d6", "dots"),
    "POE": Fill("#ccd6f2", "crosses"),
    "alkylbenzene": Fill("#e8d0ea", "rungs"),
}
