"""Answer sheets: what people write is read as they mean it, and marked as it deserves."""

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from coldcab import assess, units
from coldcab.assess import CHOICE, LIST, WORDS, Evidence, Item, Key, WrongIdea, mark, parse_sheet
from coldcab.assess.items import PRACTICE_PREFIX
from coldcab.lessons import FORMS
from coldcab.lessons.keys import keyed
from made_up_class import class_of
from material import GRADED as REFERENCE
from material import PRACTICED

KEYED = [*REFERENCE.values(), *PRACTICED.values()]
LEARNERS, WRITE_IN_FULL = 1000, 100
"""How a number reads back is the same for all; where it lies among the ideas is another matter for each."""
SEA_LEVEL = 101_325.0

# How a person writes a value: unit and decimals, for each kind.
WRITTEN = {
    "pressure": ("psia", 1),
    "temperature": ("F", 0),
    "temperature difference": ("F", 1),
    "pressure difference": ("psi", 1),
    "fraction": ("%", 1),
    "humidity ratio": ("grains/lb", 1),
    "mass": ("oz", 2),
    "volume": ("fl oz", 2),
    "length": ("in", 2),
    "time": ("min", 2),
    "mass flow": ("lb/h", 1),
    "volume flow": ("cfm", 1),
    "power": ("Btu/h", 0),
    "specific energy": ("Btu/lb", 1),
    "electric current": ("A", 2),
    "voltage": ("V", 2),
    "resistance": ("ohm", 2),
    "kinematic viscosity": ("cSt", 1),
    "rotational speed": ("rpm", 0),
}


def number_and_unit(item, value, case):
    """A value as a person would write it, rounded as one rounds: the digits, and the unit."""
    if item.kind == "ratio":
        return f"{value:.4g}", ""
    unit, decimals = WRITTEN[item.kind]
    if (item.kind == "mass flow" and value < 1e-4) or (item.kind == "time" and item.example.endswith(" s")):
        unit = units.parse(item.example, item.kind).unit  # a leak in a year, the seconds of a bubble
        return f"{units.convert(value, item.kind, unit):.4g}", unit
    if item.kind == "pressure" and value < 1e4:
        unit, decimals = "micron", -1  # as a vacuum gauge shows it
    number = units.convert(value, item.kind, unit, atmosphere=getattr(case, "atmosphere", SEA_LEVEL))
    return f"{round(number, decimals):.{max(decimals, 0)}f}", unit


def write(item, value, case):
    """The answer as a person would write it."""
    return value if item.kind in WORDS else " ".join(number_and_unit(item, value, case)).strip()


def marked(made_up, item, value, one, *, in_full):
    """The mark of a value; in full as it is written and read, else a number goes from its digits to the judge."""
    if in_full or item.kind in WORDS:
        return made_up.mark(item, write(item, value, one.case), one)
    digits, unit = number_and_unit(item, value, one.case)
    around = getattr(one.case, "atmosphere", SEA_LEVEL)
    read = units.from_unit(float(digits), item.kind, unit, atmosphere=around) if unit else float(digits)
    return assess.judge(item, assess.Reading(read), one.cards[item.label])


def items():
    return [pytest.param(sheet, item, id=f"{sheet.name}: {item.label}") for sheet in KEYED for item in sheet.items]


# Pairing is total: no form without a key, no key without a form, no numeric line without two wrong ideas.


def test_every_form_has_a_reference_and_the_other_way_round():
    assert set(REFERENCE) == set(FORMS)
    for name, form in FORMS.items():
        assert [item.label for item in REFERENCE[name].items] == [item.label for item in form.items]
        assert not any(item.key for item in form.items)


def test_every_graded_sheet_has_at_least_six_items():
    assert all(len(form.items) >= 6 for form in FORMS.values())


@pytest.mark.parametrize(("sheet", "item"), items())
def test_every_item_is_complete(sheet, item):
    assert len({idea.name for idea in item.ideas}) == len(item.ideas) >= 2
    assert item.tolerance.reason
    assert item.hint.endswith((".", "?"))
    assert all(0 <= idea.credit < 1 for idea in item.ideas)
    # The example on the form must be a legal answer.
    assert assess.read_answer(item, item.example).value is not None
    if item.kind not in WORDS:
        assert item.tolerance.absolute or item.tolerance.relative


@pytest.mark.parametrize(("sheet", "item"), items())
def test_the_form_gives_nothing_away(sheet, item):
    """Where everybody's answer is the same words, they are neither the example nor the first of the choices."""
    if item.kind == CHOICE:
        found = {one.answer(item) for one in class_of(sheet).people(60)}
        if len(found) == 1:
            assert item.example not in found
            assert item.choices[0] not in found


@pytest.mark.parametrize(("sheet", "item"), items())
def test_ideas_and_answers_stay_apart(sheet, item):
    """One wrong idea gets exactly its feedback, a right answer is never called a wrong idea.

    Over 1000 learners of a graded sheet, where each idea must show, and over all cards of practice, where a rare one
    need not.
    """
    practiced = sheet.name.startswith(PRACTICE_PREFIX)
    hits = dict.fromkeys((idea.name for idea in item.ideas), 0)
    tried = dict(hits)
    made_up = class_of(sheet)
    for place, one in enumerate(made_up.people(LEARNERS)):
        card, in_full = one.cards[item.label], place < WRITE_IN_FULL
        assert marked(made_up, item, card.right, one, in_full=in_full).status == "right"
        for number, value in card.shows:
            name = card.ideas[number].name
            tried[name] += 1
            hits[name] += marked(made_up, item, value, one, in_full=in_full).idea == name
    for name, count in tried.items():
        assert count > 0 or practiced, f"the idea {name!r} never shows"
        assert hits[name] >= (0.97 if practiced else 0.99) * count, f"{name!r} is recognised in {hits[name]} of {count}"


# Marking.


ITEM = REFERENCE["cycle-1"].item("absolute pressure")
CASE = REFERENCE["cycle-1"].case("t", "ash")


@pytest.mark.parametrize(
    ("answer", "status", "says"),
    [
        ("", "blank", "Not filled in"),
        ("   ", "blank", "Not filled in"),
        ("30 psi", "unreadable", "psig for a gauge reading or psia"),
        ("12 lb", "unreadable", "that is a mass; this line wants a pressure, for example 29.5 psia"),
        ("about thirty", "unreadable", ""),
        ("1e999 psia", "unreadable", ""),
        ("nan psia", "unreadable", ""),
        ("500 psia", "wrong", "air pressure of the yard"),
    ],
)
def test_marks(answer, status, says):
    outcome = mark(ITEM, answer, CASE)
    assert outcome.status == status
    assert says in outcome.feedback
    assert outcome.points == 0


@pytest.mark.parametrize("unit", ["psia", "kPa", "bar", "inHg abs", "MPa", "micron"])
def test_any_unit_of_the_right_kind_is_right(unit):
    number = units.convert(ITEM.answer(CASE), "pressure", unit, atmosphere=CASE.atmosphere)
    assert mark(ITEM, f"{number:.4f} {unit}", CASE).status == "right"


@pytest.mark.parametrize("typed", ["4.6", "4.6 to 1", "4.6:1", "4.6 : 1"])
def test_a_ratio_may_be_written_in_every_way(typed):
    reading = assess.read_answer(FORMS["cycle-2"].item("compression ratio"), typed)
    assert (reading.value, reading.echo) == (4.6, "4.6")


def test_a_part_of_a_pressure_may_be_called_absolute():
    item = REFERENCE["cycle-1"].item("air pressure in the cylinder")
    share = units.convert(item.answer(CASE), "pressure", "psia")
    assert mark(item, f"{share:.2f} psia", CASE).status == "right"
    assert mark(item, f"{share:.2f} psig", CASE).status == "unreadable"


def test_a_gauge_answer_counts_from_the_yards_air_pressure():
    reading = assess.read_answer(FORMS["cycle-1"].item("standing pressure"), f"{CASE.low_side_psig} psig", CASE)
    assert reading.value == pytest.approx(ITEM.answer(CASE))


def test_credit_is_a_share_of_the_points():
    idea = next(each for each in ITEM.ideas if each.credit)
    outcome = mark(ITEM, write(ITEM, idea.results(CASE)[0], CASE), CASE)
    assert (outcome.idea, outcome.points) == (idea.name, idea.credit * ITEM.points)


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("superheated", "superheated"),
        ("Super heated", "superheated"),
        ("SAT", "saturated"),
        ("saturated mixture", "saturated"),
        ("subcooled liquid", "subcooled"),
        ("subcoled", "subcooled"),
        ("s", None),
        ("hot", None),
        ("superheated or subcooled", None),
    ],
)
def test_choices_forgive_spelling_but_not_doubt(typed, value):
    reading = assess.read_answer(FORMS["cycle-1"].item("state at A"), typed)
    assert reading.value == value
    assert value or "write one of these: superheated, saturated, subcooled" in reading.problem


@pytest.mark.parametrize(
    ("sheet", "label", "typed", "value"),
    [
        ("retrofit-2", "rises that leak", "c and a", "A, C"),
        ("retrofit-2", "rises that leak", "F", None),
        ("retrofit-3", "ground for refusing", "burns like botle gas", "burns like bottle gas"),
        ("retrofit-4", "number of cans", "3 cans", 3.0),
        ("faults-3", "most likely now", "blocked condenser", "condenser blocked"),
        ("faults-3", "most likely now", "air in circut", "air in the circuit"),
        ("faults-3", "most likely now", "charge", None),
        ("oil-1", "fault of order 1", "wrong grad", "wrong grade"),
        ("oil-1", "fault of order 1", "nothing", "nothing wrong"),
        ("oil-1", "fault of order 1", "not wrong grade", None),
        ("oil-1", "tin for job 1", "tin K", "K"),
        ("oil-1", "tin for job 1", "L", None),
        ("oil-2", "missing in the clerk's books", "no leak", None),
        ("retrofit-1", "case 1", "F or G", None),
        ("faults-3", "most likely now", "charge low / high", None),
    ],
)
def test_a_slip_of_the_pen_never_becomes_the_opposite(sheet, label, typed, value):
    assert assess.read_answer(FORMS[sheet].item(label), typed).value == value


VERDICTS = ("suitable", "with care", "not suitable")
GRADES = ("VG 46", "VG 68", "no grade")
SIZES = ("under 1 %", "from 1 % to 5 %", "over 5 %")


@pytest.mark.parametrize(
    ("choices", "typed", "value"),
    [
        (VERDICTS, "suitabel", "suitable"),
        (VERDICTS, "is not suitible", "not suitable"),
        (VERDICTS, "isn't suitable", "not suitable"),
        (VERDICTS, "unsuitable", None),
        (VERDICTS, "not with care", None),
        (VERDICTS, "suitable or not suitable", None),
        (GRADES, "ISO VG 68", "VG 68"),
        (GRADES, "VG 69", None),
        (SIZES, "> 5%", "over 5 %"),
        (SIZES, "under 5 %", None),
        (SIZES, "<5", None),
        (SIZES, "1 %", None),
    ],
)
def test_choices_with_numbers_and_opposites(choices, typed, value):
    item = Item("verdict", "Which?", CHOICE, choices[1], choices=choices)
    assert assess.read_answer(item, typed).value == value


WAYS = Item("low side", "What does the low side do?", CHOICE, "falls", choices=("stays the same", "falls", "rises"))


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("goes down", "falls"),
        ("drops", "falls"),
        ("higher", "rises"),
        ("no change", "stays the same"),
        ("doesn’t change", "stays the same"),
        ("not up", None),
        ("rises or goes down", None),
    ],
)
def test_ways_that_a_reading_moves(typed, value):
    assert assess.read_answer(WAYS, typed).value == value


@pytest.mark.parametrize(
    "typed",
    [
        *("isn't saturated", "isn’t saturated", "isnt saturated", "wasn't saturated", "cannot be saturated"),
        *("non-saturated", "un-saturated", "anything but saturated", "far from saturated", "neither saturated nor hot"),
        *("saturated or superheat", "saturated/superheat", "saturated, subcoled", "sat and saturated superheat"),
        *("subcooled rather than saturated", "superheated saturated"),
    ],
)
def test_a_denied_choice_and_two_choices_in_one_earn_nothing(typed):
    sheet = REFERENCE["cycle-1"]
    cases = (sheet.case("term", f"learner-{number}") for number in range(50))
    item = sheet.item("state at A")
    case = next(case for case in cases if item.answer(case) == "saturated")
    assert mark(item, "saturated", case).points == item.points
    assert mark(item, typed, case).points == 0


@pytest.mark.parametrize("typed", ["3.66 times", "3.66x", "3.66-fold", "3.66 X", "366 %", "± 3.66", "+/-3.66"])
def test_a_ratio_may_be_called_so_many_times(typed):
    assert assess.read_answer(FORMS["cycle-2"].item("compression ratio"), typed).value == pytest.approx(3.66)


@pytest.mark.parametrize(
    ("typed", "psi"), [("16 psi lower", -16), ("-16 psi lower", -16), ("16 psi above", 16), ("+16 psi", 16)]
)
def test_a_difference_may_say_above_or_below(typed, psi):
    reading = assess.read_answer(FORMS["faults-4"].item("machine 1, high side"), typed)
    assert reading.value == pytest.approx(psi * 6894.757, rel=1e-6)


@pytest.mark.parametrize("typed", ["28 psig", "193 kPa gauge", "1.9 barg"])
def test_a_gauge_reading_is_no_absolute_pressure(typed):
    reading = assess.read_answer(FORMS["cycle-1"].item("absolute pressure"), typed, CASE)
    assert reading.value is None
    assert "wants an absolute pressure" in reading.problem
    assert assess.read_answer(FORMS["cycle-1"].item("standing pressure"), typed, CASE).value is not None


SEVERAL = Item(
    "measurements",
    "Which?",
    LIST,
    "glass",
    points=2,
    choices=("gauges", "glass", "hub speed", "drier"),
    key=Key(
        lambda case: "glass, drier",
        ideas=(
            WrongIdea("blind", lambda case: None, "No."),
            WrongIdea("half", lambda case: None, "Half of it.", credit=0.5),
            WrongIdea("everything", lambda case: None, "{minutes:g} of {budget:g} minutes."),
        ),
        # Two causes: the glass shows one, drier or hub speed the other; 10 minutes cost nothing, 30 all.
        evidence=lambda case: Evidence(
            groups=((("glass",),), (("drier",), ("hub speed", "gauges"))),
            prices={"gauges": 6.0, "glass": 2.0, "hub speed": 12.0, "drier": 4.0},
            budget=10.0,
            beyond=3.0,
            right="Right, in {minutes:g} minutes.",
        ),
    ),
)


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("glass", "glass"),
        ("drier, glass", "glass, drier"),
        ("Glass and DRIER", "glass, drier"),
        ("hub-speed; gauges; gauges", "gauges, hub speed"),
        ("drier + glas", "glass, drier"),
        ("glass, weather", None),
        (",", None),
        ("glass drier", None),
    ],
)
def test_lists_forgive_order_and_spelling_but_not_doubt(typed, value):
    reading = assess.read_answer(SEVERAL, typed)
    assert reading.value == value
    assert value or "gauges, glass, hub speed, drier" in reading.problem


@pytest.mark.parametrize(
    ("typed", "outcome", "feedback"),
    [
        ("drier, glass", ("right", 2.0, None), "Right, in 6 minutes."),
        ("glass, hub speed, gauges", ("idea", 1.0, "everything"), "20 of 10 minutes."),  # 20 of the 20 beyond: half
        ("glass", ("idea", 1.0, "half"), "Half of it."),
        ("drier, hub speed", ("idea", 0.7, "half"), "Half of it."),  # 16 minutes: 14 of the 20 beyond 10 are left
        ("gauges", ("idea", 0.0, "blind"), "No."),
        ("glass, hub speed, gauges, drier", ("idea", 0.6, "everything"), "24 of 10 minutes."),
    ],
)
def test_a_list_of_measurements_is_weighed_by_what_it_shows_and_costs(typed, outcome, feedback):
    marked = mark(SEVERAL, typed, None)
    assert (marked.status, pytest.approx(marked.points), marked.idea) == outcome
    assert marked.feedback == feedback


def test_a_form_line_cannot_mark():
    with pytest.raises(ValueError, match="has no key"):
        mark(FORMS["cycle-1"].items[0], "1 psia", CASE)


def test_keys_must_pair_with_lines():
    form = FORMS["cycle-2"]
    with pytest.raises(ValueError, match="has no key"):
        form.with_keys({})
    keys = {item.label: Key(lambda case: 1.0) for item in form.items}
    with pytest.raises(ValueError, match="no such line"):
        form.with_keys({**keys, "weather": Key(lambda case: 1.0)})


def test_missing_keys_are_named(tmp_path):
    with pytest.raises(ValueError, match="no keys in"):
        keyed(tmp_path / "nowhere", "cycle-1")
    (tmp_path / "keys.py").write_text("")
    with pytest.raises(ValueError, match=r"keys\.py .* defines no KEYS"):
        keyed(tmp_path, "cycle-1")


# Reading sheets.

LABELS = ["absolute pressure", "R-12 saturation temperature", "state at A"]


@pytest.mark.parametrize(
    "text",
    [
        "%%answers cycle-1\nabsolute pressure: 31 psia",
        "absolute pressure : 31 psia\n\n# a note",
        "ABSOLUTE  PRESSURE: 31 psia",
        "absolute pressure = 31 psia",
        "  absolute-pressure: 31 psia  ",
        "absolute pressure: 31 psia\nabsolute pressure: 31 psia",
        "absolute pressure:\nabsolute pressure: 31 psia",
        "ａbsolute pressure: ３1 psia",
    ],
)
def test_sheets_read_as_meant(text):
    sheet = parse_sheet(text, LABELS)
    assert sheet.answers["absolute pressure"] == "31 psia"
    assert sheet.problems == ()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("absolut presure: 31 psia", "did you mean “absolute pressure”?"),
        ("weather: fine", "this sheet has no line “weather”"),
        ("31 psia", "has no colon"),
        ("absolute pressure: 31 psia\nabsolute pressure: 32 psia", "stands twice with different answers"),
        ("absolute pressure: " + "9" * 500, "has 500 characters"),
        ("x" * 30_000, "are the most that is read"),
    ],
)
def test_what_cannot_be_read_is_said(text, says):
    sheet = parse_sheet(text, LABELS)
    assert any(says in problem for problem in sheet.problems)
    assert not sheet.answers.get("absolute pressure")


@settings(max_examples=200)
@given(st.text(max_size=400))
@example("absolute pressure: \x00\x1b[31m31 psia")
@example("state at A: <script>alert(1)</script>")
@example("absolute pressure: " + "(" * 300)
def test_nothing_that_can_be_typed_breaks_a_sheet(text):
    form = REFERENCE["cycle-1"]
    sheet = parse_sheet(text, [item.label for item in form.items])
    marks = assess.grade(form, sheet, CASE)
    assert len(marks) == len(form.items)
    assert all(0 <= each.points <= each.out_of for each in marks)


@settings(max_examples=200)
@given(st.sampled_from([item for form in REFERENCE.values() for item in form.items]), st.text(max_size=60))
@example(REFERENCE["cycle-1"].items[0], "9" * 60 + " psia")
@example(REFERENCE["cycle-2"].items[0], "2**9999")
def test_nothing_that_can_be_typed_breaks_an_answer(item, text):
    form = next(each for each in REFERENCE.values() if item in each.items)
    outcome = mark(item, text, form.case("t", "ash"))
    assert outcome.status in {"right", "idea", "wrong", "blank", "unreadable"}
    assert "\n" not in outcome.feedback
    # A line that names all its choices may be longer.
    assert len(outcome.feedback) < 300 + len(", ".join(item.choices))


@pytest.mark.parametrize(
    ("typed", "read"), [("1½ in", "1 1⁄2 in"), ("½ in", "1⁄2 in"), ("10⁵ Pa", "10^5 Pa"), ("３1 psia", "31 psia")]
)
def test_signs_that_stand_for_several_do_not_grow_into_the_number(typed, read):
    assert parse_sheet(f"absolute pressure: {typed}", LABELS).answers["absolute pressure"] == read


def test_blank_form_reads_as_blank():
    sheet = parse_sheet(assess.blank_form(LABELS), LABELS)
    assert sheet.answers == dict.fromkeys(LABELS, "")
    assert sheet.problems == ()


def test_cells_are_read_as_one_sheet():
    sheet = assess.merge_sheets(["%%answers\nstate at A: saturated", "%%answers\nabsolute pressure: 31 psia"], LABELS)
    assert sheet.answers["state at A"] == "saturated"
    assert sheet.answers["absolute pressure"] == "31 psia"
