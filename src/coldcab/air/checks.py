"""The error of the air room, its checks, and the ranges that several of its files share."""

from __future__ import annotations

from coldcab.quantities import MOST, Check, ColdcabError, Limit

ALTITUDE_RANGE = Limit("altitude", -1000.0, 11_000.0)
"""From below the Dead Sea to the top of the standard troposphere."""

SATURATION_RANGE = Limit("temperature", 173.15, 473.15)
"""-100 to 200 C, where the saturation equations are published."""

DRY_BULB_RANGE = Limit("temperature", 213.15, 373.15)
"""-60 to 100 C, more than any cab, engine bay or weather."""

WET_RANGE = Limit("temperature", SATURATION_RANGE.low, DRY_BULB_RANGE.high)
"""Wet bulb and dew point."""

PRESSURE_RANGE = Limit("pressure", 20_000.0, 120_000.0)
"""Total pressure; wider than the standard atmosphere over `ALTITUDE_RANGE`."""

HUMIDITY_RATIO_RANGE = Limit("humidity ratio", 0.0, MOST)
FLOW_RANGE = Limit("mass flow", 0.0, MOST)
SHARE_RANGE = Limit("share", 0.0, 1.0)


class AirError(ColdcabError):
    """A number that is not possible or not covered; the message is one plain sentence."""


within = Check(AirError).array
