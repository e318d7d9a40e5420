"""Oil that travels with the refrigerant: what it does in the evaporator, as a stated approximation.

Three effects, all from the mass share of oil in what flows:

- the liquid boils a little warmer the more oil it holds (`bubble_point_rise`), the last of it most of all;
- so the last refrigerant stays dissolved in the oil however much superheat a thermometer shows: it leaves without
  having cooled anything, and the gas looks more superheated than its energy is (`held_back`);
- an oily film hinders boiling (`hindrance`).

Left out: the heat that the oil itself carries, the room it takes, and its pressure loss in the suction hose. One form
stands for all refrigerants and oils.
"""

from __future__ import annotations

from coldcab.machine.ops import Arithmetic, Value

# K/Pa and share. With the local share w of oil in the liquid the rise is RISE p w / (1 - (1 + KEPT) w): the simplest
# form that follows the published one (Thome 1995, see `coldcab.oil.bubble_point_rise`) for R-134a from 0.25 to 0.4 MPa
# and w to 0.5 within a sixth, and can be turned round.
RISE = 4.6e-6
KEPT = 0.2
# Film of oil on the wall: exp(-4 w) [invented; 3 % of oil cost a tenth].
OIL_HINDRANCE = 4.0
USUAL_SUPERHEAT = 5.0  # K at which the evaporator's outlet is taken when the mean rise is worked out


def bubble_point_rise(pressure: Value, share: Value) -> Value:
    """K by which liquid with a mass ``share`` of oil (0 to 0.5) boils warmer than pure refrigerant at Pa absolute."""
    return RISE * pressure * share / (1.0 - (1.0 + KEPT) * share)


def held_back(pressure: Value, superheat: Value, per_refrigerant: Value) -> Value:
    """kg of refrigerant still dissolved in the oil per kg that flows, ``superheat`` K above pure saturation.

    `bubble_point_rise` solved for the share; ``per_refrigerant`` is kg of oil per kg of refrigerant.
    """
    return per_refrigerant * (RISE * pressure / superheat + KEPT)


def mean_rise(ops: Arithmetic, pressure: Value, quality: Value, per_refrigerant: Value) -> Value:
    """Mean rise in K along a coil entered with ``quality``, by the integral of `bubble_point_rise` over the quality."""
    left = ops.positive(1.0 - quality, 0.02)
    scale = RISE * pressure * (per_refrigerant + 1e-9)
    return scale / left * ops.log(1.0 + left * USUAL_SUPERHEAT / scale)


def hindrance(ops: Arithmetic, share: Value) -> Value:
    """Factor on the boiling coefficient for a mass share of oil in what flows."""
    return ops.exp(-OIL_HINDRANCE * share)
