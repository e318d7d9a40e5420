"""What is in the circuit: too little, too much, air, a foreign refrigerant."""

from __future__ import annotations

from coldcab.faults.definitions import REFRIGERANT, Change, Entry

ENTRIES = (
    Entry(
        "charge low",
        "Refrigerant has leaked out. The receiver hides the loss until it is nearly empty; then gas reaches the valve.",
        (Change("charge", 0.17, "early"),),
        25.0,
        "Look at the sight glass with the machine warm. If it bubbles, find the leak, recover and weigh what is left.",
        "charge low",
        REFRIGERANT,
    ),
    Entry(
        "charge high",
        "Too much refrigerant. The receiver is full and liquid stands in the condenser, which leaves it less room to "
        "condense.",
        (Change("charge", 1.6, "early"),),
        6.0,
        "Compare the liquid line with the high gauge: strong subcooling, and a standing pressure that fits the table. "
        "Recover and weigh.",
        "charge high",
        REFRIGERANT,
    ),
    Entry(
        "air in the circuit",
        "Air was left in or let in. It gathers in the condenser and adds its own pressure to that of the refrigerant.",
        (Change("air_mass", 0.008),),
        5.0,
        "Let the machine stand until it is as warm as the air. A standing pressure above the table means air or a "
        "foreign refrigerant; an identifier tells which.",
        "air in the circuit",
        REFRIGERANT,
    ),
    Entry(
        "foreign refrigerant",
        "R-12 was left in, or added to, an R-134a charge. The blend has a higher pressure than either alone.",
        (Change("foreign_share", 0.5, exponent=1.5),),
        2.0,
        "Use a refrigerant identifier. Standing pressure above the table looks just like air.",
        "foreign refrigerant",
        REFRIGERANT + " Keep a mixed charge in its own marked cylinder.",
        only=("R-134a",),
    ),
)
