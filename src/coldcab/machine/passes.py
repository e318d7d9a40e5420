"""A condenser pass by pass: where gas, two-phase flow and liquid lie along the way, and what each pass makes of them.

A pass with fewer tubes carries the same flow faster, so its film conducts better and it costs more pressure. Shares of
the face are shares of the tube too, for all tubes are alike.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import reduce
from operator import add
from typing import NamedTuple

import numpy as np

from coldcab.machine.ops import Arithmetic, Value
from coldcab.machine.void import baroczy_void

# Shah's coefficient over that of all liquid is (1 - x)^0.8 + 3.8 x^0.76 (1 - x)^0.04 / p_r^0.38 at a quality x. The
# area for a step in quality goes with 1 over the effectiveness there; that is worked out at four qualities and a
# polynomial through them integrated: within 0.5 % (tests march it).
_GAUSS = np.polynomial.legendre.leggauss(4)
NODES = tuple(float(0.5 + 0.5 * node) for node in _GAUSS[0])
WEIGHTS = tuple(float(0.5 * weight) for weight in _GAUSS[1])
LIQUID_PART = tuple((1.0 - x) ** 0.8 for x in NODES)
VAPOR_PART = tuple(3.8 * x**0.76 * (1.0 - x) ** 0.04 for x in NODES)
# Row n, column j: factor of the j-th value in the coefficient of x^n of the polynomial.
INTERPOLATION = tuple(tuple(float(one) for one in row) for row in np.linalg.inv(np.vander(NODES, increasing=True)))
NEWTON_STEPS = 2  # to find the quality at the end of a pass; the first guess is a straight line
LEAST_SPAN = 1e-9  # of quality, so that a pass without condensing divides by something
GAS_LEAD = (
    1.23  # volume of hot gas at the inlet over that of saturated gas, on the line that falls straight to liquid's
)
SHORTEST_WAY = 0.05  # of the face before liquid stands, in what a search may try


class Pass(NamedTuple):
    """A pass as its geometry makes it."""

    share: float  # of the face
    start: float  # share of the face before it
    film: float  # 0.023 G^0.8 D^-0.2 A per (kg/s)^0.8, A the whole tube's wall (Dittus and Boelter form)
    resistance: float  # of the whole way, per share of the face: K m^2 v, v the mean volume over the pass


class Film(NamedTuple):
    """Inner coefficient times wall, per film factor of a pass, of the three zones; W/K."""

    gas: Value
    liquid: Value
    condensing: tuple[Value, ...]  # at the qualities of NODES


class Duty(NamedTuple):
    """What the passes have to do."""

    gas: Value  # cooling of the gas, as a share of the face with an effectiveness of 1
    rate: Value  # kg/s times latent heat over the W/K of all air: K
    quality_in: Value
    quality_out: Value
    cooling: Value  # cooling of the liquid, like gas


class Zones(NamedTuple):
    """Shares of the face that the zones take, and what the two-phase flow holds."""

    gas: Value
    tube: Value
    cooling: Value
    tube_mass: Value  # kg per m3 of the whole condenser


def layout(passes: Sequence[int], diameter: float, wall: float, resistance: float) -> tuple[Pass, ...]:
    """Passes of equal tubes: ``passes`` tubes each, ``diameter`` m, ``wall`` m2 in all, ``resistance`` K of the way.

    Each tube costs K m^2 v with m its share of the flow, so a pass of n tubes costs as 1 / n^2.
    """
    section, total, costs = math.pi / 4 * diameter**2, sum(passes), sum(n**-2.0 for n in passes)
    return tuple(
        Pass(
            share=n / total,
            start=sum(passes[:k]) / total,
            film=0.023 * (n * section) ** -0.8 * diameter**-0.2 * wall,
            resistance=resistance * n**-2.0 / costs / (n / total),
        )
        for k, n in enumerate(passes)
    )


def drops(
    ops: Arithmetic, passes: tuple[Pass, ...], flow: Value, vapor: Value, quality: Value, standing: Value
) -> list[Value]:
    """Pressure lost in each pass, Pa: K m^2 v v falling straight from hot gas to the ``quality`` at the end.

    ``vapor`` m3/kg of saturated gas; ``standing`` share of the face, at the end, that is full of liquid.
    """
    way = SHORTEST_WAY + ops.positive(1.0 - SHORTEST_WAY - standing, 0.02)

    def left(place: float) -> Value:
        return ops.positive(1.0 - place / way, 1e-3)

    lost = []
    for one in passes:
        start, end = left(one.start), left(one.start + one.share)
        mean = quality * one.share + (GAS_LEAD - quality) * 0.5 * way * (start * start - end * end)
        lost.append(one.resistance * flow * flow * vapor * mean)
    return lost


def zones(
    ops: Arithmetic, passes: tuple[Pass, ...], film: Film, differences: Sequence[Value], outer: Value, stream: Value,
    duty: Duty, liquid_density: Value, vapor_density: Value,
) -> Zones:  # fmt: skip
    """Lay the three zones into the passes, one after the other; the last pass is as long as it has to be.

    ``differences`` K of condensing above the air, by pass; ``outer`` K/W of the air's side; ``stream`` W/K of all air.
    In a solution the shares of the face sum to 1.
    """

    def effectiveness(inner: Value) -> Value:
        return 1.0 - ops.exp(-1.0 / ((outer + 1.0 / inner) * stream))

    gas_left, quality, cooling_left = duty.gas, duty.quality_in, duty.cooling
    gas, tube, cooling, mass = 0.0, 0.0, 0.0, 0.0
    density_ratio = vapor_density / liquid_density
    for one, difference in zip(passes, differences, strict=True):
        last = one is passes[-1]
        gas_effect, liquid_effect = effectiveness(one.film * film.gas), effectiveness(one.film * film.liquid)
        taken = gas_left / gas_effect
        if not last:
            taken = ops.minimum(taken, one.share)
            gas_left = gas_left - taken * gas_effect
        gas = gas + taken
        room = one.share - taken
        values = [duty.rate / difference / effectiveness(one.film * inner) for inner in film.condensing]
        slope = [_weighted(row, values) for row in INTERPOLATION]
        area = [one / (power + 1) for power, one in enumerate(slope)]
        begin = _horner(area, quality) * quality
        taken = begin - _horner(area, duty.quality_out) * duty.quality_out
        end = duty.quality_out
        if not last:
            needed = taken
            taken = ops.minimum(needed, room)
            end = _quality_after(slope, area, begin, quality, duty.quality_out, needed, taken)
        tube = tube + taken
        for node, weight in zip(NODES, WEIGHTS, strict=True):
            x = end + (quality - end) * node
            void = baroczy_void(ops, x, density_ratio)
            density = void * vapor_density + (1.0 - void) * liquid_density
            mass = mass + weight * (quality - end) * _horner(slope, x) * density
        quality, room = end, room - taken
        taken = cooling_left / liquid_effect
        if not last:
            taken = ops.minimum(taken, room)
            cooling_left = cooling_left - taken * liquid_effect
        cooling = cooling + taken
    return Zones(gas, tube, cooling, mass)


def _weighted(weights: Sequence[float], values: Sequence[Value]) -> Value:
    return reduce(add, (weight * value for weight, value in zip(weights, values, strict=True)))


def _horner(coefficients: Sequence[Value], x: Value) -> Value:
    """Polynomial with the coefficients of rising powers."""
    return reduce(lambda total, one: total * x + one, reversed(coefficients))


def _quality_after(
    slope: Sequence[Value], area: Sequence[Value], begin: Value, high: Value, low: Value, needed: Value, taken: Value
) -> Value:
    """Quality after ``taken`` of the area ``needed`` from the quality ``high``, to ``low``."""
    x = high - (high - low) * taken / (needed + LEAST_SPAN)
    for _ in range(NEWTON_STEPS):
        x = x + (begin - _horner(area, x) * x - taken) / _horner(slope, x)
    return x
