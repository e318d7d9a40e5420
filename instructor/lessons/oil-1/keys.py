"""Answers and wrong ideas about oil: viscosity, blends, weight and volume, residues, moisture, what goes with what."""

from __future__ import annotations

from coldcab import oil, units
from coldcab.assess.keys import Key, Tolerance, WrongIdea
from coldcab.lessons.oil_1.numbers import OilCase, fluid_ounces
from coldcab.oil.moisture import HOUR, USUAL_LIMIT
from coldcab.oil.samples import sample_named

WATER = 998.2
"""kg/m3 at 20 C (IAPWS formulation 1995, from memory)."""

CHART_TOLERANCE = Tolerance("the chart shows three figures, and its slider stops at whole degrees", relative=0.02)


def thick_share(case: OilCase) -> float:
    """Share of the thicker oil in the blend, by volume."""
    return case.thick_ounces / (case.thin_ounces + case.thick_ounces)


def grade_words(viscosity: float) -> str:
    """The grade of a viscosity at 40 C as the form writes it."""
    grade = oil.grade_of(viscosity)
    return f"VG {grade}" if grade else "no grade"


def nearest_grade(viscosity: float) -> str:
    """The grade whose number lies nearest."""
    return f"VG {min((32, 46, 68, 100, 150), key=lambda grade: abs(grade * 1e-6 - viscosity))}"


def blend(case: OilCase, share: float) -> float:
    """Viscosity at 40 C of the two oils with a share of the thicker one, m2/s."""
    thin, thick = (sample_named(name).points[0][1] for name in (case.thin_oil, case.thick_oil))
    return oil.blend_viscosity((thin, thick), (1.0 - share, share))


def mean(case: OilCase, share: float) -> float:
    """The mean of the two viscosities at 40 C: what a blend is often taken for, m2/s."""
    thin, thick = (sample_named(name).points[0][1] for name in (case.thin_oil, case.thick_oil))
    return (1.0 - share) * thin + share * thick


def residue(case: OilCase, *, rinses: int | None = None) -> float:
    """m3 of mineral oil that clings after the rinses."""
    cling, rinse = fluid_ounces(case.clinging_ounces), fluid_ounces(case.rinse_ounces)
    return cling * oil.residual_after_rinses(cling, rinse, case.rinses if rinses is None else rinses)


def share_of_film(case: OilCase) -> float:
    """Share of mineral oil in what clings after the rinses."""
    return residue(case) / fluid_ounces(case.clinging_ounces)


def mineral_share(case: OilCase) -> float:
    """Share of mineral oil in the filled circuit."""
    return oil.residual_share(residue(case), fluid_ounces(case.total_ounces))


def size_words(share: float) -> str:
    """A residue against the limits of common practice."""
    if share < oil.STRINGENT_RESIDUE_LIMIT:
        return "under 1 %"
    return "from 1 % to 5 %" if share <= oil.RESIDUE_LIMIT else "over 5 %"


def content(case: OilCase, *, kind: str | None = None, humidity: float | None = None) -> float:
    """Water in the open can, kg/kg."""
    return oil.moisture_content(
        case.can_oil if kind is None else kind,
        case.can_hours * HOUR,
        relative_humidity=case.can_humidity if humidity is None else humidity,
        depth=units.from_unit(case.can_inches, "length", "in"),
    )


def viscosity_when_running() -> Key:
    """Viscosity of an oil at its running temperature."""

    def points(case: OilCase) -> tuple[tuple[float, float], ...]:
        return sample_named(case.running_oil).points

    def temperature(case: OilCase) -> float:
        return units.from_unit(case.running_fahrenheit, "temperature", "F")

    def between(case: OilCase) -> float:
        (at_40, warm), (at_100, hot) = points(case)
        return warm + (hot - warm) * (temperature(case) - at_40) / (at_100 - at_40)

    return Key(
        answer=lambda case: oil.kinematic_viscosity(temperature(case), points(case)),
        tolerance=CHART_TOLERANCE,
        ideas=(
            WrongIdea(
                "straight line in temperature",
                between,
                "You went in a straight line from 40 C to 100 C. Oil thins fast at first, then slowly; use the chart.",
            ),
            WrongIdea(
                "grade taken for the running viscosity",
                lambda case: points(case)[0][1],
                "That is the viscosity at 40 C, which gives the grade. Running oil is far warmer and thinner.",
            ),
            WrongIdea(
                "viscosity at 100 C taken",
                lambda case: points(case)[1][1],
                "That is the viscosity at 100 C (212 F). Take it at the temperature of this oil.",
            ),
        ),
    )


def viscosity_of_blend() -> Key:
    """Viscosity of two oils of one type, blended by volume."""
    return Key(
        answer=lambda case: blend(case, thick_share(case)),
        tolerance=Tolerance("the slider stops at whole percent, and the chart shows three figures", relative=0.02),
        ideas=(
            WrongIdea(
                "mean of the two numbers",
                lambda case: mean(case, thick_share(case)),
                "You took the mean of the two viscosities. A blend comes out thinner: the thin oil counts for more.",
            ),
            WrongIdea(
                "amounts left out",
                lambda case: mean(case, 0.5),
                "You took the middle of the two numbers and left the amounts out. Amounts and chart both count.",
            ),
            WrongIdea(
                "shares swapped",
                lambda case: blend(case, 1.0 - thick_share(case)),
                "The shares are swapped. Set the share of the thicker oil, by volume.",
                credit=0.5,
            ),
        ),
    )


def grade_of_blend() -> Key:
    """ISO grade of a blend, or the gap between two."""

    def right(case: OilCase) -> str:
        return grade_words(blend(case, thick_share(case)))

    def of_the_mean(case: OilCase) -> str | None:
        found = grade_words(mean(case, thick_share(case)))
        return None if found == right(case) else found

    def rounded(case: OilCase) -> str | None:
        found = nearest_grade(blend(case, thick_share(case)))
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


def oil_on_the_scale() -> Key:
    """Weight of a volume of oil."""
    return Key(
        answer=lambda case: fluid_ounces(case.weighed_ounces) * case.density,
        tolerance=Tolerance(
            "a shop scale shows 1 g, and the density is good to three figures",
            absolute=units.from_unit(0.05, "mass", "oz"),
        ),
        ideas=(
            WrongIdea(
                "fluid ounces taken for ounces",
                lambda case: units.from_unit(case.weighed_ounces, "mass", "oz"),
                "You wrote fluid ounces as ounces by weight. A volume becomes a weight by the density.",
            ),
            WrongIdea(
                "oil taken for water",
                lambda case: fluid_ounces(case.weighed_ounces) * WATER,
                "You took the density of water. Use the density that the sheet gives for this oil.",
                credit=0.5,
            ),
            WrongIdea(
                "divided by the density",
                lambda case: fluid_ounces(case.weighed_ounces) * WATER**2 / case.density,
                "You divided by the density. Mass is volume times density, so oil weighs less than water.",
            ),
        ),
    )


def share_of_mineral_oil() -> Key:
    """Share of mineral oil left in the filled circuit after some rinses."""

    def undiluted(case: OilCase) -> float:
        return (case.clinging_ounces / case.rinse_ounces) ** case.rinses * case.clinging_ounces / case.total_ounces

    return Key(
        answer=mineral_share,
        tolerance=Tolerance("each amount is read to 0.1 fl oz", relative=0.03, absolute=0.0006),
        ideas=(
            WrongIdea(
                "one rinse counted",
                lambda case: residue(case, rinses=1) / fluid_ounces(case.total_ounces) if case.rinses > 1 else None,
                "You counted one rinse. Each further rinse dilutes again what still clings.",
                credit=0.5,
            ),
            WrongIdea(
                "share of what clings",
                share_of_film,
                "That is the share in what clings to the parts. The question is the share in the whole filled circuit.",
                credit=0.5,
            ),
            WrongIdea(
                "rinse without what clings",
                undiluted,
                "You divided by the rinse alone. The rinse mixes with what clings: divide by both together.",
            ),
        ),
    )


def size_of_residue() -> Key:
    """The residue against 1 % and 5 %."""

    def right(case: OilCase) -> str:
        return size_words(mineral_share(case))

    def film(case: OilCase) -> str | None:
        found = size_words(share_of_film(case))
        return None if found == right(case) else found

    def one_rinse(case: OilCase) -> str | None:
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


def times_the_moisture_limit() -> Key:
    """Water in an open can against the usual limit."""
    return Key(
        answer=lambda case: content(case) / USUAL_LIMIT,
        tolerance=Tolerance("the instrument shows three figures", relative=0.015),
        ideas=(
            WrongIdea(
                "the other oil's curve",
                lambda case: content(case, kind="POE" if case.can_oil == "PAG" else "PAG") / USUAL_LIMIT,
                "That is the curve of the other oil. PAG draws far more water than POE; set the oil in the can.",
            ),
            WrongIdea(
                "balance reached at once",
                lambda case: oil.HYGROSCOPY[case.can_oil].saturation * case.can_humidity / USUAL_LIMIT,
                "That is where it would end after weeks. Read the curve at the hours on the sheet.",
            ),
            WrongIdea(
                "humidity left out",
                lambda case: content(case, humidity=1.0) / USUAL_LIMIT,
                "That is for soaking wet air. Set the humidity of the shop.",
                credit=0.5,
            ),
        ),
    )


def verdict_on_the_oil() -> Key:
    """Whether an oil goes with a refrigerant."""

    def right(case: OilCase) -> str:
        return oil.oil_and_refrigerant(case.pair_oil, case.pair_refrigerant).verdict

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "any oil will do",
                lambda case: None if right(case) == "suitable" else "suitable",
                "An oil that does not mix with the refrigerant stays in the evaporator. Look the pair up.",
            ),
            WrongIdea(
                "only one oil for each",
                lambda case: None if right(case) == "not suitable" else "not suitable",
                "This pair does work, some pairs only with the compressor maker's word. Look the pair up.",
            ),
        ),
    )


def verdict_on_the_drier() -> Key:
    """Whether a drying agent goes with a refrigerant."""

    def right(case: OilCase) -> str:
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


PRACTICE: dict[str, Key] = {
    "viscosity when running": viscosity_when_running(),
    "viscosity of the blend": viscosity_of_blend(),
    "oil on the scale": oil_on_the_scale(),
    "mineral oil share": share_of_mineral_oil(),
    "times the moisture limit": times_the_moisture_limit(),
    "verdict on the oil": verdict_on_the_oil(),
}

KEYS = PRACTICE | {
    "grade of the blend": grade_of_blend(),
    "size of that residue": size_of_residue(),
    "verdict on the drier": verdict_on_the_drier(),
    "effect of more oil": effect_of_more_oil(),
}

EARLIER = {"thick_share": thick_share}
"""What cases said themselves in release 0.2, for keys of that time."""
