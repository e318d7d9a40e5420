"""Synthetic rises of four kinds, with a gauge's last digit and its scatter; all sizes invented."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldcab.air.saturation import saturation_pressure
from coldcab.machine.transients import MICRON, vacuum_rise
from coldcab.service.rise_test import CLASSES

GROUP = 50  # rises that share a length and a number of readings


@dataclass(frozen=True)
class Rise:
    """One rise as a gauge shows it, and what is in the machine."""

    truth: str
    time: np.ndarray  # s
    pressure: np.ndarray  # Pa
    resolution: float
    noise: float
    temperature: float


def rises(count: int, seed: int) -> list[Rise]:
    """``count`` rises, the four kinds in turn.

    2 to 6 L at 5 to 40 C, pumped to 150 to 450 micron, watched for 15 to 50 min with 20 to 80 readings. 0.005 to 10 g
    of water come out up to four times faster or slower than the usual coefficient. A leak alone lifts the pressure by
    100 to 60,000 micron in that time; beside water, by 0.15 to 4 times as much as the water does. Gauges resolve 1 to
    25 micron and scatter by 2 to 25 micron, and by up to 0.5 % of what they show.
    """
    draw = np.random.Generator(np.random.Philox(seed))
    found: list[Rise] = []
    while len(found) < count:
        duration, readings = draw.uniform(900.0, 3000.0), int(draw.integers(20, 81))
        kinds = np.array([CLASSES[k % 4] for k in range(GROUP)])
        volume = draw.uniform(2e-3, 6e-3, GROUP)
        temperature = draw.uniform(278.15, 313.15, GROUP)
        leak = np.exp(draw.uniform(np.log(100.0), np.log(60_000.0), GROUP)) * MICRON * volume / duration
        water = np.exp(draw.uniform(np.log(5e-6), np.log(1e-2), GROUP))
        leaking = (kinds == "leak") | (kinds == "moisture and a leak")
        wet = (kinds == "moisture") | (kinds == "moisture and a leak")
        changes = {
            "start_pressure": draw.uniform(150.0, 450.0, GROUP) * MICRON,
            "temperature": temperature,
            "boiling": 2e-10 * np.exp(draw.uniform(-np.log(4.0), np.log(4.0), GROUP)),
            "duration": duration,
            "samples": readings,
        }
        water = np.where(wet, water, 0.0)
        damp = vacuum_rise(volume, water=water, **changes)
        ratio = np.exp(draw.uniform(np.log(0.15), np.log(4.0), GROUP))
        beside = ratio * (damp.pressure[-1] - damp.pressure[0]) * volume / duration
        series = vacuum_rise(volume, water=water, leak=np.where(leaking, np.where(wet, beside, leak), 0.0), **changes)
        resolution = np.exp(draw.uniform(np.log(1.0), np.log(25.0), GROUP)) * MICRON
        noise = np.exp(draw.uniform(np.log(2.0), np.log(25.0), GROUP)) * MICRON
        relative = draw.uniform(0.0, 0.005, GROUP)
        scattered = series.pressure + draw.normal(size=series.pressure.shape) * np.hypot(
            noise, relative * series.pressure
        )
        shown = np.maximum(np.round(scattered / resolution) * resolution, 0.0)
        found += [
            Rise(str(kinds[k]), series.time, shown[:, k], resolution[k], noise[k], temperature[k]) for k in range(GROUP)
        ]
    return found[:count]


def ceiling(rise: Rise) -> float:
    """Pa that water alone can reach."""
    return float(saturation_pressure(rise.temperature))
