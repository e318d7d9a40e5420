"""Reference solution of the graded sheet cycle-4: the keys of practice, and those of the lines that only it has."""

from coldcab.assess.forms.cycle_4 import FORM
from coldcab.assess.ideas_valve import PSI, bulb, valve_after
from coldcab.assess.practice.cycle_4 import KEYS

from coldcab.assess.items import Key, Tolerance, WrongIdea


def spring() -> Key:
    """What is left of the bulb's pressure when the evaporator's is taken away, at the coil's outlet."""
    return Key(
        answer=lambda case: bulb(case) - case.pressure(case.coil_outlet_psig),
        tolerance=Tolerance("two pressures, each known to about 1 psi", absolute=1.6 * PSI),
        ideas=(
            WrongIdea(
                "hose loss left out",
                lambda case: bulb(case) - case.pressure(case.low_side_psig),
                "You took the gauge at the compressor. The equaliser feels the coil's outlet, which is higher by the "
                "loss of the hose.",
                credit=0.5,
            ),
            WrongIdea(
                "evaporator left out",
                lambda case: (bulb(case) - case.atmosphere, bulb(case)),
                "You set the spring against the bulb alone. The evaporator closes too, and it takes the larger part.",
            ),
            WrongIdea(
                "evaporator counted as opening",
                lambda case: bulb(case) + case.pressure(case.coil_outlet_psig) - 2 * case.atmosphere,
                "You added the evaporator to the bulb. It presses from below and closes.",
            ),
        ),
    )


def bubbles_and_high_superheat() -> Key:
    """A starved valve: the charge is short, and no setting of the valve makes up for it."""
    return Key(
        answer=lambda case: "find the leak and weigh",
        ideas=(
            WrongIdea(
                "turning the stem to fix low charge",
                lambda case: "turn the stem out",
                "The valve is open already and gets vapor for liquid. A softer spring cannot make liquid, and it "
                "floods the coil once the charge is right.",
            ),
            WrongIdea(
                "filling by the glass",
                lambda case: "fill until it clears",
                "A clear glass is not a measure of charge, and the leak is still there. Find it, recover, and charge "
                "by weight.",
                credit=0.5,
            ),
        ),
    )


ASSIGNMENT = FORM.with_keys(
    KEYS
    | {
        "spring": spring(),
        "valve after C": valve_after(2),
        "valve after D": valve_after(3),
        "bubbles and high superheat": bubbles_and_high_superheat(),
    }
)
