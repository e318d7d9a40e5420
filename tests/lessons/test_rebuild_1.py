"""Lesson rebuild-1: numbers in its sentences, answers worked again by hand, the swap bench."""

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldcab import instruments, worked
from coldcab.assess import WORDS, mark
from coldcab.instruments.swap_bench import BUILD, START, WEEK
from coldcab.lessons.rebuild_1.lines import LEADS_TO
from coldcab.lessons.rebuild_1.numbers import LETTERS, LOG
from coldcab.machine.fleet import FLEET as MACHINES
from coldcab.service import compressor_swap
from coldcab.service.checks import ServiceError
from drawings import SYSTEMS, assert_text_stays_on_the_sheet, assert_well_drawn, make, states
from lesson_rows import takes
from material import GRADED

SHEET = GRADED["rebuild-1"]
INCH, POUND_FORCE, FLUID_OUNCE = 0.0254, 4.4482216152605, 29.5735295625e-6  # exact
CASES = [SHEET.case("2026-autumn", f"learner-{number}") for number in range(200)]
CHOICES = [item for item in SHEET.items if item.kind in WORDS]
SAFE = {
    step.replace("-", "_"): next(one.words for one in options if one.sound)
    for step, options in compressor_swap.STEPS.items()
}

SAID = [
    ("A sixteenth of an inch for each foot", lambda: float(compressor_swap.line_offset_allowed(0.3048)) == INCH / 16),
    ("leaves one eighth of the life", lambda: float(compressor_swap.bearing_life(2.0)) == 0.125),
    ("tension = push × span ÷ (4 ×", lambda: float(compressor_swap.belt_tension(8.0, 0.4, 0.01)) == 8 * 0.4 / 0.04),
    (
        "A blue clutch face fits two causes; a dry clean one fits three",
        lambda: [sum(words in one.clutch for one in compressor_swap.DEATHS) for words in ("blue", "clean")] == [2, 3],
    ),
    (
        "Swapped hoses, a bent reed and a bulb in the wrong place show at once",
        lambda: all(shows(step, words) for step, words in (("ports", "swapped"), ("hub", "engine"), ("bulb", "inlet"))),
    ),
    (
        "A bad ring, the oil left in the box, an early drier and a tight belt show nothing until",
        lambda: (
            not any(shows("ring", words) for words in ("old", "thicker", "dry"))
            and not shows("oil", "box, count")
            and not shows("drier", "first")
            and instruments.swap_bench(bend=0.06, when=START, **SAFE).readings["troubles"] == 0
        ),
    ),
    ("turn the hub ten times by hand", lambda: takes(instruments.swap_bench, hub=SAFE["hub"])),
]


def shows(step, words):
    """Whether the one way of a step with these words in it is seen at the start."""
    (option,) = (one for one in compressor_swap.STEPS[step] if not one.sound and words in one.words)
    chosen = SAFE | {step.replace("-", "_"): option.words}
    return instruments.swap_bench(bend=0.2, when=START, **chosen).readings["troubles"] == 1


@given(data=st.data(), system=SYSTEMS)
@settings(max_examples=20, deadline=None)
def test_the_bench_draws_whatever_can_be_set(data, system):
    bench = make("swap_bench", system=system, **data.draw(states("swap_bench")))
    assert_well_drawn(bench)
    assert_text_stays_on_the_sheet(bench)
    assert not bench.fault


@pytest.mark.parametrize("case", CASES[:20])
def test_numbers_by_hand(case):
    """Newton's balance of forces, the third power, conservation of oil: written out here from the sheet's numbers."""
    right = {item.label: item.answer(case) for item in SHEET.items}
    tension = case.push_pounds * case.span_inches / (4 * case.bend_inches)
    times = tension / case.wanted_pounds
    assert right["times too tight"] == pytest.approx(times, rel=1e-9)
    assert right["bearing life left"] == pytest.approx(times**-3, rel=1e-9)
    assert right["offset allowed"] == pytest.approx(case.span_inches / 12 / 16 * INCH, rel=1e-9)
    poured = (case.drained + case.gas + case.drier) * FLUID_OUNCE
    assert right["oil into the new compressor"] == pytest.approx(poured, rel=1e-6)
    assert right["ring squeeze"] == pytest.approx(1 - case.room_inches / case.cord_inches, rel=1e-9)


def test_twice_too_tight_leaves_an_eighth_of_the_life():
    assert float(compressor_swap.bearing_life(2.0)) == pytest.approx(Fraction(1, 8))


def test_a_belt_takes_what_euler_and_eytelwein_let_it():
    """Tight side e^(mu theta) times the slack one, their mean the static tension: worked from both sides here."""
    grip = math.exp(0.5 * math.pi)
    slack = 100.0
    tight = grip * slack
    static = (tight + slack) / 2.0
    assert not compressor_swap.slips(static, pull=0.999 * (tight - slack), grip=grip)
    assert compressor_swap.slips(static, pull=1.001 * (tight - slack), grip=grip)


def test_signs_tell_the_cause_together_and_not_alone():
    """No two causes share all four signs; every cause shares one with another or is told by it alone."""
    fours = {(one.oil, one.debris, one.clutch, one.hub) for one in compressor_swap.DEATHS}
    assert len(fours) == len(compressor_swap.DEATHS) >= 8
    for sign in ("clutch", "hub"):
        assert len({getattr(one, sign) for one in compressor_swap.DEATHS}) < len(compressor_swap.DEATHS)


def test_one_ring_of_six_fits_and_one_line_of_eight_is_wrong():
    for case in CASES:
        assert len(set(case.rings)) == 6
        assert sum(line == pair[1] for line, pair in zip(case.log, LOG, strict=True)) == 1
        assert SHEET.item("ring that fits").answer(case) in LETTERS[:6]
    assert len(LOG) == len(LEADS_TO) == len(LETTERS)


def test_the_bench_is_quiet_only_where_all_is_right():
    for when in (START, WEEK):
        right = instruments.swap_bench(bend=0.2, when=when, **SAFE)
        assert right.readings["troubles"] == 0
        for step, options in compressor_swap.STEPS.items():
            for option in options:
                wrong = instruments.swap_bench(
                    **{**SAFE, step.replace("-", "_"): option.words}, bend=0.2, when=WEEK
                ).readings
                assert (wrong["troubles"] == 0) == option.sound
    assert instruments.swap_bench(when=BUILD).readings["troubles"] == 0


def test_a_belt_too_loose_slips_and_too_tight_eats_its_bearing():
    loose, tight = (instruments.swap_bench(bend=bend, when=WEEK, **SAFE) for bend in (0.8, 0.06))
    assert loose.readings["slipping"]
    assert not tight.readings["slipping"]
    assert tight.readings["life"] < 0.1
    assert "slips" in loose.readings["told"]["belt"]


def test_the_reading_line_names_the_first_trouble():
    """On a phone the drawing is too small to read: the line above it says what to mend next."""
    bench = instruments.swap_bench(when=START, bend=0.2, **SAFE | {"bulb": "on the inlet pipe"})
    assert bench.readings["troubled"] == ["bulb"]
    assert "The first: bulb. The bulb feels a pipe that is always cold" in bench.summary(bench.readings)


def test_the_job_is_on_a_machine_with_a_bulb():
    """The log straps a bulb, which a machine with a block valve has not."""
    assert not any(MACHINES[case.unit.number].valve.block for case in CASES)


def share(case, other):
    """Share of the points that one learner's right sheet earns with the numbers of another."""
    points = sum(mark(item, write(item, item.answer(other)), case).points for item in SHEET.items)
    return points / sum(item.points for item in SHEET.items)


def write(item, value):
    if item.kind in WORDS or item.kind == "ratio":
        return str(value)
    scale = {"length": (INCH, "in"), "fraction": (0.01, "%"), "volume": (FLUID_OUNCE, "fl oz")}[item.kind]
    return f"{value / scale[0]:.4f} {scale[1]}"


def test_every_line_has_more_than_one_key():
    for item in SHEET.items:
        assert len({str(item.answer(case)) for case in CASES}) >= 6


def test_worked_examples_by_hand():
    belt = worked.belt_step_by_step().text
    assert all(words in belt for words in ("200 lbf", "2.50", "6%"))  # 10 x 12 / 0.6; over 80; 1 / 15.6
    assert "22%" in worked.ring_step_by_step().text  # 23 of 103 thousandths
    assert "= 3.5 fl oz" in worked.oil_for_the_new_compressor().text


@pytest.mark.parametrize(
    ("act", "says"),
    [
        (lambda: compressor_swap.belt_tension(10.0, 0.3, 0.1), "far too loose"),
        (lambda: compressor_swap.oil_to_pour(-1e-5, 0.0, 0.0), "not below nothing"),
        (lambda: compressor_swap.slips(10.0, pull=1.0, grip=1.0), "above 1"),
        (lambda: compressor_swap.found_option("oil", "guess"), "not done"),
    ],
)
def test_bad_input_gets_a_sentence(act, says):
    with pytest.raises(ServiceError, match=says):
        act()
