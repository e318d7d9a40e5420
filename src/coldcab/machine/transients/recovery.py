"""Recovering refrigerant: the liquid cools itself, the vapour gets thinner, and the pressure comes back."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from coldcab.machine.conditions import MachineError
from coldcab.machine.fluid import Fluid, fluid_named
from coldcab.machine.model import OIL_PRESSURE, OIL_SOLUBILITY
from coldcab.machine.transients.checks import number, whole
from coldcab.machine.transients.stiff import Rates, integrate
from coldcab.machine.transients.vessel import contents

# The recovery machine's compressor: clearance share and exponent of the textbook form 1 + c - c r^(1/n) [invented].
CLEARANCE, EXPONENT = 0.03, 1.1
# W/K from the parts to gas alone and more where liquid wets them, and kg of liquid at which half of that is wetted;
# J/K of the metal; W/K from the workshop to the metal; s in which oil gives off refrigerant. All [invented].
GAS_CONDUCTANCE, WET_CONDUCTANCE, HALF_WETTED = 3.0, 40.0, 0.08
METAL, ROOM_CONDUCTANCE, OIL_TIME = 9e3, 8.0, 400.0
TARGET = 87.7e3  # Pa absolute: 102 mm of mercury below the standard atmosphere [the US level for vehicles, from memory]
LEAST = 1e-6  # kg


@dataclass(frozen=True)
class Recovery:
    """A recovery over ``time``, rests included."""

    time: np.ndarray  # s
    pressure: np.ndarray  # Pa absolute
    left: np.ndarray  # kg in the machine, dissolved in the oil included
    dissolved: np.ndarray  # kg of it in the oil
    liquid: np.ndarray  # kg of it liquid
    temperature: np.ndarray  # K of the refrigerant
    metal: np.ndarray  # K of the machine's parts
    pumping: np.ndarray  # bool, up to this line
    recovered: float  # kg in all
    stops: tuple[float, ...]  # s at which the target was reached
    rebounds: tuple[float, ...]  # Pa absolute at the end of each rest

    @property
    def reached(self) -> bool:
        """True when every pull came down to the target."""
        return bool(self.stops) and len(self.stops) == len(self.rebounds)


def recovery(
    refrigerant: str,
    *,
    mass: float,
    volume: float,
    displacement: float,
    ambient: float = 298.15,
    cylinder_temperature: float = 308.15,
    target: float = TARGET,
    rest: float = 300.0,
    pulls: int = 1,
    oil: float = 0.2,
    duration: float = 3600.0,
    samples: int = 361,
) -> Recovery:
    """Vapour recovery from a machine at rest: pull down to the target, shut off, watch the pressure come back.

    Parameters
    ----------
    refrigerant : designation with a property table. mass : kg, oil's share included. volume : m3 of the circuit.
    displacement : m3/s that the recovery compressor sweeps, 1e-6 to 0.01.
    ambient, cylinder_temperature : K, -10 to 50 and 0 to 55 C.
    target : Pa absolute at which a pull ends, 2e4 to 5e5. rest : s after each pull. pulls : 1 to 10.
    oil : kg in the circuit. duration : s that one pull may take at most. samples : lines of each pull.

    Returns
    -------
    `Recovery`. ``reached`` is False when a pull ran out of time.

    Raises
    ------
    MachineError, UnknownRefrigerant.

    Equations: dm/dt = -S eta rho_g + what the oil gives off; eta = 1 + c - c (p_cylinder / p)^(1/n), cylinder at its
    saturation pressure (clearance form, textbook, from memory; c [invented]). Heat of the refrigerant, metal between
    it and the room: C dT/dt = UA (T_metal - T) - m_out (h_g - dU/dm), see `vessel`: the liquid pays for its
    evaporation with its own warmth first. Oil: Henry's law as in `model`, first order in time [time invented]; its
    refrigerant takes its heat from the metal. Left out: liquid drawn off first, pressure lost in hoses, and that
    refrigerant lies in several places at several temperatures.
    """
    fluid = fluid_named(refrigerant)
    mass, volume = number("mass", mass), number("volume", volume)
    displacement, ambient = number("displacement", displacement), number("ambient", ambient)
    cylinder, target = number("cylinder_temperature", cylinder_temperature), number("target", target)
    rest, oil = number("rest", rest), number("oil", oil)
    duration, pulls, samples = number("duration", duration), whole("pulls", pulls), whole("samples", samples)
    free, dissolved = _shared_out(fluid, mass, volume, ambient, oil)
    back = math.exp(fluid.table.log_pressure(cylinder))
    if float(contents(fluid, free, volume, ambient).pressure) <= target:
        raise MachineError("the pressure in the machine is not above the target; there is nothing to pull.")
    y = np.array([[free], [dissolved], [ambient], [ambient]])
    scale = np.array([1e-2, 1e-2, 10.0, 10.0])

    def spare(state: np.ndarray) -> float:
        return float(contents(fluid, state[0], volume, state[2]).pressure[0]) - target

    times, states, pumping = [np.zeros(1)], [y[None]], [np.ones(1, bool)]
    now, stops, rebounds = 0.0, [], []
    for _ in range(pulls):
        if spare(y) <= 0.0:
            break  # the last rest did not bring the pressure back above the target
        pull = integrate(
            _rates(fluid, volume, oil, ambient, displacement, back), y, np.linspace(0.0, duration, samples), scale,
            stop=spare,
        )  # fmt: skip
        inside = pull.time < pull.end * (1.0 - 1e-12)
        inside[0] = False
        times.append(np.append(now + pull.time[inside], now + pull.end))
        states.append(np.concatenate([pull.states[inside], pull.last[None]]))
        pumping.append(np.ones(times[-1].size, bool))
        y, now = pull.last, now + pull.end
        if spare(y) > 1.0:
            break
        stops.append(now)
        pause = integrate(
            _rates(fluid, volume, oil, ambient, 0.0, back), y, np.linspace(0.0, rest, max(samples // 4, 11)), scale
        )
        times.append(now + pause.time[1:])
        states.append(pause.states[1:])
        pumping.append(np.zeros(times[-1].size, bool))
        y, now = pause.last, now + rest
        rebounds.append(spare(y) + target)
    free, dissolved, temperature, metal = np.concatenate(states)[:, :, 0].T
    found = contents(fluid, free, volume, temperature)
    left = free + dissolved
    return Recovery(
        np.concatenate(times), found.pressure, left, dissolved, found.liquid, temperature, metal,
        np.concatenate(pumping), mass - float(left[-1]), tuple(stops), tuple(rebounds),
    )  # fmt: skip


def oil_share(pressure: np.ndarray, oil: float) -> np.ndarray:
    """kg of refrigerant that the oil holds at a pressure."""
    return oil * OIL_SOLUBILITY * pressure / OIL_PRESSURE


def _shared_out(fluid: Fluid, mass: float, volume: float, temperature: float, oil: float) -> tuple[float, float]:
    """kg free and kg in the oil at rest, by halving: both rise with what is free."""
    low, high = LEAST, mass
    if mass <= LEAST:
        raise MachineError("there is no refrigerant to recover; give a mass above 0.")
    warm = fluid.table.saturation(fluid.table.log_pressure(temperature))
    if mass * warm.liquid_volume > 0.9 * volume:
        raise MachineError(f"{mass:g} kg do not fit into {volume * 1e3:g} L with room for vapour; give less.")
    for _ in range(60):
        free = 0.5 * (low + high)
        total = free + float(oil_share(contents(fluid, free, volume, temperature).pressure, oil))
        low, high = (free, high) if total < mass else (low, free)
    return high, mass - high


def _rates(fluid: Fluid, volume: float, oil: float, ambient: float, displacement: float, back: float) -> Rates:
    """The equations of `recovery`; states free kg, dissolved kg, K of the refrigerant, K of the metal."""

    def rates(y: np.ndarray) -> np.ndarray:
        free, dissolved, temperature, metal = y
        inside = contents(fluid, free, volume, temperature)
        ratio = back / np.maximum(inside.pressure, 1e3)
        filled = 1.0 + CLEARANCE - CLEARANCE * ratio ** (1.0 / EXPONENT)
        drawn = displacement * inside.vapor_density * 0.5 * (filled + np.sqrt(filled * filled + 1e-6))
        given = (dissolved - oil_share(inside.pressure, oil)) / OIL_TIME
        warming = (GAS_CONDUCTANCE + WET_CONDUCTANCE * inside.liquid / (inside.liquid + HALF_WETTED)) * (
            metal - temperature
        )
        carried = inside.vapor_enthalpy - inside.marginal_energy
        evaporation = inside.vapor_enthalpy - inside.liquid_enthalpy
        return np.array(
            [
                given - drawn,
                -given,
                (warming + (given - drawn) * carried) / inside.heat_capacity,
                (ROOM_CONDUCTANCE * (ambient - metal) - warming - given * evaporation) / METAL,
            ]
        )

    return rates
