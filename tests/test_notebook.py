"""The words of a notebook, in a real IPython shell: calm at every input, and the same marks as the grader's."""

from pathlib import Path

import pytest
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output

from coldcab import assess, learner, lessons, notebook
from material import GRADED, PRACTICED, keys_of

INSTRUCTOR = Path(__file__).parents[1] / "instructor"


@pytest.fixture
def shell(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for name in ("COLDCAB_REFERENCE", "COLDCAB_LEARNER_FOLDER", "JUPYTERHUB_USER", "JPY_SESSION_NAME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path / "ipython"))
    InteractiveShell.clear_instance()
    made = InteractiveShell.instance()
    made.run_line_magic("load_ext", "coldcab")
    yield made
    made.history_manager.end_session()
    InteractiveShell.clear_instance()


def run(shell, text):
    """Run a cell and return everything a person would see, and the result."""
    with capture_output() as seen:
        result = shell.run_cell(text)
    shown = [output.data.get("text/plain", "") for output in seen.outputs]
    return "\n".join([*shown, seen.stdout, seen.stderr]), result


def test_starting_a_page_again_says_nothing(shell):
    """Its first cell loads the words each time; IPython alone would say that they are loaded already."""
    run(shell, "%load_ext coldcab")
    magics = shell.magics_manager.registry["SheetMagics"]
    for _ in range(3):
        said, _ = run(shell, "%load_ext coldcab\nfrom coldcab import instruments")
        assert said.strip() == ""
    assert shell.magics_manager.registry["SheetMagics"] is magics  # and the sheet on the desk with it


def right_answers(name, desk_case, source=PRACTICED):
    sheet = source[name]
    lines = []
    for item in sheet.items:
        value = item.answer(desk_case)
        lines.append(f"{item.label}: {value}" if item.kind in assess.WORDS else f"{item.label}: {say(item, value)}")
    return "\n".join(lines)


def say(item, value):
    unit = {"pressure": "Pa", "pressure difference": "Pa", "temperature": "K", "specific energy": "J/kg"}
    unit |= {"mass flow": "kg/s", "power": "W", "ratio": "", "fraction": ""}
    return f"{value:.8g} {unit[item.kind]}".strip()


@pytest.mark.parametrize("name", ["cycle-1", "cycle-2"])
def test_a_practice_sheet_with_right_answers_is_all_right(shell, name):
    run(shell, f"%practice {name}")
    case = lessons.case(f"practice-{name}", "practice", "1")
    text, _ = run(shell, f"%%answers practice-{name}\n{right_answers(f'practice-{name}', case)}")
    count = len(lessons.PRACTICE[f"practice-{name}"].items)
    assert f"{count} of {count} right." in text
    assert text.count("✔") == count


def test_a_wrong_idea_is_told_at_once(shell):
    run(shell, "%practice cycle-1")
    case = lessons.case("practice-cycle-1", "practice", "1")
    text, _ = run(shell, f"%%answers practice-cycle-1\nabsolute pressure: {case.low_side_psig} psia")
    assert "A gauge counts from the air pressure around it" in text


def test_new_numbers_draw_another_machine(shell):
    _, result = run(shell, "%practice cycle-1")
    numbers = result.result
    before = numbers.card.text
    numbers.renew()
    assert numbers.card.text != before
    case = lessons.case("practice-cycle-1", "practice", "2")
    text, _ = run(shell, f"%%answers practice-cycle-1\nabsolute pressure: {say_pressure(case)}")
    assert "1 of 11 right." in text


class ListeningPage:
    """The page's end of a channel: what it was told."""

    def __init__(self):
        self.told = []

    def on_msg(self, _answer):
        """Nothing is asked here."""

    def on_close(self, _closed):
        """It stays open."""

    def send(self, data):
        self.told.append(data)


def test_answers_to_earlier_numbers_are_set_aside_and_come_back(shell):
    magics, page, name = shell.magics_manager.registry["SheetMagics"], ListeningPage(), "practice-cycle-1"
    magics.listen(page)
    _, result = run(shell, "%practice cycle-1")
    numbers, first, text = result.result, result.result.card.text, "state at A: saturated\nstate at B:"
    magics.page_answer({"sheet": name, "text": text, "number": 1})
    numbers.renew()
    told = page.told[-1]
    assert (told["sheet"], told["left"], set(told["fill"].values())) == (name, 1, {""})
    assert numbers.widget.children[1].children[1].description == "Back to practice 1"
    # The last key may come after the kernel was told.
    magics.page_answer({"sheet": name, "text": text + " subcooled", "number": 2, "left": 1})
    magics.page_answer({"sheet": name, "text": "state at A: superheated", "number": 3})
    numbers.widget.children[1].children[1].click()
    assert numbers.card.text == first
    assert page.told[-1]["fill"] | {} == dict.fromkeys(told["fill"], "") | {
        "state at A": "saturated",
        "state at B": "subcooled",
    }
    numbers.widget.children[1].children[2].click()  # on to practice 2
    assert page.told[-1]["fill"]["state at A"] == "superheated"
    numbers.renew()
    assert "Practice 3" in numbers.card.text


def say_pressure(case):
    return f"{keys_of('cycle-1').pressure(case, case.low_side_psig):.6g} Pa"


@pytest.mark.parametrize(
    "cell",
    [
        "%%answers practice-cycle-1",
        "%%answers practice-cycle-1\n\n",
        "  %%answers practice-cycle-1\n  absolute pressure: 31 psia",
        "\n\nabsolute pressure: 31 psia",
        "some words\n%%answers practice-cycle-1\nabsolute pressure: 31 psia",
        "absolute pressure: 31 psia\nstate at A: hot",
        "%%answers practice-cycle-1\nabsolute pressure: ((((\nfoo\n:\n: :\n=====",
        "%%answers practice-cycle-1\nabsolute pressure: {get_ipython()} $HOME !ls",
        "%%answers practice-cycle-1\n" + "absolute pressure: 31 psia\n" * 5000,
        "%%answers practice-cycle-9\nabsolute pressure: 31 psia",
        "%%answers cycle-1\nabsolute pressure: 31 psia",
        "%%answers practice-cycle-1\nabsolute pressure: 31 psia <b onmouseover=alert(1)>x</b>",
    ],
)
@pytest.mark.parametrize("opened", [True, False])
def test_nothing_typed_shows_a_traceback(shell, cell, opened):
    if opened:
        run(shell, "%practice cycle-1")
    text, _ = run(shell, cell)
    assert "Traceback" not in text
    assert "Error" not in text
    assert text.strip()


def test_markup_in_an_answer_is_shown_as_text(shell):
    run(shell, "%practice cycle-1")
    with capture_output() as seen:
        shell.run_cell("%%answers practice-cycle-1\nabsolute pressure: <img src=x onerror=alert(1)> psia")
    html = seen.outputs[0].data["text/html"]
    assert "<img" not in html
    assert "does not start with a number" in html


def test_a_graded_sheet_asks_for_the_id_then_shows_own_numbers(shell, tmp_path):
    text, result = run(shell, "%sheet cycle-1")
    assert "does not know you yet" in text
    fields = result.result.widget.children
    fields[1].value, fields[2].value = "birch", "2026-autumn"
    fields[4].click()
    assert learner.read(tmp_path) == learner.Learner("birch", "2026-autumn")
    case = lessons.case("cycle-1", "2026-autumn", "birch")
    assert f"{case.altitude_feet:,.0f} ft" in fields[-1].value


def test_a_bad_id_is_answered_in_a_sentence(shell, tmp_path):
    _, result = run(shell, "%enroll")
    fields = result.result.widget.children
    fields[1].value = "../../etc"
    fields[4].click()
    assert "cannot be used" in fields[-1].value
    assert not (tmp_path / learner.FILE_NAME).exists()


def test_units_are_chosen_with_or_without_an_id(shell, tmp_path):
    _, result = run(shell, "%enroll")
    fields = result.result.widget.children
    fields[3].value = "si"
    fields[4].click()
    assert learner.read(tmp_path) == learner.Learner("alone", units="si")
    assert "SI units first" in fields[-1].value
    text, _ = run(shell, "%practice cycle-1")
    case = lessons.case("practice-cycle-1", "practice", "1")
    assert f"({case.low_side_psig:g} psig)" in text


@pytest.mark.parametrize(
    ("name", "term", "said"),
    [
        ("birch", "spring", "Saved. You are <strong>birch</strong>, term spring, US customary units first."),
        (
            "birch",
            "",
            "Saved. You are <strong>birch</strong>, without a class term; US customary units first. Does your",
        ),
        ("", "", "Saved. You work alone, without an id; US customary units first."),
        ("b/rch", "spring", "Not saved. The learner&#x27;s id &#x27;b/rch&#x27; cannot be used"),
    ],
)
def test_what_save_did_is_said_below_it(shell, name, term, said):
    _, result = run(shell, "%enroll")
    _intro, id_field, term_field, _units, save, answer = result.result.widget.children
    id_field.value, term_field.value = name, term
    save.click()
    assert answer.value.startswith(said)
    assert ("Save again" in answer.value) == (name == "birch" and not term)


def test_a_graded_sheet_takes_no_empty_id(shell, tmp_path):
    _, result = run(shell, "%sheet cycle-1")
    fields = result.result.widget.children
    fields[4].click()
    assert "cannot be used" in fields[-1].value
    assert not (tmp_path / learner.FILE_NAME).exists()


def test_the_term_of_a_form_goes_before_the_learners_own(shell, tmp_path):
    learner.write(learner.Learner("birch", "open"), tmp_path)
    text, _ = run(shell, "%sheet cycle-1 --term spring")
    assert "sheet of birch, term spring" in text
    case = lessons.case("cycle-1", "spring", "birch")
    assert f"{case.low_side_psig:g} psig" in text


def test_a_graded_sheet_does_not_say_what_is_right(shell, tmp_path):
    learner.write(learner.Learner("birch"), tmp_path)
    run(shell, "%sheet cycle-1")
    text, _ = run(shell, "%%answers cycle-1\nabsolute pressure: 1 psia\nstate at A: saturated")
    assert "2 of 2 lines here can be read" in text
    assert "right." not in text.replace("right is for the grading", "")


def test_validation_counts_blank_lines_as_errors_and_the_desk_stays_calm(shell, tmp_path, monkeypatch):
    learner.write(learner.Learner("birch"), tmp_path)
    run(shell, "%sheet cycle-1")
    run(shell, "%%answers cycle-1\nabsolute pressure: 31 psia")
    assert run(shell, "%check absolute pressure")[1].success
    text, result = run(shell, "%check standing pressure")
    assert not result.success
    assert "standing pressure: not filled in yet" in text
    assert "Traceback" not in text
    monkeypatch.setenv("JPY_SESSION_NAME", "a notebook in the browser")
    text, result = run(shell, "%check standing pressure")
    assert result.success
    assert "standing pressure: not filled in yet" in text


def test_on_the_instructors_side_a_check_is_a_score(shell, tmp_path, monkeypatch):
    folder = tmp_path / "autograded" / "birch" / "cycle-1"
    folder.mkdir(parents=True)
    monkeypatch.chdir(folder)
    monkeypatch.setenv("COLDCAB_REFERENCE", str(INSTRUCTOR / "lessons"))
    monkeypatch.setenv("COLDCAB_TERM", "spring")
    case = lessons.case("cycle-1", "spring", "birch")
    # Whatever term or file a submission brings along does not count.
    learner.write(learner.Learner("ash", "autumn"), folder)
    run(shell, "%sheet cycle-1 --term autumn")
    run(shell, f"%%answers cycle-1\n{right_answers('cycle-1', case, GRADED)}")
    for item in GRADED["cycle-1"].items:
        assert run(shell, f"%check {item.label}")[1].result == item.points


def test_a_sheet_can_be_checked_before_anything_else_has_run(shell, tmp_path):
    case = lessons.case("practice-cycle-1", "practice", "1")
    text, _ = run(shell, f"%%answers practice-cycle-1\nabsolute pressure: {say_pressure(case)}")
    assert "1 of 11 right." in text
    learner.write(learner.Learner("birch"), tmp_path)
    text, _ = run(shell, "%%answers cycle-1\nabsolute pressure: 30 psia")
    assert "1 of 1 lines here can be read" in text


def test_a_python_cell_stays_a_python_cell():
    lines = ["total = 1 + 1\n", "total\n"]
    assert notebook.mend_sheet(lines) == lines
