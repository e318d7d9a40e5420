"""Reference solution of the graded sheet cycle-1: the keys of practice, and those of the lines that only it has."""

from coldcab.assess.forms.cycle_1 import FORM
from coldcab.assess.ideas_pressure import as_absolute, cylinder_table
from coldcab.assess.practice.cycle_1 import KEYS

from coldcab.assess import ideas_pressure as pressure
from coldcab.assess.items import Key, Tolerance, WrongIdea


def air_share() -> Key:
    """Share of air in the gas above the liquid, by volume (Dalton, Amagat)."""

    def share(total: float, table: float) -> float:
        return (total - table) / total

    return Key(
        answer=lambda case: share(case.pressure(case.cylinder_psig), cylinder_table(case)),
        tolerance=Tolerance("1 psi of air pressure in doubt is about 0.7 points of the share", absolute=0.01),
        ideas=(
            WrongIdea(
                "compared with the refrigerant, not the total",
                lambda case: case.pressure(case.cylinder_psig) / cylinder_table(case) - 1,
                "You divided by the refrigerant's pressure. The share is out of everything that is there, so divide "
                "by the total absolute pressure.",
                credit=0.5,
            ),
            WrongIdea(
                "gauge against an absolute table",
                lambda case: share(as_absolute(case.cylinder_psig), cylinder_table(case)),
                "You used the gauge reading as the total. Shares are made of absolute pressures only.",
            ),
        ),
    )


def further_leak() -> Key:
    """What a little more leakage does to a standing gauge while liquid is left: nothing."""
    return Key(
        answer=lambda case: "it stays the same",
        ideas=(
            WrongIdea(
                "pressure falls with the charge",
                lambda case: "it falls in proportion",
                "A gas alone would do that. Here liquid boils off and refills the room until the pressure is back at "
                "the table's value.",
            ),
            WrongIdea(
                "pressure falls a little with each leak",
                lambda case: "it falls a little",
                "It dips only while the liquid cools from boiling. Back at the same temperature it shows the same "
                "pressure.",
            ),
        ),
    )


ASSIGNMENT = FORM.with_keys(
    KEYS
    | {
        "R-134a saturation temperature": pressure.saturation_temperature(
            "R-134a", "R-12", lambda case: case.high_side_psig, tolerance=1.2, altitude=False
        ),
        "air share of the gas": air_share(),
        "pressure after a further leak": further_leak(),
    }
)
