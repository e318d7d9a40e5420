"""The error of the oil room, its checks, and the ranges that several of its files share."""

from __future__ import annotations

from coldcab.quantities import Check, ColdcabError, Limit

TEMPERATURE_RANGE = Limit("temperature", 233.15, 423.15)
"""-40 to 150 C, from a winter yard to a hot compressor head."""

VISCOSITY_RANGE = Limit("viscosity", 2e-6, 20.0, "cSt")
"""Where the short form of ASTM D341 (constant 0.7) holds."""

VOLUME_RANGE = Limit("volume", 0.0, 0.05, "mL")
"""Up to 50 L, far more oil than any cab's circuit holds."""

SHARE_RANGE = Limit("share", 0.0, 1.0)


class OilError(ColdcabError):
    """A number, name or entry that is not possible or not covered; the message is one plain sentence."""


_check = Check(OilError)
within, number = _check.array, _check.number
