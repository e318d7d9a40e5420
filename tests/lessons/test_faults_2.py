"""Numbers in the sentences of lesson faults-2."""

from coldcab import units
from coldcab.faults import QUANTITIES, observables
from coldcab.scenario import sick_machines


def _psi(name):
    return units.convert(observables[name].scatter, "pressure difference", "psi")


def _low_falls_by(severity):
    healthy = sick_machines.run(31, 95, 1500).low_gauge
    return healthy - sick_machines.run(31, 95, 1500, "valve screen plugged", severity).low_gauge


SAID = [
    (
        "about 1 psi on the low side and 4 psi on the high side",
        lambda: round(_psi("low_gauge")) == 1 and round(_psi("high_gauge")) == 4,
    ),
    (
        "For a superheat by gauge and clip it is about 3 F",
        lambda: round(units.convert(QUANTITIES["superheat_measured"].resolved, "temperature difference", "F")) == 3,
    ),
    (
        "At 30 % severity a plugged screen changes nothing that you can measure. At 100 % it changes everything",
        lambda: (
            _low_falls_by(0.3)
            < observables["low_gauge"].scatter
            < 8 * observables["low_gauge"].scatter
            < _low_falls_by(1.0)
        ),
    ),
]
