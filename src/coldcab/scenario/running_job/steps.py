"""The steps of the running job in their order, and what can hurt at each."""

from __future__ import annotations

from coldcab.scenario.running_job.closing import ACCEPT, CHARGE, LABEL, RECORD, VACUUM
from coldcab.scenario.running_job.middle import CONDENSER, DRIER, FLUSH, RECOVER
from coldcab.scenario.running_job.opening import CONNECT, LEAK, QUOTE
from coldcab.scenario.running_job.repair import OIL, REPAIR, SECOND_LOOK, TEST
from coldcab.words import _

STEPS = (
    CONNECT, LEAK, QUOTE, RECOVER, CONDENSER, FLUSH, DRIER, REPAIR, OIL, TEST, SECOND_LOOK, VACUUM, CHARGE, ACCEPT,
    LABEL, RECORD,
)  # fmt: skip
"""The job in its order."""

CAUTIONS = {
    CONNECT.name: _(
        "Glasses and gloves. Park, lower the implements, chock the wheels. Run the engine only with its exhaust led "
        "out of the bay."
    ),
    LEAK.name: _(
        "Engine off for the search. On ladder or roof three points of contact; never under a raised implement."
    ),
    RECOVER.name: _(
        "Cold burns, and gas pushes out the air you breathe: air the bay. R-1234yf burns: no spark, a unit made for it."
    ),
    CONDENSER.name: _(
        "Disconnect the battery before a wrench goes near cables: 24 V welds it to the frame. Loosen fittings slowly."
    ),
    FLUSH.name: _(
        "Solvent: glasses, gloves, fresh air, no flame, no spark. Only what is made for this, and into a closed can."
    ),
    OIL.name: _("Oil of a worn compressor can be acid: gloves. Keep cans of PAG and POE shut."),
    TEST.name: _(
        "Nitrogen only through a regulator with a relief valve. Never oxygen, never shop air. Release it before you "
        "loosen a fitting."
    ),
    VACUUM.name: _("The engine stays off while the pump runs: a compressor in a vacuum is destroyed."),
    CHARGE.name: _(
        "High-side valve shut before the engine starts: a can under head pressure bursts. Hands off belt and fan."
    ),
    ACCEPT.name: _("Exhaust led out, doors open, hair and sleeves away from belt and fan."),
}
"""What can hurt at a step, by its name."""
