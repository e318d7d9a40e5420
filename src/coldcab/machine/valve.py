"""The thermostatic expansion valve with its bulb, inlet screen and equalizer."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.machine.effects import Effects
from coldcab.machine.fluid import Fluid
from coldcab.machine.ops import Arithmetic, Value
from coldcab.machine.setting import Setting

OPENING_ROUNDING = 0.05
WARMEST_BULB = 350.0  # K; above, the charge limit rules anyway
# Wile's discharge coefficient 0.02005 sqrt(rho_l) + 0.634 v_out (D. D. Wile 1935, SI units; coefficients from memory).
# The study that this model follows halves the second term; it is under 1 % of the whole.
WILE_LIQUID = 0.02005
WILE_VAPOR = 0.317
# How a bulb can sit on the suction line, and the share of the engine bay's temperature that gets into its own on top of
# the healthy valve's [invented]: what `Effects.bulb_contact_loss` takes.
BULB_MOUNTINGS = {
    "strapped and wrapped": 0.0,
    "strapped, left bare": 0.1,
    "loose in its clamp": 0.35,
    "lifted off the pipe": 0.9,
}
# A hand round the head of a block valve reaches its charge less than one round a bulb [invented].
HEAD_REACH = 0.25


@dataclass(frozen=True)
class ExpansionValve:
    """Sizes.

    ``area`` m2 fully open, ``bleed`` share of it that never closes, ``screen_area`` m2 of the inlet screen, ``spring``
    Pa at closed, ``stroke`` Pa from closed to open, ``charge_limit`` Pa absolute: the highest bulb pressure at 10 C
    (a gas charge runs out of liquid there), ``bulb_fluid`` designation, ``external`` equalizer or internal,
    ``contact_loss`` share of the surroundings in the bulb's temperature. A ``block`` valve has its charge in the head
    and feels the gas that leaves the evaporator inside its own body: no bulb that could come loose, and both its
    pressures are felt at the evaporator's outlet.
    """

    area: float
    bulb_fluid: str
    bleed: float = 0.025
    screen_area: float = 12e-6
    spring: float = 0.42e5
    stroke: float = 0.75e5
    charge_limit: float = 4.4e5
    external: bool = False
    contact_loss: float = 0.01
    block: bool = False

    @property
    def equalized_at_outlet(self) -> bool:
        """Whether the pressure under the diaphragm is that behind the evaporator."""
        return self.external | self.block

    def share_of_surroundings(self, setting: Setting | Effects) -> Value:
        """Share of the surroundings' temperature in what bulb or head feels."""
        return self.contact_loss + (1.0 - (1.0 - HEAD_REACH) * self.block) * setting.bulb_contact_loss

    def bulb_pressure(
        self, ops: Arithmetic, bulb: Fluid, line: Value, around: Value, setting: Setting | Effects
    ) -> Value:
        """Pa: saturation of the bulb's charge, limited, times the share of the charge that is left."""
        temperature = line + self.share_of_surroundings(setting) * (around - line)
        saturated = ops.exp(bulb.table.log_pressure(ops.minimum(temperature, WARMEST_BULB)))
        limit = self.charge_limit * (1.0 + 0.006 * (temperature - 283.15))
        least = saturated - ops.positive(saturated - limit, 0.08e5)
        return setting.bulb_charge * least

    def opening(
        self, ops: Arithmetic, bulb_pressure: Value, evaporator_pressure: Value, setting: Setting | Effects
    ) -> Value:
        """0 closed to 1 open: force balance on the diaphragm, corners rounded."""
        lift = (bulb_pressure - evaporator_pressure - self.spring - setting.valve_spring) / self.stroke
        least, most = setting.valve_minimum, setting.valve_maximum
        lift = least + ops.positive(lift - least, OPENING_ROUNDING)
        return most - ops.positive(most - lift, OPENING_ROUNDING)

    def drop(
        self, ops: Arithmetic, opening: Value, flow: Value, inlet: Value, liquid: Value, out: Value, setting: Setting
    ) -> Value:
        """Pressure loss, Pa: m^2 v / (2 (C A)^2), v of the flow at the ``inlet`` (m3/kg), vapour in it included.

        That flashing before the valve derates it follows from v. ``liquid`` is the volume of saturated liquid, ``out``
        that of the flow behind the valve. Screen and port are in series: 1/A^2 = 1/A1^2 + 1/A2^2.
        """
        port = self.area * setting.valve_capacity * (self.bleed + (1.0 - self.bleed) * opening)
        screen = self.screen_area * setting.screen
        coefficient = WILE_LIQUID / ops.sqrt(liquid) + WILE_VAPOR * out
        closed = 1.0 / (port * port) + 1.0 / (screen * screen)
        open_share = 1.0 - setting.ice
        return flow * flow * inlet * closed / (2.0 * coefficient * coefficient * open_share * open_share)
