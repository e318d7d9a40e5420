"""Lesson oil-1: numbers in its sentences, answers worked again by hand."""

import math

import pytest

import published_tables
from coldcab import instruments, oil, units, worked
from coldcab.instruments.viscosity_chart import AT_40
from coldcab.lessons.oil_1.numbers import BOXES, INSIDE, TINS, WISHES
from coldcab.oil.moisture import HOUR, USUAL_LIMIT
from coldcab.oil.samples import SAMPLES
from coldcab.scenario.oil_shelf import MACHINES, SHELF
from material import GRADED

THIN, THICK = (SAMPLES[name].points[0][1] for name in ("PAG 46", "PAG 150"))
BLEND = oil.blend_viscosity((THIN, THICK), (0.5, 0.5))
PRINTED = published_tables.by_id("oil_choice")
SHEET = GRADED["oil-1"]


def lost(**settings):
    """Share of unit 31's cooling that this much oil takes, from the lesson's own instrument."""
    return -instruments.oil_circulation(**settings).readings["change"]


def water(hours):
    """Water in PAG, half humidity, 4 in deep, against the limit."""
    return oil.moisture_content("PAG", hours * HOUR, depth=0.1016) / USUAL_LIMIT


SAID = [
    (
        "from 10 % below its number to 10 % above",
        # ISO 3448:1992, table 1: VG 46 is 41.4 to 50.6.
        lambda: [round(limit * 1e7) for limit in oil.grade_limits(46)] == [414, 506],
    ),
    (
        # ISO 3448:1992: the grade is the mid-point viscosity at 40 C.
        "the viscosity at 104 F (40 C)",
        lambda: all(oil.grade_of(grade * 1e-6) == grade for grade in (46, 68, 100, 150)) and AT_40 == 313.15,
    ),
    ("as little as 1 % of wrong oil", lambda: (PRINTED["O1"]["value"], PRINTED["O1"]["status"]) == ("1", "read")),
    (
        "at most 50 parts of water in a million, 50 ppm",
        lambda: float(PRINTED["O2"]["value"]) == 50 == USUAL_LIMIT * 1e6,
    ),
    ("two times over, or twenty times", lambda: 10 < water(24) < 40),  # far from two within the factor of two
    ("Some twenty times over", lambda: 18 < water(24) < 26),
    ("water in the tin ÷ 50 ppm", lambda: USUAL_LIMIT == 50e-6),
    ("1.2 fl oz clings, 40 % of it mineral oil. That is 0.48 fl oz", lambda: round(1.2 * 0.4, 2) == 0.48),
    ("In a circuit of 8 fl oz it is 6.0 %", lambda: round(100 * 0.48 / 8, 1) == 6.0),
    (
        "less than 5 % mineral oil in a changed circuit, some makers ask for less than 1 %",
        lambda: (oil.RESIDUE_LIMIT, oil.STRINGENT_RESIDUE_LIMIT) == (0.05, 0.01),
    ),
    ("to 200 %. Then raise", lambda: instruments.oil_circulation(oil="200 %").readings["oil_volume"] > 0.0),
    ("twice the oil costs under 1 %", lambda: 0.0 < lost(oil="200 %") < 0.01),
    ("half of it there: 8 to 9 %", lambda: 0.08 < lost(lying="50 %") < 0.09),
    (
        "Move the share to 50 %",
        lambda: instruments.viscosity_chart(share=50).readings["mean"] == pytest.approx((THIN + THICK) / 2),
    ),
    ("comes out at 80 cSt", lambda: round(BLEND * 1e6) == 80),
    ("the mean would be 98 cSt", lambda: round((THIN + THICK) / 2 * 1e6) == 98),
    ("80 cSt is no grade", lambda: oil.grade_of(80e-6) is None),
    (
        "lies between VG 68 and VG 100",
        lambda: oil.grade_of(BLEND) is None and oil.grade_limits(68)[1] < BLEND < oil.grade_limits(100)[0],
    ),
    ("176 F (80 C)", lambda: units.from_unit(176.0, "temperature", "F") == pytest.approx(353.15)),
    ("50 ppm of water in oil that is charged", lambda: PRINTED["O2"]["unit"] == "ppm"),
]


def test_an_hour_doubles_the_water_of_fresh_pag():
    assert 1.9 < water(1) < 2.1


def test_the_shelf_serves_four_machines_of_six():
    fitting = {
        one.machine: "".join(letter for letter, tin in SHELF.items() if not oil.objections(one.plate, tin))
        for one in MACHINES
    }
    assert fitting == {
        "the loader": "AB",
        "the baler tractor": "",
        "the new sprayer": "B",
        "the old combine": "E",
        "the museum tractor": "",
        "the electric yard loader": "I",
    }
    assert "unwanted dye" in worked.ten_tins_for_the_tractor().text


def stands_on(tin, plate):
    """The six questions, asked once more by the words that a learner reads."""
    name, label, state = tin.words.split("; ")
    asked = f"{plate.oil} ISO {plate.grade}" + (" for electric compressors" if plate.electric else "")
    plain = name.removesuffix(" with dye")
    return (
        plain == asked
        and plate.refrigerant in label
        and (plate.dye_allowed or plain == name)
        and (state.startswith("sealed") or state == "opened 20 minutes ago, capped between pours")
    )


@pytest.mark.parametrize("learner", [f"reader-{number}" for number in range(40)])
def test_tins_by_their_labels(learner):
    case = SHEET.case("2026-autumn", learner)
    found = {item.label: item.answer(case) for item in SHEET.items}
    for label, waiting in (
        ("tin for job 1", case.jobs[0]),
        ("tin for job 2", case.jobs[1]),
        ("tin for job 3", case.jobs[2]),
        ("tin for the electric one", case.electric),
    ):
        right = [letter for letter, tin in zip(TINS, case.tins, strict=True) if stands_on(tin, waiting.plate)]
        assert right == ([] if found[label] == "none" else [found[label]])
    out = [
        letter
        for letter, tin in zip(TINS, case.tins, strict=True)
        if any(words in tin.words for words in ("last week", "in spring", "loose", "no date"))
    ]
    assert found["tins to hand in"] == (", ".join(out) or "none")
    for number, order in enumerate(case.orders, 1):
        assert (found[f"fault of order {number}"] == "nothing wrong") == stands_on(order.tin, order.waiting.plate)


def test_boxes_machines_and_wishes_by_hand():
    """Which of the notes count, told by words in them and not by their place."""
    found = {item.label: item for item in SHEET.items}
    stay, flush, refuse = set(), set(), set()
    for number in range(300):
        case = SHEET.case("2026-autumn", f"reader-{number}")
        for label, notes, chosen in (
            ("boxes whose oil stays", case.boxes, stay),
            ("machines to flush first", case.inside, flush),
            ("wishes to refuse", case.wishes, refuse),
        ):
            letters = found[label].answer(case).split(", ")
            chosen |= {note for letter, note in zip("ABCDEF", notes, strict=True) if letter in letters}
    bad_box = ("ISO 100 for R-134a, 6", "no oil", "no paper", "plugs were missing", "rebuilt", "rust-proofing")
    assert stay == {
        box for box in BOXES if not any(words in box for words in bad_box) and "for R-134a; plate: R-1234yf" not in box
    }
    sound = ("label on the machine", "label says dye", "at 2 %", "amber and clear", "seal leak")
    assert flush == {note for note in INSIDE if not any(words in note for words in sound)}
    good = ("another maker's", "the ester of", "dyed oil", "small tins", "pour out the oil")
    assert refuse == {wish for wish in WISHES if not any(words in wish for words in good)}


@pytest.mark.parametrize("learner", ["birch", "ash", "rowan"])
def test_numbers_by_hand(learner):
    case = SHEET.case("2026-autumn", learner)
    found = {item.label: item.answer(case) for item in SHEET.items}
    assert found["mineral oil left"] == pytest.approx(case.clinging_ounces * case.clinging_share / case.total_ounces)
    # Balance and time constant are those that coldcab.oil.moisture states, from memory.
    balance, hours = {"PAG": (20e-3, 100.0), "POE": (2.5e-3, 40.0)}[case.can_oil]
    ends = balance * case.can_humidity
    content = ends - (ends - 50e-6) * math.exp(-case.can_hours / (hours * case.can_inches * 25.4 / 50))
    assert found["times the moisture limit"] == pytest.approx(content / 50e-6, rel=1e-9)


def test_the_electric_compressor_must_be_right_to_pass():
    assert [item.label for item in SHEET.items if item.safety] == ["tin for the electric one"]
