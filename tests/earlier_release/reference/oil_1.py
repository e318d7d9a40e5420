"""Reference solution of the graded sheet oil-1: the keys of practice, and those of the lines that only it has."""

from coldcab.assess.forms.oil_1 import FORM
from coldcab.assess.ideas_oil import blend, mean, mineral_share, residue, share_of_film
from coldcab.assess.practice.oil_1 import KEYS
from coldcab.scenario.oil_1 import fluid_ounces

from coldcab import oil
from coldcab.assess.items import Key, WrongIdea


def grade_words(viscosity: float) -> str:
    """The grade of a viscosity at 40 C as the form writes it."""
    grade = oil.grade_of(viscosity)
    return f"VG {grade}" if grade else "no grade"


def nearest_grade(viscosity: float) -> str:
    """The grade whose number lies nearest."""
    return f"VG {min((32, 46, 68, 100, 150), key=lambda grade: abs(grade * 1e-6 - viscosity))}"


def size_words(share: float) -> str:
    """A residue against the limits of common practice."""
    if share < oil.STRINGENT_RESIDUE_LIMIT:
        return "under 1 %"
    return "from 1 % to 5 %" if share <= oil.RESIDUE_LIMIT else "over 5 %"


def grade_of_blend() -> Key:
    """ISO grade of a blend, or the gap between two."""

    def right(case) -> str:
        return grade_words(blend(case, case.thick_share))

    def of_the_mean(case) -> str | None:
        found = grade_words(mean(case, case.thick_share))
        return None if found == right(case) else found

    def rounded(case) -> str | None:
        found = nearest_grade(blend(case, case.thick_share))
        return None if found in (right(case), of_the_mean(case)) else found

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "grade of the mean",
                of_the_mean,
                "That is what the mean of the two numbers would give. A blend comes out thinner than the mean.",
            ),
            WrongIdea(
                "rounded to the nearest grade",
                rounded,
                "You rounded to the nearest grade. Outside its 10 % either way an oil has no grade; the gaps are real.",
            ),
        ),
    )


def size_of_residue() -> Key:
    """The residue against 1 % and 5 %."""

    def right(case) -> str:
        return size_words(mineral_share(case))

    def film(case) -> str | None:
        found = size_words(share_of_film(case))
        return None if found == right(case) else found

    def one_rinse(case) -> str | None:
        found = size_words(residue(case, rinses=1) / fluid_ounces(case.total_ounces))
        return None if found in (right(case), film(case)) else found

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "film judged for circuit",
                film,
                "You judged what clings to the parts. In the filled circuit it is thinned by the new oil.",
            ),
            WrongIdea(
                "one rinse counted",
                one_rinse,
                "After one rinse it would be so. Count all the rinses.",
            ),
        ),
    )


def verdict_on_the_drier() -> Key:
    """Whether a drying agent goes with a refrigerant."""

    def right(case) -> str:
        return oil.desiccant_and_refrigerant(case.drier, case.drier_refrigerant).verdict

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "a drier is a drier",
                lambda case: None if right(case) == "suitable" else "suitable",
                "The refrigerant must not fit into the pores of the drying agent. Look the pair up.",
            ),
            WrongIdea(
                "every old agent is wrong",
                lambda case: None if right(case) == "not suitable" else "not suitable",
                "This agent does work with this refrigerant, perhaps with care. Look the pair up.",
            ),
        ),
    )


def effect_of_more_oil() -> Key:
    """What oil beyond the data sheet does to the evaporator."""
    return Key(
        answer=lambda case: "cools worse",
        ideas=(
            WrongIdea(
                "more oil is safer",
                lambda case: "cools better",
                "More oil does not cool better. It coats the tubes, holds refrigerant back and can break a compressor.",
            ),
            WrongIdea(
                "oil does not touch the cooling",
                lambda case: "cools the same",
                "Oil travels with the refrigerant. Raise it on the instrument: the cooling falls, at first a little.",
            ),
        ),
    )


ASSIGNMENT = FORM.with_keys(
    KEYS
    | {
        "grade of the blend": grade_of_blend(),
        "size of that residue": size_of_residue(),
        "verdict on the drier": verdict_on_the_drier(),
        "effect of more oil": effect_of_more_oil(),
    }
)
