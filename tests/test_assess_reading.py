"""Reading and marking of one line, and reading of a sheet, on lines made up here: no key of the course takes part."""

import json
from pathlib import Path
from types import SimpleNamespace

import pytest

from coldcab import assess
from coldcab.assess import (
    CHOICE,
    LIST,
    Card,
    Deck,
    Evidence,
    Idea,
    Item,
    Key,
    Sheet,
    Tolerance,
    WrongIdea,
    mark,
    mark_by_card,
    parse_sheet,
    read_answer,
)
from coldcab.assess.cards import deck_text
from coldcab.assess.sheet import LONGEST_ANSWER, LONGEST_SHEET, clean
from hostile.tables import DENIALS

PSI = 6894.757  # Pa, NIST SP 811 (from memory)
ATMOSPHERE = 101325.0  # Pa, ISO 2533


def line(kind, *choices, key=None, prompt="What is it?", hint="", points=2.0):
    return Item("a line", prompt, kind, "an example", points=points, choices=choices, hint=hint, key=key)


# --- numbers --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "typed", "value", "told"),
    [
        ("mass", "2 lb 4 oz", 36 * 0.0283495, "2 lb 4 oz = 1.02 kg"),
        ("mass", "850 g", 0.85, "850 g = 1 lb 14.0 oz"),  # 850 / 28.3495 is 29.98 oz
        ("mass", "± 3 oz", 3 * 0.0283495, "3 oz = 85.0 g"),
        ("mass", "+/- 3 oz", 3 * 0.0283495, "3 oz = 85.0 g"),
        ("pressure", "29.5 psia", 29.5 * PSI, "29.5 psia = 203 kPa absolute"),
        ("pressure", "203 kPa", 203e3, "203 kPa absolute = 14.7 psig"),
        ("rotational speed", "1800 rpm", 30.0, "1,800 rpm"),
        ("temperature", "36 F", 275.372, "36 F = 2.2 C"),
        ("fraction", "0.46", 0.46, "0.46"),
        ("fraction", "46 %", 0.46, "46 %"),
        # Differences may say which way.
        ("pressure difference", "16 psi lower", -16 * PSI, "-16 psi difference = -110 kPa"),
        ("pressure difference", "16 psi below.", -16 * PSI, "-16 psi difference = -110 kPa"),
        ("pressure difference", "16 psi less", -16 * PSI, "-16 psi difference = -110 kPa"),
        ("pressure difference", "-16 psi lower", -16 * PSI, "-16 psi difference = -110 kPa"),
        ("pressure difference", "\u221216 psi lower", -16 * PSI, "-16 psi difference = -110 kPa"),
        ("pressure difference", "16 psi higher", 16 * PSI, "16 psi difference = 110 kPa"),
        ("temperature difference", "9 F above", 5.0, "9 F difference = 5.0 K"),
        # A part of a pressure counts from nothing, so it may be called absolute.
        ("pressure difference", "16 psia", 16 * PSI, "16 psia = 110 kPa absolute"),
        ("pressure difference", "110 kPa abs", 110e3, "110 kPa absolute = 1.3 psig"),
        # Ratios and counts.
        ("ratio", "4.6:1", 4.6, "4.6"),
        ("ratio", "4.6 times", 4.6, "4.6"),
        ("ratio", "4.6x", 4.6, "4.6"),
        ("ratio", "4.6-fold", 4.6, "4.6"),
        ("ratio", "three", 3.0, "3"),
        ("ratio", "Ten cans", 10.0, "10"),
        ("ratio", "1 can", 1.0, "1"),
        ("ratio", "two rinses.", 2.0, "2"),
        ("ratio", "46 %", 0.46, "0.46"),
        ("ratio", "46 per cent", 0.46, "0.46"),
        # Numbers as they are said.
        ("ratio", "sixty percent", 0.6, "0.6"),
        ("fraction", "Sixty-five per cent", 0.65, "65 %"),
        ("mass", "three lb", 3 * 0.453592, "3 lb = 1.36 kg"),
        ("pressure", "a hundred and ten psig", 101325 + 110 * PSI, "110 psig = 758 kPa gauge"),
        ("ratio", "12345678", 12345678.0, "1.23457e+07"),
    ],
)
def test_numbers_as_people_write_them(kind, typed, value, told):
    reading = read_answer(line(kind), f"  {typed} ")
    assert reading.value == pytest.approx(value, rel=2e-6)  # six or seven digits of the factors
    assert reading.echo == told
    assert reading.problem == ""


def test_counts_may_be_words():
    for count, word in enumerate(["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"], 1):
        assert read_answer(line("ratio"), f"{word} cans").value == count


@pytest.mark.parametrize(
    ("kind", "typed", "problem"),
    [
        ("mass", "16 oz lower", "oz lower is not a unit known here"),
        ("pressure difference", "lower", "does not start with a number"),
        ("pressure difference", "16 psig", "a difference of two"),
        ("pressure difference", "16 inHg vac", "a difference of two"),
        ("pressure difference", "16 F", "that is a temperature"),
        ("mass", "16 psia", "that is a pressure"),
        ("pressure", "dozen psig", "does not start with a number"),
        ("fraction", "two-thirds", "does not start with a number"),
        ("ratio", "umpteen", "does not start with a number"),
        ("mass", "a few lb", "does not start with a number"),
        ("mass", "3 lb times", "not a unit known here"),
    ],
)
def test_what_is_no_number_of_this_kind(kind, typed, problem):
    reading = read_answer(line(kind), typed)
    assert reading.value is None
    assert reading.echo == ""
    assert problem in reading.problem


def test_both_signs_at_once_are_asked_back_where_one_is_wanted():
    item = line("pressure difference", prompt="How far above? Write a minus if it is below.")
    assert read_answer(item, "± 5 psi").problem.startswith("above or below?")
    assert read_answer(item, "-5 psi").value == pytest.approx(-5 * PSI)


def test_gauge_readings_take_the_yards_air_pressure():
    case = SimpleNamespace(atmosphere=84e3)
    item = line("pressure", prompt="What does the gauge show?")
    assert read_answer(item, "10 psig", case).value == pytest.approx(84e3 + 10 * PSI)
    assert read_answer(item, "10 psig").value == pytest.approx(ATMOSPHERE + 10 * PSI)
    assert read_answer(item, "10 psig", case).echo == "10 psig = 69 kPa gauge"
    absolute = line("pressure", prompt="How high is the absolute pressure?")
    assert read_answer(absolute, "25 psia", case).value == pytest.approx(25 * PSI)
    for typed, unit in (("10 psig", "psig"), ("1 bar gauge", "bar gauge"), ("5 inHg vac", "inHg vacuum")):
        assert read_answer(absolute, typed, case).problem == (
            f"this line wants an absolute pressure, and {unit} counts from the air's pressure; for example an example."
        )
    assert read_answer(line("pressure difference", prompt="absolute?"), "5 psi").value == pytest.approx(5 * PSI)


# --- words ----------------------------------------------------------------------------------------------------------

WAYS = ("rises", "falls", "stays the same")
LEAKS = ("tight", "leak", "no leak", "moisture and a leak", "cannot tell")
STATES = ("saturated", "superheated", "the same as before")
PARTS = ("condenser blocked", "valve stuck shut", "low charge", "R-134a", "R-12", "fan")


@pytest.mark.parametrize(
    ("choices", "typed", "read"),
    [
        (WAYS, "Rises.", "rises"),
        (WAYS, "it goes up", "rises"),
        (WAYS, "it rises", "rises"),
        (WAYS, "goes up", "rises"),
        (WAYS, "is higher", "rises"),
        (WAYS, "up", "rises"),
        *((WAYS, word, "rises") for word in ("higher", "increases", "climbs")),
        *((WAYS, word, "falls") for word in ("down", "lower", "decreases", "drops")),
        *((WAYS, word, "stays the same") for word in ("unchanged", "no change", "does not change")),
        (WAYS, "same", "stays the same"),
        (WAYS, "stays", "stays the same"),
        (WAYS, "does not rise", None),
        (WAYS, "rises or falls", None),
        (WAYS, "rises, falls", None),
        (WAYS, "risses", "rises"),
        (WAYS, "stays the smae", "stays the same"),
        (WAYS, "", None),
        (WAYS, "...", None),
        (LEAKS, "leak", "leak"),
        (LEAKS, "no leak", "no leak"),
        (LEAKS, "a leak", "leak"),
        (LEAKS, "not a leak", None),
        (LEAKS, "isn't tight", None),
        (LEAKS, "isnt tight", None),
        (LEAKS, "never tight", None),
        (LEAKS, "moisture and leak", "moisture and a leak"),
        (LEAKS, "moisture and a leak", "moisture and a leak"),
        (LEAKS, "wet and leak", None),
        (LEAKS, "moisture", "moisture and a leak"),
        (LEAKS, "tihgt", "tight"),
        (PARTS, "blocked condenser", "condenser blocked"),
        *((PARTS, f"{word} condenser blockd", "condenser blocked") for word in ("a", "an", "the", "it", "is", "of")),
        (PARTS, "that condenser blockd", None),
        (PARTS, "condensor blockt", "condenser blocked"),
        (PARTS, "condenser", "condenser blocked"),
        (PARTS, "valve", "valve stuck shut"),
        (PARTS, "valve stuck open", None),
        (PARTS, "blocked", "condenser blocked"),
        (PARTS, "lowcharge", "low charge"),
        (PARTS, "high charge", None),
        (PARTS, "r134a", "R-134a"),
        (PARTS, "R-13", "R-134a"),  # begins just one
        (PARTS, "12", None),  # a bare number names nothing
        (PARTS, "R 12", "R-12"),
        (PARTS, "R-22", None),
        (PARTS, "fun", None),  # three letters are too few for a slip
        (PARTS, "fan fan", "fan"),
        (PARTS, "overcharge", None),
        (PARTS, "fan / low charge", None),
        (PARTS, "fan not low charge", None),
        # What stands beside a choice may begin another; a filler says nothing.
        (STATES, "saturated", "saturated"),
        (STATES, "saturated, superheat", None),
        (STATES, "saturated, sup", None),
        (STATES, "saturated, su", None),
        (STATES, "saturated, the", "saturated"),
        (STATES, "saturated, as we say", "saturated"),
        (STATES, "saturated or saturated", "saturated"),
        (STATES, "saturated and then superheated", None),
        (STATES, "the same, saturated", None),
        # What neither denies nor doubts may stand beside a choice; all else is asked back.
        (STATES, "it is saturated vapor", "saturated"),
        (STATES, "saturated!", "saturated"),
        (STATES, "saturated, I guess", None),
        (STATES, "subsaturated", None),
        (("subcooled", "superheated"), "supercooled", None),
        (("nothing wrong", "wrong type"), "something wrong", None),
        # A is a letter before it is a word.
        *(
            (tuple("ABC"), joined, None)
            for joined in ("A B", "B A", "B, A", "A/B", "B and A", "B = A", "a B", "B is A")
        ),
        *((tuple("ABC"), alone, "A") for alone in ("A", "a", "A.", "letter A", "(a)")),
        # A whole choice is meant where a shorter one stands in it.
        (("same", "stays the same"), "stays the same", "stays the same"),
        (("over 3", "under 3"), "> 3", "over 3"),
        (("over 3", "under 3"), "<3", "under 3"),
    ],
)
def test_choices(choices, typed, read):
    reading = read_answer(line(CHOICE, *choices), typed)
    assert (reading.value, reading.echo) == (read, read or "")
    if typed and read is None:
        assert reading.problem == f"write one of these: {', '.join(choices)}"


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("fan", "fan"),
        ("fan, blocked condenser", "condenser blocked, fan"),
        ("fan; low charge", "low charge, fan"),
        ("fan and low charge & R-12", "low charge, R-12, fan"),
        ("fan + fan / fan,", "fan"),
        ("fan AND low charge", "low charge, fan"),
    ],
)
def test_lists_are_read_in_the_order_of_the_form(typed, read):
    reading = read_answer(line(LIST, *PARTS), typed)
    assert (reading.value, reading.echo, reading.problem) == (read, read, "")


@pytest.mark.parametrize(
    ("typed", "read", "said"),
    [
        ("A, C", "A, C", ""),
        ("a c", "A, C", ""),
        ("machine C", "C", ""),
        ("- A, - C", "A, C", ""),
        ("C (cold)", "C", ""),
        ("A, C to 9999", None, "“C to 9999” may mean more than C; write each one that you mean"),
        ("C to Z", None, "“C to Z” may mean more than C; write each one that you mean"),
        ("C..Z", None, "“C..Z” may mean more than C; write each one that you mean"),
        ("C – Z", None, "“C – Z” may mean more than C; write each one that you mean"),
        ("C onward", None, "“C onward” may mean more than C; write each one that you mean"),
        ("A ONWARD", None, "“A ONWARD” may mean more than A; write each one that you mean"),
        ("A, C+", None, "“A, C+” is not known here; write one of these: A, B, C, D"),
        ("A to D", None, "“A to D” is not known here; write one of these: A, B, C, D"),
    ],
)
def test_letters_of_a_list_mean_themselves_alone(typed, read, said):
    reading = read_answer(line(LIST, *"ABCD"), typed)
    assert (reading.value, reading.problem) == (read, said)


def test_what_is_unknown_in_a_list_is_named():
    item = line(LIST, *PARTS)
    assert read_answer(item, f"fan, the   {'x' * 50}").problem == (
        f"“the {'x' * 36}” is not known here; write one of these: {', '.join(PARTS)}"
    )
    assert read_answer(item, ", ;").problem == f"write some of these: {', '.join(PARTS)}"
    assert read_answer(item, ", ;").value is None


# --- marks ----------------------------------------------------------------------------------------------------------

NUMBER = line(
    "mass",
    key=Key(
        lambda case: case.right,
        (
            WrongIdea("twice", lambda case: 2 * case.right, "Not twice.", 0.5),
            WrongIdea("near", lambda case: (1.015 * case.right, 5.0), "Nearly."),
            WrongIdea("same place", lambda case: 2 * case.right, "Never told."),
            WrongIdea("not here", lambda case: None, "Never told either."),
        ),
        Tolerance("made up", relative=0.01),
    ),
)


@pytest.mark.parametrize(
    ("typed", "status", "points", "idea", "feedback"),
    [
        ("1 kg", "right", 2.0, None, "Right."),
        ("1.00999 kg", "right", 2.0, None, "Right."),  # right, though nearer to an idea
        ("0.99001 kg", "right", 2.0, None, "Right."),
        ("1.012 kg", "idea", 0.0, "near", "Nearly."),
        ("5 kg", "idea", 0.0, "near", "Nearly."),
        ("2.0199 kg", "idea", 1.0, "twice", "Not twice."),  # the first of two alike
        ("2.021 kg", "wrong", 0.0, None, "Not the value that these readings give. Go through the steps once more."),
        ("0.989 kg", "wrong", 0.0, None, "Not the value that these readings give. Go through the steps once more."),
        ("", "blank", 0.0, None, "Not filled in."),
        (" \t", "blank", 0.0, None, "Not filled in."),
        ("1 F", "unreadable", 0.0, None, "that is a temperature; this line wants a mass, for example an example."),
    ],
)
def test_marks_of_a_number(typed, status, points, idea, feedback):
    found = mark(NUMBER, typed, SimpleNamespace(right=1.0))
    assert found == assess.Mark("a line", status, points, 2.0, found.read, idea, feedback)
    assert bool(found.read) == (status in ("right", "idea", "wrong"))


@pytest.mark.parametrize(
    ("target", "typed", "status"),
    [
        (3.0, "3", "right"),
        (3.0, "3.00000001", "wrong"),
        (3.0, "3.000000004", "wrong"),
        (3.0, "3.0000000025", "right"),
        (3.0, "3.000000001", "right"),  # the last printed digit
        (0.0, "0", "right"),
        (0.0, "0.0000000009", "right"),
        (0.0, "0.0000000012", "wrong"),
        (-2.0, "-2", "right"),
        (1e6, "1000000.0009", "right"),
        (1e6, "1000000.01", "wrong"),
    ],
)
def test_a_count_has_no_width(target, typed, status):
    item = line("ratio", key=Key(lambda case: target, tolerance=Tolerance("counted")), hint="Count again.")
    found = mark(item, typed, None)
    assert found.status == status
    assert found.feedback == ("Right." if status == "right" else "Count again.")


def test_the_wider_tolerance_counts():
    both = Tolerance("made up", absolute=2.0, relative=0.1)
    assert (both.width(10.0), both.width(-100.0), both.width(0.0)) == (2.0, 10.0, 2.0)


def test_words_are_right_or_not():
    falls = WrongIdea("way round", lambda case: "falls", "The other way.", 0.25)
    item = line(CHOICE, *WAYS, key=Key(lambda case: "rises", (falls,)))
    outcomes = [mark(item, typed, None) for typed in ("rises", "falls", "same", "sideways")]
    assert [one.status for one in outcomes] == ["right", "idea", "wrong", "unreadable"]
    assert [one.points for one in outcomes] == [2.0, 0.5, 0.0, 0.0]
    assert [one.read for one in outcomes] == ["rises", "falls", "stays the same", ""]


@pytest.mark.parametrize(
    ("typed", "status", "points", "idea", "feedback"),
    # Minutes: 4, 3, 3, 5, 20. Up to 10 cost nothing, at three times as many nothing is left: (30 - minutes) / 20.
    [
        ("fan, condenser blocked", "right", 2.0, None, "Good: 9 minutes."),
        ("low charge, R-12, condenser blocked", "idea", 1.9, "dear", "11 of 10 minutes."),
        ("fan, condenser blocked, valve stuck shut", "idea", 0.1, "dear", "29 of 10 minutes."),
        ("fan, low charge, R-12, condenser blocked, valve stuck shut", "idea", 0.0, "dear", "35 of 10 minutes."),
        ("fan", "idea", 1.0, "half", "One of two."),
        ("condenser blocked", "idea", 1.0, "half", "One of two."),
        ("fan, valve stuck shut", "idea", 0.3, "half", "One of two."),
        ("low charge", "idea", 0.0, "none", "Nothing told."),
        ("", "blank", 0.0, None, "Not filled in."),
        ("luck", "unreadable", 0.0, None, None),
    ],
)
def test_a_list_is_weighed_by_what_it_tells_and_costs(typed, status, points, idea, feedback):
    prices = {"fan": 4, "low charge": 3, "R-12": 3, "condenser blocked": 5, "valve stuck shut": 20}
    causes = ((("fan",), ("low charge", "R-12")), (("condenser blocked",),))
    evidence = Evidence(causes, prices, budget=10.0, beyond=3.0, right="Good: {minutes} minutes.")
    ideas = (
        Idea("none", "Nothing told."),
        Idea("half", "One of two.", 0.5),
        Idea("dear", "{minutes} of {budget:g} minutes."),
    )
    found = mark_by_card(line(LIST, *PARTS), typed, Card("", Tolerance(""), ideas, evidence=evidence), None)
    assert (found.status, found.idea) == (status, idea)
    assert found.points == pytest.approx(points)
    assert feedback in (None, found.feedback)


def test_exactly_the_tolerance_is_within_it():
    item = line("ratio", key=Key(lambda case: 1.0, (WrongIdea("two", lambda case: 2.0, "Two."),), Tolerance("x", 0.25)))
    found = {typed: mark(item, typed, None).status for typed in ("0.75", "1.25", "1.75", "2.25", "0.74", "2.26")}
    assert list(found.values()) == ["right", "right", "idea", "idea", "wrong", "wrong"]


def test_a_sheet_is_marked_line_by_line():
    items = tuple(
        Item(label, "?", "ratio", "1", points, key=Key(lambda case: 1.0))
        for label, points in (("one", 2.0), ("two", 3.0))
    )
    marks = assess.grade(assess.Assignment("x", "X", 5, items, draw=None), Sheet({"two": "1", "three": "1"}), None)
    assert [(one.label, one.status, one.points) for one in marks] == [("one", "blank", 0.0), ("two", "right", 3.0)]
    assert assess.total(marks) == 3.0
    assert assess.total(()) == 0


# --- sheets ---------------------------------------------------------------------------------------------------------

FORM = ("suction pressure", "verdict (one word)")


@pytest.mark.parametrize(
    ("text", "answers"),
    [
        ("%%answers\nsuction pressure: 31 psig", {FORM[0]: "31 psig"}),
        ("Suction  Pressure :31 psig ", {FORM[0]: "31 psig"}),
        ("suction pressure = 31 psig", {FORM[0]: "31 psig"}),
        ("suction pressure: a = b", {FORM[0]: "a = b"}),
        ("verdict one word: x: y", {FORM[1]: "x: y"}),
        ("# suction pressure: 3\n\n   \nverdict (one word): good", {FORM[1]: "good"}),
        ("suction pressure:", {FORM[0]: ""}),
        ("suction pressure: 31\nsuction pressure: 31", {FORM[0]: "31"}),
        ("suction pressure: 31\nsuction pressure:", {FORM[0]: "31"}),
        ("suction pressure:\nsuction pressure: 31", {FORM[0]: "31"}),
        ("suction pressure: 31\rverdict (one word): good", {FORM[0]: "31", FORM[1]: "good"}),
        ("suction pressure: 31\u2028verdict (one word): good", {FORM[0]: "31", FORM[1]: "good"}),
        (f"suction pressure: {'9' * LONGEST_ANSWER}", {FORM[0]: "9" * LONGEST_ANSWER}),
        ("", {}),
    ],
)
def test_sheets_that_are_read_without_a_word(text, answers):
    assert parse_sheet(text, FORM) == Sheet(answers, ())


@pytest.mark.parametrize(
    ("text", "answers", "problem"),
    [
        (
            "\nsuction pressure 31 psig",
            {},
            "Line 2, “suction pressure 31 psig”, has no colon; write the label, a colon and your answer.",
        ),
        (
            "suction presure: 31",
            {},
            "Line 1: this sheet has no line “suction presure”; did you mean “suction pressure”?",
        ),
        ("colour: red", {}, "Line 1: this sheet has no line “colour”; use the labels as they are printed."),
        ("suct pres: 3", {}, "Line 1: this sheet has no line “suct pres”; did you mean “suction pressure”?"),
        ("section: 3", {}, "Line 1: this sheet has no line “section”; use the labels as they are printed."),
        (
            f"{'colour ' * 9}: red",
            {},
            "Line 1: this sheet has no line “colour colour colour colour colour colo…”; use the labels as they are "
            "printed.",
        ),
        (
            f"{'x' * 40}: red",
            {},
            f"Line 1: this sheet has no line “{'x' * 40}”; use the labels as they are printed.",
        ),
        (
            f"suction pressure: {'9' * (LONGEST_ANSWER + 1)}",
            {FORM[0]: ""},
            "“suction pressure”: the answer has 401 characters; write a number and its unit, or a few words.",
        ),
        (
            "suction pressure: 31\nsuction pressure: 32\nsuction pressure: 33",
            {FORM[0]: ""},
            "“suction pressure” stands twice with different answers; keep one.",
        ),
        (
            "suction pressure: 31\nsuction pressure: 32\nsuction pressure: 31",
            {FORM[0]: ""},
            "“suction pressure” stands twice with different answers; keep one.",
        ),
        (
            "a" * (LONGEST_SHEET + 1),
            {},
            "This sheet has 20,001 characters; 20,000 are the most that is read.",
        ),
    ],
)
def test_what_a_sheet_cannot_say_is_named(text, answers, problem):
    assert parse_sheet(text, FORM) == Sheet(answers, (problem,))


def test_the_longest_sheet_is_read():
    text = f"suction pressure: 31\n#{'x' * LONGEST_SHEET}"[:LONGEST_SHEET]
    assert parse_sheet(text, FORM) == Sheet({FORM[0]: "31"})


def test_one_bad_line_spoils_no_other():
    sheet = parse_sheet("colour: red\nno colon\nsuction pressure: 31\nverdict (one word): good", FORM)
    assert sheet.answers == {FORM[0]: "31", FORM[1]: "good"}
    assert len(sheet.problems) == 2


def test_a_sheet_without_a_form_takes_every_label():
    assert parse_sheet(" Some Label : 1\nb=2").answers == {"Some Label": "1", "b": "2"}
    assert assess.merge_sheets(["suction pressure: 1", "verdict one word: x"], FORM).answers == {
        FORM[0]: "1",
        FORM[1]: "x",
    }
    assert assess.blank_form(FORM) == "%%answers\nsuction pressure: \nverdict (one word): "


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("plain ~ text\t\n", "plain ~ text\t\n"),
        ("\uff13\uff11 \uff50sig", "31 psig"),
        ("1\N{VULGAR FRACTION ONE HALF}", "1 1\N{FRACTION SLASH}2"),
        ("10\N{SUPERSCRIPT FIVE}", "10^5"),
        ("a\r\nb\rc\x0bd\x85e\u2029f", "a\nb\nc\nd\ne\nf"),
        ("a\N{ZERO WIDTH SPACE}b\x00c\N{RIGHT-TO-LEFT OVERRIDE}", "abc"),
        (
            "e" + "\N{COMBINING DOT BELOW}" * 40,
            "\N{LATIN SMALL LETTER E WITH DOT BELOW}" + "\N{COMBINING DOT BELOW}" * 29,
        ),
    ],
)
def test_characters_are_made_plain(typed, read):
    assert clean(typed) == read


def test_labels_are_compared_without_dress():
    assert assess.fold("  The VERDICT (one-word):\t2nd ") == "the verdict one word 2nd"
    assert assess.fold("...") == ""


# --- decks of finished cards ------------------------------------------------------------------------------------------

CLOSE = Tolerance("a gauge's mark", absolute=3e3)
UPSIDE = (Idea("the other way up", "Turn it round.", 0.5), Idea("no air", "Add the air's pressure."))
TREE = ((("glass",), ("drier", "gauges")), (("hub speed",),))


def weighed(*groups):
    return Evidence(groups, {"glass": 1.0, "gauges": 8.0}, budget=30.0, beyond=3.0, right="Right.")


ROWS = (
    {
        "pressure": Card(300_000.123, CLOSE, UPSIDE, ((0, 2.0), (0, 3.0), (1, 1.5))),
        "state": Card("superheated", Tolerance("words"), UPSIDE[:1], ((0, "subcooled"),)),
        "tests": Card("glass", Tolerance("words"), (), (), weighed(*TREE)),
    },
    {
        "pressure": Card(0.0, CLOSE, UPSIDE),
        "state": Card("subcooled", Tolerance("words"), UPSIDE[:1], ((0, "saturated"),)),
        "tests": Card("hub speed", Tolerance("words"), (), (), weighed(TREE[1])),
    },
    {
        "pressure": Card(-1.5, CLOSE, UPSIDE, ((1, 0.5),)),
        "state": Card("saturated", Tolerance("words"), UPSIDE[:1]),
        "tests": Card("drier", Tolerance("words"), (), (), weighed(TREE[0])),
    },
)


def test_cards_come_out_of_a_deck_as_they_went_in():
    deck = Deck(deck_text(ROWS[0], ROWS))
    assert len(deck) == 3
    for number, row in enumerate(ROWS, 1):
        for label, card in row.items():
            assert deck.card(label, number) == card
            assert deck.card(label, number + 3) == card  # after the last comes the first again


def test_a_deck_says_what_lines_share_once_and_has_a_line_a_case():
    text = deck_text(ROWS[0], ROWS)
    assert text.count("superheated") == text.count("gauges") - 1 == text.count("Turn it round.") - 1 == 1
    content = json.loads(text)
    assert content["lines"]["state"]["words"] == ["superheated", "subcooled", "saturated"]
    assert "words" not in content["lines"]["pressure"]
    assert content["cases"][0]["pressure"]["shows"] == [[0, 2.0, 3.0], [1, 1.5]]
    assert [case["tests"]["causes"] for case in content["cases"]] == [[0, 1], [1], [0]]
    assert [json.loads(line.rstrip(",")) for line in text.splitlines()[-4:-1]] == content["cases"]
    assert text.endswith("}\n]}\n")


def test_ten_digits_travel():
    row = {"pressure": Card(300_000.123_456_789, CLOSE)}
    assert Deck(deck_text(row, [row])).card("pressure", 1).right == 300_000.1235


@pytest.mark.parametrize(
    "other",
    [Card(1.0, Tolerance("another"), UPSIDE), Card(1.0, CLOSE), Card(1.0, CLOSE, UPSIDE, (), weighed(TREE[0]))],
)
def test_cards_of_a_line_must_share_all_but_their_values(other):
    with pytest.raises(ValueError, match="The cards of 'pressure' differ in more than their values"):
        deck_text(["pressure"], [ROWS[0], {"pressure": other}])


# --- what people say --------------------------------------------------------------------------------------------

ACCEPTED = json.loads((Path(__file__).parent / "accepted_answers.json").read_text(encoding="utf-8"))
"""Answers that releases up to 0.6 read, other than the choices themselves, and the value that they were read as."""


@pytest.mark.parametrize("row", ACCEPTED["words"], ids=lambda row: row["of"])
def test_words_that_were_read_once_are_read_for_ever(row):
    item = line(CHOICE, *row["choices"])
    for value, sayings in row["accepted"].items():
        assert {typed: read_answer(item, typed).value for typed in sayings} == dict.fromkeys(sayings, value)
    for choice in row["choices"]:
        assert read_answer(item, choice).value == choice


def test_numbers_that_were_read_once_are_read_for_ever():
    for kind, typed, value in ACCEPTED["numbers"]:
        assert read_answer(line(kind), typed).value == pytest.approx(value, rel=1e-8), typed


TEMPERATURES = ("warmer", "colder", "the same as before")
VALVE = ("opens more", "closes more", "does not move")
LOW_SIDE = ("charge low", "drier restricted", "valve screen plugged", "evaporator blocked inside")
HIGH_SIDE = ("charge high", "condenser blocked", "air in the circuit", "drier inlet blocked")
STEPS = ("accept it", "add some", "take some out", "look for another fault")
CLUTCH = (
    "compressor and clutch",
    "find what opened the switch",
    "clutch alone",
    "set the air gap",
    "leave the clutch as it is",
)
SAID = [
    *((CLUTCH, word, "find what opened the switch") for word in ("find the cause", "find out why it opened")),
    *((CLUTCH, word, "clutch alone") for word in ("new clutch", "replace the clutch")),
    *((CLUTCH, word, "set the air gap") for word in ("adjust the gap", "set the gap")),
    *((WAYS, word, "rises") for word in ("warmer", "hotter", "it goes up", "gets hotter", "up a lot", "more")),
    *((WAYS, word, "falls") for word in ("colder", "cooler", "drops", "goes down a little", "less")),
    *((WAYS, word, "stays the same") for word in ("as before", "no change", "same as before", "nothing changes")),
    *((TEMPERATURES, word, "warmer") for word in ("hotter", "goes up", "rises", "it is hotter")),
    *((TEMPERATURES, word, "colder") for word in ("cooler", "drops", "falls", "less")),
    *((TEMPERATURES, word, "the same as before") for word in ("no change", "as before", "stays the same")),
    *((VALVE, word, "opens more") for word in ("opens further", "opens up", "opens")),
    *((LOW_SIDE, word, "valve screen plugged") for word in ("clogged valve screen", "blocked valve screen")),
    *((LOW_SIDE, word, "drier restricted") for word in ("plugged drier", "the drier is plugged", "drier clogged")),
    *((LOW_SIDE, word, "charge low") for word in ("undercharged", "low on gas")),
    *((HIGH_SIDE, word, "charge high") for word in ("overcharged", "over charged", "too much charge")),
    *((HIGH_SIDE, word, "condenser blocked") for word in ("plugged condenser", "condenser is plugged")),
    *((STEPS, word, "add some") for word in ("top up", "add refrigerant", "add more")),
    *((STEPS, word, "take some out") for word in ("remove some", "recover some")),
]


@pytest.mark.parametrize(("choices", "typed", "read"), SAID)
def test_what_people_say_is_read_where_it_fits_one_choice(choices, typed, read):
    assert read_answer(line(CHOICE, *choices), typed).value == read


@pytest.mark.parametrize("denial", DENIALS)
def test_no_saying_is_read_that_is_denied_or_joined(denial):
    """With a saying in the place of the choice, each hostile phrase is read as what it denies never."""
    for choices, typed, read in SAID:
        wrong = next(choice for choice in choices if choice != read)
        assert read_answer(line(CHOICE, *choices), denial.format(right=typed, wrong=wrong)).value != read, typed


def test_a_saying_for_two_choices_is_asked_back():
    assert read_answer(line(CHOICE, "rises a little", "rises a lot", "falls"), "up").value is None
    assert read_answer(line(CHOICE, "condenser blocked", "condenser plugged"), "clogged condenser").value is None


def test_a_message_has_the_example_of_its_line():
    item = Item("gauge", "What does it show?", "pressure", "7.5 psig")
    assert read_answer(item, "45").problem == "45 has no unit; this line wants a pressure, for example 7.5 psig."


@pytest.mark.parametrize(
    ("typed", "asked"),
    [
        ("310 kPa", "kPa gauge or kPa abs"),
        ("3.1 bar", "bar gauge or bar abs"),
        *((typed, "") for typed in ("310 kPa gauge", "310 kPa abs", "310 kPa (a)", "3.1 bara", "45 psig", "45 psia")),
        *((typed, "") for typed in ("31 psig (315 kPa)", "500 micron")),
    ],
)
def test_a_bare_kpa_on_a_gauge_line_is_asked_back_and_still_read(typed, asked):
    gauge = read_answer(Item("gauge", "What does the gauge show?", "pressure", "31 psig"), typed)
    assert gauge.value is not None
    assert (asked in gauge.question) if asked else not gauge.question
    assert not read_answer(Item("pressure", "How high is it?", "pressure", "45 psia"), typed).question


@pytest.mark.parametrize(
    ("answer", "value", "asked"),
    [("none", "none", False), ("B, D", "B, D", False), ("none, B", "B, none", True), ("B and none", "B, none", True)],
)
def test_none_beside_letters_is_asked_back_and_read_as_before(answer, value, asked):
    item = Item("books that balance", "Which?", LIST, "A, C", choices=("A", "B", "C", "D", "none"))
    reading = read_answer(item, answer)
    assert reading.value == value
    assert reading.question == ("none, or B? Write none alone, or the letters alone." if asked else "")
