"""Intake: only the words of the answers are taken out of what came in, and what cannot be read says why."""

import json

import pytest

from coldcab.classroom import intake
from coldcab.classroom.intake import NotGradable

SHEET = "cycle-1"


def cell(name, source, kind="code", **about):
    """A cell of a form, as nbgrader knows it."""
    return {
        "cell_type": kind,
        "id": f"id-{name}",
        "source": source,
        "metadata": {"nbgrader": about | {"grade_id": name}},
    }


HEAD = cell("cycle-1-head", "# Sheet\n\n**Due:** Thursday", "markdown", locked=True)
SETUP = cell("cycle-1-setup", "%sheet cycle-1 --term open", locked=True)
ANSWERS = cell("cycle-1-answers-1", "%%answers\npressure: \nstate: \noil: ", solution=True)
CHECK = cell("cycle-1-check", "%check pressure", grade=True, points=2)
WORDS = cell("cycle-1-words", "*Write here.*", "markdown", grade=True, solution=True, points=3)
PROGRAM = cell("cycle-1-program", "# Write.", grade=False, solution=True)
TEST = cell("cycle-1-test", ["assert ", "right()"], grade=True, points=1)
FORM = [HEAD, SETUP, ANSWERS, CHECK, WORDS, PROGRAM, TEST]
FILLED = "%%answers\npressure: 45 psia\nstate: wet\noil: PAG"


def changed(**sources):
    """The form with other sources: those of the answers, the words, the program, the head or the setup."""
    return [each | {"source": sources.get(each["metadata"]["nbgrader"]["grade_id"].split("-")[2], each["source"])}
            for each in FORM]  # fmt: skip


def read(cells, earlier=None):
    return intake.read_submission(cells, FORM, SHEET, earlier or {})


# Bytes.


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"\xff\xfe", "not UTF-8 text"),
        (b'{"cells": [', "not a notebook, or it is cut off"),
        (b'{"cells": {}}', "JSON, but not a notebook"),
        (b'{"cells": [1]}', "JSON, but not a notebook"),
        (b"[]", "JSON, but not a notebook"),
        (b'{"cells": ' + b"[" * 64 + b"]" * 64 + b"}", "nested too deeply"),
        (b'{"cells": [' + b"[[]], " * 40 + b"[" * 63 + b"]" * 64 + b"}", "nested too deeply"),
        (b'{"cells": ' + b'{"a":' * 64 + b"1" + b"}" * 65, "nested too deeply"),
    ],
)
def test_what_is_no_notebook_says_why(data, reason):
    with pytest.raises(NotGradable, match=reason):
        intake.parse_notebook(data)


def test_sixty_four_brackets_are_read_and_those_in_words_do_not_count():
    deep = {"cells": [{"a": json.loads("[" * 61 + "]" * 61)}]}
    assert intake.parse_notebook(json.dumps(deep).encode()) == deep["cells"]
    wide = {"cells": [{"a": []}, {"a": "[{" * 200 + '\\"'}, *({"b": [[]]} for _ in range(100))]}
    assert intake.parse_notebook(b"\xef\xbb\xbf" + json.dumps(wide).encode()) == wide["cells"]


# What a cell is.


def test_cells_of_a_form_are_told_apart():
    kinds = {
        intake.is_answer: [ANSWERS],
        intake.is_written: [WORDS],
        intake.is_program: [PROGRAM],
        intake.is_graded: [CHECK, WORDS, TEST],
        intake.needs_running: [TEST],
    }
    for is_kind, found in kinds.items():
        assert [each for each in FORM if is_kind(each)] == found, is_kind.__name__
    for is_kind in kinds:
        assert not is_kind({})
    task = cell("task", "", "markdown", grade=True, solution=False)
    assert not intake.is_written(task)
    assert not intake.needs_running(task)
    assert not intake.is_answer(ANSWERS | {"cell_type": "markdown"})
    assert intake.is_answer(ANSWERS | {"source": ["\n", " %%answers\n", 7]})
    assert not intake.is_answer(ANSWERS | {"source": 7})


@pytest.mark.parametrize("metadata", [None, 7, {}, {"nbgrader": 7}, {"nbgrader": {}}, {"nbgrader": {"grade_id": 7}}])
def test_a_cell_without_a_name_has_none(metadata):
    assert intake.grade_id({"metadata": metadata}) == ""
    assert intake.grade_id({}) == ""


def test_labels_are_compared_without_their_answers():
    assert intake.labels_of("%%answers\nHub  speed: 45: 6\nstate = wet\n\n: \n") == {"hub speed", "state"}


# What is taken, and what is said about it.


def test_words_are_taken_and_an_honest_sheet_has_no_remarks():
    found = read(changed(answers=FILLED, words=["I weigh ", "it."], program="print(1)"))
    assert found.texts == {
        "cycle-1-answers-1": FILLED,
        "cycle-1-words": "I weigh it.",
        "cycle-1-program": "print(1)",
    }
    assert found.remarks == ()
    assert read(FORM).texts["cycle-1-words"] == "*Write here.*"


@pytest.mark.parametrize("part", ["head", "setup", "check"])
def test_a_changed_cell_of_ours_is_named_and_not_used(part):
    found = read(changed(answers=FILLED, **{part: "mine"}))
    assert found.remarks == (f"the cell cycle-1-{part} was changed; the class's own was used",)
    assert found.texts["cycle-1-answers-1"] == FILLED


def test_term_due_date_and_an_earlier_release_are_no_change():
    assert read(changed(setup="%sheet cycle-1 --term 2026-autumn", head="# Sheet\n\n**Due:** Friday")).remarks == ()
    old = "%sheet cycle-0"
    assert read(changed(setup=old)).remarks
    assert read(changed(setup=old), {"cycle-1-setup": {intake.cell_fingerprint(f" {old} --term x")}}).remarks == ()
    assert read(changed(setup=old), {"cycle-1-check": {intake.cell_fingerprint(old)}}).remarks


@pytest.mark.parametrize("lost", [ANSWERS, WORDS, PROGRAM])
def test_a_cell_whose_name_was_lost_is_known_by_its_place(lost):
    cells = [each | {"metadata": {}} if each is lost else each for each in FORM]
    name = lost["metadata"]["nbgrader"]["grade_id"]
    assert read(cells).remarks == (f"the cell {name} was known by its place in the form; its name was lost",)


@pytest.mark.parametrize(("labels", "known"), [(("pressure", "state"), True), (("pressure",), False), ((), False)])
def test_an_answer_cell_is_known_by_more_than_half_of_its_labels(labels, known):
    text = "\n".join(["%%answers", *(f"{label}: 1" for label in labels)])
    pasted = {"cell_type": "code", "source": text, "metadata": {}}
    if known:
        found = read([pasted, *(each for each in FORM if each is not ANSWERS)])
        assert found.texts["cycle-1-answers-1"] == text
        assert found.remarks == ("answer cell cycle-1-answers-1 was known by its labels; its name was lost",)
    else:
        with pytest.raises(NotGradable, match="no answer cell of cycle-1 is in the notebook"):
            read([pasted, *(each for each in FORM if each is not ANSWERS)])


def test_half_of_the_labels_are_not_enough():
    form = [ANSWERS | {"source": "%%answers\na: \nb: "}]
    pasted = {"cell_type": "code", "source": "%%answers\na: 1", "metadata": {}}
    with pytest.raises(NotGradable, match="no answer cell"):
        intake.read_submission([pasted], form, SHEET)


def test_labels_without_the_magic_are_notes():
    notes = {"cell_type": "markdown", "source": "pressure: 1\nstate: 2\noil: 3", "metadata": {}}
    assert read([notes, *FORM]).remarks == ()
    named = cell("mine", "pressure: 1\nstate: 2\noil: 3")
    assert read([named, *FORM]).texts["cycle-1-answers-1"] == ANSWERS["source"].strip()


def test_another_sheet_is_called_by_its_name():
    other = cell("cycle-2-answers-1", "%%answers\nwork: 3")
    with pytest.raises(NotGradable, match=r"^this is the sheet cycle-2, not cycle-1$"):
        read([other])
    with pytest.raises(NotGradable, match="no answer cell of cycle-1"):
        read([cell("oil-1-words", "Well.")])
    with pytest.raises(NotGradable, match="no answer cell of cycle-1"):
        read([cell("cycle-1-answers-9", "%%answers\nwork: 3")])
    assert read([*FORM, other]).remarks == ()


@pytest.mark.parametrize(
    ("left", "what"),
    [(WORDS, "written answer cycle-1-words"), (PROGRAM, "written answer cycle-1-program")],
)
def test_a_missing_cell_is_named(left, what):
    with pytest.raises(NotGradable, match=rf"^the {what} is missing$"):
        read([each for each in FORM if each is not left])


def test_a_missing_answer_cell_beside_another_is_named():
    second = cell("cycle-1-answers-2", "%%answers\nmass: \nvolume: ", solution=True)
    with pytest.raises(NotGradable, match=r"^the answer cell cycle-1-answers-2 is missing$"):
        intake.read_submission(FORM, [*FORM, second], SHEET)


def test_copies_count_where_they_agree_or_are_empty():
    twice = [*changed(answers=FILLED), ANSWERS | {"source": FILLED}]
    assert read(twice).remarks == ("the cell cycle-1-answers-1 is there 2 times, with the same answers",)
    assert read([*changed(answers=FILLED), ANSWERS]).texts["cycle-1-answers-1"] == FILLED
    assert read([*changed(words="Mine."), WORDS]).texts["cycle-1-words"] == "Mine."
    assert read([*FORM, ANSWERS | {"source": ""}]).texts["cycle-1-answers-1"] == ANSWERS["source"].strip()
    for cells in (
        [*changed(answers=FILLED), ANSWERS | {"source": "%%answers\npressure: 1 psia"}],
        [*changed(words="Mine."), WORDS | {"source": "Yours."}],
        [*FORM, ANSWERS | {"source": "%%answers\noil: \n"}],
    ):
        with pytest.raises(NotGradable, match="is there 2 times with different answers; keep one"):
            read(cells)


def test_an_emptied_cell_is_empty():
    assert read(changed(words="  ")).texts["cycle-1-words"] == ""


@pytest.mark.parametrize(("part", "name"), [("answers", "cycle-1-answers-1"), ("words", "cycle-1-words")])
def test_too_many_words_are_refused_and_the_most_are_not(part, name):
    assert len(read(changed(**{part: "x" * 20_000})).texts[name]) == 20_000
    for much in (20_001, 100_000, 100_001):
        with pytest.raises(NotGradable, match=rf"{name} has {much:,} characters; 20,000 are the most"):
            read(changed(**{part: "x" * much}))


def test_notes_may_be_long():
    long = {"cell_type": "markdown", "source": "x" * 100_001, "metadata": {}}
    assert read([long, *FORM]).remarks == ()
    # Nobody looks into so long a cell for an answer.
    with pytest.raises(NotGradable, match="no answer cell"):
        read([{"cell_type": "code", "source": FILLED + "\n" * 100_001, "metadata": {}}, WORDS, PROGRAM])
    found = read([{"cell_type": "code", "source": FILLED + "\n" * (100_000 - len(FILLED)), "metadata": {}},
                  *(each for each in FORM if each is not ANSWERS)])  # fmt: skip
    assert found.texts["cycle-1-answers-1"] == FILLED


# The clean notebook.


def test_the_form_is_filled_and_nothing_else_of_it_changes():
    form = {"cells": FORM, "nbformat": 4}
    texts = {"cycle-1-answers-1": "%%answers of mine\npressure: 1\n %%answers\nstate: wet", "cycle-1-words": "Mine."}
    filled = intake.fill_form(form, texts | {"cycle-1-program": ""})
    assert filled["nbformat"] == 4
    sources = {intake.grade_id(each): each["source"] for each in filled["cells"]}
    assert sources["cycle-1-answers-1"] == "%%answers\npressure: 1\nstate: wet"
    assert sources["cycle-1-words"] == "Mine."
    assert sources["cycle-1-program"] == "# Write."
    assert sources["cycle-1-test"] == "assert right()"
    assert FORM[2]["source"] == "%%answers\npressure: \nstate: \noil: "
    assert intake.sheet_texts(filled["cells"]) == [sources["cycle-1-answers-1"]]


def test_a_fingerprint_is_short_and_of_the_words():
    assert len(intake.cell_fingerprint("a")) == 16
    assert (
        intake.cell_fingerprint("a\n**Due:** Monday\n") == intake.cell_fingerprint("a") != intake.cell_fingerprint("b")
    )
