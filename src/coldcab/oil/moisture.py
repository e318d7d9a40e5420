"""Water that an open can of oil draws from the air: a stated approximation.

The oil draws water toward a balance with the air (Henry's law: in proportion to relative humidity), fast at first and
then slower: content = balance - (balance - start) exp(-t / tau). The time tau grows with the depth of the oil. Balance
and speed are from memory and are good to a factor of two; what is sure is the order (mineral oil least, PAG most) and
the shape. A stirred, splashed or warm oil is faster.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from coldcab.oil.checks import SHARE_RANGE, OilError, within
from coldcab.oil.properties import oil_named
from coldcab.quantities import Limit, Value, plain

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

HOUR = 3600.0
DEPTH_RANGE = Limit("length", 1e-3, 0.5)
"""Depth of the oil below its open surface."""

TIME_RANGE = Limit("time", 0.0, 31_536_000.0)
"""Up to a year."""

CONTENT_RANGE = Limit("share", 0.0, 0.1, words="50 ppm is written 50e-6")
"""kg of water in a kg of oil."""

USUAL_LIMIT = 50e-6
"""kg/kg, 50 ppm: water in a fresh ester oil as refrigeration textbooks ask for [read in public copies]."""

NEW_CAN = 50e-6
"""kg/kg, what a freshly opened can is taken to hold [assumption]."""


@dataclass(frozen=True)
class Hygroscopy:
    """How an oil takes up water at shop temperature (about 25 C)."""

    saturation: float  # kg/kg in balance with air of 100 % relative humidity
    speed: float  # m/s: depth of the oil over the time constant
    source: str


_MEMORY = "from memory, good to a factor of two"
HYGROSCOPY = MappingProxyType(
    {
        "mineral oil": Hygroscopy(100e-6, 0.05 / (20.0 * HOUR), _MEMORY),
        "alkylbenzene": Hygroscopy(150e-6, 0.05 / (20.0 * HOUR), _MEMORY),
        "POE": Hygroscopy(2500e-6, 0.05 / (40.0 * HOUR), _MEMORY),
        "PAG": Hygroscopy(20e-3, 0.05 / (100.0 * HOUR), _MEMORY),
    }
)
"""Uptake of water by type of oil."""

DOUBT_FACTOR = 2.0
"""The true amount lies between the computed one over this and times this [judgement, no source]."""


def moisture_content(
    oil: str,
    time: ArrayLike,
    *,
    relative_humidity: ArrayLike = 0.5,
    depth: ArrayLike = 0.05,
    initial: ArrayLike = NEW_CAN,
) -> Value:
    """Water in the oil of an open can after some time, at about 25 C.

    Parameters
    ----------
    oil : type, see `properties.oil_named`.
    time : s, within `TIME_RANGE`.
    relative_humidity : of the air above, 0 to 1.
    depth : m of oil below its open surface, within `DEPTH_RANGE`.
    initial : kg of water in a kg of oil at the start, within `CONTENT_RANGE`.
    All but the oil: numbers or arrays that broadcast.

    Returns
    -------
    kg of water in a kg of oil (1e-6 is 1 ppm).

    Raises
    ------
    OilError : unknown oil or a number out of range.

    Source
    ------
    Stated approximation of this module; constants from memory, see `HYGROSCOPY` and `DOUBT_FACTOR`.
    """
    kind = HYGROSCOPY[oil_named(oil).name]
    seconds = within("time", time, TIME_RANGE)
    humid = within("relative_humidity", relative_humidity, SHARE_RANGE)
    deep = within("depth", depth, DEPTH_RANGE)
    start = within("initial", initial, CONTENT_RANGE)
    balance = kind.saturation * humid
    try:
        return plain(balance + (start - balance) * np.exp(-seconds * kind.speed / deep))
    except ValueError:
        raise OilError("the arrays given for the uptake of water must have shapes that go together.") from None
