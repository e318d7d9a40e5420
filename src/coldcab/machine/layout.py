"""What makes a machine: its parts put together."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from coldcab.machine.cab import Cab
from coldcab.machine.compressor import Compressor
from coldcab.machine.condenser import Condenser
from coldcab.machine.evaporator import Evaporator
from coldcab.machine.line import Line
from coldcab.machine.receiver import ReceiverDrier
from coldcab.machine.switches import Switches
from coldcab.machine.valve import ExpansionValve


@dataclass(frozen=True)
class Machine:
    """A complete circuit as a set of parts.

    ``refrigerant`` and ``charge`` (kg) are those of its data sheet; ``bay_warmth`` K by which the engine bay is
    warmer than outside; ``oil`` kg in the circuit, ``oil_share`` of it in the moving refrigerant.
    """

    name: str
    refrigerant: str
    charge: float
    compressor: Compressor
    discharge_hose: Line
    condenser: Condenser
    receiver: ReceiverDrier
    liquid_line: Line
    valve: ExpansionValve
    evaporator: Evaporator
    suction_hose: Line
    cab: Cab
    switches: Switches = field(default_factory=Switches)
    bay_warmth: float = 20.0
    oil: float = 0.2
    oil_share: float = 0.03

    @cached_property
    def volume(self) -> float:
        """m3 of the whole circuit."""
        return (
            self.compressor.volume
            + self.discharge_hose.volume
            + self.condenser.volume
            + self.receiver.room
            + self.liquid_line.volume
            + self.evaporator.volume
            + self.suction_hose.volume
        )
