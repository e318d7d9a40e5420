"""Numbers in the sentences of lesson cycle-2."""

from coldcab import refrigerants

SAID = [
    (
        "set to 200 kJ/kg",
        lambda: abs(refrigerants.saturation("R-134a", temperature=273.15).liquid_enthalpy - 200e3) < 50,
    ),
]
