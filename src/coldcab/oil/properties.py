"""Types of oil, their densities, and the way between a mass and a volume of oil."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from coldcab.oil.checks import VOLUME_RANGE, OilError, within
from coldcab.quantities import FREEZING, Limit, Value, plain

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

DENSITY_TEMPERATURE_RANGE = Limit("temperature", 253.15, 393.15)
"""-20 to 120 C; the straight lines were fitted to liquids of ordinary machines."""

SHOP_TEMPERATURE = 293.15
"""K, 20 C: where oil is measured out."""

MASS_RANGE = Limit("mass", 0.0, 50.0)


@dataclass(frozen=True)
class Oil:
    """A type of oil: its density is a straight line, kg/m3 at 0 C and kg/(m3 K)."""

    name: str
    short: str
    density_at_freezing: float
    density_slope: float
    density_doubt: float  # kg/m3 either way, between oils of this type and between sources
    source: str


_ENTRIES = (
    Oil(
        name="mineral oil",
        short="mineral",
        # 910 at 17.5 C: naphthenic oils of the R-12 years are denser than the paraffinic oil whose line was read.
        density_at_freezing=910.0 + 0.62 * 17.5,
        density_slope=-0.62,
        density_doubt=15.0,
        source="0.90 to 0.92 g/mL at 15 to 20 C for naphthenic oils, handbook knowledge, from memory; slope of the "
        "compressor supplier's line 876.2 - 0.62 t kept in an open heat-pump model (HPSim), read. That line itself "
        "lies 5 % lower: another kind of mineral oil",
    ),
    Oil(
        name="PAG",
        short="PAG",
        density_at_freezing=1200.22 - 0.726923 * FREEZING,
        density_slope=-0.726923,
        density_doubt=15.0,
        source="1200.22 - 0.726923 T, Tribology Data Handbook as used by Bell (2011) in an open heat-pump model, read",
    ),
    Oil(
        name="POE",
        short="POE",
        density_at_freezing=992.4395,
        density_slope=-0.74351165,
        density_doubt=25.0,
        source="1000 (0.9924395 - 0.00074351165 t), an ester of ISO VG 32, Bell (2011) in an open heat-pump model, "
        "read; esters differ: 0.96 to 1.01 g/mL, from memory",
    ),
    Oil(
        name="alkylbenzene",
        short="AB",
        density_at_freezing=870.0 + 0.62 * 20.0,
        density_slope=-0.62,
        density_doubt=20.0,
        source="about 0.87 g/mL at 20 C, from memory; slope taken from the mineral oil",
    ),
)

OILS = MappingProxyType({oil.name: oil for oil in _ENTRIES})
"""Types of oil by name."""

_WORDS = {
    "mineral": "mineral oil",
    "mo": "mineral oil",
    "polyalkylene glycol": "PAG",
    "polyalkylene glycol (pag)": "PAG",
    "polyol ester": "POE",
    "polyol ester (poe)": "POE",
    "ester": "POE",
    "ester oil": "POE",
    "ab": "alkylbenzene",
}


def oil_named(name: str) -> Oil:
    """The type of oil that a word means ("PAG", "polyol ester", "mineral").

    Parameters
    ----------
    name : a key of `OILS` or another usual word for it; capitals and a grade behind it ("PAG 46") do not matter.

    Returns
    -------
    `Oil`.

    Raises
    ------
    OilError : a word that names no oil known here.
    """
    if isinstance(name, str) and len(name) <= 60:
        word = " ".join(name.replace("-", " ").split()).lower().rstrip(" 0123456789")
        for oil in _ENTRIES:
            if word == oil.name.lower():
                return oil
        if word in _WORDS:
            return OILS[_WORDS[word]]
    raise OilError(f"{str(name)[:40]!r} is not an oil known here; there are {', '.join(OILS)}.")


def density(oil: str, temperature: ArrayLike = SHOP_TEMPERATURE) -> Value:
    """Density of an oil without refrigerant in it.

    Parameters
    ----------
    oil : type, see `oil_named`.
    temperature : K, within `DENSITY_TEMPERATURE_RANGE`; scalar or array.

    Returns
    -------
    kg/m3, same shape. Oils of one type differ by `Oil.density_doubt` either way.

    Raises
    ------
    OilError : unknown oil or temperature out of range.

    Source
    ------
    See `Oil.source` of each oil.

    Example
    -------
    >>> round(density("PAG", 313.15), 1)
    972.6
    """
    kind = oil_named(oil)
    kelvin = within("temperature", temperature, DENSITY_TEMPERATURE_RANGE)
    return plain(kind.density_at_freezing + kind.density_slope * (kelvin - FREEZING))


def mass(volume: ArrayLike, oil: str, temperature: ArrayLike = SHOP_TEMPERATURE) -> Value:
    """Mass of a volume of oil. A fluid ounce of oil is not an ounce by weight.

    Parameters
    ----------
    volume : m3, within `checks.VOLUME_RANGE`; scalar or array.
    oil, temperature : as for `density`.

    Returns
    -------
    kg, broadcast shape.

    Raises
    ------
    OilError : as for `density`; a volume out of range.

    Source
    ------
    Definition of density.

    Example
    -------
    >>> round(mass(236.6e-6, "PAG") / 0.0283495, 2)  # 8 fl oz in ounces by weight
    8.24
    """
    return plain(within("volume", volume, VOLUME_RANGE) * density(oil, temperature))


def volume(mass: ArrayLike, oil: str, temperature: ArrayLike = SHOP_TEMPERATURE) -> Value:
    """Volume of a mass of oil; the way back from `mass`.

    Parameters
    ----------
    mass : kg, within `MASS_RANGE`; scalar or array.
    oil, temperature : as for `density`.

    Returns
    -------
    m3, broadcast shape.

    Raises
    ------
    OilError : as for `density`; a mass out of range.

    Source
    ------
    Definition of density.
    """
    return plain(within("mass", mass, MASS_RANGE) / density(oil, temperature))
