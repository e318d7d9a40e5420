"""What a technician reads at the machine, and what stands behind it."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from coldcab.machine.ops import Value
from coldcab.quantities import STANDARD_ATMOSPHERE

SEA_LEVEL = STANDARD_ATMOSPHERE  # Pa, the atmosphere that printed pressure-temperature charts assume

RUNNING = "running"
HIGH_PRESSURE = "high-pressure cut-out"
RELIEF = "relief"
LOW_PRESSURE = "low-pressure cycling"
THERMOSTAT = "thermostat cycling"
FLOOD_BACK = "flood-back"
OFF = "off"
NO_STEADY_STATE = "no steady state"
STATUSES = (RUNNING, HIGH_PRESSURE, RELIEF, LOW_PRESSURE, THERMOSTAT, FLOOD_BACK, OFF, NO_STEADY_STATE)


@dataclass(frozen=True)
class Readings:
    """One run (numbers) or many (arrays). SI units; gauges in Pa above the atmosphere on the spot.

    ``status``: "running"; "high-pressure cut-out", "low-pressure cycling", "thermostat cycling" (a switch cycles the
    clutch: all values are means over the cycle, `clutch_duty` is the share of the time it is on, `low_gauge_swing`
    between what the needle moves with the low-pressure switch); "relief" (refrigerant has been blown off);
    "flood-back" (liquid reaches the compressor); "off" (the clutch does not engage, everything at rest);
    "no steady state" (``reason`` says why; the other values are NaN).
    """

    status: str | np.ndarray
    reason: str | np.ndarray
    # Gauges at the service ports of the compressor, and what a chart printed for sea level says of them.
    low_gauge: Value
    high_gauge: Value
    low_gauge_swing: tuple[Value, Value]
    low_saturation_temperature: Value
    high_saturation_temperature: Value
    standing_pressure: Value  # gauge, after a night at ambient temperature
    # Thermometers, K.
    evaporator_inlet: Value  # behind the expansion valve
    suction_line_at_evaporator: Value
    suction_line_at_compressor: Value
    discharge_line: Value
    drier_in: Value
    drier_out: Value
    liquid_line: Value  # before the valve
    condenser_air_in: Value
    condenser_air_out: Value
    vent: Value
    return_air: Value
    cab: Value
    ambient: Value
    # Eye, ear and hand.
    glass: str | np.ndarray  # clear, bubbles, foam, streaks
    glass_void: Value  # vapour share of the volume that flows through the glass
    condensate: Value  # kg/s
    cab_relative_humidity: Value
    clutch_duty: Value  # share of the time
    clutch_on: Value  # s of one cycle, infinite without cycling, NaN at the high-pressure cut-out
    clutch_off: Value  # s
    pulley_speed: Value  # rev/s
    hub_speed: Value  # rev/s, below the pulley's when the clutch slips
    coil_frost: bool | np.ndarray  # fins below freezing
    # Worked out as a technician does, and as it truly is, K.
    superheat_measured: Value
    superheat: Value
    subcooling_measured: Value
    subcooling: Value
    # Behind the scenes.
    evaporating_temperature: Value
    condensing_temperature: Value
    low_pressure: Value  # Pa absolute
    high_pressure: Value
    compression_ratio: Value
    mass_flow: Value
    capacity: Value  # W
    sensible_capacity: Value
    power: Value  # W at the belt
    condenser_heat: Value
    cop: Value
    opening: Value  # of the valve, 0 to 1
    flood_share: Value  # mass share of liquid in the gas that reaches the compressor
    level: Value  # of the receiver, 0 to 1
    masses: dict[str, Value]  # kg by part
    charge: Value  # kg in the circuit
    relieved: Value  # kg blown off
    atmosphere: Value  # Pa
    energy_residual: Value  # W, sum over all balances
    mass_residual: Value  # kg
    refrigerant: str
    unknowns: np.ndarray | tuple[float, ...]  # a start for the next solution nearby

    def __getitem__(self, place: int | slice | np.ndarray) -> Readings:
        """One run, or some, of many."""
        values = {}
        for field in fields(self):
            value = getattr(self, field.name)
            if field.name == "unknowns":
                value = tuple(value[:, place].tolist()) if isinstance(place, int) else value[:, place]
            elif isinstance(value, dict):
                value = {key: _part(item, place) for key, item in value.items()}
            elif isinstance(value, tuple):
                value = tuple(_part(item, place) for item in value)
            else:
                value = _part(value, place)
            values[field.name] = value
        return Readings(**values)

    def __len__(self) -> int:
        return len(self.status) if isinstance(self.status, np.ndarray) else 1

    @property
    def solved(self) -> bool | np.ndarray:
        """True where there is an answer or a named status."""
        return self.status != NO_STEADY_STATE


def _part(value: Any, place: Any) -> Any:
    if isinstance(value, np.ndarray) and value.ndim:
        found = value[place]
        return found.item() if isinstance(found, np.generic) else found
    return value


# Resolution and standard deviation of each instrument [invented, typical of shop instruments]: gauge 0.05 bar low side
# and 0.2 bar high side, clip thermometers 0.1 K and 0.7 K, tachometer 1 rev/min.
KILOPASCAL = 1e3
INSTRUMENTS: dict[str, tuple[float, float]] = {
    "low_gauge": (5.0 * KILOPASCAL, 6.0 * KILOPASCAL),
    "high_gauge": (20.0 * KILOPASCAL, 20.0 * KILOPASCAL),
    "standing_pressure": (5.0 * KILOPASCAL, 8.0 * KILOPASCAL),
    "suction_line_at_evaporator": (0.1, 0.7),
    "evaporator_inlet": (0.1, 0.7),
    "suction_line_at_compressor": (0.1, 0.7),
    "discharge_line": (0.1, 1.5),
    "drier_in": (0.1, 0.5),
    "drier_out": (0.1, 0.5),
    "liquid_line": (0.1, 0.5),
    "condenser_air_in": (0.1, 0.7),
    "condenser_air_out": (0.1, 0.7),
    "vent": (0.1, 0.5),
    "return_air": (0.1, 0.5),
    "cab": (0.1, 0.5),
    "ambient": (0.1, 0.5),
    "pulley_speed": (1 / 60, 0.2),
    "hub_speed": (1 / 60, 0.2),
}


def read(readings: Readings, *, resolution: bool = True, noise: bool = True, seed: int = 0) -> Readings:
    """The readings as real instruments show them: with scatter, rounded to what a scale resolves.

    Saturation temperatures, superheat and subcooling follow from the rounded gauges and thermometers, as a technician
    would work them out. The same ``seed`` gives the same scatter for each instrument.
    """
    changed: dict[str, Any] = {}
    for number, (name, (step, sigma)) in enumerate(INSTRUMENTS.items()):
        value = getattr(readings, name)
        if noise:
            scatter = np.random.Generator(np.random.Philox([seed, number])).standard_normal(np.shape(value))
            value = value + sigma * (scatter if np.shape(value) else float(scatter))
        if resolution:
            value = np.round(np.asarray(value) / step) * step
            value = float(value) if value.ndim == 0 else value
        changed[name] = value
    return with_worked_out(replace(readings, **changed))


def chart_temperature(refrigerant: str, gauge: Value) -> Value:
    """Saturation temperature (K) that a chart for sea level gives for a gauge pressure; NaN outside the chart."""
    from coldcab.machine.fluid import fluid_named

    table = fluid_named(refrigerant).table
    absolute = np.asarray(gauge, dtype=float) + SEA_LEVEL
    inside = (absolute > 5e3) & (absolute < table.highest_pressure)
    if absolute.ndim == 0:
        return table.saturation_temperature(math.log(float(absolute))) if inside else math.nan
    return np.where(inside, table.saturation_temperature(np.log(np.where(inside, absolute, 1e5))), np.nan)


WORKED_OUT = ("low_saturation_temperature", "high_saturation_temperature", "superheat_measured", "subcooling_measured")


def with_worked_out(readings: Readings) -> Readings:
    """The same readings with saturation temperatures, superheat and subcooling worked out from gauges and clips."""
    low = chart_temperature(readings.refrigerant, readings.low_gauge)
    high = chart_temperature(readings.refrigerant, readings.high_gauge)
    return replace(
        readings,
        low_saturation_temperature=low,
        high_saturation_temperature=high,
        superheat_measured=readings.suction_line_at_evaporator - low,
        subcooling_measured=high - readings.liquid_line,
    )
