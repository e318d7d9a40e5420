"""Reference solution of the graded sheet cycle-2: the keys of practice, and those of the lines that only it has."""

from coldcab.assess.forms.cycle_2 import FORM
from coldcab.assess.ideas_loop import flow, loop
from coldcab.assess.practice.cycle_2 import KEYS

from coldcab.assess.items import Key, Tolerance, WrongIdea


def compressor_power() -> Key:
    """Work put into the refrigerant each second."""
    return Key(
        answer=lambda case: flow(case) * loop(case).work,
        tolerance=Tolerance("mass flow and work each carry their doubt", relative=0.04),
        ideas=(
            WrongIdea(
                "ideal work taken for real",
                lambda case: flow(case) * loop(case).ideal_work,
                "You used the ideal work. The real compressor needs more.",
                credit=0.5,
            ),
            WrongIdea(
                "cooling taken for power",
                lambda case: flow(case) * loop(case).effect,
                "That is the cooling capacity. Power is mass flow times the compressor's work.",
            ),
            WrongIdea(
                "volumetric efficiency left out",
                lambda case: flow(case, efficiency=1.0) * loop(case).work,
                "You let the cylinders fill completely. Multiply the flow by the volumetric efficiency.",
                credit=0.5,
            ),
        ),
    )


def heat_rejected() -> Key:
    """Heat given off in the condenser each second: cooling plus power."""
    return Key(
        answer=lambda case: flow(case) * (loop(case).effect + loop(case).work),
        tolerance=Tolerance("the sum carries the doubt of mass flow and enthalpies", relative=0.035),
        ideas=(
            WrongIdea(
                "compressor work forgotten",
                lambda case: flow(case) * loop(case).effect,
                "That is only the heat from the evaporator. The compressor's work ends up in the condenser too.",
            ),
            WrongIdea(
                "work taken away",
                lambda case: flow(case) * (loop(case).effect - loop(case).work),
                "You took the work away. It is put into the refrigerant, so it comes out here on top of the cooling.",
            ),
        ),
    )


def hotter_day() -> Key:
    """What a higher condensing temperature does to the capacity: the liquid is warmer, so each pound takes up less."""
    return Key(
        answer=lambda case: "it falls",
        ideas=(
            WrongIdea(
                "more pressure, more cooling",
                lambda case: "it rises",
                "A higher head costs more work and brings warmer liquid to the valve; each pound takes up less heat.",
            ),
            WrongIdea(
                "only the condenser notices",
                lambda case: "it stays the same",
                "The evaporator notices: warmer liquid flashes more at the valve, and less liquid is left to boil.",
            ),
        ),
    )


ASSIGNMENT = FORM.with_keys(
    KEYS
    | {
        "compressor power": compressor_power(),
        "heat rejected": heat_rejected(),
        "capacity on a hotter day": hotter_day(),
    }
)
