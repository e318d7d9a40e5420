"""The oil ledger's edges: what may leave, when books balance, what is said. Expected numbers are worked out by hand."""

import math

import pytest

from coldcab import oil
from coldcab.oil import OilError, ledger

MILLILITRE = 1e-6
EDGE = 0.01  # mL either side of an edge, far above what adding numbers leaves behind


def books(*lines, required=None, doubt=0.0, name="PAG"):
    """A ledger from (kind, mL, mL either way, and where it matters part and oil)."""
    made = oil.Ledger(name, None if required is None else required * MILLILITRE, doubt * MILLILITRE)
    for kind, volume, uncertainty, *where in lines:
        part, of = (*where, *(oil.WHOLE_CIRCUIT, None)[len(where) :])
        made = made.enter(kind, f"{kind} line", volume * MILLILITRE, uncertainty * MILLILITRE, part=part, oil=of)
    return made


# --- what may leave -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("before", "uncertainty", "most", "part"),
    [
        ([("in", 100, 0)], 0, 100, oil.WHOLE_CIRCUIT),
        # As much more as the amount inside is in doubt, and the two doubts by the root of the sum of squares: 6, 8, 10.
        ([("in", 100, 10)], 0, 110, oil.WHOLE_CIRCUIT),
        ([("in", 100, 6)], 8, 110, oil.WHOLE_CIRCUIT),
        ([("in", 100, 6)], 8, 110, "condenser"),
        # A part may give what is known to be in it and what no part is named for, never what lies in another part.
        ([("in", 60, 0), ("in", 40, 0, "evaporator")], 0, 60, "condenser"),
        ([("in", 60, 0), ("in", 40, 0, "evaporator")], 0, 100, "evaporator"),
        ([("in", 60, 0), ("in", 40, 0, "evaporator")], 0, 100, oil.WHOLE_CIRCUIT),
        ([("in", 60, 0), ("out", 20, 0), ("added", 5, 0)], 0, 45, oil.WHOLE_CIRCUIT),
    ],
)
def test_no_more_can_leave_than_was_there_and_its_doubt(before, uncertainty, most, part):
    made = books(*before)
    line = ("out", "drained")
    made.enter(*line, (most - EDGE) * MILLILITRE, uncertainty * MILLILITRE, part=part)
    with pytest.raises(OilError, match=f"cannot leave the {part}"):
        made.enter(*line, (most + EDGE) * MILLILITRE, uncertainty * MILLILITRE, part=part)


def test_the_refusal_names_both_amounts():
    with pytest.raises(OilError) as refusal:
        books(("in", 60, 0), ("out", 120, 0, "condenser"))
    # 120 and 60 over 29.5735 mL.
    assert str(refusal.value) == (
        "4.1 fl oz (120 mL) cannot leave the condenser: the ledger knows of 2.0 fl oz (60 mL) there. Either the first "
        "amount is wrong, or what was drained holds refrigerant or solvent."
    )
    with pytest.raises(OilError, match=r"knows of 0\.0 fl oz \(0 mL\) there"):
        books(("in", 60, 10), ("out", 65, 0), ("out", 60, 0))


# --- balance --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("found", "balances"),
    # 200 plus or minus 3 inside, counted plus or minus 4: the doubt of the gap is 5.
    [(195 + EDGE, True), (195 - EDGE, False), (205 - EDGE, True), (205 + EDGE, False), (200, True)],
)
def test_books_balance_within_the_combined_doubt_and_no_further(found, balances):
    made = books(("in", 200, 3), ("kept", found, 4))
    assert made.gap.volume == pytest.approx((200 - found) * MILLILITRE, abs=1e-15)
    assert made.gap.uncertainty == pytest.approx(5 * MILLILITRE)
    assert made.balances is balances
    assert ("The books balance" in made.verdict()) is balances


def test_what_is_counted_is_added_up_and_moves_no_oil():
    made = books(("in", 200, 3), ("kept", 90, 0, "compressor"), ("kept", 100, 4, "condenser"))
    assert made.gap.volume == pytest.approx(10 * MILLILITRE)
    assert made.total_after.volume == pytest.approx(200 * MILLILITRE)
    assert made.contents() == {oil.WHOLE_CIRCUIT: {"PAG": pytest.approx(200 * MILLILITRE)}}
    assert books(("in", 200, 3)).gap is None
    # Without any doubt a balance is exact, but for what adding numbers leaves behind.
    assert books(("in", 0.1, 0), ("added", 0.2, 0), ("kept", 0.3, 0)).balances is True
    assert books(("in", 100, 0), ("kept", 100 + EDGE, 0)).balances is False


def test_each_place_is_counted_once():
    one = books(("in", 200, 0), ("kept", 50, 0, "condenser"))
    two = one.enter("kept", "another", 60 * MILLILITRE, part="evaporator")
    assert len(two.entries) == 3
    for made, part in (
        (two, "condenser"),
        (two, oil.WHOLE_CIRCUIT),
        (books(("in", 9, 0), ("kept", 9, 0)), "condenser"),
    ):
        with pytest.raises(OilError, match=f"what stays in the {part} was counted already"):
            made.enter("kept", "again", 1 * MILLILITRE, part=part)


# --- what is missing ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("inside", "says"),
    # 240 plus or minus 4 are asked for and inside is in doubt by 3: 5 together.
    [
        (234, "To add: 0.2 fl oz (6 mL) plus or minus 0.2 fl oz (5 mL)."),
        (235 + EDGE, "Within plus or minus nothing needs to be added."),
        (235 - EDGE, "To add:"),
        (240, "Within plus or minus nothing needs to be added."),
        (244, "Within plus or minus nothing needs to be added."),
        (245 - EDGE, "Within plus or minus nothing needs to be added."),
        (245 + EDGE, "There is too much oil: drain"),
        (247, "There is too much oil: drain 0.2 fl oz (7 mL) plus or minus 0.2 fl oz (5 mL)."),
    ],
)
def test_what_to_do_follows_from_the_doubt_of_the_books_and_of_the_data_sheet(inside, says):
    made = books(("in", inside, 3), required=240, doubt=4)
    assert made.to_add.volume == pytest.approx((240 - inside) * MILLILITRE, abs=1e-15)
    assert made.to_add.uncertainty == pytest.approx(5 * MILLILITRE)
    assert says in made.verdict()


def test_a_proposal_takes_exactly_what_is_missing():
    made = books(("in", 60, 0), ("added", 40, 0, "compressor"), required=160)
    found = made.proposal(("evaporator", "condenser"), compressor_limit=100 * MILLILITRE)
    placed = math.fsum(place.volume for place in found.placements)
    assert placed + found.left_over == pytest.approx(60 * MILLILITRE)
    # Exactly full is not too much.
    assert not books(("in", 160, 0), required=160).proposal(("evaporator",)).placements


# --- the verdict ----------------------------------------------------------------------------------------------------

VERDICTS = [
    (
        books(("in", 200, 3), ("kept", 190, 4), required=240),
        "Inside now: 6.8 fl oz (200 mL) plus or minus 0.1 fl oz (3 mL). The books do not balance: 0.3 fl oz (10 mL) is "
        "missing, and they can be off by 0.2 fl oz (5 mL). Least sure (64 %): kept line. Find the mistake "
        "before you add or drain anything.",
    ),
    (
        books(("in", 200, 3), ("kept", 210, 4), required=240),
        "Inside now: 6.8 fl oz (200 mL) plus or minus 0.1 fl oz (3 mL). The books do not balance: 0.3 fl oz (10 mL) is "
        "too much, and they can be off by 0.2 fl oz (5 mL). Least sure (64 %): kept line. Find the mistake "
        "before you add or drain anything.",
    ),
    (
        books(("in", 200, 4), ("kept", 198, 3), required=240),
        "Inside now: 6.8 fl oz (200 mL) plus or minus 0.1 fl oz (4 mL). The books balance: the gap of 0.1 fl oz (2 mL) "
        "is within plus or minus 0.2 fl oz (5 mL). Least sure (64 %): in line. To add: 1.4 fl oz "
        "(40 mL) plus or minus 0.1 fl oz (4 mL).",
    ),
    (
        books(("in", 200, 0)),
        "Inside now: 6.8 fl oz (200 mL) plus or minus 0.0 fl oz (0 mL). Nothing inside was counted on its own, so this "
        "is a sum and not a check. No line has an uncertainty; nothing is ever measured that well.",
    ),
    (oil.Ledger("PAG"), "The ledger is empty."),
]


@pytest.mark.parametrize(("made", "says"), VERDICTS, ids=["missing", "too much", "balances", "no doubt", "empty"])
def test_the_verdict_in_full(made, says):
    # mL over 29.5735 is fl oz; 64 % is 16 of 25.
    assert made.verdict() == says


def test_either_system_comes_first_on_request():
    assert ledger.volume_words(237e-6) == "8.0 fl oz (237 mL)"
    assert ledger.volume_words(237e-6, "si") == "237 mL (8.0 fl oz)"
    amount = ledger.Amount(237e-6, 15e-6)
    assert amount.words() == "8.0 fl oz (237 mL) plus or minus 0.5 fl oz (15 mL)"
    assert amount.words("si") == "237 mL (8.0 fl oz) plus or minus 15 mL (0.5 fl oz)"
    for made, _ in VERDICTS[:-1]:
        assert " mL (" in made.verdict("si")
        assert " fl oz (" not in made.verdict("si")


# --- where which oil is ---------------------------------------------------------------------------------------------


def test_what_was_in_counts_first_wherever_it_stands():
    """100 of one and 100 of another were mixed before half of it left, though the second was entered last."""
    made = books(("in", 100, 0, oil.WHOLE_CIRCUIT, "mineral oil"), ("out", 100, 0), ("in", 100, 0))
    assert made.shares() == pytest.approx({"mineral oil": 0.5, "PAG": 0.5})
    # What is put in after a drain is not mixed with what left.
    later = books(("in", 100, 0, oil.WHOLE_CIRCUIT, "mineral oil"), ("out", 50, 0), ("added", 50, 0))
    assert later.shares() == pytest.approx({"mineral oil": 0.5, "PAG": 0.5})


@pytest.mark.parametrize(
    ("lines", "left"),
    [
        # From its place first, then from what no part is named for.
        ([("in", 50, 0), ("in", 30, 0, "condenser"), ("out", 20, 0, "condenser")], {"": 50, "condenser": 10}),
        ([("in", 50, 0), ("in", 30, 0, "condenser"), ("out", 45, 0, "condenser")], {"": 35, "condenser": 0}),
        # From the whole circuit: what no part is named for, then from each part by its share.
        (
            [("in", 50, 0), ("in", 30, 0, "condenser"), ("in", 10, 0, "evaporator"), ("out", 70, 0)],
            {"": 0, "condenser": 15, "evaporator": 5},
        ),
        ([("in", 30, 0, "condenser"), ("in", 10, 0, "evaporator"), ("out", 40, 0)], {"condenser": 0, "evaporator": 0}),
        # More than the books knew, within the doubt, stands as a debt of the ledger's own oil.
        ([("in", 50, 9, "", "POE"), ("out", 55, 0)], {"": (0, -5)}),
        ([("in", 50, 9, "condenser", "POE"), ("out", 55, 0)], {"condenser": (0,), "": (-5,)}),
    ],
)
def test_oil_leaves_from_its_place_first(lines, left):
    named = [(k, v, u, *((where[0] or oil.WHOLE_CIRCUIT, *where[1:]) if where else ())) for k, v, u, *where in lines]
    found = books(*named).contents()
    assert {place: sum(oils.values()) for place, oils in found.items()} == {
        place or oil.WHOLE_CIRCUIT: pytest.approx(sum(of if isinstance(of, tuple) else (of,)) * MILLILITRE, abs=1e-15)
        for place, of in left.items()
    }
    for place, of in left.items():
        if isinstance(of, tuple):
            oils = found[place or oil.WHOLE_CIRCUIT]
            assert sorted(oils.values()) == pytest.approx(sorted(v * MILLILITRE for v in of), abs=1e-15)
            assert oils.get("PAG", 0.0) == pytest.approx(min(0, of[-1]) * MILLILITRE, abs=1e-15)


def test_shares_are_of_what_is_left():
    assert books(("in", 50, 0), ("out", 50, 0)).shares() == {}
    made = books(("in", 30, 0, "condenser", "POE"), ("in", 60, 0, "evaporator", "POE"), ("added", 10, 0))
    assert made.shares() == pytest.approx({"POE": 0.9, "PAG": 0.1})
    empty = made.enter("out", "the last PAG", 10 * MILLILITRE)
    assert empty.shares() == pytest.approx({"POE": 1.0})


# --- parts ----------------------------------------------------------------------------------------------------------


def test_a_replaced_part_takes_its_oil_along_and_brings_some():
    made = books(("in", 100, 0)).replaced(
        "compressor", 40e-6, 90e-6, removed_uncertainty=3e-6, brought_uncertainty=4e-6, oil="POE"
    )
    out, added = made.entries[1:]
    assert (out.kind, out.what, out.part, out.oil) == ("out", "left with the old compressor", "compressor", "PAG")
    assert (out.volume, out.uncertainty) == (40e-6, 3e-6)
    assert (added.kind, added.what, added.part, added.oil) == (
        "added",
        "came with the new compressor",
        "compressor",
        "POE",
    )
    assert (added.volume, added.uncertainty) == (90e-6, 4e-6)
    start = books(("in", 100, 0))
    assert len(start.replaced("condenser", 10e-6, 0.0).entries) == 2  # a dry part needs no line
    assert len(start.replaced("condenser", 10e-6, 0.0, brought_uncertainty=1e-6).entries) == 3
    assert len(start.replaced("condenser", 10e-6, 5e-6).entries) == 3


def test_a_flush_takes_all_but_what_stays():
    start = books(("in", 30, 0, "condenser"))
    made = start.flushed("condenser", 4e-6, uncertainty=2e-6)
    line = made.entries[-1]
    assert (line.kind, line.what, line.part) == ("out", "flushed from the condenser", "condenser")
    assert line.volume == pytest.approx(26e-6)
    assert line.uncertainty == 2e-6
    assert start.flushed("condenser").total_after.volume == 0.0
    assert start.flushed("condenser", start.entries[0].volume).total_after.volume == pytest.approx(30e-6)
    with pytest.raises(OilError, match="more oil is said to stay in the condenser than it held"):
        start.flushed("condenser", 30.1e-6)
    with pytest.raises(OilError, match="does not say what the evaporator held"):
        start.flushed("evaporator")
    with pytest.raises(OilError, match="left -1 mL is outside"):
        start.flushed("condenser", -1e-6)


# --- lines ----------------------------------------------------------------------------------------------------------


def test_lines_and_arguments_are_made_regular():
    made = oil.Ledger("pag 46", 240e-6).enter("in", "  data \n sheet ", 1e-6, oil="mineral")
    assert made.oil == "PAG"
    assert made.entries == (oil.Entry("in", "data sheet", 1e-6, 0.0, oil.WHOLE_CIRCUIT, "mineral oil"),)
    assert made.enter("in", "x" * 80, 0.0).entries[-1].what == "x" * 80
    assert oil.Ledger("PAG", entries=list(made.entries)).entries == made.entries
    whole = oil.Ledger("PAG", 0, 0)
    assert type(whole.required) is type(whole.required_uncertainty) is float


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: oil.Ledger("PAG", required=-1e-6), "required -1 mL is outside the range 0 mL to 50000 mL"),
        (lambda: oil.Ledger("PAG", 1e-6, -1e-6), "-1 mL is outside the range 0 mL"),
        (lambda: books(("in", 50_001, 0)), "the volume of in line 50001 mL is outside"),
        (lambda: books(("in", 1, -1)), "uncertainty -1 mL is outside"),
        (lambda: oil.Ledger("PAG").enter("in", "x" * 81, 1e-6), "a few words, at most 80 letters"),
        (lambda: oil.Ledger("PAG").enter("in", "a\0b", 1e-6), "a few words"),
        (lambda: oil.Ledger("PAG").enter("in", "", 1e-6), "a few words"),
        (lambda: oil.Ledger("PAG").enter("found", "x", 1e-6), "there are in, out, kept, added."),
        (lambda: oil.Ledger("PAG").sum_of("lost"), "'lost' is not a kind of entry"),
        (lambda: books(("in", 50, 0), required=40).proposal(("evaporator",)), "more oil in the circuit"),
        (lambda: oil.Ledger("PAG").to_add, "no required amount"),
    ],
)
def test_what_the_books_refuse(call, words):
    with pytest.raises(OilError) as refusal:
        call()
    assert words in str(refusal.value)


def test_doubt_names_the_widest_line_and_its_share_of_the_squares():
    entry, share = books(("in", 200, 1), ("out", 20, 2), ("added", 5, 2)).doubt
    assert entry.kind == "out"  # the first of two alike
    assert share == pytest.approx(4 / 9)
    assert books(("in", 200, 0)).doubt is None
