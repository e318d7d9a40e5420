"""The coordinates of the property tables, shared by the generator and by the evaluation.

Pressure runs along a coordinate that widens its steps away from the critical point, where everything bends;
superheat and subcooling run along one that is fine near saturation.
"""

import math

import numpy as np

# Sizes of the tables (nodes); tests/test_refrigerants.py measures what they reach.
SATURATION_NODES = 120
TEMPERATURE_NODES = 100
VAPOR_NODES = (48, 38)
LIQUID_NODES = (44, 32)

LOWEST_PRESSURE = 1000.0  # Pa absolute, the cold end of the saturation line and of the vapour table
HIGHEST_REDUCED_TEMPERATURE = 0.975  # of the critical temperature in K, the warm end of the saturation line
HIGHEST_TEMPERATURE = 525.0  # K, the hot edge of the vapour grid
LIQUID_MARGIN = 8.0  # K below the coldest saturation temperature, the cold edge of the liquid grid

PRESSURE_OFFSET = 0.5  # in ln p above the critical pressure: how fast the steps widen
SUPERHEAT_BEND = 3.7  # sinh(3.7) = 20: steps at saturation are about 1/5 of even ones
SUBCOOLING_BEND = 2.4

SUPERHEAT_STEEPNESS = math.sinh(SUPERHEAT_BEND)
SUBCOOLING_STEEPNESS = math.sinh(SUBCOOLING_BEND)


def shares(count: int, bend: float) -> np.ndarray:
    """Shares 0..1 of the superheat (or subcooling) span at the nodes."""
    return np.sinh(bend * np.linspace(0, 1, count)) / math.sinh(bend)


class PressureScale:
    """From ln p to the place on count evenly spaced nodes between two pressures, and back."""

    def __init__(self, log_critical: float, log_low: float, log_high: float):
        self.top = log_critical + PRESSURE_OFFSET
        self.start = -math.log(self.top - log_low)
        self.length = -math.log(self.top - log_high) - self.start

    def nodes(self, count: int) -> np.ndarray:
        """ln p at the nodes."""
        return self.top - np.exp(-(self.start + self.length * np.linspace(0, 1, count)))

    def share(self, log_pressure: np.ndarray) -> np.ndarray:
        """0 at the low, 1 at the high pressure (arrays)."""
        return (-np.log(self.top - log_pressure) - self.start) / self.length

    def share_scalar(self, log_pressure: float) -> float:
        """0 at the low, 1 at the high pressure (one number)."""
        return (-math.log(self.top - log_pressure) - self.start) / self.length
